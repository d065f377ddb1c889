"""Finishing: what the bench confirms, and the text that the office gives for the mark."""

from __future__ import annotations

from typing import Any, ClassVar

from labcases.domain import finishing
from labcases.forms.base import PartForm
from labcases.forms.choices import YesNoField
from labcases.models import Finishing, MarkText

NOT_MADE = {
    "template_seats": "The template is not made, so it cannot be said how it seats. Say yes to "
    '"The template is made", or choose "Not said yet" here.',
    "template_lot": "The template is not made. Say that it is, or empty its lot.",
    "template_mm": "The template is not made. Say that it is, or empty its thickness.",
}


class FinishingForm(PartForm):
    """Boxes for the mark and the template stand only where one is wanted."""

    bounds: ClassVar[dict[str, tuple[str, str]]] = {"template_mm": ("0.3", "5")}

    mark_placed = YesNoField(
        label="The mark is in the denture and reads as above",
        help_text="Read it in the denture, letter by letter.",
    )
    template_made = YesNoField(label="The template is made")
    template_seats = YesNoField(
        label="It seats on the cast as the denture does",
        help_text="A template of an earlier trimming does not: make it again.",
    )

    class Meta:
        model = Finishing
        fields = (
            *("mark_placed", "template_made", "template_seats", "template_lot", "template_mm"),
            "note",
        )
        labels = {
            "template_lot": "Lot of the clear resin",
            "template_mm": "Thickness of the template",
            "note": "Note",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        case = self.instance.case
        if not finishing.text_of(case):
            del self.fields["mark_placed"]
        if not finishing.template_wanted(case):
            for name in ("template_made", "template_seats", "template_lot", "template_mm"):
                del self.fields[name]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("template_made") is False:
            self._refuse_of_nothing(cleaned)
        return cleaned

    def _refuse_of_nothing(self, cleaned: dict[str, Any]) -> None:
        """Nothing is said of a template that is not made."""
        typed = {
            "template_seats": cleaned.get("template_seats") is not None,
            "template_lot": bool(cleaned.get("template_lot")),
            "template_mm": cleaned.get("template_mm") is not None,
        }
        for name in (name for name, there in typed.items() if there):
            self.add_error(name, NOT_MADE[name])


class MarkTextForm(PartForm):
    """The text of the mark, by the office."""

    class Meta:
        model = MarkText
        fields = ("mark_text",)
        labels = {"mark_text": "Text of the mark"}
        help_texts = {
            "mark_text": "The laboratory reads it while it finishes the denture; no paper prints "
            "it and the history does not keep it. Never a social security number.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["mark_text"].required = True
        self.fields["mark_text"].error_messages["required"] = "Write the text of the mark."
