"""What every form of a case's part shares: version, units, no saving."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from typing import Any, ClassVar, cast

from crispy_forms.helper import FormHelper
from django import forms
from django.db import models
from django.http import QueryDict

from labcases.forms.fields import MeasureField, unit_of


class PartForm(forms.ModelForm):  # type: ignore[type-arg]
    """A form over one versioned row. It cleans values; a domain verb saves them.

    ``limits`` maps a field to the key of the engine's limit for it, ``bounds`` a field that
    the engine does not know to its lowest and highest value.
    """

    limits: ClassVar[dict[str, str]] = {}
    bounds: ClassVar[dict[str, tuple[str, str]]] = {}

    together: ClassVar[tuple[str, ...]] = ()
    """Fields of the row that stand on the page as several boxes."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["version"] = getattr(self.instance, "version", 0) if self.instance.pk else 0
        for name, field in list(self.fields.items()):
            if isinstance(field, forms.DecimalField) and not isinstance(field, MeasureField):
                self.fields[name] = self._measure(name, field)
        self.helper = FormHelper()
        self.helper.form_tag = False

    def _measure(self, name: str, field: forms.DecimalField) -> MeasureField:
        column = self.instance._meta.get_field(name)
        if not isinstance(column, models.DecimalField):
            raise TypeError(f"{name} is no measured number; declare its field by hand.")
        return MeasureField(
            unit=unit_of(name),
            limit=self.limits.get(name, ""),
            bounds=self.bounds.get(name),
            label=str(field.label).removesuffix(" mm").removesuffix(" deg"),
            required=field.required,
            help_text=str(field.help_text),
            initial=field.initial,
            max_digits=column.max_digits,
            decimal_places=column.decimal_places,
        )

    def clean(self) -> dict[str, Any]:
        """Take the stored value where the person chose it after a conflict."""
        cleaned = super().clean() or self.cleaned_data
        for name in self._meta.fields or ():
            if self.data.get(f"keep-{self.add_prefix(name)}") == "stored":
                cleaned[name] = getattr(self.instance, name)
                self.errors.pop(name, None)
        return cleaned

    @property
    def started_from(self) -> int:
        """The version that the person had in front of them; 0 while a clash is unanswered.

        A box that the person never touched still holds what it held before somebody else
        changed it, so that saving without a choice would undo the other's change unseen.
        """
        return 0 if self._leaves_a_clash else int(self.cleaned_data.get("version") or 0)

    @property
    def _leaves_a_clash(self) -> bool:
        asked = self.data.getlist("clash") if isinstance(self.data, QueryDict) else []
        own = {self.add_prefix(name) for name in (*self.fields, *self.together)}
        return any(name in own and not self.data.get(f"keep-{name}") for name in asked)

    def values(self) -> dict[str, Any]:
        """Cleaned values of the row's own fields."""
        return {name: value for name, value in self.cleaned_data.items() if name != "version"}

    def show_stored(self, version: int) -> None:
        """Keep what was typed, but start the next try from the stored version."""
        self.data = with_version(self.data, self.add_prefix("version"), version)


def with_version(data: Mapping[str, Any], name: str, version: int) -> Mapping[str, Any]:
    """What was typed, with the stored version in place of the one that was overtaken."""
    changed = cast(dict[str, Any], copy(data))
    changed[name] = str(version)
    return changed
