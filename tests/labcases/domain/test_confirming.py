"""A second member compares what was typed with the page; one who works alone takes a pause."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier

import pytest
from django.db import connections
from django.utils import timezone

from labcases.domain import confirming, on_paper, prescription, signed_papers, stages
from labcases.domain.confirming import SecondPersonNeeded
from labcases.domain.prescription import NotReady
from labcases.domain.signed_papers import NotNow
from labcases.domain.versions import EditConflict
from labcases.enums import Allergy, PrescriptionStatus, Role, Stage
from labcases.management import paper_walk
from labcases.models import Case, Membership, Prescription, SignedPaper
from tests.factories import World, member, world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here() -> World:
    return world()


def handed_over(here: World) -> SignedPaper:
    case = paper_walk.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="MR-207", by=here.lena
    )
    paper = case.signed_papers.get()
    paper_walk.type_in(paper, by=here.lena)
    signed_papers.add_page(paper=paper, picture=paper_walk.drawn_page(), by=here.lena)
    return paper_walk.hand_over(paper, by=here.lena)


@pytest.fixture
def paper(here) -> SignedPaper:
    return handed_over(here)


def test_confirming_signs_the_revision_with_the_digest_of_its_answers(here, paper):
    paper_walk.confirm(paper, by=here.tomas)

    row = Prescription.objects.get(pk=paper.prescription_id)
    assert row.status == PrescriptionStatus.SIGNED
    assert (row.signed_by, row.signed_name, row.licence_number) == (None, "Ilse Rowan", "D-6120")
    assert row.digest == prescription.digest(row)
    assert len(row.digest) == 64
    yesterday = timezone.localdate() - timedelta(days=1)
    assert on_paper.signature(row) == (
        f"on paper, page on file: Ilse Rowan, licence D-6120, paper of {yesterday:%d-%b-%Y}; typed "
        "by Lena Marsh, confirmed by Tomas Abelard"
    )
    acts = list(row.case.history.values_list("part", "act").order_by("id"))
    assert acts[-2:] == [("signed paper", "confirmed"), ("prescription", "signed on paper")]


def test_who_typed_it_does_not_confirm_it(here, paper):
    with pytest.raises(SecondPersonNeeded) as refused:
        paper_walk.confirm(paper, by=here.lena)

    assert str(refused.value) == (
        "You typed this paper. A second member of the laboratory confirms it."
    )
    assert paper.prescription.status == "draft"


def alone(here: World) -> None:
    Membership.objects.filter(organisation=here.laboratory).exclude(user=here.lena).update(
        active=False
    )


def test_one_who_works_alone_waits_ten_minutes(here, paper):
    alone(here)
    assert confirming.works_alone(here.laboratory)

    with pytest.raises(SecondPersonNeeded) as refused:
        paper_walk.confirm(paper, by=here.lena)
    assert str(refused.value) == (
        "You typed this paper and work alone here. Take a pause and compare it again in 10 minutes."
    )

    SignedPaper.objects.update(typed_at=timezone.now() - timedelta(minutes=9, seconds=30))
    with pytest.raises(SecondPersonNeeded, match=r"again in 1 minute\."):
        paper_walk.confirm(paper, by=here.lena)

    SignedPaper.objects.update(typed_at=timezone.now() - timedelta(minutes=10))
    assert paper_walk.confirm(paper, by=here.lena).state == "confirmed"


def test_somebody_with_two_roles_is_one_person_and_a_disabled_one_is_nobody(here):
    alone(here)
    Membership.objects.create(user=here.lena, organisation=here.laboratory, role=Role.MANAGER)
    assert confirming.works_alone(here.laboratory)

    gone = member("Gus Weir", here.laboratory, Role.TECHNICIAN, is_active=False)
    assert confirming.works_alone(here.laboratory)

    gone.is_active = True
    gone.save()
    assert not confirming.works_alone(here.laboratory)


def test_sent_back_it_says_why_and_goes_round_again(here, paper):
    back = confirming.send_back(
        paper=paper, version=paper.version, reason="21 is to stay", by=here.tomas
    )

    assert (back.state, back.sent_back_reason) == ("being typed", "21 is to stay")
    assert back.case.history.last().reason == "21 is to stay"
    with pytest.raises(NotNow, match="This paper is being typed"):
        paper_walk.confirm(paper, by=here.tomas)

    paper_walk.type_in(paper, by=here.lena, shade="A1")
    paper_walk.hand_over(paper, by=here.lena)
    paper_walk.confirm(paper, by=here.tomas)
    assert Prescription.objects.get(pk=paper.prescription_id).shade == "A1"


def test_sending_back_asks_for_the_reason(here, paper):
    with pytest.raises(ValueError, match=r"^Say what does not agree with the page\.$"):
        confirming.send_back(paper=paper, version=paper.version, reason="  ", by=here.tomas)


def test_a_confirmed_paper_is_done(here, paper):
    confirmed = paper_walk.confirm(paper, by=here.tomas)

    with pytest.raises(NotNow) as refused:
        paper_walk.confirm(paper, by=here.mona)
    assert str(refused.value) == "Tomas Abelard has confirmed this paper already."
    with pytest.raises(NotNow):
        confirming.send_back(
            paper=confirmed, version=confirmed.version, reason="late", by=here.mona
        )


def test_what_changed_behind_the_page_is_not_confirmed(here, paper):
    """No page does this: somebody wrote into the database."""
    Prescription.objects.filter(pk=paper.prescription_id).update(shade="C4")

    with pytest.raises(NotNow) as refused:
        paper_walk.confirm(paper, by=here.tomas)

    assert str(refused.value) == (
        "What was typed has changed since it was handed over. Send it back, so that it is looked "
        "through and handed over again."
    )


def test_a_page_taken_out_meanwhile_is_missed(here, paper):
    paper.pages.clear()

    with pytest.raises(NotReady, match="Attach a picture of the signed page"):
        paper_walk.confirm(paper, by=here.tomas)


def test_an_allergy_that_nobody_asked_for_keeps_a_paper_from_counting(here, paper):
    Prescription.objects.filter(pk=paper.prescription_id).update(allergy=Allergy.NOT_ASKED)

    with pytest.raises(NotReady, match="Ask about allergies"):
        paper_walk.confirm(paper, by=here.tomas)


def test_a_stale_page_does_not_confirm(here, paper):
    with pytest.raises(EditConflict):
        confirming.confirm(paper=paper, version=paper.version - 1, by=here.tomas)

    assert Prescription.objects.get(pk=paper.prescription_id).status == "draft"


def test_a_later_paper_undoes_what_the_table_says(here):
    walk = here.walk()
    walk.to(Stage.SETTINGS)
    case = walk.reload()
    first = case.prescription.digest

    paper_walk.sign_on_paper(
        case, typed_by=here.lena, confirmed_by=here.tomas, jaw_record="centric relation"
    )

    case = Case.objects.get(pk=case.pk)
    assert case.stage == Stage.MOUNTING
    assert case.prescription.revision == 2
    assert case.prescription.digest != first
    assert case.prescriptions.get(revision=1).status == "replaced"
    assert on_paper.signature(case.prescription).startswith("on paper, page on file: Ilse Rowan")
    assert on_paper.signature(case.prescriptions.get(revision=1)) == ""


# --- two at once -------------------------------------------------------------------------------


def _try(barrier: Barrier, paper_pk: int, version: int, by) -> str:
    paper = SignedPaper.objects.get(pk=paper_pk)
    barrier.wait()
    try:
        confirming.confirm(paper=paper, version=version, by=by)
    except NotNow as told:
        return str(told)
    finally:
        connections.close_all()
    return "confirmed"


@pytest.mark.both_databases
@pytest.mark.django_db(transaction=True)
def test_of_two_who_confirm_at_once_one_signs_and_the_other_is_told():
    here = world()
    paper = handed_over(here)
    barrier = Barrier(2)

    with ThreadPoolExecutor(2) as pool:
        jobs = [
            pool.submit(_try, barrier, paper.pk, paper.version, by)
            for by in (here.tomas, here.mona)
        ]
        said = sorted(job.result() for job in jobs)

    case = Case.objects.get(pk=paper.case_id)
    winner = case.signed_papers.get().confirmed_by
    assert said == sorted(["confirmed", f"{winner} has confirmed this paper already."])
    acts = [entry.act for entry in case.history.all()]
    assert acts.count("confirmed") == 1
    assert acts.count("signed on paper") == 1
    assert case.prescription.status == "signed"


# --- on to the laboratory ----------------------------------------------------------------------


def test_a_paper_case_is_sent_by_the_laboratory_and_by_nobody_else_of_the_bench(here, paper):
    paper_walk.confirm(paper, by=here.tomas)
    case = Case.objects.get(pk=paper.case_id)

    by_desk = next(way for way in stages.ways(case, here.lena) if way.to == Stage.SENT)
    by_bench = next(way for way in stages.ways(case, here.tomas) if way.to == Stage.SENT)

    assert (by_desk.act, by_desk.allowed) == ("send a case signed on paper", True)
    assert not by_bench.allowed
    assert [(item.text, item.part) for item in by_desk.missing] == [
        (
            "Record the box that came with the signed paper, or have the office pack one: what "
            "goes to the laboratory, and how many.",
            "boxes",
        ),
        (
            "Pre-extraction photographs are missing, or held back from the laboratory: teeth from "
            "in front. Add them, or pack prints.",
            "files",
        ),
    ]


def test_a_case_signed_by_log_in_is_still_sent_by_the_office_only(here):
    walk = here.walk()
    walk.ready(Stage.SENT)

    with pytest.raises(stages.NotAllowed):
        stages.move(case=walk.reload(), to=Stage.SENT, by=here.lena)
