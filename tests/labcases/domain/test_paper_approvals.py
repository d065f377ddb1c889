"""Approvals on paper: bound to what they speak of, and entered once a second member confirms."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from labcases.domain import case as cases
from labcases.domain import ledger, paper_approvals, proposing, signed_papers, stages, trimming
from labcases.domain.signed_papers import NotNow
from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind
from labcases.management import paper_walk
from labcases.management.sample_tryin import judged
from labcases.models import Case, FinalWax, SignedPaper
from labcases.views._sentences import sentence
from tests.factories import World, world
from tests.labcases.domain.test_proposal_answer import propose

pytestmark = pytest.mark.django_db

SIGNED = "on paper, page on file: Ilse Rowan, licence D-6120, paper of "
BY = "; typed by Lena Marsh, confirmed by Mona Ridley"


@pytest.fixture
def here() -> World:
    return world()


def typed(here: World, case: Case, says: str, **said) -> SignedPaper:
    paper = paper_approvals.begin(case=case, says=says, said=said, by=here.lena)
    page = paper_walk.drawn_page(str(paper.pk).encode())
    signed_papers.add_page(paper=paper, picture=page, by=here.lena)
    return paper_walk.hand_over(paper, by=here.lena)


def fresh(case: Case) -> Case:
    return Case.objects.get(pk=case.pk)


def test_the_surgery_day_of_the_paper_is_moved_to_and_confirmed(here):
    case = here.case_at(Stage.SENT)
    day = case.surgery_on + timedelta(days=7)
    paper = typed(here, case, "surgery day", surgery_on=day.isoformat())
    assert fresh(case).surgery_on != day

    paper_walk.confirm(paper, by=here.mona)

    case = fresh(case)
    assert case.surgery_on == day
    assert case.surgery_confirmed_by is None
    assert case.surgery_confirmed.startswith(SIGNED)
    assert case.surgery_confirmed.endswith(BY)
    entry = case.history.filter(part="dates").last()
    assert (entry.act, entry.reason) == ("confirmed on paper", case.surgery_confirmed)


def test_moving_the_day_takes_the_paper_s_confirmation_back(here):
    case = here.case_at(Stage.SENT)
    paper = typed(here, case, "surgery day", surgery_on=case.surgery_on.isoformat())
    paper_walk.confirm(paper, by=here.mona)

    case = fresh(case)
    cases.set_surgery(
        case=case, version=case.version, on=case.surgery_on + timedelta(days=1), by=here.farah
    )

    assert (fresh(case).surgery_paper, fresh(case).surgery_confirmed_at) == (None, None)


def test_a_day_that_moved_meanwhile_is_not_overrun_by_an_older_paper(here):
    case = here.case_at(Stage.SENT)
    paper = typed(here, case, "surgery day", surgery_on=case.surgery_on.isoformat())
    case = fresh(case)
    moved = case.surgery_on + timedelta(days=3)
    cases.set_surgery(case=case, version=case.version, on=moved, by=here.farah)

    with pytest.raises(NotNow, match="What this paper speaks of has changed since it was typed"):
        paper_walk.confirm(paper, by=here.mona)

    assert fresh(case).surgery_on == moved
    assert SignedPaper.objects.get(pk=paper.pk).state == "to be confirmed"


def test_the_outcome_of_a_try_in_counts_on_paper_as_by_log_in(here):
    walk = here.walk()
    walk.to(Stage.TRY_IN)
    case = walk.reload()
    said = {"answers": {}, "outcome": "new record", "changes": "", "vertical_mm": "64.5"}
    paper = typed(here, case, "try-in", **said)

    paper_walk.confirm(paper, by=here.mona)

    row = fresh(case).try_ins.last()
    assert (row.outcome, row.decided_by, str(row.vertical_mm)) == ("new record", None, "64.50")
    assert row.decided.startswith(SIGNED)
    assert fresh(case).stage == Stage.JAW_RECORDS


def test_numbers_words_and_the_patients_word_come_from_the_paper_as_well(here):
    walk = here.walk()
    walk.to(Stage.TRY_IN)
    told = judged("upper", "approved with changes")
    said = {
        name: str(value) if isinstance(value, (Decimal, str)) else value
        for name, value in told.items()
    }
    paper = typed(here, walk.reload(), "try-in", **said)

    paper_walk.confirm(paper, by=here.mona)

    row = fresh(walk.case).try_ins.last()
    assert (row.vertical_rest_mm, row.speaking_mm) == (Decimal("71"), Decimal("1.5"))
    assert row.centric == [["same", ""]] * 3
    assert row.words == {"width": "26 in by 1 mm"}
    assert (row.patient_word, row.patient_asked_by) == ("as shown", "the dentist")


def test_a_paper_that_sends_back_what_is_flasked_is_not_entered(here):
    walk = here.walk()
    walk.to(Stage.TRY_IN)
    said = {"answers": {"plane": "redo"}, "outcome": "redo", "changes": "", "vertical_mm": ""}
    paper = typed(here, walk.reload(), "try-in", **said)
    Case.objects.filter(pk=walk.case.pk).update(stage=Stage.REMOUNT)

    with pytest.raises(NotNow, match="The case stands at remount: what is flasked"):
        paper_walk.confirm(paper, by=here.mona)


def test_a_photograph_that_came_after_the_paper_was_typed_asks_for_another_look(here):
    walk = here.walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    paper = typed(here, walk.reload(), "final wax", approves=True)
    walk.case.attachments.filter(view="cast").update(
        removed_at=timezone.now(), removed_by=here.tomas, removed_reason="blurred"
    )

    with pytest.raises(NotNow, match="What this paper speaks of has changed"):
        paper_walk.confirm(paper, by=here.mona)


def test_no_paper_approves_a_wax_that_is_not_finished(here):
    walk = here.walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    FinalWax.objects.update(insertion="")
    why = paper_approvals.why_not(walk.reload(), "final wax")
    assert why.endswith("Say along which path the denture goes in.")


def test_a_try_in_is_waived_on_paper_with_the_reason_of_the_paper(here):
    case = here.case_at(Stage.SET_UP)
    paper = typed(here, case, "waiver of the try-in", reason="the patient is travelling")

    paper_walk.confirm(paper, by=here.mona)

    row = fresh(case).try_ins.last()
    assert (row.outcome, row.changes, row.decided_by) == (
        "waived",
        "the patient is travelling",
        None,
    )
    assert row.decided.startswith(SIGNED)


def test_the_final_wax_is_approved_as_it_stood_when_the_paper_was_typed(here):
    walk = here.walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    case = walk.reload()
    paper = typed(here, case, "final wax", approves=True)

    paper_walk.confirm(paper, by=here.mona)

    wax = FinalWax.objects.get(case=case)
    assert (wax.approved_by, wax.trimming_approved) == (None, True)
    assert wax.approved_digest == case.prescription.digest
    assert wax.approved.startswith(SIGNED)


def test_a_wax_that_was_changed_meanwhile_is_not_approved(here):
    walk = here.walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    paper = typed(here, walk.reload(), "final wax", approves=True)
    FinalWax.objects.update(version=9)

    with pytest.raises(NotNow, match="What this paper speaks of has changed"):
        paper_walk.confirm(paper, by=here.mona)

    assert FinalWax.objects.get().approved_at is None


def test_what_is_not_there_is_not_approved(here):
    case = here.case_at(Stage.SENT)

    told = {
        says: paper_approvals.why_not(case, says)
        for says in ("try-in", "waiver of the try-in", "final wax", "gate", "surgery day")
    }

    assert told == {
        "try-in": "No try-in is out for this case, so none is judged.",
        "waiver of the try-in": "",
        "final wax": "Enter the final wax first; the paper approves what is entered.",
        "gate": "Nothing is open now that a dentist may let the case go without.",
        "surgery day": "",
    }
    with pytest.raises(NotNow, match="Enter the final wax first"):
        paper_approvals.begin(case=case, says="final wax", said={"approves": True}, by=here.lena)


def test_one_paper_of_a_kind_at_a_time_and_none_for_an_ended_case(here):
    case = here.case_at(Stage.SENT)
    day = timezone.localdate().isoformat()
    paper_approvals.begin(case=case, says="surgery day", said={"surgery_on": day}, by=here.lena)

    with pytest.raises(NotNow) as refused:
        paper_approvals.begin(case=case, says="surgery day", said={"surgery_on": day}, by=here.mona)
    assert str(refused.value) == (
        "Such a paper is being typed already. Go on with that one, or give it up."
    )

    stages.move(case=case, to=Stage.CANCELLED, by=here.mona, reason="asked to")
    assert paper_approvals.why_not(fresh(case), "gate") == (
        "This case has ended, so nothing more is approved."
    )


def test_typed_anew_it_is_bound_anew(here):
    case = here.case_at(Stage.SENT)
    paper = paper_approvals.begin(
        case=case, says="surgery day", said={"surgery_on": "2035-03-12"}, by=here.lena
    )

    again = paper_approvals.retype(
        paper=paper, version=paper.version, said={"surgery_on": "2035-03-13"}, by=here.mona
    )

    assert again.said == {
        "surgery_on": "2035-03-13",
        "bound": {"stood": case.surgery_on.isoformat()},
    }


def test_a_gate_of_the_dentist_is_passed_on_paper_with_its_reason(here):
    """The handoff is written and everything is ready but the try-in, which a dentist may pass."""
    walk = here.walk()
    walk.to(Stage.PROCESSING)
    Case.objects.filter(pk=walk.case.pk).update(stage=Stage.FINAL_WAX)
    case = walk.reload()
    case.try_ins.update(outcome="")
    assert paper_approvals.passable(case) == [Stage.PROCESSING]
    paper = typed(here, case, "gate", to="processing", reason="The patient is travelling.")

    paper_walk.confirm(paper, by=here.mona)

    case = fresh(case)
    assert case.stage == Stage.PROCESSING
    entry = case.history.filter(act="passed a gate").get()
    assert entry.reason.startswith(f"The patient is travelling, signed {SIGNED}")
    assert f"{BY}. (open: The try-in is not approved." in entry.reason


def test_a_proposal_is_answered_on_paper_and_carried_out(here):
    walk = here.walk()
    walk.to(Stage.SETTINGS)
    row = propose(walk, ProposalKind.VERTICAL)
    said = {"answer": "change", "number": "1.5", "text": "no more"}
    paper = typed(here, walk.case, "proposal", proposal=row.pk, **said)
    assert ledger.agreed_mm(fresh(walk.case)) == 0

    paper_walk.confirm(paper, by=here.mona)

    case = fresh(walk.case)
    done = case.proposals.get()
    assert (case.stage, ledger.agreed_mm(case)) == (Stage.JAW_RECORDS, Decimal("1.5"))
    assert (done.answered_by, done.signed_name, len(done.digest)) == (None, "Ilse Rowan", 64)
    assert done.answerer.startswith(SIGNED)
    entry = case.history.get(part="proposal", act="answered on paper")
    assert sentence(entry).startswith(
        "Mona Ridley (laboratory manager) entered the answer to proposal 1 (The dentist raises "
    )
    assert f"; signed {SIGNED}" in sentence(entry)


def test_a_paper_does_not_answer_a_proposal_that_was_withdrawn_or_answered_meanwhile(here):
    walk = here.walk()
    walk.to(Stage.ACCEPTED)
    assert paper_approvals.why_not(walk.case, "proposal") == (
        "No proposal waits for the dentist, so none is answered."
    )
    row = propose(walk, ProposalKind.NATURAL)
    said = {"answer": "yes", "number": "", "text": ""}
    paper = typed(here, walk.case, "proposal", proposal=row.pk, **said)
    proposing.withdraw(proposal=row, reason="twice", by=here.tomas)

    with pytest.raises(NotNow, match="What this paper speaks of has changed since it was typed"):
        paper_walk.confirm(paper, by=here.mona)


def test_a_paper_that_says_yes_to_what_is_stale_is_refused_in_words(here):
    walk = here.walk()
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    row = propose(walk, ProposalKind.SETTING)
    said = {"answer": "yes", "number": "", "text": ""}
    paper = typed(here, walk.case, "proposal", proposal=row.pk, **said)
    walk.settings["condylar_right_deg"] = Decimal("32")
    walk.enter_settings()

    with pytest.raises(NotNow, match="Proposal 1 no longer fits the case"):
        paper_walk.confirm(paper, by=here.mona)


def test_a_paper_on_the_wax_does_not_approve_a_trimming_that_was_logged_meanwhile(here):
    walk = here.walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    paper = typed(here, walk.reload(), "final wax", approves=True)
    trimming.log(
        case=walk.reload(),
        by=here.tomas,
        method="alternate",
        trims=[{"tooth": "11", "labial_mm": Decimal("2.25")}],
    )

    with pytest.raises(NotNow, match="What this paper speaks of has changed since it was typed"):
        paper_walk.confirm(paper, by=here.mona)
    assert walk.reload().final_wax.approved_at is None
