"""A paper of a laboratory that is of no case: what each of them says of itself."""

from __future__ import annotations

from collections.abc import Mapping

from django.conf import settings
from django.utils import timezone

from labcases.models import Organisation, User
from labcases.outputs.pdf import render_pdf


def pdf(
    *, template: str, told: Mapping[str, object], laboratory: Organisation, title: str, by: User
) -> bytes:
    """The paper, on the sheets of the laboratory.

    Raises
    ------
    labcases.outputs.pdf.PdfOff
        This machine cannot make PDFs.
    """
    context = {
        **told,
        "laboratory": laboratory,
        "printed_at": timezone.now(),
        "printed_by": by.full_name,
        "demo": bool(settings.DEMO),
        "title": title,
    }
    return render_pdf(template=template, context=context, size=str(laboratory.paper_size))
