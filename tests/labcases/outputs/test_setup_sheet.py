"""Height budget and set-up on paper: sites, last passes beside the prediction, ledger and log."""

from decimal import Decimal

import pytest
from django.template.loader import render_to_string
from django.utils.html import strip_tags

from labcases.domain import bench, checks, passes
from labcases.domain.passes import Marked
from labcases.enums import CheckKind, Movement, SetUpAct, Stage
from labcases.outputs.papers import PAPERS
from tests import needs
from tests.labcases import compared
from tests.labcases.outputs.printed import render, text_of

pytestmark = pytest.mark.django_db

PAPER = PAPERS["set-up"]


@pytest.fixture
def walk(cast):
    walk = cast.walk(patient_name="Ada Quill")
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    return walk


def sheet(walk, notation="ISO 3950"):
    """The words of the sheet, in the order in which they are written."""
    context = PAPER.context(walk.reload(), by=walk.hands.technician, notation=notation)
    html = render_to_string(PAPER.template, context)
    return " ".join(strip_tags(html.replace("<", " <")).split()).replace("\u2011", "-")


def test_each_site_has_what_it_was_given_what_was_found_and_what_was_taken(cast):
    walk = cast.walk()
    walk.to(Stage.SET_UP)
    bench.save_site(
        case=walk.reload(),
        tooth="17",
        version=walk.case.sites.get(tooth="17").version,
        by=walk.hands.technician,
        values={"space_mm": Decimal("6")},
    )
    checks.compute(case=walk.reload(), kind=CheckKind.HEIGHT, by=walk.hands.technician)
    walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm=Decimal("0.2"))

    text = sheet(walk)

    # 9 mm of space less 2 mm of base leaves 7 of the 8 mm tooth: 1 mm hollow, 1.8 of 2.8 mm left.
    assert "16 natural fits 9 2 0 8 1 1.8 0.3 0.2 " in text
    assert "17 natural short by " in text
    assert "Ways out at 17, for the dentist to decide: " in text
    assert "STALE" not in text
    bench.save_site(
        case=walk.reload(),
        tooth="16",
        version=walk.case.sites.get(tooth="16").version,
        by=walk.hands.technician,
        values={"space_mm": Decimal("8.5")},
    )
    assert "STALE: since the height budget was computed " in sheet(walk)


def test_before_anything_is_known_the_sheet_says_so(cast):
    walk = cast.walk()
    walk.to(Stage.DRAFT)
    text = sheet(walk)
    assert "Height budget, site by site, in mm Not computed." in text
    assert "Centric No pass yet" in text
    assert "The marks were not held against the prediction." in text
    assert "Set-up log, the oldest line first Nothing is logged." in text


def test_the_last_pass_of_each_movement_stands_beside_the_prediction(walk):
    walk.foil(Movement.CENTRIC, "16", as_wanted=True)
    walk.foil(Movement.RIGHT, "26", as_wanted=False)
    passes.log_pass(
        case=walk.reload(),
        by=walk.hands.technician,
        movement=Movement.RIGHT,
        marks=[Marked("17"), Marked("16", "heavy", "buccal")],
    )
    compared.keep(walk.reload(), walk.hands.technician)

    text = sheet(walk)

    assert "Centric , pass 1 As wanted Tomas Abelard, " in text
    assert "16 not compared Right lateral , pass 2 Not said yet Tomas Abelard, " in text
    # Marked; predicted and seen; predicted, not seen; seen, not predicted; contact seen.
    assert "17, 16 heavy (buccal) 16 25 lifted by a deeper one: 25 17 14 Left lateral" in text
    assert "Left lateral No pass yet Protrusive No pass yet" in text
    assert "Compared by Tomas Abelard, " in text
    assert "STALE" not in text
    assert "3 25 lifted" not in text
    assert "2, 3 heavy (buccal) 3 13 lifted by a deeper one: 13 2 5 Left" in sheet(
        walk, notation="Universal"
    )
    walk.foil(Movement.RIGHT, "16", as_wanted=True)
    assert "STALE: since the marks were compared " in sheet(walk)


@needs.pango
def test_ledger_and_log_are_printed_and_a_struck_line_keeps_its_words(cast, walk):
    walk.log(SetUpAct.PIN_OPENED, before_mm=Decimal("0"), after_mm=Decimal("1"))
    walk.log(SetUpAct.NOTE, note="wax chilled")
    walk.log(SetUpAct.HOLLOW_GROUND, teeth=["16"], after_mm=Decimal("0.5"))
    wrong = walk.case.setup_entries.last()
    walk.log(SetUpAct.PIN_READING, after_mm=Decimal("0.4"))
    bench.strike(entry=wrong, reason="it was 17", by=cast.mona)

    text = text_of(render("set-up", walk.reload(), cast.tomas))

    assert f"{walk.case.code}-R01-SU" in text
    assert "Ada Quill" not in text
    assert "Pin zero at mounting 0 mm, last reading 0.4 mm, agreed 0 mm" in text
    assert "0.4 mm +0.4 mm \N{MINUS SIGN}0.6 mm" in text
    log = text[text.index("Set-up log, the oldest line first") :]
    assert log.index("from 0 mm to 1 mm") < log.index("wax chilled") < log.index("0.5 mm deep")
    assert "Struck out by Mona Ridley, " in log
    assert ": it was 17" in log
    assert "natural teeth and bone are never changed on this sheet's word" in text
