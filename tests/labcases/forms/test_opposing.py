"""The opposing arch on its step: kind, chart, heights, and a whole arch in one tap."""

import pytest
from django.http import QueryDict

from labcases.forms.opposing import OpposingStep
from labcases.management.sample import natural
from labcases.models import Case, Prescription


def form_of(posted: dict[str, str] | None = None, **stored) -> OpposingStep:
    row = Prescription(pk=1, version=3, case=Case(code="7Q2K9A3BC4DH"), arch="upper", **stored)
    if posted is None:
        return OpposingStep(instance=row)
    data = QueryDict(mutable=True)
    data.update({"version": "3", "drawn_arch": "lower", **posted})
    return OpposingStep(data, instance=row)


def marks(**changed: str) -> dict[str, str]:
    chart = natural("lower") | {t.removeprefix("t"): mark for t, mark in changed.items()}
    return {f"tooth_{tooth}": mark for tooth, mark in chart.items()}


def test_a_height_is_kept_under_its_tooth_as_it_was_typed():
    form = form_of(
        {
            **marks(),
            "opponent": "natural teeth",
            "over_eruption_by": "mounted cast",
            "height_37": "1,60 mm",
            "height_46": "0",
        }
    )

    assert form.is_valid(), form.errors
    assert form.values() == {
        "opponent": "natural teeth",
        "over_eruption_by": "mounted cast",
        "opposing": natural("lower"),
        "over_eruption_mm": {"46": "0", "37": "1.6"},
    }


@pytest.mark.parametrize(
    ("posted", "field", "text"),
    [
        (
            {**marks(t37="missing"), "height_37": "1.6"},
            "height_37",
            "37 is marked as 'missing'. A height is read on a natural tooth only: take it out, or "
            "mark the tooth as natural.",
        ),
        (
            {**marks(t37=""), "height_37": "1.6"},
            "height_37",
            "37 is open. A height is read on a natural tooth only: take it out, or mark the tooth "
            "as natural.",
        ),
        (
            {**marks(), "height_37": "9"},
            "height_37",
            "37, lower left second molar, beyond the plane, is 9 mm. Enter 0 to 8 mm.",
        ),
    ],
)
def test_a_height_that_cannot_be_is_refused_at_its_box_and_stays_typed(posted, field, text):
    form = form_of(posted)

    assert not form.is_valid()
    assert form.errors == {field: [text]}
    assert form[field].value() == posted[field]


def test_one_tap_marks_the_arch_says_the_kind_and_drops_heights_of_what_is_gone():
    form = form_of(
        {**marks(), "height_37": "1.6", "height_33": "0.5", "fill": "fronts natural"},
        opponent="natural teeth",
    )

    assert form.is_valid(), form.errors
    assert form.filled == 16
    found = form.values()
    assert found["opponent"] == "natural front teeth"
    assert {t for t, mark in found["opposing"].items() if mark == "natural"} == {
        *("43", "42", "41", "31", "32", "33")
    }
    assert found["over_eruption_mm"] == {"33": "0.5"}


def test_a_tap_that_says_no_kind_leaves_the_one_that_was_chosen():
    form = form_of({"opponent": "complete denture being made", "fill": "all denture"})

    assert form.is_valid(), form.errors
    assert form.values()["opponent"] == "complete denture being made"


def test_marking_what_is_open_leaves_the_rest_alone():
    form = form_of({**marks(t46=""), "fill": "denture"})

    assert form.is_valid(), form.errors
    assert form.filled == 1
    assert form.values()["opposing"] == natural("lower") | {"46": "denture"}


def test_stored_heights_are_kept_where_the_person_chose_them_after_a_conflict():
    form = form_of(
        {**marks(), "height_37": "3", "keep-over_eruption_mm": "stored"},
        over_eruption_mm={"37": "1.6"},
    )

    assert form.is_valid(), form.errors
    assert form.values()["over_eruption_mm"] == {"37": "1.6"}


def test_the_boxes_show_what_is_stored():
    form = form_of(opposing=natural("lower"), over_eruption_mm={"37": "1.6"})
    shown = {entry.tooth: box.value() for entry, box in form.lines if box and box.value()}

    assert shown == {"37": "1.6"}
