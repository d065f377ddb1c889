"""Kept findings as screen and paper show them."""

from decimal import Decimal

import pytest

from labcases.domain import checks
from labcases.enums import CheckKind, Stage
from labcases.models import CheckRun, Prescription
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
    assert shown()["excursions"][0].summary == "All as the scheme wants."


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
        "never changed on this sheet's word. None predicted is not none."
    )


def test_the_height_budget_is_counted_and_short_sites_are_named():
    here = world()
    case = here.case_at(Stage.DRAFT)
    rows = [
        {"tooth": "16", "verdict": "fits", "short_by_mm": None},
        {"tooth": "17", "verdict": "short", "short_by_mm": 0.4},
        {"tooth": "26", "verdict": "fits", "short_by_mm": None},
    ]
    run = CheckRun(
        case=case,
        kind=CheckKind.HEIGHT,
        findings={"rows": rows},
        by=here.tomas,
        engine_version="0.1.0",
    )
    view = check_view.height_view(checks.Shown(run, ["space 16: 9 → 8"]), "ISO 3950")
    assert view.counts == "2 fits, 1 short"
    assert view.short == ["17 is short by 0.40 mm."]
    assert view.stale


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
