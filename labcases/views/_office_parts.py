"""The parts of a case that the office writes or both houses share, folded to a line each."""

from __future__ import annotations

import textwrap

from django.utils import timezone

from labcases.domain import (
    delivered,
    differences,
    disinfecting,
    on_paper,
    queries,
    transit,
    tryin_boxes,
)
from labcases.domain import files as attached
from labcases.domain.inventory import inventory
from labcases.enums import PrescriptionStatus, TryInWish
from labcases.models import BoxItem, Case, Delivery, TryIn
from labcases.models.files import PHOTOGRAPHS
from labcases.outputs import tryin_view
from labcases.templatetags.units import due_date, long_date, long_time
from labcases.views._folded import Part, many, pairs, url_of
from labcases.views._sentences import sentence
from labcases.views._words import sentence_case

SHORT = 110


def prescription(case: Case) -> Part:
    row = case.prescription
    signed = row.status == PrescriptionStatus.SIGNED
    line = f"Revision {row.revision}"
    if signed and row.signed_at:
        paper = on_paper.signature(row)
        line += (
            f", signed {paper}"
            if paper
            else f", signed by {row.signed_name} on {long_date(row.signed_at)}"
        )
    draft = case.draft_revision
    if draft and draft.pk != row.pk:
        line += f"; revision {draft.revision} is being written"
    fields = (
        *("arch", "route", "set_up_order", "scheme", "jaw_record", "base_material"),
        *("tooth_material", "shade_system", "shade", "mould", "flange", "post_dam", "lower_border"),
        *("try_in", "vertical_wish", "natural_changes", "identification", "template_wanted"),
        *("overjet_mm", "overbite_mm", "incisal_display_mm", "smile_display_mm"),
        *("midline_offset_mm", "vertical_rest_mm", "vertical_occlusion_mm", "instructions"),
    )
    return Part(
        "prescription",
        "Prescription",
        url_of("prescription", case),
        line,
        done=signed,
        word=row.get_status_display(),
        pairs=pairs(row, fields),
    )


def boxes(case: Case) -> Part:
    rows = disinfecting.with_items(case.boxes.all())
    under_way = sum(1 for row in rows if row.sent_at and not row.received_at and not row.trouble)
    gone = [differences.gone_words(row) for row in rows if row.trouble]
    waiting = sum(1 for row in rows if not row.sent_at)
    line = many(len(rows), "box", "boxes") if rows else "No box packed yet"
    if under_way:
        line += f", {under_way} on the way"
    if waiting:
        line += f", {waiting} packed and not sent"
    overdue = max((transit.overdue_days(row) for row in rows), default=0)
    if overdue:
        line += f"; overdue by {many(overdue, 'open day', 'open days')}"
    missing = [held for held in inventory(rows) if held.missing]
    if missing:
        line += "; missing: " + ", ".join(
            f"{held.missing} x {held.content.label.lower()}" for held in missing
        )
    return Part(
        "boxes",
        "Boxes",
        url_of("boxes", case),
        ". ".join([line, *gone]),
        mark="warning" if gone else "",
        pairs=[
            {
                "label": f"{row.get_direction_display()}, {long_date(row.packed_at)}",
                "value": ", ".join(_item(item) for item in row.items.all()),
            }
            for row in rows
        ],
    )


def _item(item: BoxItem) -> str:
    beside = differences.arrival_words(item)
    return f"{item} ({beside})" if beside else str(item)


def files(case: Case) -> Part:
    rows = attached.in_view(case)
    photographs = sum(1 for row in rows if row.kind in PHOTOGRAPHS)
    papers = len(rows) - photographs
    said = [
        many(photographs, "photograph", "photographs") if photographs else "",
        many(papers, "paper", "papers") if papers else "",
    ]
    line = ", ".join(text for text in said if text) or "No photograph and no paper yet"
    held = sum(1 for row in rows if row.held_back)
    if held:
        line += f"; {many(held, 'face', 'faces')} held back until the patient agreed"
    return Part(
        "files",
        "Photographs and papers",
        url_of("files", case),
        line,
        pairs=[
            {"label": sentence_case(row.words), "value": f"{long_date(row.at)}, {row.by}"}
            for row in rows
        ],
    )


def try_in(case: Case) -> Part:
    url = url_of("try_in", case)
    last = next(reversed(list(case.try_ins.all())), None)
    where = tryin_boxes.whereabouts(case)
    if last is None:
        wish = case.prescription.get_try_in_display() or "Not said yet"
        none = case.prescription.try_in in (TryInWish.WAIVED, TryInWish.NOT_POSSIBLE)
        line = f"{wish}. {where}" if where else wish
        return Part("try-in", "Try-in", url, line, done=None if none else False)
    decided = f", {last.decided} on {long_date(last.decided_at)}" if last.decided_at else ""
    return Part(
        "try-in",
        "Try-in",
        url,
        f"Try-in {last.number}{decided}"
        + ("; taken back" if last.taken_back else "")
        + (f". {where}" if where else ""),
        done=bool(last.outcome and not last.taken_back),
        word=last.get_outcome_display() or "Out",
        pairs=[
            *pairs(last, ("revision", "sent_back_to", "changes")),
            *tryin_view.numbers(last),
            *_trip(last),
        ],
    )


def _trip(row: TryIn) -> list[dict[str, str]]:
    """The boxes that took the base out for a try-in and bring it back."""
    trip = tryin_boxes.trip_of(row)
    told = (("Base out", trip.out), ("Base back", trip.back))
    return [
        {"label": label, "value": sentence_case(tryin_boxes.box_words(box))}
        for label, box in told
        if box
    ]


def delivery(case: Case) -> Part:
    row: Delivery | None = getattr(case, "delivery", None)
    url = url_of("delivery", case)
    if row is None or row.delivered_on is None:
        line = delivered.words(case, timezone.localdate()) or "Not reported"
        return Part("delivery", "Delivery", url, line, done=False)
    if not row.reported:
        line = f"Delivered, not reported; the planned day was {long_date(row.delivered_on)}"
        return Part("delivery", "Delivery", url, line, done=True, word="Not reported")
    return Part(
        "delivery",
        "Delivery",
        url,
        f"Delivered {long_date(row.delivered_on)}",
        done=True,
        word="Reported",
        pairs=pairs(row, ("adjusted_words", "relieved", "liner_kind", "liner_until", "note")),
    )


def questions(case: Case) -> Part:
    rows = list(case.questions.all())
    waiting = [row for row in rows if row.waits]
    line = many(len(rows), "question", "questions") if rows else "Nobody has asked anything"
    if waiting:
        line = "; ".join(
            f"About {row.about}, waits for the {row.get_waits_for_display().lower()} since "
            f"{long_time(row.waiting_since)}"
            for row in waiting
        )
    return Part(
        "questions",
        "Questions",
        url_of("questions", case),
        line,
        done=True if rows else None,
        mark="waiting" if waiting else "",
        word="Open" if waiting else "Answered",
        pairs=[
            {
                "label": sentence_case(row.about),
                "value": row.answer or ("Not answered" if row.waits else "Taken back"),
            }
            for row in rows
        ],
    )


def dates(case: Case) -> Part:
    ahead = queries.line(case).next_latest
    line = f"Surgery {due_date(case.surgery_on)}" if case.surgery_on else "No surgery day yet"
    if ahead:
        line += f"; {ahead.name.lower()} by {due_date(ahead.on)}"
    return Part("dates", "Dates", url_of("dates", case), line)


def papers(case: Case) -> Part:
    return Part(
        "papers",
        "Papers",
        url_of("papers", case),
        "Lab slip, checklists of try-in and final wax, processing handoff, incident sheet",
    )


def history(case: Case) -> Part:
    last = case.history.select_related("by").last()
    line = f"{long_time(last.at)}: {_short(sentence(last))}" if last else "Nothing yet"
    return Part("history", "History", url_of("history", case), line)


def _short(text: str) -> str:
    """The beginning of a long sentence; the whole of it stands in the history."""
    return textwrap.shorten(text, SHORT, placeholder=" ...")
