"""A material of a laboratory's own, and boxes that offer its name where a product is entered."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar

from django import forms
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from labcases.enums.curing import Technique
from labcases.enums.materials import Monomer, OwnKind
from labcases.forms.base import PartForm
from labcases.forms.casts import choices, pick
from labcases.models import OwnMaterial


class OwnMaterialForm(PartForm):
    """The name stands fast once it is entered: cycles and old cases are found by it."""

    kind = pick("Kind", OwnKind.choices, missing="Choose what the material is for.")
    technique = forms.ChoiceField(
        label="Technique",
        choices=choices("Any, or none", Technique.choices),
        required=False,
        help_text="Offered for processings of this technique only.",
    )
    monomer = pick("Monomer", Monomer.choices, missing="Say what the label tells of monomer.")
    in_use = forms.BooleanField(label="In use", required=False, initial=True)
    why = forms.CharField(
        label="Why it is used no more",
        max_length=200,
        required=False,
        help_text="Asked when it is taken out of use. Cases that it went into keep it.",
    )

    class Meta:
        model = OwnMaterial
        fields = ("called", "kind", "technique", "monomer", "note")
        labels: ClassVar[dict[str, str]] = {"called": "Name"}
        help_texts: ClassVar[dict[str, str]] = {"called": "The product as its label says."}
        error_messages: ClassVar[dict[str, Any]] = {
            "called": {"required": "Enter the product as its label says it."}
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is None:
            del self.fields["in_use"], self.fields["why"]
        else:
            del self.fields["called"]
            self.initial["in_use"] = self.instance.stopped_at is None
            self.initial["why"] = self.instance.stopped_why

    def values(self) -> dict[str, Any]:
        """What the domain verbs store."""
        beside = ("version", "in_use", "why")
        return {name: said for name, said in self.cleaned_data.items() if name not in beside}


class Offering(forms.TextInput):
    """A text box that offers names while one types, and takes any other text as well."""

    def __init__(self, names: Iterable[str], attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs)
        self.names = list(names)

    def render(
        self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None
    ) -> SafeString:
        if not self.names:
            return super().render(name, value, attrs, renderer)
        key = f"{(attrs or {}).get('id', name)}_offered"
        box = super().render(name, value, {**(attrs or {}), "list": key}, renderer)
        options = format_html_join("", '<option value="{}"></option>', ((n,) for n in self.names))
        return format_html('{}<datalist id="{}">{}</datalist>', box, key, options)


def offer(form: forms.BaseForm, field: str, names: Iterable[str]) -> None:
    """Let a text box of a form offer these names."""
    box = form.fields[field]
    widget = Offering(names, box.widget.attrs)
    widget.is_required = box.required
    box.widget = widget
