"""Takes a signed paper through the same verbs that the pages call: typed, attached, confirmed."""

from __future__ import annotations

import hashlib
from datetime import date, timedelta
from typing import Any

from django.conf import settings
from django.core.files.base import ContentFile
from django.utils import timezone

from labcases.domain import confirming, open_days, pictures, prescription, signed_papers
from labcases.domain.pictures import Picture
from labcases.management.sample import order
from labcases.models import Case, Organisation, SignedPaper, User

DRAWN = "signed-paper.png"
SIGNATORY = {"signed_name": "Ilse Rowan", "licence_number": "D-6120"}


def open_case(
    *,
    office: Organisation,
    laboratory: Organisation,
    patient_code: str,
    by: User,
    surgery_in_days: int = 120,
) -> Case:
    """A case for a paper that has just come in."""
    return signed_papers.open_case(
        office=office,
        laboratory=laboratory,
        patient_code=patient_code,
        surgery_on=open_days.open_from(timezone.localdate() + timedelta(days=surgery_in_days)),
        by=by,
    )


def drawn_page(extra: bytes = b"") -> Picture:
    """A drawing in the place of a scan; ``extra`` makes it another file than the last one."""
    path = settings.BASE_DIR / "fixtures" / "demo" / DRAWN
    picture = pictures.read(ContentFile(path.read_bytes(), name=DRAWN))
    if not extra:
        return picture
    digest = hashlib.sha256(picture.full + extra).hexdigest()
    return Picture(**{**vars(picture), "sent_sha256": digest})


def type_in(paper: SignedPaper, *, by: User, **values: Any) -> None:
    """Type a whole order, with what is different in this one."""
    row = paper.prescription
    if row is None:
        return
    row.refresh_from_db()
    surgery = paper.case.surgery_on
    wanted = order(**values)
    if surgery:
        wanted.setdefault("first_extraction_on", open_days.open_from(surgery - timedelta(days=75)))
    prescription.save(row=row, version=row.version, by=by, values=wanted)


def hand_over(paper: SignedPaper, *, by: User, on: date | None = None) -> SignedPaper:
    paper = _fresh(paper)
    return signed_papers.hand_over(
        paper=paper,
        version=paper.version,
        signed_on=on or timezone.localdate() - timedelta(days=1),
        by=by,
        **SIGNATORY,
    )


def confirm(paper: SignedPaper, *, by: User) -> SignedPaper:
    paper = _fresh(paper)
    return confirming.confirm(paper=paper, version=paper.version, by=by)


def sign_on_paper(case: Case, *, typed_by: User, confirmed_by: User, **values: Any) -> SignedPaper:
    """All of it, for the paper that the case is typed from."""
    paper = signed_papers.begin(case=case, by=typed_by)
    type_in(paper, by=typed_by, **values)
    page = drawn_page(str(paper.pk).encode())
    signed_papers.add_page(paper=paper, picture=page, by=typed_by)
    hand_over(paper, by=typed_by)
    return confirm(paper, by=confirmed_by)


def _fresh(paper: SignedPaper) -> SignedPaper:
    """As it stands now, with nothing remembered."""
    return SignedPaper.objects.get(pk=paper.pk)
