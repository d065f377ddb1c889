"""A disinfection as it is typed."""

from labcases.forms.disinfecting import DisinfectionForm
from labcases.models import BoxItem


def test_boxes_are_named_after_the_item_so_that_a_page_holds_many_forms():
    form = DisinfectionForm(item=BoxItem(pk=7, content="impression"), name="Tomas Abelard")
    assert form["agent"].id_for_label == "id_item7_agent"
    assert form["done_by"].initial == "Tomas Abelard"
    assert form["agent"].initial is None


def test_what_is_typed_becomes_what_the_log_keeps():
    form = DisinfectionForm(
        {
            **{"agent": " iodophor ", "label_minutes": "10", "actual_minutes": "12"},
            **{"done_by": "Tomas Abelard", "done_at": "26-Mar-2026 14:05"},
        },
        item=BoxItem(pk=7, content="impression"),
    )
    assert form.is_valid()
    assert form.cleaned_data["agent"] == "iodophor"
    assert (form.cleaned_data["label_minutes"], form.cleaned_data["actual_minutes"]) == (10, 12)
    assert f"{form.cleaned_data['done_at']:%d %H:%M}" == "26 14:05"
