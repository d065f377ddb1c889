"""The story of an office that sends paper: nobody of it logs in. Invented, like everything else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils import timezone

from labcases.domain import arrivals, disinfecting, signed_papers, stages
from labcases.enums import BoxContent, JawRecord, OrganisationKind, Scheme, Stage
from labcases.enums.prescribing import VerticalWish
from labcases.management import paper_walk
from labcases.models import Case, OfficeLink, Organisation, PaperDentist

if TYPE_CHECKING:
    from labcases.management.demo_stories import Stories

OFFICE = "Osier Row Dental Practice"
DENTIST = {"name": "Ilse Rowan", "licence_number": "D-6120"}
ON_THE_PAPER = {
    "shade": "A2",
    "scheme": Scheme.LINGUALISED,
    "jaw_record": JawRecord.CENTRIC_RELATION,
    "vertical_wish": VerticalWish.AS_RECORD,
    "overjet_mm": 3,
    "overbite_mm": 2,
}
CAME = {"agent": "", "label_minutes": None, "actual_minutes": None, "disinfected_by": ""}


def on_paper(stories: Stories) -> None:
    """One case that came on paper and was accepted, and one that waits to be confirmed."""
    hands = stories.hands[0]
    laboratory = stories.laboratory
    office = Organisation.objects.create(
        name=OFFICE, kind=OrganisationKind.OFFICE, address="7 Osier Row"
    )
    OfficeLink.objects.create(office=office, laboratory=laboratory)
    PaperDentist.objects.create(office=office, **DENTIST)
    accepted = paper_walk.open_case(
        office=office, laboratory=laboratory, patient_code="MR-207", by=hands.lab_desk
    )
    paper_walk.sign_on_paper(
        accepted, typed_by=hands.lab_desk, confirmed_by=hands.technician, **ON_THE_PAPER
    )
    came = arrivals.record(
        case=accepted,
        courier="own round",
        items=[
            {"content": BoxContent.IMPRESSION, "count": 2, **CAME},
            {"content": BoxContent.PHOTOGRAPHS, "count": 1, **CAME},
        ],
        by=hands.lab_desk,
    )
    disinfecting.log(
        item=came.items.get(content=BoxContent.IMPRESSION),
        by=hands.technician,
        values={
            "agent": "hypochlorite spray, closed bag",
            "label_minutes": 10,
            "actual_minutes": 10,
            "done_by": hands.technician.full_name,
            "done_at": timezone.now(),
        },
    )
    for stage, by in ((Stage.SENT, hands.lab_desk), (Stage.ACCEPTED, hands.technician)):
        stages.move(case=Case.objects.get(pk=accepted.pk), to=stage, by=by)
    waiting = paper_walk.open_case(
        office=office, laboratory=laboratory, patient_code="MR-208", by=hands.lab_desk
    )
    paper = waiting.signed_papers.get()
    paper_walk.type_in(paper, by=hands.lab_desk, **ON_THE_PAPER)
    signed_papers.add_page(paper=paper, picture=paper_walk.drawn_page(), by=hands.lab_desk)
    paper_walk.hand_over(paper, by=hands.lab_desk)
