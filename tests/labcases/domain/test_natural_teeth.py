"""Natural teeth as places of findings: what was seen, never how deep."""

from __future__ import annotations

from dataclasses import fields
from decimal import Decimal

import pytest

from labcases.domain import natural_teeth, passes, proposing
from labcases.domain.natural_teeth import NaturalFinding
from labcases.domain.passes import Marked
from labcases.enums import Movement, Stage
from labcases.enums.opponent import HeightReading
from labcases.enums.proposals import ProposalKind, ProposalState
from tests.factories import world
from tests.labcases.domain.test_proposal_answer import answered, propose

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def walk():
    return world().walk()


def told(walk):
    return [
        (one.tooth, one.text.replace("\xa0", " "), one.origin, one.other)
        for one in natural_teeth.findings(walk.reload())
    ]


def test_a_tooth_beyond_the_plane_is_found_with_its_height(walk):
    walk.to(Stage.ACCEPTED, over_eruption_mm={"47": "1.6"}, over_eruption_by=HeightReading.PLATE)

    [one] = natural_teeth.findings(walk.reload())

    assert one.text == "47 stands 1.6 mm above the plane."
    assert one.stands_mm == D("1.6")
    assert one.origin.startswith("prescription R01, ")


def test_a_tooth_that_the_check_has_in_the_way_is_found_without_the_overlap(walk):
    walk.sites = {"46": {"tip_height_mm": D("1.2"), "cusp_angle_deg": D("28")}}
    walk.settings |= {"condylar_right_deg": D("20"), "wing_right_deg": D("5")}
    walk.to(Stage.SET_UP)

    found = [one for one in natural_teeth.findings(walk.reload()) if one.tooth == "46"]

    assert found
    for one in found:
        assert one.text.startswith("In ")
        assert f"denture tooth {one.other} meets it at " in one.text
        assert one.text.endswith(" of travel, as modelled.")
        assert (one.origin, one.stands_mm) == ("clearance check", None)


def test_marks_on_natural_teeth_and_what_was_proposed_are_found_too(walk):
    walk.to(Stage.ACCEPTED)
    passes.log_pass(
        case=walk.reload(),
        by=walk.hands.technician,
        movement=Movement.LEFT,
        marks=[Marked("15"), Marked("46")],
        as_wanted=False,
    )
    gone = propose(walk, ProposalKind.NATURAL)
    proposing.withdraw(proposal=gone, reason="twice", by=walk.hands.technician)
    propose(walk, ProposalKind.NATURAL, tooth="36")

    assert told(walk) == [
        (
            "46",
            "It marks in left lateral, and the pass was not as the scheme wants.",
            "articulating foil, last pass",
            "",
        ),
        ("36", "so that it fits", "proposal 2", ""),
    ]


def test_the_dentist_s_word_stands_beside_the_tooth(walk):
    walk.to(Stage.ACCEPTED)
    assert natural_teeth.word(walk.reload(), "46").text == ""
    row = propose(walk, ProposalKind.NATURAL)
    assert natural_teeth.word(walk.reload(), "46").text == "asked, not answered yet"
    answered(walk, row, ProposalState.NO, text="it stays")
    assert natural_teeth.word(walk.reload(), "46").text == "It stays as it is. it stays"


def test_a_finding_has_no_place_for_a_depth():
    assert [one.name for one in fields(NaturalFinding)] == [
        *("tooth", "text", "origin", "stands_mm", "other")
    ]
