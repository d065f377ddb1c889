"""What every paper carries: its code, the reasons of passed gates, the DEMO mark."""

import pytest

from labcases.domain import prescription, stages
from labcases.enums import Stage
from labcases.outputs import paper as paper_parts
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_a_passed_gate_stands_on_later_papers(cast):
    walk = cast.walk()
    case = walk.to(Stage.SETTINGS)
    walk.enter_settings()
    stages.move(case=walk.reload(), to=Stage.SET_UP, by=cast.mona, reason="teeth arrive on Friday")

    text = text_of(render("lab-slip", walk.reload(), cast.tomas))

    assert "Mona Ridley: Settings to Set-up. teeth arrive on Friday" in text
    assert case.code in text


def test_code_follows_the_revision_in_force(cast):
    walk = cast.walk()
    walk.to(Stage.SENT)
    row = prescription.revise(case=walk.reload(), by=cast.dora)
    prescription.save(row=row, version=row.version, by=cast.dora, values={"shade": "A1"})
    walk.sign()

    text = text_of(render("lab-slip", walk.reload(), cast.dora))

    assert f"{walk.case.code}-R02-LS" in text
    assert "A1 (office tabs, set of 16)" in text


@pytest.mark.parametrize("demo", [True, False])
def test_demo_papers_say_so(cast, settings, demo):
    settings.DEMO = demo
    case = cast.case_at(Stage.DRAFT)

    text = text_of(render("lab-slip", case, cast.dora))

    assert ("DEMO - invented people" in text) is demo


def test_qr_code_is_version_2_with_its_quiet_zone():
    # A code of 19 capitals and digits at level Q needs version 2: 25 modules and 4 around.
    assert 'viewBox="0 0 33 33"' in paper_parts.qr_svg("7Q2K9A3BC4DH-R03-LS")
