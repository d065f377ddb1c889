"""What is in a box, and what was counted out of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, cast

from crispy_forms.helper import FormHelper
from django import forms
from django.core.exceptions import ValidationError

from labcases.enums import BoxContent, BoxDirection
from labcases.forms.base import with_version
from labcases.forms.disinfecting import MOST_MINUTES
from labcases.models import Box, BoxItem

EMPTY_ROWS = 6
MOST_ROWS = 30
MOST_PIECES = 200


class BoxForm(forms.Form):
    """Who carries a box, and which way it goes when the person could send both ways."""

    courier = forms.CharField(
        label="Carried by",
        max_length=80,
        required=False,
        help_text="The courier, or who takes it along.",
    )
    tracking = forms.CharField(label="Tracking number", max_length=80, required=False)
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, ways: Sequence[BoxDirection], box: Box | None = None, **kwargs: Any
    ) -> None:
        """Ask for the direction only where there is a choice."""
        self.box = box
        self.only_way = box.direction if box else ways[0] if len(ways) == 1 else None
        stored = (
            {"version": box.version, "courier": box.courier, "tracking": box.tracking}
            if box
            else {"version": 0}
        )
        kwargs["initial"] = stored
        super().__init__(*args, **kwargs)
        if not self.only_way:
            self.fields["direction"] = _direction(ways, "Where the box goes")

    @property
    def way(self) -> str:
        return str(self.only_way or self.cleaned_data["direction"])

    def clean(self) -> dict[str, Any]:
        """Take what is stored where the person chose it after a conflict."""
        cleaned = super().clean() or self.cleaned_data
        for name in ("courier", "tracking"):
            if self.box and self.data.get(f"keep-{name}") == "stored":
                cleaned[name] = getattr(self.box, name)
        return cleaned

    def show_stored(self, version: int) -> None:
        """Keep what was typed, but start the next try from the stored version."""
        self.data = with_version(self.data, "version", version)


def _direction(ways: Sequence[BoxDirection], label: str) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        choices=[(way.value, way.label) for way in ways],
        widget=forms.RadioSelect(attrs={"data-across": True}),
        error_messages={"required": f"{label}: choose one of the two."},
    )


class ArrivalForm(forms.Form):
    """Who brought a box that nobody announced, and to which house where there is a choice."""

    courier = forms.CharField(
        label="Brought by",
        max_length=80,
        required=False,
        help_text="Courier and number, or who brought it along.",
    )

    def __init__(self, *args: Any, ways: Sequence[BoxDirection], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.ways = ways
        if len(ways) > 1:
            self.fields["direction"] = _direction(ways, "Where the box came")

    @property
    def way(self) -> BoxDirection:
        return BoxDirection(self.cleaned_data.get("direction") or self.ways[0])


def _minutes(label: str) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=1,
        max_value=MOST_MINUTES,
        widget=forms.TextInput(
            attrs={
                "inputmode": "numeric",
                "class": "short",
                "data-unit": "min",
                "data-needed": True,
            }
        ),
        error_messages={
            "invalid": f"{label}: enter whole minutes.",
            "min_value": f"{label}: enter 1 to {MOST_MINUTES} minutes.",
            "max_value": f"{label}: enter 1 to {MOST_MINUTES} minutes.",
        },
    )


class ItemForm(forms.Form):
    """One row: a kind of thing, how many, and how it was disinfected."""

    content = forms.ChoiceField(
        label="Content",
        choices=[("", "nothing in this row"), *BoxContent.choices],
        required=False,
        widget=forms.Select(attrs={"data-needed": True}),
    )
    count = forms.IntegerField(
        label="Pieces",
        required=False,
        min_value=1,
        max_value=MOST_PIECES,
        widget=forms.TextInput(
            attrs={"inputmode": "numeric", "class": "short", "data-needed": True}
        ),
        error_messages={
            "invalid": "Pieces: enter a whole number.",
            "min_value": f"Enter 1 to {MOST_PIECES} pieces.",
            "max_value": f"Enter 1 to {MOST_PIECES} pieces.",
        },
    )
    agent = forms.CharField(
        label="Disinfected with",
        max_length=80,
        required=False,
        widget=forms.TextInput(attrs={"data-needed": True}),
    )
    label_minutes = _minutes("Minutes on the label")
    actual_minutes = _minutes("Minutes given")
    disinfected_by = forms.CharField(
        label="Disinfected by",
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"data-needed": True}),
    )

    row_name = ""

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("content"):
            if cleaned.get("count") is None and "count" not in self.errors:
                self.add_error("count", "Enter how many pieces.")
        elif any(cleaned.get(name) for name in ("count", "agent", *MINUTES, "disinfected_by")):
            self.add_error("content", "Choose what this row holds, or empty the row.")
        return cleaned


MINUTES = ("label_minutes", "actual_minutes")
ITEM_FIELDS = ("content", "count", "agent", *MINUTES, "disinfected_by")


class BaseItemFormSet(forms.BaseFormSet):  # type: ignore[type-arg]
    """The contents of one box, with empty rows at the end."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("prefix", "items")
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.template = "lab/table_inline_formset.html"
        self.helper.form_tag = False
        self.helper.disable_csrf = True
        self.helper.formset_caption = "Contents"
        self.helper.row_head = "Row"

    def add_fields(self, form: ItemForm, index: int | None) -> None:
        """Number the row as well."""
        super().add_fields(form, index)
        form.row_name = f"Row {(index or 0) + 1}"

    def clean(self) -> None:
        if not any(self.errors) and not self.rows():
            raise ValidationError("Enter at least one thing that is in the box.")

    def rows(self) -> list[dict[str, Any]]:
        """The filled rows, ready for the box."""
        return [
            {name: form.cleaned_data[name] for name in ITEM_FIELDS}
            for form in self.forms
            if form.cleaned_data.get("content")
        ]


ItemFormSet = cast(
    type[BaseItemFormSet],
    forms.formset_factory(
        ItemForm,
        formset=BaseItemFormSet,
        extra=EMPTY_ROWS,
        max_num=MOST_ROWS,
        absolute_max=MOST_ROWS,
        validate_max=True,
    ),
)


def stored_items(box: Box) -> list[dict[str, Any]]:
    """What a box holds now, as rows of the form."""
    return list(box.items.values(*ITEM_FIELDS))


class CountForm(forms.Form):
    """One count for each thing that should be in the box."""

    def __init__(self, *args: Any, items: Iterable[BoxItem], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items = list(items)
        for item in self.items:
            name = item.get_content_display()
            self.fields[f"count_{item.pk}"] = forms.IntegerField(
                label=name,
                min_value=0,
                max_value=MOST_PIECES,
                help_text=f"{item.count} on the list. Enter what you count; 0 when it is missing.",
                widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "short"}),
                error_messages={
                    "required": f"Count the {name.lower()}.",
                    "invalid": f"{name}: enter a whole number.",
                    "min_value": f"{name}: enter 0 to {MOST_PIECES} pieces.",
                    "max_value": f"{name}: enter 0 to {MOST_PIECES} pieces.",
                },
            )

    def counts(self) -> Mapping[int, int]:
        return {item.pk: self.cleaned_data[f"count_{item.pk}"] for item in self.items}
