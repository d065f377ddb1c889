"""Box label: from where, to whom, what is in it and how it was disinfected; never a name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from labcases.domain import disinfecting
from labcases.enums import PaperKind
from labcases.models import Box, Case, Organisation, User
from labcases.outputs import paper

TEMPLATE = "outputs/box_label.html"


@dataclass(frozen=True)
class Label:
    """One box as its label shows it."""

    box: Box
    sender: Organisation
    receiver: Organisation
    rows: list[tuple[str, int, disinfecting.State]]

    @property
    def contaminated(self) -> bool:
        return any(state.unsafe for _content, _count, state in self.rows)


def to_label(case: Case) -> QuerySet[Box]:
    """Boxes that are packed or on their way."""
    return case.boxes.filter(received_at__isnull=True, trouble="")


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """A label for each box that is packed or on its way, the newest first."""
    rows = disinfecting.with_items(to_label(case).select_related("packed_by").order_by("-id"))
    return {
        **paper.common(case, PaperKind.BOX_LABEL, by, notation),
        "labels": [_label(case, row) for row in rows],
        "careful": disinfecting.CONTAMINATED,
    }


def _label(case: Case, box: Box) -> Label:
    return Label(
        box=box,
        sender=case.office if box.comes_to == "laboratory" else case.laboratory,
        receiver=case.laboratory if box.comes_to == "laboratory" else case.office,
        rows=[
            (item.get_content_display(), item.count, disinfecting.state(item))
            for item in box.items.all()
        ],
    )
