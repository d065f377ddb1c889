"""Every gap of the finished denture: its mark and its template."""

from __future__ import annotations

from typing import Any

from labcases.domain import finishing
from labcases.enums import Stage
from labcases.management import walk_remount
from labcases.management.walk import Walk
from tests.labcases.domain.gaps import Act, Gap, both

MANAGER = "manager"


def wants(identification: str) -> Act:
    """A mark is prescribed, as no revision is needed for here."""
    return lambda walk: walk.case.prescriptions.update(identification=identification)


def text(words: str) -> Act:
    def do(walk: Walk) -> None:
        row = getattr(walk.reload(), "mark_row", None)
        finishing.give_text(
            case=walk.case,
            version=row.version if row else 0,
            by=walk.hands.office_desk,
            values={"mark_text": words},
        )

    return do


def says(**values: Any) -> Act:
    return lambda walk: finishing.save(
        case=walk.reload(),
        version=walk.case.finishing.version,
        by=walk.hands.technician,
        values=values,
    )


def placed(walk: Walk) -> None:
    walk_remount.finish(walk.reload(), walk.hands.technician)


FINISHING = (
    Gap(
        *("no text of the mark", Stage.RELEASED),
        "The office has not given the text of the mark. Ask for it, or ask the dentist for a "
        "revision.",
        *("finishing", ""),
        lose=wants("office text"),
        mend=both(text("A. Quill"), says(mark_placed=False), says(mark_placed=True)),
        passes=MANAGER,
    ),
    Gap(
        *("mark not placed", Stage.RELEASED),
        "Put the mark into the denture, read it, and say that it is placed.",
        *("finishing", "mark_placed"),
        lose=both(wants("patient code"), says(mark_placed=False)),
        mend=placed,
        passes=MANAGER,
    ),
    Gap(
        *("text of the mark changed since", Stage.RELEASED),
        "The text of the mark has changed since it was placed. Read the mark and say it again.",
        *("finishing", "mark_placed"),
        lose=both(
            wants("office text"),
            text("A. Quill"),
            says(mark_placed=False),
            says(mark_placed=True),
            text("A. Quilt"),
        ),
        mend=says(mark_placed=True),
        passes=MANAGER,
    ),
    Gap(
        *("template not made", Stage.RELEASED),
        "A template was decided. Make it and say so.",
        *("finishing", "template_made"),
        lose=says(template_made=None),
        mend=says(template_made=True),
        passes=MANAGER,
    ),
    Gap(
        *("template does not seat", Stage.RELEASED),
        "Check the template beside the finished denture: it seats on the cast as the denture does. "
        "Where it does not, make it again.",
        *("finishing", "template_seats"),
        lose=says(template_seats=False),
        mend=says(template_seats=True),
        passes=MANAGER,
    ),
)
