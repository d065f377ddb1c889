"""What a dentist signed on paper, typed by the laboratory: pages, gates, who writes."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from labcases.domain import files, on_paper, prescription, signed_papers
from labcases.domain.case import NotLinked
from labcases.domain.files import AlreadyThere, HoldsSignature
from labcases.domain.prescription import BeingConfirmed, NotReady, TooLateToRevise
from labcases.domain.signed_papers import NotNow, OfficeIsWriting
from labcases.enums import Allergy, Role, Stage
from labcases.management import paper_walk
from labcases.models import OfficeLink, PatientName, SignedPaper
from tests.factories import OrganisationFactory, World, member, world
from tests.labcases import sent_files

pytestmark = pytest.mark.django_db


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def case(here):
    return paper_walk.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="MR-207", by=here.lena
    )


@pytest.fixture
def paper(case) -> SignedPaper:
    return case.signed_papers.get()


def picture(side: int = 40):
    return files.pictures.read(sent_files.sent(sent_files.jpeg((side, side))))


def test_a_case_from_a_paper_begins_with_a_paper_that_is_being_typed_and_no_name(case, here):
    paper = case.signed_papers.get()

    assert (paper.says, paper.state) == ("prescription", "being typed")
    assert paper.prescription == case.prescription
    assert not PatientName.objects.exists()
    told = [(entry.part, entry.act, entry.position) for entry in case.history.all()]
    assert told == [
        ("case", "opened", "laboratory desk"),
        ("signed paper", "began", "laboratory desk"),
    ]


def test_a_case_is_opened_for_linked_offices_only(here):
    OfficeLink.objects.update(active=False)

    with pytest.raises(NotLinked):
        paper_walk.open_case(
            office=here.office, laboratory=here.laboratory, patient_code="MR-1", by=here.lena
        )


def test_desk_and_manager_of_a_laboratory_open_cases_from_papers(here):
    both = member("Bea Tarn", here.other_laboratory, Role.MANAGER)

    assert signed_papers.laboratories(here.lena) == [here.laboratory]
    assert signed_papers.laboratories(here.mona) == [here.laboratory]
    assert signed_papers.laboratories(both) == [here.other_laboratory]
    for nobody in (here.tomas, here.dora, here.farah):
        assert signed_papers.laboratories(nobody) == []


def test_who_types_writes_the_draft_as_long_as_the_paper_is_typed(here, case, paper):
    assert signed_papers.may_write(here.lena, case)
    assert signed_papers.may_write(here.mona, case)
    assert signed_papers.may_write(here.dora, case)
    assert not signed_papers.may_write(here.tomas, case)

    signed_papers.give_up(paper=paper, version=1, reason="not signed", by=here.lena)

    assert not signed_papers.may_write(here.lena, case)
    assert signed_papers.may_write(here.dora, case)
    assert on_paper.of_draft(case.prescription) is None


def test_a_draft_of_the_office_is_no_business_of_the_laboratory(here):
    case = here.walk().case

    assert not signed_papers.may_write(here.lena, case)


def test_an_empty_draft_of_the_office_is_typed_from_its_paper(here):
    case = here.walk().case

    paper = signed_papers.begin(case=case, by=here.lena)

    assert paper.prescription == case.prescription
    assert signed_papers.begin(case=case, by=here.mona) == paper


def test_what_the_office_has_written_is_not_typed_over(here):
    walk = here.walk()
    walk.prescribe()

    with pytest.raises(OfficeIsWriting) as refused:
        signed_papers.begin(case=walk.reload(), by=here.lena)

    assert str(refused.value) == (
        "Dora Winsley has written into revision 1 already. Ask the office to sign it, or to say in "
        "a question that the paper counts."
    )


def test_a_later_paper_is_the_next_revision_and_not_once_processing_has_begun(here):
    case = here.case_at(Stage.SENT)

    paper = signed_papers.begin(case=case, by=here.lena)

    assert paper.prescription.revision == 2
    late = here.walk(patient_code="P-2").to(Stage.PROCESSING)
    with pytest.raises(TooLateToRevise):
        signed_papers.begin(case=late, by=here.lena)


# --- pages -----------------------------------------------------------------------------------


def test_a_page_is_a_paper_prescription_of_the_case(here, paper):
    page = signed_papers.add_page(paper=paper, picture=picture(), by=here.lena)

    assert page.kind == "paper prescription"
    assert paper.in_view == [page]


def test_a_page_that_was_added_to_the_case_before_is_taken_as_it_is(here, case, paper):
    before = files.add(case=case, kind="paper", upload=picture(), by=here.tomas)

    page = signed_papers.add_page(paper=paper, picture=picture(), by=here.lena)

    assert page == before
    assert case.attachments.count() == 1


def test_a_photograph_is_no_page(here, case, paper):
    files.add(case=case, kind="photograph", view="cast", upload=picture(), by=here.tomas)

    with pytest.raises(AlreadyThere):
        signed_papers.add_page(paper=paper, picture=picture(), by=here.lena)

    assert paper.in_view == []


def test_a_page_that_is_out_of_view_counts_no_more(here, paper):
    page = signed_papers.add_page(paper=paper, picture=picture(), by=here.lena)
    files.take_out(attachment=page, reason="blurred", by=here.lena)

    assert [item.text for item in signed_papers.lacks(paper)][-1] == (
        "Attach a picture of the signed page."
    )


def test_the_page_of_a_confirmed_paper_stays_in_view(here, case):
    paper = paper_walk.sign_on_paper(case, typed_by=here.lena, confirmed_by=here.mona)
    page = paper.in_view[0]

    assert not files.may_take_out(here.mona, page)
    with pytest.raises(HoldsSignature) as refused:
        files.take_out(attachment=page, reason="blurred", by=here.mona)

    assert str(refused.value) == (
        "A signature rests on this page, so it stays in view as long as the case is kept."
    )


# --- handing over ------------------------------------------------------------------------------


def test_nothing_is_handed_over_without_a_page(here, paper):
    paper_walk.type_in(paper, by=here.lena)

    with pytest.raises(NotReady) as refused:
        paper_walk.hand_over(paper, by=here.lena)

    assert [item.text for item in refused.value.items] == ["Attach a picture of the signed page."]


def test_the_gates_of_signing_hold_for_paper_as_well(here, paper):
    signed_papers.add_page(paper=paper, picture=picture(), by=here.lena)
    paper_walk.type_in(paper, by=here.lena, allergy=Allergy.NOT_ASKED, shade="")

    with pytest.raises(NotReady) as refused:
        paper_walk.hand_over(paper, by=here.lena)

    assert [item.field for item in refused.value.items] == ["shade", "allergy"]


def test_what_is_handed_over_holds_still_until_it_is_sent_back(here, paper):
    paper_walk.type_in(paper, by=here.lena)
    signed_papers.add_page(paper=paper, picture=picture(), by=here.lena)
    paper_walk.hand_over(paper, by=here.lena)

    with pytest.raises(BeingConfirmed) as refused:
        paper_walk.type_in(paper, by=here.lena, shade="A1")

    assert str(refused.value) == (
        "Revision 1 is typed from a signed paper and waits to be confirmed. Whoever compares it "
        "sends it back when something is to change."
    )
    paper.refresh_from_db()
    with pytest.raises(NotNow, match="This paper is typed, to be confirmed by a second member"):
        paper_walk.hand_over(paper, by=here.lena)


def test_a_dentist_who_signs_by_log_in_makes_the_paper_pointless(here, case, paper):
    paper_walk.type_in(paper, by=here.lena)
    row = case.prescription

    signed = prescription.sign(
        row=row, version=row.version, by=here.dora, signed_name="Dora Winsley", licence_number="7"
    )

    paper.refresh_from_db()
    assert (paper.state, paper.given_up_reason) == (
        "given up",
        "The dentist signed by log-in meanwhile.",
    )
    assert on_paper.signature(signed) == ""
    with pytest.raises(NotNow, match="This paper is given up"):
        signed_papers.give_up(paper=paper, version=1, reason="no", by=here.lena)


def test_giving_up_asks_for_a_reason(here, paper):
    with pytest.raises(ValueError, match="Give the reason why the paper is not typed"):
        signed_papers.give_up(paper=paper, version=1, reason=" ", by=here.lena)


# --- asking about what is open -----------------------------------------------------------------


def test_the_office_is_asked_once_and_the_confirmed_paper_answers(here, case, paper):
    asked = signed_papers.ask_office(
        paper=paper, field="shade", about="the shade", text="Which shade?", by=here.lena
    )

    assert (asked.waits_for, asked.clinical, asked.revision) == ("office", True, case.prescription)
    with pytest.raises(NotNow) as refused:
        signed_papers.ask_office(
            paper=paper, field="shade", about="the shade", text="Which?", by=here.mona
        )
    assert (
        str(refused.value) == "The office is asked about the shade already, and has not answered."
    )

    paper_walk.sign_on_paper(case, typed_by=here.lena, confirmed_by=here.mona)

    asked.refresh_from_db()
    assert asked.answer == "Revision 1 of the prescription is signed."
    assert not asked.waits


def test_names_of_signatories_are_those_of_the_paper_office_or_of_the_people_who_log_in(here, case):
    assert signed_papers.signatories(case) == [{"name": "Dora Winsley", "licence_number": "D-7781"}]

    here.office.paper_dentists.create(name="Ilse Rowan", licence_number="D-6120")

    assert signed_papers.signatories(case) == [{"name": "Ilse Rowan", "licence_number": "D-6120"}]


# --- held by the database ----------------------------------------------------------------------


def test_two_papers_never_carry_one_revision(here, case):
    with pytest.raises(IntegrityError), transaction.atomic():
        SignedPaper.objects.create(case=case, says="prescription", prescription=case.prescription)


@pytest.mark.parametrize("empty", ["signed_name", "licence_number", "confirmed_by", "signed_on"])
def test_a_confirmed_paper_names_everybody(here, case, empty):
    paper = paper_walk.sign_on_paper(case, typed_by=here.lena, confirmed_by=here.mona)
    value = "" if empty in ("signed_name", "licence_number") else None

    with pytest.raises(IntegrityError), transaction.atomic():
        SignedPaper.objects.filter(pk=paper.pk).update(**{empty: value})


def test_a_paper_of_another_office_is_of_no_interest(here, case):
    other = OrganisationFactory(name="Sluice Road Office")

    assert signed_papers.signatories(case)[0]["name"] == "Dora Winsley"
    assert not other.paper_dentists.exists()
    due = timezone.localdate() + timedelta(days=120)
    on_a_weekend = max(0, due.weekday() - 4)
    assert case.surgery_on == due + timedelta(days=(3 - on_a_weekend) if on_a_weekend else 0)
