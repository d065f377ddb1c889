"""What each answer to each kind of proposal carries out, and what it refuses."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import transaction

from labcases.domain import checks, ledger, prescription, proposing, reductions, stages
from labcases.domain import proposal_reading as reading
from labcases.domain.calculations import inputs
from labcases.domain.proposal_answer import NotAnswerable, Signature, answer, digest
from labcases.domain.proposing import AnsweredMeanwhile
from labcases.enums import CheckKind, SetUpAct, Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.management.walk import Walk
from labcases.models import Case, Proposal
from labcases.views._sentences import sentence
from tests.factories import World, world

pytestmark = pytest.mark.django_db

D = Decimal
K, A = ProposalKind, ProposalState
SIGNED = Signature("Dora Winsley", "D-7781")

#: What is proposed of each kind, and the number of a change.
PROPOSED = {
    K.SETTING: ({"field": "condylar_right_deg", "number": D("35"), "basis": "marks"}, D("33.5")),
    K.REDUCTION: ({"tooth": "15", "number": D("0.5")}, D("0.4")),
    K.NATURAL: ({"tooth": "46"}, None),
    K.VERTICAL: ({"number": D("2")}, D("1.5")),
    K.ARRANGEMENT: ({"tooth": "11"}, None),
}


def propose(walk: Walk, kind: ProposalKind, **other: object) -> Proposal:
    said = {**PROPOSED[kind][0], **other}
    return proposing.raise_proposal(
        case=walk.reload(), kind=kind, why="so that it fits", by=walk.hands.technician, **said
    )


def answered(walk: Walk, row: Proposal, said: ProposalState, **other: object) -> Proposal:
    number = PROPOSED[K(row.kind)][1] if said == A.CHANGE else None
    given = {"number": number, "text": "as I say", "signature": SIGNED, **other}
    return answer(proposal=row, version=row.version, answer=said, by=walk.hands.dentist, **given)


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def walk(here: World) -> Walk:
    walk = here.walk()
    walk.to(Stage.SET_UP)
    return walk


# --- the table ---------------------------------------------------------------------------------

#: kind, answer -> stage, right path, allowed off 15, agreed pin value, what no longer counts.
#: Worked by hand at a final wax that is approved, with try-in, passes, parts and checks behind it.
SETTING_GONE = "checks passes parts try-in wax"
VERTICAL_GONE = "checks mounting passes parts pin try-in wax"
NOTHING = ("final wax", "30", "-", "0", "")
OUTCOMES = {
    (K.SETTING, A.YES): ("settings", "35", "-", "0", SETTING_GONE),
    (K.SETTING, A.NO): NOTHING,
    (K.SETTING, A.CHANGE): ("settings", "33.5", "-", "0", SETTING_GONE),
    (K.REDUCTION, A.YES): ("final wax", "30", "0.5", "0", ""),
    (K.REDUCTION, A.NO): NOTHING,
    (K.REDUCTION, A.CHANGE): ("final wax", "30", "0.4", "0", ""),
    (K.NATURAL, A.YES): NOTHING,
    (K.NATURAL, A.NO): NOTHING,
    (K.NATURAL, A.CHANGE): NOTHING,
    (K.VERTICAL, A.YES): ("jaw records", "30", "-", "2", VERTICAL_GONE),
    (K.VERTICAL, A.NO): NOTHING,
    (K.VERTICAL, A.CHANGE): ("jaw records", "30", "-", "1.5", VERTICAL_GONE),
    (K.ARRANGEMENT, A.YES): ("final wax", "30", "-", "0", "wax"),
    (K.ARRANGEMENT, A.NO): NOTHING,
    (K.ARRANGEMENT, A.CHANGE): ("final wax", "30", "-", "0", "wax"),
}


def outcome(case: Case) -> tuple[str, str, str, str, str]:
    allowed = reductions.allowed(case).get("15")
    shown = checks.latest(case, CheckKind.CLEARANCE)
    stands = {
        "checks": shown and not shown.stale,
        "mounting": case.mounting.verified_by_method,
        "passes": ledger.last_passes(case),
        "parts": ledger.parts_done(case),
        "pin": ledger.balance(case).reading_mm is not None,
        "try-in": not case.try_ins.last().taken_back,
        "wax": case.final_wax.approved_at,
    }
    return (
        case.stage,
        f"{case.articulator.condylar_right_deg.normalize():f}",
        f"{allowed.total_mm.normalize():f}" if allowed else "-",
        f"{ledger.agreed_mm(case).normalize():f}",
        " ".join(name for name, counts in stands.items() if not counts),
    )


def test_what_each_answer_carries_out_and_what_goes_stale(here):
    walk = here.walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    walk.approve_wax()
    assert outcome(walk.reload()) == NOTHING
    found = {}
    for kind in K:
        for said in (A.YES, A.NO, A.CHANGE):
            with transaction.atomic():
                row = propose(walk, kind)
                foreseen = answered(walk, row, said).hung
                found[kind, said] = outcome(walk.reload())
                assert foreseen
                assert stages.waiting_for(walk.case) is None
                transaction.set_rollback(True)

    assert found == OUTCOMES


# --- settings ----------------------------------------------------------------------------------


def test_an_approved_setting_says_who_it_comes_from_and_what_it_was(walk):
    row = answered(walk, propose(walk, K.SETTING), A.YES)

    record = walk.reload().articulator
    entry = walk.case.history.get(part="articulator record", act="approved")
    assert (record.origin, record.condylar_right_deg, record.condylar_left_deg) == (
        "approved",
        35,
        30,
    )
    assert sentence(entry).replace("\xa0", " ") == (
        "Dora Winsley (dentist) let the articulator record follow the dentist's answer: condylar "
        "inclination right 30 deg → 35 deg; settings from prescribed → approved. Reason: "
        "proposal 1, answered by the dentist."
    )
    assert reading.differs(row) == ""


def test_a_setting_that_is_changed_by_hand_afterwards_is_told(walk):
    row = answered(walk, propose(walk, K.SETTING), A.YES)
    walk.reload().articulator.__class__.objects.update(condylar_right_deg=31)

    row = Proposal.objects.get(pk=row.pk)
    assert reading.differs(row).replace("\xa0", " ") == (
        "The dentist approved 35 deg; the articulator record has 31 deg now."
    )


def test_only_the_named_input_of_the_check_changes(walk):
    before = inputs.clearance(walk.reload())
    answered(walk, propose(walk, K.SETTING), A.CHANGE)

    assert inputs.changes(before, inputs.clearance(walk.reload())) == ["condylar right: 30 → 33.5"]


# --- the new vertical --------------------------------------------------------------------------


def test_a_new_vertical_is_signed_over_the_revision_and_the_answer(walk):
    row = propose(walk, K.VERTICAL)
    with pytest.raises(NotAnswerable, match=r"A new vertical is signed\. Type your name"):
        answered(walk, row, A.YES, signature=None)
    done = answered(walk, row, A.YES, text="more height")

    assert (done.signed_name, done.licence_number, len(done.digest)) == (*_of(SIGNED), 64)
    same = digest(done, A.YES, D("2"), "more height")
    assert done.digest == same
    assert same != digest(done, A.YES, D("2"), "more")
    assert same != digest(done, A.YES, D("2.5"), "more height")
    assert same != digest(done, A.CHANGE, D("2"), "more height")


def _of(signature: Signature) -> tuple[str, str]:
    return signature.name, signature.licence_number


# --- what is refused ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "said", "given", "words"),
    [
        (
            K.SETTING,
            A.CHANGE,
            {"number": D("80")},
            "The number of your change is 80 deg. Enter 0 to 75 deg.",
        ),
        (
            K.SETTING,
            A.CHANGE,
            {"number": None},
            "The number of your change is empty. Enter 0 to 75 deg.",
        ),
        (
            K.SETTING,
            A.CHANGE,
            {"number": D("30")},
            "30 deg is what stands now. Enter another number, or answer no.",
        ),
        (
            K.REDUCTION,
            A.CHANGE,
            {"number": D("1.8")},
            "The number of your change is 1.8 mm. Enter 0.01 to 1.79 mm.",
        ),
        (K.NATURAL, A.CHANGE, {"text": " "}, "Write what is to be changed."),
        (K.ARRANGEMENT, A.CHANGE, {"text": ""}, "Write what is to be changed."),
        (K.NATURAL, A.WITHDRAWN, {}, "Answer yes, no, or change."),
    ],
)
def test_an_answer_that_cannot_be_carried_out_changes_nothing(walk, kind, said, given, words):
    row = propose(walk, kind)
    with pytest.raises(NotAnswerable) as told:
        answered(walk, row, said, **given)

    assert str(told.value).replace("\xa0", " ") == words
    assert Proposal.objects.get(pk=row.pk).waits


def test_the_first_of_two_answers_stands_and_the_second_person_sees_it(walk):
    row = propose(walk, K.SETTING)
    answered(walk, row, A.NO, text="the record is right")
    with pytest.raises(AnsweredMeanwhile) as told:
        answered(walk, row, A.YES)

    assert str(told.value) == (
        "Dora Winsley answered proposal 1 first: No. the record is right. Nothing of yours was "
        "saved."
    )
    assert walk.reload().articulator.condylar_right_deg == 30


def test_what_was_withdrawn_is_not_answered_and_what_was_answered_is_not_withdrawn(walk):
    gone = propose(walk, K.SETTING)
    proposing.withdraw(proposal=gone, reason="read again", by=walk.hands.manager)
    with pytest.raises(AnsweredMeanwhile, match=r"Mona Ridley withdrew proposal 1 first"):
        answered(walk, gone, A.YES)
    other = propose(walk, K.SETTING)
    answered(walk, other, A.NO)
    with pytest.raises(AnsweredMeanwhile, match=r"Dora Winsley answered proposal 2 first: No"):
        proposing.withdraw(proposal=other, reason="read again", by=walk.hands.technician)


def stale(walk: Walk, row: Proposal) -> str:
    """Why it is stale now; a yes and a change are refused, a no is taken."""
    walk.reload()
    fresh = Proposal.objects.get(pk=row.pk)
    told = " ".join(reading.stale(fresh)).replace("\xa0", " ")
    for said in (A.YES, A.CHANGE):
        with pytest.raises(NotAnswerable, match="no longer fits the case"):
            answered(walk, fresh, said)
    assert answered(walk, fresh, A.NO).state == A.NO
    return told


def test_a_setting_that_changed_meanwhile_makes_its_proposal_stale(walk):
    row = propose(walk, K.SETTING)
    walk.settings["condylar_right_deg"] = D("32")
    walk.enter_settings()

    assert stale(walk, row) == "The right condylar inclination is 32 deg now; it was 30 deg."


def test_another_revision_makes_a_proposal_stale(walk):
    row = propose(walk, K.ARRANGEMENT)
    draft = prescription.revise(case=walk.reload(), by=walk.hands.dentist)
    prescription.save(
        row=draft, version=draft.version, by=walk.hands.dentist, values={"instructions": "slowly"}
    )
    walk.sign()

    assert stale(walk, row) == "Revision 2 is in force; it was proposed for revision 1."


def test_a_tooth_that_was_reduced_meanwhile_makes_its_proposal_stale(walk):
    row = propose(walk, K.REDUCTION)
    walk.log(SetUpAct.REDUCTION, teeth=["15"], after_mm=D("0.2"))

    assert stale(walk, row) == (
        "The budget left at 15 is 0.1 mm now; it was 0.3 mm, or it was measured again."
    )


def test_a_tooth_that_is_gone_makes_its_proposal_stale(walk):
    row = propose(walk, K.NATURAL)
    current = walk.reload().prescription
    current.opposing = {**current.opposing, "46": "missing"}
    current.save()

    assert stale(walk, row) == "No natural tooth stands at 46 any more."


def test_another_agreed_value_makes_a_new_vertical_stale(walk):
    first, second = propose(walk, K.VERTICAL), propose(walk, K.VERTICAL, number=D("3"))
    answered(walk, first, A.YES)

    assert stale(walk, second) == "The agreed pin value is 2 mm now; it was 0 mm."


def test_after_processing_has_begun_it_is_too_late(walk):
    row = propose(walk, K.SETTING)
    Case.objects.filter(pk=walk.case.pk).update(stage=Stage.PROCESSING)

    assert stale(walk, row) == "The case stands at processing, and that is too late."


# --- history -----------------------------------------------------------------------------------


def test_the_history_says_what_was_proposed_answered_and_withdrawn(walk):
    answered(walk, propose(walk, K.NATURAL), A.NO, text="it stays")
    gone = propose(walk, K.REDUCTION)
    proposing.withdraw(proposal=gone, reason="set again", by=walk.hands.technician)

    told = [
        sentence(entry).replace("\xa0", " ") for entry in walk.case.history.filter(part="proposal")
    ]
    assert told == [
        "Tomas Abelard (technician) raised proposal 1 to the dentist: Natural tooth 46 (Universal "
        "30): the dentist decides. Reason: so that it fits.",
        "Dora Winsley (dentist) answered proposal 1 (Natural tooth 46 (Universal 30): the dentist "
        "decides): It stays as it is. it stays.",
        "Tomas Abelard (technician) raised proposal 2 to the dentist: Reduce denture tooth 15 "
        "(Universal 4) by 0.5 mm, beyond its height budget. Reason: so that it fits.",
        "Tomas Abelard (technician) withdrew proposal 2 (Reduce denture tooth 15 (Universal 4) by "
        "0.5 mm, beyond its height budget). Reason: set again.",
    ]
