"""What can be proposed, what cannot, and that a natural tooth never gets a depth."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases import notation
from labcases.domain import proposal_reading as reading
from labcases.domain import proposing, queries, stages, teeth
from labcases.domain.proposing import NotProposable
from labcases.enums import OpposingTooth, Side, Stage
from labcases.enums.proposals import ProposalKind
from labcases.models import Case
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
K = ProposalKind


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.SET_UP)
    return walk


def propose(walk, kind, **said):
    return proposing.raise_proposal(
        case=walk.reload(), kind=kind, why="so that it fits", by=walk.hands.technician, **said
    )


@pytest.mark.parametrize(
    ("kind", "said", "words"),
    [
        (K.SETTING, {"field": "table_on"}, "Choose the setting that is to change."),
        (
            K.SETTING,
            {"field": "bennett_left_deg", "number": D("41")},
            "The left Bennett angle is 41 deg. Enter 0 to 40 deg.",
        ),
        (
            K.SETTING,
            {"field": "side_shift_right_mm", "number": None},
            "The right immediate side shift is empty. Enter 0 to 4 mm.",
        ),
        (
            K.SETTING,
            {"field": "incisal_table_deg", "number": D("20")},
            "The incisal table is 20 deg already. Enter what it is to become.",
        ),
        (
            K.REDUCTION,
            {"tooth": "15", "number": D("0.3")},
            "0.3 mm at 15 is within its height budget (0.3 mm left), so it needs no proposal.",
        ),
        (
            K.REDUCTION,
            {"tooth": "15", "number": D("1.8")},
            "1.8 mm off 15 would grind it through: the shell over the fossa is 1.8 mm. Enter at "
            "most 1.79 mm, or set the tooth again.",
        ),
        (
            K.REDUCTION,
            {"tooth": "46", "number": D("0.5")},
            "46 is no posterior denture tooth of this case. A reduction is proposed for a denture "
            "tooth only; adjusting natural teeth is the dentist's decision.",
        ),
        (
            K.NATURAL,
            {"tooth": "15"},
            "15 is no natural tooth that stands once the denture is set. Choose the natural tooth "
            "at which something was found.",
        ),
        (
            K.VERTICAL,
            {"number": D("0")},
            "The new agreed pin value is 0 mm, and 0 mm is agreed. Enter another value from "
            "−2 mm to 10 mm.",
        ),
        (
            K.ARRANGEMENT,
            {"tooth": "31"},
            "31 is no denture tooth of this case. Choose the tooth that is set otherwise than the "
            "natural one.",
        ),
    ],
)
def test_what_cannot_be_proposed_says_why_and_what_to_do(walk, kind, said, words):
    with pytest.raises(NotProposable) as told:
        propose(walk, kind, **said)

    assert str(told.value).replace("\xa0", " ") == words
    assert not walk.case.proposals.exists()


def test_nothing_is_proposed_after_processing_began_or_beside_an_unsigned_prescription(walk):
    Case.objects.filter(pk=walk.case.pk).update(stage=Stage.PROCESSING)
    with pytest.raises(NotProposable, match=r"that is too late\. Ask a question instead\."):
        propose(walk, K.VERTICAL, number=D("2"))
    walk.case.prescriptions.update(status="draft")
    with pytest.raises(NotProposable, match=r"The prescription is not signed yet"):
        propose(walk, K.VERTICAL, number=D("2"))


def test_proposals_are_numbered_in_their_case_and_say_what_they_are(walk):
    rows = [
        propose(walk, K.SETTING, field="condylar_right_deg", number=D("35"), basis="marks"),
        propose(walk, K.REDUCTION, tooth="15", number=D("0.5")),
        propose(walk, K.NATURAL, tooth="46"),
        propose(walk, K.VERTICAL, number=D("2")),
        propose(walk, K.VERTICAL, number=D("-1")),
        propose(walk, K.ARRANGEMENT, tooth="11"),
    ]

    assert [(row.number, reading.words(row).replace("\xa0", " ")) for row in rows] == [
        (1, "Right condylar inclination 30 deg → 35 deg"),
        (2, "Reduce denture tooth 15 (Universal 4) by 0.5 mm, beyond its height budget"),
        (3, "Natural tooth 46 (Universal 30): the dentist decides"),
        (
            4,
            "The dentist raises the vertical by 2 mm (agreed pin value 0 mm → 2 mm), then new "
            "record and try-in",
        ),
        (
            5,
            "The dentist lowers the vertical by 1 mm (agreed pin value 0 mm → −1 mm), then new "
            "record and try-in",
        ),
        (6, "Another arrangement than the natural one at 11 (Universal 8)"),
    ]


def test_a_case_waits_for_the_office_until_each_is_answered_or_withdrawn(walk):
    row = propose(walk, K.NATURAL, tooth="46")
    propose(walk, K.NATURAL, tooth="47", blocking=False)

    line = queries.line(walk.reload())
    assert (line.waits_for, line.proposals, line.glyph) == (Side.OFFICE, 2, "waiting")
    assert [one.what for one in line.waiting] == ["a proposal is open"]
    assert [
        one.text for one in stages.missing(walk.case, Stage.TRY_IN) if one.part == "proposals"
    ] == [
        "The case waits for the office: proposal 1 to the dentist is open (Natural tooth 46 "
        "(Universal 30): the dentist decides)."
    ]

    proposing.withdraw(proposal=row, reason="seen on the cast", by=walk.hands.technician)

    assert stages.waiting_for(walk.reload()) is None
    assert queries.line(walk.case).proposals == 1
    with pytest.raises(ValueError, match="Give the reason"):
        proposing.withdraw(proposal=row, reason=" ", by=walk.hands.technician)


def test_no_natural_tooth_gets_a_number_whatever_is_asked(walk):
    """Every tooth of both arches, with a depth, in every kind: only denture teeth hold one."""
    row = walk.reload().prescription
    kept = row.teeth | {"14": "stays", "13": "stays"}
    row.teeth = kept
    row.save()
    every = (*notation.UPPER, *notation.LOWER)
    natural = {t for t in every if teeth.kind(row, t) == OpposingTooth.NATURAL}
    assert {"13", "14", "46", "33"} <= natural
    for tooth in every:
        for kind in (K.REDUCTION, K.NATURAL, K.ARRANGEMENT):
            try:
                propose(walk, kind, tooth=tooth, number=D("0.5"), field="condylar_right_deg")
            except NotProposable:
                continue
    found = list(walk.case.proposals.all())

    assert {one.tooth for one in found if one.kind == K.NATURAL} == natural
    assert {one.tooth for one in found if one.kind == K.REDUCTION} == {
        *("15", "16", "17", "24", "25", "26", "27")
    }
    assert not natural & {one.tooth for one in found if one.proposed_mm is not None}
    assert not natural & {one.tooth for one in found if one.kind == K.ARRANGEMENT}
