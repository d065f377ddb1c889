"""Typing the sheet of release and delivery: the office's own three forms, one after the other."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from labcases.domain import paper_delivery
from labcases.domain.bench_check import YES
from labcases.forms.base import PartForm
from labcases.forms.delivery import ArrivalForm, DeliveryForm, SurgeryForm
from labcases.models import Case

COUNT_DIFFERS = (
    "The paper says that the count differs. Report what is missing under what went wrong, and type "
    "the paper once the office has counted again."
)


class ArrivalPaperForm(ArrivalForm):
    """The check on arrival; the box itself is taken in when the paper is confirmed."""

    needs_box: ClassVar[bool] = False

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned["answers"].get(paper_delivery.COUNTED) != YES and not self.errors:
            self.add_error(f"answer_{paper_delivery.COUNTED}", COUNT_DIFFERS)
        return cleaned


class PlacedPaperForm(DeliveryForm):
    """The delivery, beside the surgery of the same sheet."""

    surgery_beside: ClassVar[bool] = True


class DeliveryPaperForm:
    """One form of three parts; each part has its own prefix, so that no two boxes share a name."""

    def __init__(self, data: Any, *, case: Case, said: Mapping[str, Any]) -> None:
        self.by_name: dict[str, PartForm] = {
            name: form(data, instance=paper_delivery.row(name, case, said), prefix=name)
            for name, form in (
                ("arrival", ArrivalPaperForm),
                ("surgery", SurgeryForm),
                ("delivery", PlacedPaperForm),
            )
        }
        self.titles = ("As it arrived at the office", "Surgery", "Delivery")

    @property
    def parts(self) -> list[PartForm]:
        return list(self.by_name.values())

    @property
    def titled(self) -> list[tuple[str, PartForm]]:
        return list(zip(self.titles, self.parts, strict=True))

    def is_valid(self) -> bool:
        # Every part is looked at, so that all that is wrong is said at once.
        return not any({name: part.errors for name, part in self.by_name.items()}.values())

    def said(self) -> dict[str, Any]:
        return {name: paper_delivery.as_said(part.values()) for name, part in self.by_name.items()}
