"""The steps of a prescription: saved as one goes, read back, and shared by two people."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.enums import Notation, ToothMaterial
from labcases.models import Case, Organisation
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of
from tests.labcases.views.prescribing import STEPS, posted, step_url

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    """A draft in which nothing is said yet."""
    return cast.walk().case


@pytest.fixture
def complete(cast) -> Case:
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


# Writing


@pytest.mark.parametrize("step", STEPS)
def test_every_step_shows_a_form_to_the_office(cast, case, step):
    answer = logged_in(cast.farah).get(step_url(case, step))

    assert answer.status_code == 200
    assert "Save and go on" in text_of(answer)


def test_an_unknown_step_is_not_found(cast, case):
    assert logged_in(cast.dora).get(step_url(case, "payments")).status_code == 404


def test_the_steps_lead_one_into_the_next_and_end_at_the_check(cast, complete):
    client = logged_in(cast.dora)
    targets = []
    for step in STEPS:
        answer = client.post(step_url(complete, step), posted(complete, step))
        targets.append(answer.headers["Location"])

    assert targets == [
        *(step_url(complete, step) for step in STEPS[1:]),
        reverse("prescription_check", args=[complete.code]),
    ]


def test_save_and_stop_leads_back_to_the_case(cast, complete):
    answer = logged_in(cast.dora).post(
        step_url(complete, "wishes"), posted(complete, "wishes", go="stop")
    )

    assert answer.headers["Location"] == reverse("case", args=[complete.code])


def test_a_step_saves_its_answers_with_one_line_of_history(cast, case):
    lines = case.history.count()

    logged_in(cast.farah).post(
        step_url(case, "materials"),
        posted(case, "materials", base_material="milled resin", shade=" A3 "),
    )

    row = Case.objects.get().prescription
    assert (row.base_material, row.shade, row.changed_by) == ("milled resin", "A3", cast.farah)
    assert case.history.count() == lines + 1
    assert case.history.last().changes == {
        "base material": ["", "milled resin"],
        "shade": ["", "A3"],
    }


def test_marking_teeth_stores_each_position_by_its_number(cast, case):
    logged_in(cast.dora).post(
        step_url(case, "teeth"), posted(case, "teeth", tooth_16="lost", tooth_21="stays")
    )

    assert Case.objects.get().prescription.teeth == {"16": "lost", "21": "stays"}


def test_a_fill_button_marks_what_is_open_and_leaves_the_rest(cast, case):
    answer = logged_in(cast.dora).post(
        step_url(case, "teeth"),
        posted(case, "teeth", tooth_13="extract at surgery", fill="lost"),
        follow=True,
    )

    teeth = Case.objects.get().prescription.teeth
    assert len(teeth) == 16
    assert teeth["13"] == "extract at surgery"
    assert {mark for tooth, mark in teeth.items() if tooth != "13"} == {"lost"}
    assert "15 open positions were marked" in text_of(answer)
    assert answer.redirect_chain[0][0] == step_url(case, "teeth") + "#id_teeth"


def test_a_fill_button_works_for_the_opposing_arch(cast, case):
    logged_in(cast.dora).post(
        step_url(case, "opposing"), posted(case, "opposing", tooth_48="missing", fill="natural")
    )

    opposing = Case.objects.get().prescription.opposing
    assert opposing["48"] == "missing"
    assert sum(mark == "natural" for mark in opposing.values()) == 15


def test_one_tap_marks_the_whole_opposing_arch_and_says_its_kind(cast, case):
    answer = logged_in(cast.dora).post(
        step_url(case, "opposing"),
        posted(case, "opposing", tooth_46="missing", fill="all natural"),
        follow=True,
    )

    row = Case.objects.get().prescription
    assert row.opponent == "natural teeth"
    assert row.opposing["46"] == "natural"
    assert [t for t, mark in row.opposing.items() if mark == "missing"] == ["48", "38"]
    assert "Saved. 16 positions were marked." in text_of(answer)


def test_a_kind_that_the_chart_denies_is_named_on_the_step(cast, case):
    client = logged_in(cast.dora)
    client.post(step_url(case, "opposing"), posted(case, "opposing", fill="all natural"))
    client.post(
        step_url(case, "opposing"), posted(Case.objects.get(), "opposing", tooth_36="denture")
    )

    words = text_of(client.get(step_url(case, "opposing")))
    assert (
        "The opposing arch is said to be 'natural teeth', but the chart marks denture teeth at "
        "36. Choose the kind with a denture, or mark them otherwise." in words
    )


def test_an_unknown_mark_is_refused_and_the_others_stay_on_the_page(cast, case):
    answer = logged_in(cast.dora).post(
        step_url(case, "teeth"), posted(case, "teeth", tooth_16="gone", tooth_15="lost")
    )

    assert answer.status_code == 422
    assert Case.objects.get().prescription.teeth == {}
    assert re.search(r'name="tooth_15" value="lost"[^>]*checked', answer.content.decode())


def test_another_arch_empties_both_charts_and_says_so(cast, complete):
    answer = logged_in(cast.dora).post(
        step_url(complete, "teeth"), posted(complete, "teeth", arch="lower"), follow=True
    )

    row = Case.objects.get().prescription
    assert (row.arch, row.teeth, row.opposing) == ("lower", {}, {})
    assert "both tooth charts are empty again" in text_of(answer)
    assert "Every position of the lower arch" in text_of(answer)


def test_positions_stand_in_mouth_order_from_the_patients_right(cast, case):
    page = logged_in(cast.dora).get(step_url(case, "teeth")).content.decode()

    rows = re.findall(r'id="row_(\d\d)"', page)
    assert rows == [f"1{n}" for n in range(8, 0, -1)] + [f"2{n}" for n in range(1, 9)]


def test_teeth_are_shown_in_the_offices_notation_with_the_other_beside_it(cast, case):
    cast.office.notation = Notation.UNIVERSAL
    cast.office.save()

    office = text_of(logged_in(cast.dora).get(step_url(case, "teeth")))
    laboratory = text_of(logged_in(cast.tomas).get(reverse("prescription", args=[case.code])))

    assert "8 (ISO 11) upper right central incisor" in office
    assert "11 (Universal 8), upper right central incisor" in laboratory


def test_an_ambiguous_date_is_refused_in_words_and_stays_typed(cast, case):
    answer = logged_in(cast.dora).post(
        step_url(case, "teeth"), posted(case, "teeth", first_extraction_on="03/04/2026")
    )

    assert answer.status_code == 422
    assert "03/04/2026 can be read two ways" in text_of(answer)
    assert "First extraction (optional)" not in text_of(answer)
    assert "First extraction The day on which the first teeth come out" in text_of(answer)
    assert 'value="03/04/2026"' in answer.content.decode()
    assert "<title>Error: " in answer.content.decode()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("25", "Overjet before extraction is 25 mm. Enter -10 to 15 mm."),
        ("two", "Overjet before extraction: enter a number, for example 1.5 or 1,5."),
        ("1.234", "Overjet before extraction: enter at most 2 decimals."),
    ],
)
def test_an_impossible_overjet_is_refused_in_words(cast, case, typed, sentence):
    answer = logged_in(cast.dora).post(
        step_url(case, "before"), posted(case, "before", overjet_mm=typed)
    )

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert 'href="#id_overjet_mm"' in answer.content.decode()


def test_a_comma_and_a_unit_are_read_as_typed(cast, case):
    logged_in(cast.dora).post(step_url(case, "before"), posted(case, "before", overjet_mm="2,5 mm"))

    assert Case.objects.get().prescription.overjet_mm == Decimal("2.5")


def test_a_step_lists_what_it_still_needs_before_signing(cast, case):
    words = text_of(logged_in(cast.dora).get(step_url(case, "records")))

    assert "Ask about allergies and enter the answer." in words
    assert "Choose the base material." not in words


def test_porcelain_against_natural_teeth_is_cautioned_with_its_source(cast, complete):
    client = logged_in(cast.dora)
    client.post(
        step_url(complete, "materials"),
        posted(complete, "materials", tooth_material=ToothMaterial.PORCELAIN),
    )

    words = text_of(client.get(step_url(complete, "materials")))

    assert "Porcelain teeth would meet natural teeth at 17, 16" in words
    assert "IADR/AADR 2012" in words


# Two people at once


def test_the_second_to_save_a_step_sees_both_values_and_keeps_what_was_typed(cast, complete):
    started = posted(complete, "materials", shade="A3")
    logged_in(cast.dora).post(
        step_url(complete, "materials"), posted(complete, "materials", shade="A1")
    )

    answer = logged_in(cast.farah).post(step_url(complete, "materials"), started)

    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Dora Winsley saved it on" in text_of(answer)
    assert re.search(r"Keep yours: </span>A3", page)
    assert re.search(r"Keep stored: </span>A1", page)
    assert re.search(r'name="shade" value="A3"', page)
    assert Case.objects.get().prescription.shade == "A1"


@pytest.mark.parametrize(("keep", "shade"), [("yours", "A3"), ("stored", "A1")])
def test_saving_again_keeps_the_value_that_was_chosen(cast, complete, keep, shade):
    logged_in(cast.dora).post(
        step_url(complete, "materials"), posted(complete, "materials", shade="A1")
    )
    fresh = Case.objects.get()

    logged_in(cast.farah).post(
        step_url(complete, "materials"),
        posted(fresh, "materials", shade="A3", **{"keep-shade": keep}),
    )

    assert Case.objects.get().prescription.shade == shade


def test_a_clash_of_charts_names_only_the_positions_that_differ(cast, complete):
    started = posted(complete, "teeth", tooth_13="stays")
    logged_in(cast.dora).post(
        step_url(complete, "teeth"), posted(complete, "teeth", tooth_12="lost")
    )

    answer = logged_in(cast.farah).post(step_url(complete, "teeth"), started)

    words = text_of(answer)
    assert answer.status_code == 409
    assert "Keep yours: 13 stays; 12 to be extracted at surgery" in words
    assert "Keep stored: 13 to be extracted at surgery; 12 already lost" in words


def test_a_stored_chart_can_be_kept(cast, complete):
    logged_in(cast.dora).post(
        step_url(complete, "teeth"), posted(complete, "teeth", tooth_12="lost")
    )
    fresh = Case.objects.get()

    logged_in(cast.farah).post(
        step_url(complete, "teeth"),
        posted(fresh, "teeth", tooth_13="stays", tooth_12="stays", **{"keep-teeth": "stored"}),
    )

    teeth = Case.objects.get().prescription.teeth
    assert (teeth["13"], teeth["12"]) == ("extract at surgery", "lost")


def test_an_opposing_chart_of_an_arch_that_was_changed_meanwhile_is_refused(cast, complete):
    started = posted(complete, "opposing")
    logged_in(cast.dora).post(step_url(complete, "teeth"), posted(complete, "teeth", arch="lower"))

    answer = logged_in(cast.farah).post(step_url(complete, "opposing"), started)

    assert answer.status_code == 422
    assert "so mark the upper arch here" in text_of(answer)
    assert Case.objects.get().prescription.opposing == {}


def test_the_step_offers_the_shades_that_the_office_lists(cast):
    Organisation.objects.filter(pk=cast.office.pk).update(shade_systems="Green box: 1, 2")
    case = cast.walk().case

    page = logged_in(cast.dora).get(step_url(case, "materials")).content.decode()

    assert re.search(r'name="shade_system"[^>]* list="shade-systems"', page)
    assert '<datalist id="shade-systems"><option value="Green box"></option></datalist>' in page
    assert '<option value="2">Green box</option>' in page


def test_without_a_list_of_the_office_the_step_offers_no_shades(cast):
    page = logged_in(cast.dora).get(step_url(cast.walk().case, "materials")).content.decode()

    assert "datalist" not in page
