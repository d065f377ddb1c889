"""Kept findings as screen and paper show them."""

from decimal import Decimal

import pytest

from labcases.domain import checks
from labcases.enums import Stage
from labcases.models import Prescription
from labcases.outputs import check_view
from labcases.outputs.arch import Mark
from tests.factories import world
from tests.labcases import kept

pytestmark = pytest.mark.django_db


@pytest.fixture
def shown():
    """Gives a function: findings in, context out, on a case that is prescribed."""
    here = world()
    case = here.case_at(Stage.DRAFT)

    def build(told=None, notation="ISO 3950"):
        run = kept.keep(case, here.tomas, told)
        return check_view.build_context(checks.Shown(run, []), notation)

    return build


def only_row(context):
    (excursion,) = context["excursions"]
    (row,) = excursion.rows
    return row


def one(**more):
    return kept.findings(kept.excursion("right", kept.tooth("16", **more)))


@pytest.mark.parametrize(
    ("gap", "text"),
    [(-0.37, "-0.35"), (-0.38, "-0.40"), (0.02, "0.00"), (0.03, "0.05"), (0.83, "0.85")],
)
def test_a_gap_is_told_to_a_twentieth_of_a_millimetre(shown, gap, text):
    assert only_row(shown(one(gap_mm=gap))).gap_mm == Decimal(text)


@pytest.mark.parametrize(("sd", "text"), [(0.01, "0.05"), (0.12, "0.15"), (0.15, "0.15")])
def test_a_spread_is_rounded_up_so_that_nothing_looks_surer_than_it_is(shown, sd, text):
    assert only_row(shown(one(sd_mm=sd))).spread_mm == Decimal(text)


def test_a_check_without_spread_shows_none(shown):
    row = only_row(shown(one(sd_mm=None, p_interference=None)))
    assert row.spread_mm is None
    assert row.chance_percent is None


def test_what_the_scheme_does_not_want_is_named_by_tooth(shown):
    told = kept.findings(
        kept.excursion(
            "protrusive",
            kept.tooth("16", **kept.INTERFERENCE),
            kept.tooth("26"),
            kept.tooth("27", **kept.APART),
        )
    )
    assert shown(told)["excursions"][0].summary == (
        "Not as wanted: 16. The scheme is silent about 27."
    )


def test_a_scheme_that_is_silent_about_all_says_so(shown):
    told = kept.findings(kept.excursion("left", kept.tooth("26", **kept.APART)))
    assert shown(told)["excursions"][0].summary == (
        "The scheme says nothing about these teeth here."
    )


def test_all_as_wanted_is_not_called_clear(shown):
    first = shown()["excursions"][0]
    assert first.summary == "All as the scheme wants."
    assert first.wants == "contact"


def test_each_side_has_its_wish(shown):
    told = kept.findings(kept.excursion("left", kept.tooth("26")), scheme="canine")
    assert shown(told)["excursions"][0].wants == (
        "no contact on the working side; no contact on the balancing side"
    )


def test_teeth_are_shown_in_the_readers_notation_with_the_other_beside(shown):
    row = only_row(shown(one(), notation="Universal"))
    assert (row.label, row.other) == ("3", "ISO 16")
    assert only_row(shown(one())).other == "Universal 3"


def test_a_lifted_pin_says_how_much_and_where(shown):
    told = kept.findings(
        kept.excursion("protrusive", kept.tooth("16"), pin_lift_mm=0.42, pin_lift_at_mm=2.4)
    )
    assert shown(told)["excursions"][0].pin == (
        "The front teeth are steeper than the table and lift the pin by up to 0.40 mm, most at "
        "2.4 mm of travel. Rows marked conditional hold only as long as these front teeth guide."
    )


def test_a_pin_that_does_not_lift_is_said_to_stay(shown):
    assert shown()["excursions"][0].pin == "The pin stays on the table all the way."


def test_the_arch_says_the_same_as_the_table(shown):
    told = kept.findings(
        kept.excursion("right", kept.tooth("16", **kept.INTERFERENCE)),
        left_out=[{"tooth": "27", "text": "No opposing tooth."}],
    )
    by_tooth = {shape.tooth: shape for shape in shown(told)["excursions"][0].drawing.shapes}
    assert by_tooth["16"].state == "interference"
    assert by_tooth["16"].words.endswith(
        "denture tooth, interference, not as wanted, 0.35 mm of overlap at 3.00 mm of travel"
    )
    assert by_tooth["27"].state == "not asked"
    assert by_tooth["11"].mark == Mark.DENTURE
    assert by_tooth["11"].state == ""
    assert by_tooth["18"].mark == Mark.LOST


def test_the_overview_has_a_row_a_tooth_in_mouth_order_and_a_cell_an_excursion(shown):
    told = kept.findings(
        kept.excursion("protrusive", kept.tooth("26"), kept.tooth("16")),
        kept.excursion("right", kept.tooth("16", **kept.INTERFERENCE)),
    )
    overview = shown(told)["overview"]
    assert [row.tooth for row in overview] == ["16", "26"]
    assert overview[0].cells[1].wrong
    assert overview[1].cells[1] is None


def test_the_curve_runs_from_left_to_right_and_stays_in_its_window(shown):
    row = only_row(shown(one(series=[[0.0, 0.0], [1.5, 2.0], [3.0, -5.0]])))
    assert row.curve == "0,30 50,0 100,45"


def test_a_kept_run_says_who_computed_it_with_what(shown):
    context = shown()
    assert str(context["computed_by"]) == "Tomas Abelard"
    assert context["engine_version"]
    assert context["band"] == "0.10 mm"
    assert context["scheme"] == "Balanced"
    assert not context["stale"]
    assert context["proposal"] == (
        "Proposal from a rigid model; the prescribing dentist decides; natural teeth and bone are "
        "never changed on this sheet's word. That no contact is predicted does not mean that there "
        "is none."
    )


def test_an_excursion_without_a_tooth_to_ask_says_so(shown):
    context = shown(kept.findings(kept.excursion("right")))
    assert context["excursions"][0].summary == "No posterior tooth could be asked."


def test_an_excursion_without_travel_has_no_curve(shown):
    told = kept.findings(kept.excursion("right", kept.tooth("16"), travel_mm=0.0))
    assert only_row(shown(told)).curve == ""


def test_a_check_of_the_other_arch_does_not_borrow_marks_from_the_prescription():
    context = check_view.present(
        findings=kept.findings(kept.excursion("right", kept.tooth("46"))),
        inputs={"arch": "lower"},
        prescription=Prescription(arch="upper"),
        notation="ISO 3950",
    )
    marks = {shape.tooth: shape.mark for shape in context["excursions"][0].drawing.shapes}
    assert marks["46"] == Mark.DENTURE
    assert marks["41"] == Mark.NOT_SAID


# --- what stands in the way ----------------------------------------------------------------------


def in_the_way(shown, notation="ISO 3950", **more):
    told = kept.findings(reduction=[kept.reduction("16", **more)])
    (row,) = shown(told, notation)["in_the_way"]
    return row


def test_what_stands_in_the_way_names_tooth_place_incline_and_excursion(shown):
    row = in_the_way(shown)

    assert (row.tooth, row.label, row.place, row.object) == ("16", "16", "47", "16")
    assert row.where == "inner distal incline of the lingual cusp"
    assert row.title == "Right lateral"


def test_teeth_in_the_way_are_in_the_readers_notation(shown):
    row = in_the_way(shown, "Universal")

    assert (row.tooth, row.label, row.place, row.object) == ("16", "3", "31", "3")


@pytest.mark.parametrize(
    ("depth", "text", "shallow", "deep"),
    [
        (0.05, "0.05", True, False),
        (0.29, "0.30", True, False),
        (0.3, "0.30", False, False),
        (0.42, "0.40", False, False),
        (0.5, "0.50", False, False),
        (0.51, "0.50", False, True),
        (0.83, "0.85", False, True),
    ],
)
def test_a_depth_is_marked_ground_or_a_reason_to_set_the_tooth_again(
    shown, depth, text, shallow, deep
):
    row = in_the_way(shown, vertical_mm=depth)

    assert row.vertical_mm == Decimal(text)
    assert (row.shallow, row.deep) == (shallow, deep)


def test_depths_under_what_is_shown_are_left_out(shown):
    told = kept.findings(
        reduction=[kept.reduction("16", vertical_mm=0.049), kept.reduction("17", vertical_mm=0.06)]
    )

    assert [row.tooth for row in shown(told)["in_the_way"]] == ["17"]


def test_what_is_not_told_of_a_row_in_the_way_stays_empty(shown):
    row = in_the_way(shown, place=None, incline=None, object=None)

    assert (row.place, row.where, row.object) == ("", "", "")


def test_findings_from_before_surfaces_have_nothing_in_the_way(shown):
    told = kept.findings()
    told.pop("reduction", None)

    assert shown(told)["in_the_way"] == []
