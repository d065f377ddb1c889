"""The form templates: labels, units, refusals and where their links land."""

import re
from datetime import date

import pytest
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Column, Fieldset, Layout, Row, Submit
from crispy_forms.utils import render_crispy_form
from django import forms
from django.template import Context, Template
from django.template.context_processors import csrf
from django.test import RequestFactory


class DayMonthYear(forms.MultiWidget):
    def __init__(self):
        labels = ("Day", "Month", "Year")
        super().__init__([forms.TextInput(attrs={"data-label": label}) for label in labels])

    def decompress(self, value):
        return [value.day, value.month, value.year] if value else [None, None, None]


class KnownDate(forms.MultiValueField):
    widget = DayMonthYear

    def __init__(self, **kwargs):
        super().__init__(fields=[forms.IntegerField() for _ in range(3)], **kwargs)

    def compress(self, data_list):
        day, month, year = data_list
        return date(year, month, day)


class Settings(forms.Form):
    patient = forms.CharField(
        label="Patient code",
        help_text="The office's own code.",
        error_messages={"required": "Enter the patient code."},
    )
    right = forms.CharField(
        label="Right condylar inclination", widget=forms.TextInput(attrs={"data-unit": "deg"})
    )
    pin = forms.CharField(
        label="Pin", required=False, widget=forms.TextInput(attrs={"data-unit": "mm"})
    )
    shade = forms.CharField(
        label="Shade", required=False, widget=forms.TextInput(attrs={"data-needed": True})
    )
    surgery = KnownDate(label="Surgery", error_messages={"required": "Enter the surgery date."})
    scheme = forms.ChoiceField(
        label="Scheme",
        choices=[("balanced", "Balanced"), ("canine", "Canine guidance")],
        widget=forms.RadioSelect(attrs={"data-across": True}),
        error_messages={"required": "Choose the scheme."},
    )
    box = forms.MultipleChoiceField(
        label="In the box",
        choices=[("cast", "Cast")],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    disinfected = forms.BooleanField(
        label="Disinfected", error_messages={"required": "Confirm the disinfection."}
    )
    version = forms.CharField(widget=forms.HiddenInput, required=False)


def form_html(form, *items):
    form.helper = FormHelper()
    if items:
        form.helper.layout = Layout(*items)
    context = csrf(RequestFactory().get("/"))
    return tight(render_crispy_form(form, context=context))


def tight(html):
    """Drop the space before closing tags, which templates leave and browsers ignore."""
    return re.sub(r"\s+(?=</)", "", html)


def field_html(html, name):
    start = html.index(f'id="div_id_{name}"')
    return html[start : html.find('id="div_id_', start + 1)]


@pytest.fixture
def empty():
    return form_html(Settings())


@pytest.fixture
def refused():
    return form_html(Settings({}))


def test_every_label_points_at_an_input_that_exists(empty):
    targets = re.findall(r'<label[^>]* for="([^"]+)"', empty)

    assert len(targets) == 11
    assert [target for target in targets if f' id="{target}"' not in empty] == []


def test_the_browser_leaves_the_refusals_to_us(empty):
    assert re.search(r"<form[^>]* novalidate", empty)
    assert 'name="csrfmiddlewaretoken"' in empty


def test_a_unit_stands_behind_the_box_and_in_the_label(empty):
    pin = field_html(empty, "pin")

    assert '<span class="unit" aria-hidden="true">mm</span>' in pin
    assert 'Pin<span class="unseen">, mm</span>' in pin


def test_optional_is_written_out_but_not_where_a_value_is_needed_later(empty):
    assert "(optional)" in field_html(empty, "pin")
    assert "(optional)" not in field_html(empty, "right")
    assert "(optional)" not in field_html(empty, "shade")
    assert "*" not in re.sub(r"<[^>]+>", "", empty)


def test_a_date_has_three_labelled_boxes_in_one_group(empty):
    surgery = field_html(empty, "surgery")

    assert re.findall(r'<label class="box-label" for="([^"]+)">(\w+)</label>', surgery) == [
        ("id_surgery_0", "Day"),
        ("id_surgery_1", "Month"),
        ("id_surgery_2", "Year"),
    ]
    assert "<legend>Surgery</legend>" in surgery


def test_boxes_keep_what_was_typed():
    html = form_html(Settings({"surgery_0": "31", "surgery_1": "x"}))

    assert 'name="surgery_0" value="31"' in html
    assert 'name="surgery_1" value="x"' in html


def test_radio_buttons_are_a_group_with_a_legend(empty):
    scheme = field_html(empty, "scheme")

    assert "<legend>Scheme</legend>" in scheme
    assert 'class="choices across"' in scheme
    assert scheme.count('type="radio"') == 2
    assert '<label for="id_scheme_0">Balanced</label>' in scheme


def test_a_form_that_was_not_sent_shows_no_refusals(empty):
    assert "refus" not in empty


def test_the_summary_lists_every_refusal_in_the_words_at_the_field(refused):
    summary = refused[: refused.index('id="div_id_')]
    listed = re.findall(r'<li><a href="#([^"]+)">([^<]+)</a></li>', summary)

    assert listed == [
        ("id_patient", "Enter the patient code."),
        ("id_right", "This field is required."),
        ("id_surgery_0", "Enter the surgery date."),
        ("id_scheme_0", "Choose the scheme."),
        ("id_disinfected", "Confirm the disinfection."),
    ]
    for target, sentence in listed:
        assert f' id="{target}"' in refused
        assert f'<span class="field-error">{sentence}</span>' in refused


def test_the_summary_can_take_the_focus(refused):
    assert '<div class="refusals" role="alert" tabindex="-1" data-refusals>' in refused


def test_a_refused_field_says_so_to_screen_readers(refused):
    patient = field_html(refused, "patient")

    assert 'aria-invalid="true"' in patient
    assert 'aria-describedby="id_patient_helptext id_patient_error"' in patient
    assert 'id="id_patient_helptext"' in patient
    assert 'id="id_patient_error"' in patient


def test_a_refused_group_is_described_by_its_refusal(refused):
    scheme = field_html(refused, "scheme")

    assert 'aria-describedby="id_scheme_error"' in scheme
    assert 'id="id_scheme_error"' in scheme


def test_a_refusal_is_escaped():
    form = Settings({})
    form.add_error("patient", "Patient code is <b>.")

    assert "Patient code is <b>." not in form_html(form)


def test_a_layout_makes_groups_rows_columns_and_buttons():
    html = form_html(
        Settings(),
        Fieldset("Guidance", Row("right", Column("pin"))),
        Submit("save", "Save and go on"),
        Submit("drop", "Drop this draft", css_class="danger"),
    )

    assert "<legend>Guidance</legend>" in html
    assert '<div class="row">' in html
    assert '<div class="column">' in html
    save = re.search(r'<button type="submit" name="save"[^>]*class="([^"]*)"', html)
    drop = re.search(r'<button type="submit" name="drop"[^>]*class="([^"]*)"', html)
    assert save.group(1).split() == ["button", "main"]
    assert drop.group(1).split() == ["button", "main", "danger"]


def test_one_field_can_be_drawn_by_hand():
    source = (
        "{% load crispy_forms_tags %}{{ form.patient|as_crispy_field }}{{ form|as_crispy_errors }}"
    )
    html = tight(Template(source).render(Context({"form": Settings({})})))

    assert '<label for="id_patient">Patient code</label>' in html
    assert '<a href="#id_patient">Enter the patient code.</a>' in html


class Site(forms.Form):
    space = forms.DecimalField(label="Space", widget=forms.TextInput(attrs={"data-unit": "mm"}))
    ample = forms.BooleanField(label="Ample", required=False)
    key = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.row_name = {"form-0": "14", "form-1": "15"}.get(self.prefix, "")


def table_html(data=None):
    formset = forms.formset_factory(Site, extra=2)(data)
    formset.helper = FormHelper()
    formset.helper.template = "lab/table_inline_formset.html"
    formset.helper.formset_caption = "Height budget"
    context = Context({"formset": formset, **csrf(RequestFactory().get("/"))})
    return tight(Template("{% load crispy_forms_tags %}{% crispy formset %}").render(context))


def test_a_formset_is_a_real_table_with_named_rows():
    html = table_html()

    assert "<caption>Height budget</caption>" in html
    assert '<th scope="col">Space<span class="unseen">, mm</span></th>' in html
    assert re.search(r'<th scope="row">.*14</th>', html)
    assert '<label class="unseen" for="id_form-1-space">15: Space</label>' in html
    assert html.count('name="form-0-key"') == 1
    assert 'name="form-TOTAL_FORMS" value="2"' in html


def test_a_refused_row_is_marked_and_named_in_the_summary():
    html = table_html(
        {
            "form-TOTAL_FORMS": "2",
            "form-INITIAL_FORMS": "0",
            "form-0-space": "11",
            "form-1-space": "much",
        }
    )

    assert '<a href="#id_form-1-space">15: Enter a number.</a>' in html
    assert html.count('<tr class="wrong">') == 1
    assert ' value="much"' in html
