"""What must have been signed, packed, sent and counted in."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from labcases.domain import delivered, differences, disinfecting, on_paper, vertical
from labcases.domain.gates.clinical import BEFORE_SURGERY
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.enums import (
    AttachmentKind,
    BoxContent,
    BoxDirection,
    PhotographView,
    PrescriptionStatus,
    Stage,
    TryInOutcome,
)
from labcases.models import Box, Case


def signed(case: Case) -> Iterator[Missing]:
    if case.prescription.status != PrescriptionStatus.SIGNED:
        yield Missing("The dentist has not signed the prescription.", "sign")


def surgery_known(case: Case) -> Iterator[Missing]:
    if case.surgery_on is None:
        yield Missing("Enter the surgery date.", "dates", "surgery_on")
        return
    first = case.prescription.first_extraction_on
    if first and first >= case.surgery_on:
        yield Missing(BEFORE_SURGERY, "dates", "surgery_on")


def photographs_here(case: Case) -> Iterator[Missing]:
    """The photographs that the prescription wants are added, or packed as prints.

    A face that the laboratory may not see yet does not count.
    """
    wanted = [view for view in PhotographView if view in case.prescription.photographs]
    to_laboratory = case.boxes.filter(direction=BoxDirection.TO_LABORATORY, trouble="")
    if not wanted or to_laboratory.filter(items__content=BoxContent.PHOTOGRAPHS).exists():
        return
    before = case.attachments.filter(kind=AttachmentKind.PHOTOGRAPH, removed_at=None)
    here = {row.view for row in before if not row.held_back}
    lacking = [view.label.lower() for view in wanted if view not in here]
    if lacking:
        yield Missing(
            f"Pre-extraction photographs are missing, or held back from the laboratory: "
            f"{', '.join(lacking)}. Add them, or pack prints.",
            "files",
        )


def _boxes(case: Case, direction: BoxDirection) -> list[Box]:
    """All boxes of one direction: as a page has fetched them of many cases at once, or now."""
    rows = [box for box in case.boxes.all() if box.direction == direction]
    return disinfecting.with_items(rows)


def box_ready(case: Case) -> Iterator[Missing]:
    boxes = _boxes(case, BoxDirection.TO_LABORATORY)
    if not boxes and on_paper.of_revision(case.prescription):
        # Nobody of the office logs in to pack it: the list of boxes offers to record what came.
        yield Missing(
            "Record the box that came with the signed paper, or have the office pack one: what "
            "goes to the laboratory, and how many.",
            "boxes",
        )
    elif not boxes:
        yield Missing("Pack a box: say what goes to the laboratory, and how many.", "box_new")
    for box in boxes:
        # What has come already, announced or not, is not kept from leaving any more.
        if box.sent_at is None:
            yield from box_may_leave(box)


def box_may_leave(box: Box) -> Iterator[Missing]:
    """A box leaves only when every item was disinfected for as long as its label says."""
    items = list(box.items.all())
    if not items:
        yield Missing("The box is empty. Enter what is in it.", "box")
    early = list(Stage).index(Stage(box.case.stage)) < list(Stage).index(Stage.RELEASED)
    if (
        early
        and box.direction == BoxDirection.TO_OFFICE
        and any(item.content == BoxContent.DENTURE for item in items)
    ):
        yield Missing("The denture is not released yet. It stays until it is.", "case")
    for item in items:
        if item.needs_disinfection and not item.disinfection_declared:
            yield Missing(
                f"Enter how the {item.get_content_display().lower()} was disinfected: agent, "
                "minutes on the label, minutes given and by whom.",
                "box",
            )
        elif item.needs_disinfection and item.disinfection_too_short:
            yield Missing(
                f"The {item.get_content_display().lower()} was disinfected for "
                f"{item.actual_minutes} of {item.label_minutes} minutes. Repeat it and enter the "
                "new time.",
                "box",
            )
        elif item.needs_disinfection and not item.disinfected_by:
            yield Missing(f"Enter who disinfected the {item.get_content_display().lower()}.", "box")


def counted_in(case: Case) -> Iterator[Missing]:
    sent = [box for box in _boxes(case, BoxDirection.TO_LABORATORY) if box.sent_at]
    gone = [box for box in sent if box.trouble]
    here = [box for box in sent if not box.trouble]
    if any(box.received_at is None for box in here) or not sent:
        yield Missing("Take in the box and count what is in it.", "boxes")
    came = {item.content for box in here for item in box.items.all() if item.arrived_count}
    for box in gone:
        lacking = [item for item in box.items.all() if item.content not in came]
        if lacking:
            yield Missing(
                f"{differences.gone_words(box, lacking)} Send it again, or say that it turned up.",
                "boxes",
                passable=MANAGER,
            )


def handled_safely(case: Case) -> Iterator[Missing]:
    """What came without disinfection is disinfected and logged before it is handled."""
    yield from _contaminated(case, BoxContent)


def records_handled_safely(case: Case) -> Iterator[Missing]:
    """The same for what is taken in hand to mount the casts."""
    yield from _contaminated(
        case, (BoxContent.JAW_RECORD, BoxContent.FACE_BOW, BoxContent.RIM, BoxContent.CAST)
    )


def _contaminated(case: Case, contents: Collection[str]) -> Iterator[Missing]:
    for item in disinfecting.of_case(case):
        box = item.box
        came = box.comes_to == "laboratory" and box.received_at and not box.trouble
        if came and item.content in contents:
            yield Missing(
                f"The {item.get_content_display().lower()} came with no disinfection or one that "
                "was too short. Disinfect it and log it.",
                "boxes",
                passable=MANAGER,
            )


def jaw_record_here(case: Case) -> Iterator[Missing]:
    here = [
        box
        for box in _boxes(case, BoxDirection.TO_LABORATORY)
        if box.received_at
        and not box.trouble
        and any(i.content == BoxContent.JAW_RECORD and i.arrived_count for i in box.items.all())
    ]
    asked = [row for row in case.try_ins.all() if row.outcome == TryInOutcome.NEW_RECORD]
    raised = vertical.raised(case)
    since = max(
        (
            at
            for at in (asked[-1].decided_at if asked else None, raised and raised.answered_at)
            if at
        ),
        default=None,
    )
    if not here:
        yield Missing("No jaw record has been counted in at the laboratory.", "boxes")
    elif since and not any(box.received_at and box.received_at > since for box in here):
        new = raised is not None and raised.answered_at == since
        who = "the dentist set a new vertical" if new else "the try-in asked for a new one"
        yield Missing(f"No jaw record has been counted in since {who}.", "boxes")


def denture_packed(case: Case) -> Iterator[Missing]:
    """A box with the denture is packed, and whatever leaves with it may leave."""
    boxes = [box for box in _boxes(case, BoxDirection.TO_OFFICE) if box.sent_at is None]
    packed = {item.content for box in boxes for item in box.items.all()}
    if BoxContent.DENTURE not in packed:
        yield Missing("Pack a box with the denture.", "box_new")
    elif case.prescription.return_casts and BoxContent.CAST not in packed:
        yield Missing(
            "The prescription asks for the casts back. Pack them with the denture.",
            "boxes",
            passable=MANAGER,
        )
    for box in boxes:
        yield from box_may_leave(box)


def denture_arrived(case: Case) -> Iterator[Missing]:
    if delivered.settled_unreported(case):
        return
    arrived = case.boxes.filter(
        direction=BoxDirection.TO_OFFICE,
        received_at__isnull=False,
        trouble="",
        items__content=BoxContent.DENTURE,
    ).exists()
    if not arrived:
        yield Missing("Take in the box with the denture and count it.", "boxes")
