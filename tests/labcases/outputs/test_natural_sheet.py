"""Mark-up of natural teeth: drawn and in words, with boxes for the dentist and no depth."""

from __future__ import annotations

import re

import pytest

from labcases.domain import passes
from labcases.domain.passes import Marked
from labcases.enums import Movement, Stage
from labcases.enums.opponent import HeightReading
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.outputs import natural_sheet
from tests import needs
from tests.labcases.domain.test_proposal_answer import answered, propose
from tests.labcases.outputs.printed import render, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk(cast):
    walk = cast.walk(patient_name="Ada Quill")
    walk.to(
        Stage.ACCEPTED,
        over_eruption_mm={"37": "1.6"},
        over_eruption_by=HeightReading.PLATE,
    )
    passes.log_pass(
        case=walk.reload(),
        by=walk.hands.technician,
        movement=Movement.LEFT,
        marks=[Marked("46")],
        as_wanted=False,
    )
    return walk


def test_each_tooth_is_drawn_with_its_height_or_the_line_of_its_finding(cast, walk):
    context = natural_sheet.build_context(walk.reload(), by=cast.tomas, notation="ISO 3950")

    [arch] = context["arches"]
    assert arch.drawing.arch == "lower"
    assert [(one.text.replace("\xa0", " ")) for one in arch.labels] == ["(1)", "1.6 mm"]
    shapes = {shape.tooth: shape for shape in arch.drawing.shapes}
    right, left = arch.labels
    assert (right.y, left.y) == (shapes["46"].state_y, shapes["37"].state_y)
    assert (right.x, right.anchor) == (pytest.approx(shapes["46"].state_x + 2), "start")
    assert (left.x, left.anchor) == (pytest.approx(shapes["37"].state_x - 2), "end")
    assert "natural tooth" in shapes["37"].words


@needs.pango
def test_the_sheet_says_what_was_found_and_asks_and_never_how_deep(cast, walk):
    answered(walk, propose(walk, ProposalKind.NATURAL), ProposalState.NO, text="she is used to it")

    text = text_of(render("natural-teeth", walk.reload(), cast.tomas))

    assert "Mark-up of natural teeth" in text
    assert re.search(r"R01-NT", text)
    assert "P-100" in text
    assert "Quill" not in text
    assert "37 stands 1.6 mm above the plane." in text
    assert "It marks in left lateral" in text
    assert "It stays as it is. she is used to it" in text
    assert "☐ I see to it" in text
    assert "The dentist decides what becomes of a natural tooth." in text
    assert "natural teeth and bone are never changed" in text
    assert "grind" not in text.replace("no place to grind", "")


@needs.pango
def test_where_nothing_was_found_the_sheet_says_so(cast):
    walk = cast.walk()
    walk.to(Stage.ACCEPTED)
    assert "Nothing was found at a natural tooth of this case." in text_of(
        render("natural-teeth", walk.reload(), cast.tomas)
    )
