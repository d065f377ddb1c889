"""The papers by kind: one builder and one template each, for screen and PDF alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from labcases.domain import after_care, label_sizes
from labcases.enums import PaperKind, PaperSize
from labcases.models import Case, User
from labcases.outputs import (
    after_care_sheet,
    box_label,
    cast_label,
    delivery_sheet,
    final_wax_sheet,
    handoff_sheet,
    incident_sheet,
    lab_slip,
    natural_sheet,
    proposal_sheet,
    remount_sheet,
    setup_sheet,
    statement_sheet,
    try_in_sheet,
)
from labcases.outputs.pdf import TooSmall, render_label, render_pdf

LABEL = "label"
"""The size of a laboratory's own labels, beside the sheets."""


class NotPrinted(Exception):
    """A paper lacks what it must not go out without; the text says where that is entered."""


@dataclass(frozen=True)
class Paper:
    kind: PaperKind
    slug: str
    template: str
    build: Callable[..., dict[str, Any]]
    goes_with: str
    sizes: tuple[str, ...] = tuple(str(size) for size in PaperSize)
    why_not: Callable[[Case], str] = lambda _case: ""
    """Why it is not made for a case, in words; empty where it is."""
    usual: str = ""
    """The size where none is asked for; empty: the sheets of the reader's house."""

    def sizes_in_words(self, case: Case) -> list[tuple[str, str]]:
        """Each size with the words for its button."""
        if LABEL not in self.sizes:
            return [(size, size) for size in self.sizes]
        label = label_sizes.size_for(case.laboratory, self.kind)
        return [(size, f"label {label.words}" if size == LABEL else size) for size in self.sizes]

    def context(self, case: Case, *, by: User, notation: str) -> dict[str, Any]:
        """What its template shows.

        Raises
        ------
        NotPrinted
            It lacks what it must not go out without.
        """
        if reason := self.why_not(case):
            raise NotPrinted(reason)
        return self.build(case, by=by, notation=notation)

    def pdf(self, case: Case, *, by: User, notation: str, size: str) -> bytes:
        """The paper as a PDF.

        Raises
        ------
        labcases.outputs.pdf.PdfOff
            This machine cannot make PDFs.
        NotPrinted
            It lacks what it must not go out without, or does not go on the label.
        """
        context = self.context(case, by=by, notation=notation)
        if size == LABEL:
            return self._label(case, context)
        return render_pdf(
            template="outputs/page.html", context={**context, "body": self.template}, size=size
        )

    def _label(self, case: Case, context: dict[str, Any]) -> bytes:
        if not context["labels"]:
            raise NotPrinted("No box is packed or on its way, so there is nothing to label.")
        size = label_sizes.size_for(case.laboratory, self.kind)
        try:
            if not label_sizes.may_take(size, self.kind):
                raise TooSmall
            return render_label(
                template="outputs/page.html",
                context={**context, "body": self.template},
                mm=(size.width_mm, size.height_mm),
                labels=len(context["labels"]),
            )
        except TooSmall:
            raise NotPrinted(label_sizes.too_small(size, case.laboratory)) from None


PAPERS: dict[str, Paper] = {
    paper.slug: paper
    for paper in (
        Paper(
            PaperKind.LAB_SLIP,
            "lab-slip",
            lab_slip.TEMPLATE,
            lab_slip.build_context,
            "travels with the casts",
        ),
        Paper(
            PaperKind.SET_UP,
            "set-up",
            setup_sheet.TEMPLATE,
            setup_sheet.build_context,
            "lies with the set-up at the bench, and stays with the case when it is done",
        ),
        Paper(
            PaperKind.TRY_IN,
            "try-in",
            try_in_sheet.TEMPLATE,
            try_in_sheet.build_context,
            "goes out with the posterior set-up and comes back with the answers",
        ),
        Paper(
            PaperKind.FINAL_WAX,
            "final-wax",
            final_wax_sheet.TEMPLATE,
            final_wax_sheet.build_context,
            "lies with the wax until it is flasked, and goes to the dentist with its photographs",
        ),
        Paper(
            PaperKind.HANDOFF,
            "processing-handoff",
            handoff_sheet.TEMPLATE,
            handoff_sheet.build_context,
            "goes with the flask",
        ),
        Paper(
            PaperKind.REMOUNT,
            "remount-sheet",
            remount_sheet.TEMPLATE,
            remount_sheet.build_context,
            "lies with the articulator until the denture comes off its cast",
        ),
        Paper(
            PaperKind.STATEMENT,
            "device-statement",
            statement_sheet.TEMPLATE,
            statement_sheet.build_context,
            "goes with the denture where the place asks for it, and a copy is kept",
        ),
        Paper(
            PaperKind.DELIVERY,
            "release-and-delivery",
            delivery_sheet.TEMPLATE,
            delivery_sheet.build_context,
            "goes out with the denture, and stays at the office with what was found and done",
        ),
        Paper(
            PaperKind.AFTER_CARE,
            "after-care",
            after_care_sheet.TEMPLATE,
            after_care_sheet.build_context,
            "goes home with the patient after the delivery",
            why_not=after_care.why_not,
        ),
        Paper(
            PaperKind.INCIDENT,
            "incident-sheet",
            incident_sheet.TEMPLATE,
            incident_sheet.build_context,
            "stays with the case after something went wrong",
        ),
        Paper(
            PaperKind.PROPOSALS,
            "proposals",
            proposal_sheet.TEMPLATE,
            proposal_sheet.build_context,
            "goes to the dentist, and comes back ticked and signed",
        ),
        Paper(
            PaperKind.NATURAL_TEETH,
            "natural-teeth",
            natural_sheet.TEMPLATE,
            natural_sheet.build_context,
            "goes to the dentist: where something was found at a natural tooth",
        ),
        Paper(
            PaperKind.BOX_LABEL,
            "box-label",
            box_label.TEMPLATE,
            box_label.build_context,
            "goes on the box that is packed, one sheet a box",
            sizes=("A5", *(str(size) for size in PaperSize), LABEL),
        ),
        Paper(
            PaperKind.CAST_LABEL,
            "cast-label",
            cast_label.TEMPLATE,
            cast_label.build_context,
            "goes on the base of each cast, or on its tray",
            sizes=(LABEL, *(str(size) for size in PaperSize)),
            usual=LABEL,
        ),
    )
}
