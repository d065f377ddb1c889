"""Proposals beside the marks of the set-up log, from what is kept and what is logged."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from labcases.domain import bench, checks, reductions
from labcases.domain.calculations import MarkAdvice, SeenMark, inputs
from labcases.enums import CheckKind, Movement, SetUpAct, Stage, ToothMaterial
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.management.walk import Walk
from labcases.models import Case, CheckRun, Mark
from labcases.outputs import marks_view
from labcases.outputs.marks_view import MarkRow
from tests.factories import world
from tests.labcases import kept
from tests.labcases.domain.test_proposal_answer import answered, propose

pytestmark = pytest.mark.django_db

D = Decimal
CENTRIC, RIGHT, LEFT, PROTRUSIVE = (
    Movement.CENTRIC,
    Movement.RIGHT,
    Movement.LEFT,
    Movement.PROTRUSIVE,
)


@pytest.fixture
def walk() -> Walk:
    """A case on the bench; 16 goes 0.42 mm into 46 in the right excursion, 26 nowhere."""
    walk = world().walk()
    walk.to(Stage.DRAFT)
    walk.enter_settings()
    walk.choose_teeth()
    walk.measure()
    checks.compute(case=walk.reload(), kind=CheckKind.HEIGHT, by=walk.hands.technician)
    kept.keep(walk.reload(), walk.hands.technician, findings(0.42))
    return walk


def findings(depth_mm: float) -> dict[str, Any]:
    deep = kept.tooth("16", place="46", series=[[0.0, 0.0], [2.0, -depth_mm], [3.0, 0.2]])
    return kept.findings(
        kept.excursion("protrusive", kept.tooth("16"), kept.tooth("26")),
        kept.excursion("right", deep, kept.tooth("26", role="balancing")),
        kept.excursion("left", kept.tooth("16", role="balancing"), kept.tooth("26")),
    )


def foil(walk: Walk, movement: Movement, *teeth: str, as_wanted: bool = False) -> None:
    walk.foil(movement, *teeth, as_wanted=as_wanted)


def context(walk: Walk, notation: str = "ISO 3950") -> dict[str, Any]:
    return marks_view.build_context(walk.reload(), notation)


def rows(walk: Walk, notation: str = "ISO 3950") -> list[MarkRow]:
    return context(walk, notation)["mark_rows"]


def test_without_a_pass_there_is_nothing_to_say(walk):
    assert context(walk)["mark_rows"] == []
    assert not context(walk)["marks_seen"]


def test_a_pass_that_was_as_wanted_asks_for_no_proposal(walk):
    foil(walk, RIGHT, "16", as_wanted=True)

    assert not context(walk)["marks_seen"]


def test_only_the_last_pass_of_a_movement_counts(walk):
    foil(walk, RIGHT, "16", "17")
    foil(walk, RIGHT, "17")
    foil(walk, LEFT, "26")
    foil(walk, LEFT, "26", as_wanted=True)

    assert [(row.movement, row.tooth) for row in rows(walk)] == [("Right lateral", "17")]


def test_a_pass_that_was_struck_out_does_not_count(walk):
    foil(walk, RIGHT, "16")
    bench.strike(entry=walk.case.setup_entries.get(), reason="wrong foil", by=walk.hands.technician)

    assert not context(walk)["marks_seen"]


def test_a_mark_shows_the_kept_depth_and_what_the_site_has_to_give(walk):
    """9 mm of space less 2 mm of base leave 7 of the 8 mm tooth: 1 mm hollow. Of a shell of
    2.8 mm 1.8 mm are left, and 1.5 mm must stay: 0.3 mm may come off, and 0.42 mm are asked."""
    foil(walk, RIGHT, "16")

    (row,) = rows(walk)

    assert (row.tooth, row.opposing, row.movement) == ("16", "46", "Right lateral")
    assert (row.word, row.glyph) == ("Re-set, do not grind", "warning")
    assert (row.depth_mm, row.predicted_mm, row.left_mm) == (None, D("0.40"), D("0.30"))
    assert "short by 0.12 mm" in row.text


def test_a_depth_within_the_budget_is_proposed(walk):
    kept.keep(walk.reload(), walk.hands.technician, findings(0.3))
    foil(walk, RIGHT, "16")

    (row,) = rows(walk)

    assert (row.word, row.glyph, row.depth_mm) == ("Reduce", "on the bench", D("0.30"))


def test_what_was_logged_as_taken_counts_and_what_was_struck_does_not(walk):
    foil(walk, RIGHT, "16")
    walk.log(SetUpAct.REDUCTION, teeth=["16", "17"], after_mm=D("0.1"))
    walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm=D("0.15"))
    assert rows(walk)[0].left_mm == D("0.05")

    entry = walk.case.setup_entries.filter(act=SetUpAct.REDUCTION).last()
    bench.strike(entry=entry, reason="never done", by=walk.hands.technician)

    assert rows(walk)[0].left_mm == D("0.20")
    assert reductions.taken_mm(walk.reload()) == {"16": 0.1, "17": 0.1}


def test_an_overdrawn_budget_says_how_much_over(walk):
    foil(walk, RIGHT, "16")
    assert rows(walk)[0].over == ""

    walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm=D("0.4"))

    (row,) = rows(walk)
    assert (row.over, row.left_mm) == ("0.10\N{NO-BREAK SPACE}mm over", D("-0.10"))


def test_a_shallow_depth_is_not_sent_back_to_the_foil_that_marked_it(walk):
    kept.keep(walk.reload(), walk.hands.technician, findings(0.2))
    foil(walk, RIGHT, "16")

    (row,) = rows(walk)

    assert (row.word, row.glyph, row.predicted_mm) == ("Go by the foil", "on the bench", D("0.20"))
    assert "less than callipers can tell (0.3 mm)" in row.text
    assert "Mark with foil first" not in row.text


def test_where_no_depth_is_predicted_the_foil_decides(walk):
    foil(walk, LEFT, "26")

    (row,) = rows(walk)

    assert (row.word, row.glyph, row.depth_mm) == ("Go by the foil", "on the bench", None)
    assert row.predicted_mm == 0
    assert "the check predicts no depth here" in row.text
    assert row.keep.startswith("Keep ")


def test_porcelain_is_cautioned(walk):
    bench.save_selection(
        case=walk.case,
        version=walk.case.selection.version,
        by=walk.hands.technician,
        values={"material": ToothMaterial.PORCELAIN},
    )
    foil(walk, LEFT, "26")

    (row,) = rows(walk)

    assert row.cautions[0].startswith("26 is porcelain: grinding takes its glaze")


def test_natural_teeth_on_both_sides_are_the_dentists(walk):
    prescription = walk.case.prescription
    prescription.teeth = prescription.teeth | {"16": "stays"}
    prescription.save()
    foil(walk, RIGHT, "16", "46")

    (row,) = rows(walk)

    assert (row.word, row.glyph) == ("The dentist decides", "warning")
    assert row.left_mm is None


def test_without_any_check_neither_depth_nor_budget_is_known(walk):
    CheckRun.objects.all().delete()
    foil(walk, RIGHT, "16")

    told = context(walk)
    (row,) = told["mark_rows"]

    assert told["marks_rest_on"] == {"clearance": None, "height": None}
    assert (row.word, row.predicted_mm, row.left_mm) == ("Go by the foil", None, None)


def test_a_check_that_is_stale_is_handed_on_as_stale(walk):
    walk.settings["condylar_right_deg"] = D("35")
    walk.enter_settings()
    foil(walk, RIGHT, "16")

    rest_on = context(walk)["marks_rest_on"]

    assert rest_on["clearance"].stale
    assert not rest_on["height"].stale


# --- the reader's numbers ------------------------------------------------------------------------


def test_teeth_are_named_in_the_readers_numbers_and_millimetres_stay(walk):
    foil(walk, RIGHT, "16")

    (row,) = rows(walk, "Universal")

    assert (row.tooth, row.opposing) == ("3", "30")
    assert row.text.startswith("3, ")
    assert "short by 0.12 mm" in row.text
    assert row.assumptions == ("Buccal cusps are taken to meet at 3: not told.",)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("16 meets 46.", "3 meets 30."),
        ("16, lingual incline: 0.16 mm of 1.46 mm.", "3, lingual incline: 0.16 mm of 1.46 mm."),
        ("short by 16.00 mm at 46", "short by 16.00 mm at 30"),
        ("since 1646, at (16).", "since 1646, at (3)."),
        ("17 is another tooth", "17 is another tooth"),
    ],
)
def test_only_numbers_that_are_teeth_of_the_mark_change(text, shown, monkeypatch):
    monkeypatch.setattr(marks_view.opponent, "keeps_off", lambda _case, _tooth: "")
    advice = MarkAdvice(
        mark=SeenMark(RIGHT, "16"),
        opposing="46",
        kind="reduce",
        yields="16",
        place="",
        keep="",
        depth_mm=0.16,
        predicted_mm=0.16,
        left_mm=0.46,
        text=text,
        source="",
        cautions=(text,),
        assumptions=(),
    )

    row = marks_view._row(advice, "Universal", Case(), {(RIGHT.value, "16"): Mark()}, {}, {})

    assert (row.text, row.cautions) == (shown, (shown,))


@pytest.mark.parametrize(("left", "shown"), [(0.299, "0.29"), (0.3, "0.30"), (0.1 + 0.2, "0.30")])
def test_what_is_left_is_never_rounded_up(left, shown):
    assert marks_view._down(left) == D(shown)


def test_every_kind_of_proposal_has_a_word():
    assert set(marks_view.WORDS) == {
        *("reduce", "re-set", "mark first", "no depth"),
        *("dentist decides", "no rule", "nothing left", "ask first"),
    }


def test_the_kept_inputs_are_those_of_the_case(walk):
    """The fixture's check is current: what follows is not an effect of a stale one."""
    run = checks.latest(walk.reload(), CheckKind.CLEARANCE)

    assert run.changed == []
    assert run.run.inputs == inputs.clearance(walk.reload())


def test_what_the_dentist_allowed_beyond_the_budget_is_counted_and_says_so(walk):
    walk.reload().prescriptions.update(status="signed")
    foil(walk, RIGHT, "16", "46")
    [row] = rows(walk)
    assert (row.word, row.beyond, row.allowed) == ("Re-set, do not grind", True, "")

    asked = propose(walk, ProposalKind.REDUCTION, tooth="16", number=D("0.5"))
    answered(walk, asked, ProposalState.YES)

    [row] = rows(walk)
    assert (row.word, row.beyond) == ("Reduce", False)
    assert (row.left_mm, row.allowed) == (D("0.5"), "allowed by the dentist, proposal 1")
