"""Inviting people, linking offices, and what stands on an organisation's papers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms

from labcases.domain import after_care, label_sizes, profiles, shades
from labcases.domain.after_care import HOW as HOW_AFTER_CARE
from labcases.domain.shades import HOW
from labcases.enums import Notation, PaperSize, Role
from labcases.forms.fields import MeasureField
from labcases.models import Organisation
from labcases.reference.labels import LabelSize, bounds_mm, sizes


def dialled(typed: str) -> str:
    """A telephone number, or why it is none."""
    try:
        return after_care.telephone(typed)
    except after_care.NotRead as refused:
        raise forms.ValidationError(str(refused)) from None


class InviteForm(forms.Form):
    """Whom the link is for, and as what they come in."""

    invited_name = forms.CharField(
        max_length=120,
        label="Name of the person",
        help_text="So that you find the invitation again; they can write it differently.",
        error_messages={"required": "Enter whom you invite."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    role = forms.ChoiceField(
        label="Role",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the role that the person has."},
    )

    def __init__(self, *args: Any, roles: Sequence[Role], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = [(role.value, role.label) for role in roles]  # type: ignore[attr-defined]
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Make the link"))


class LinkOfficeForm(forms.Form):
    """The dentist whose office is to send cases."""

    invited_name = forms.CharField(
        max_length=120,
        label="Name of the dentist",
        help_text="The dentist opens the office with the link, or links the office they have.",
        error_messages={"required": "Enter which dentist gets the link."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Make the link"))


LABEL = ("label_size", "own_label_width", "own_label_height")
OWN = "own"
OWN_EDGE: dict[str, Any] = {
    "unit": "mm",
    "bounds": tuple(str(edge) for edge in bounds_mm()),
    "max_digits": 3,
    "decimal_places": 0,
    "required": False,
}


class OrganisationForm(forms.ModelForm):  # type: ignore[type-arg]
    """Name, address, tooth numbers, paper size. A domain verb saves them."""

    profile = forms.ChoiceField(
        label="Profile: what the law of your place asks",
        required=False,
        help_text="A prescription is checked against it before it is signed. Not legal advice: "
        "check what is in force where you are.",
    )
    shade_systems = forms.CharField(
        label="Shade systems of the office",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=f"A line a system. {HOW} A prescription cannot be signed with a code that its "
        "system has not; systems that are not listed are not checked.",
    )
    emergency_telephone = forms.CharField(
        label="Telephone for emergencies",
        required=False,
        max_length=40,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
        help_text="Where your patients call after surgery, also at night. It stands on the "
        "after-care sheet, which does not print without it.",
    )
    after_care = forms.CharField(
        label="After-care text of the office",
        required=False,
        max_length=6000,
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text=f"Left empty, the sheet carries the text that is built in. {HOW_AFTER_CARE} "
        "Name no patient here.",
    )
    records_agree_mm = MeasureField(
        unit="mm",
        bounds=("0.05", "1"),
        max_digits=6,
        decimal_places=2,
        label="Two records of centric relation agree within",
        help_text="0.3 mm is common practice without a source. It decides whether a mounting is "
        "verified, and stands beside the verdict.",
    )
    foil_um = MeasureField(
        unit="µm",
        bounds=("5", "40"),
        max_digits=2,
        decimal_places=0,
        label="Foil that verifies a mounting",
        help_text="The thickness on its package. Foil of 8 µm still held where a gap of 6 µm was "
        "left (Harper & Setchell, Int J Prosthodont 2002;15:347-352); thicker paper marks more "
        "than there is (Brizuela-Velasco, Int J Prosthodont 2015;28:360-362). Of both, the source "
        "or its abstract was read.",
    )
    base_min_mm = MeasureField(
        unit="mm",
        limit="base_min_mm",
        max_digits=6,
        decimal_places=2,
        required=False,
        label="Least base under a tooth",
        help_text="Your own figure: none is built in, and no standard names one. It stands at "
        "every site without a number of its own, and a thinner base is warned of. That of an "
        "office goes before that of the laboratory. Bases of 1.6, 2.0 and 2.5 mm were tested, "
        "and 2.5 was stronger than 1.6 in a conventional resin (J Dent Rehabil Appl Sci 36(3), "
        "abstract read): that is what was tested, not what is enough.",
    )

    label_size = forms.ChoiceField(
        label="Labels for casts and boxes",
        required=False,
        help_text="Width x height of one label. The sizes are common practice, no source; measure "
        "a label of your printer.",
    )
    own_label_width = MeasureField(label="Width of a label of our own", **OWN_EDGE)
    own_label_height = MeasureField(label="Height of a label of our own", **OWN_EDGE)

    #: What is asked of one kind of house only.
    only: ClassVar[dict[str, tuple[str, ...]]] = {
        "office": ("shade_systems", "emergency_telephone", "after_care"),
        "laboratory": ("records_agree_mm", "foil_um", *LABEL),
    }

    class Meta:
        model = Organisation
        fields = (
            *("name", "address", "notation", "paper_size", "profile"),
            *("shade_systems", "emergency_telephone", "after_care"),
            *("records_agree_mm", "foil_um", "base_min_mm"),
        )
        labels = {
            "name": "Name",
            "address": "Address",
            "notation": "Tooth numbers are shown in",
            "paper_size": "Paper size",
        }
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        error_messages = {"name": {"required": "Enter the name; it stands on papers."}}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["profile"].choices = [  # type: ignore[attr-defined]
            ("", "None chosen"),
            *((key, one.title) for key, one in profiles.profiles().items()),
        ]
        for kind, names in self.only.items():
            if not getattr(self.instance, f"is_{kind}"):
                for name in names:
                    del self.fields[name]
        if "label_size" in self.fields:
            self._offer_labels()
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Save"))

    def _offer_labels(self) -> None:
        stored, listed = label_sizes.chosen(self.instance), sizes()
        self.fields["label_size"].choices = [  # type: ignore[attr-defined]
            ("", "None chosen"),
            *((size.key, size.words) for size in listed),
            (OWN, "A size of our own"),
        ]
        if stored in listed:
            self.initial["label_size"] = stored.key if stored else ""
        elif stored:
            self.initial["label_size"] = OWN
            self.initial["own_label_width"] = stored.width_mm
            self.initial["own_label_height"] = stored.height_mm

    def clean(self) -> dict[str, Any]:
        told = super().clean() or self.cleaned_data
        edges = LABEL[1:]
        if told.get("label_size") == OWN:
            for name in edges:
                if name not in self.errors and told.get(name) is None:
                    label = self.fields[name].label
                    self.add_error(name, f"{label}: enter a number, or choose a listed size.")
        elif any(told.get(name) is not None and name in self.changed_data for name in edges):
            self.add_error(
                "label_size",
                "A width or a height of your own is typed below. Choose “A size of our own”, or "
                "empty both.",
            )
        return told

    def _label(self) -> LabelSize | None:
        if self.cleaned_data["label_size"] == OWN:
            return LabelSize(*(int(self.cleaned_data[name]) for name in LABEL[1:]))
        return next((one for one in sizes() if one.key == self.cleaned_data["label_size"]), None)

    def clean_shade_systems(self) -> str:
        text = str(self.cleaned_data["shade_systems"]).strip()
        try:
            shades.read(text)
        except shades.NotRead as refused:
            raise forms.ValidationError(str(refused)) from None
        return text

    def clean_emergency_telephone(self) -> str:
        return dialled(self.cleaned_data["emergency_telephone"])

    def clean_after_care(self) -> str:
        text = str(self.cleaned_data["after_care"]).strip()
        try:
            after_care.read(text)
        except after_care.NotRead as refused:
            raise forms.ValidationError(str(refused)) from None
        return text

    def values(self) -> dict[str, Any]:
        asked = {name for names in self.only.values() for name in names} - set(LABEL)
        own = asked & set(self.cleaned_data)
        label = {"label_size": self._label()} if "label_size" in self.fields else {}
        return {
            **{name: self.cleaned_data[name] for name in own},
            **label,
            "name": self.cleaned_data["name"],
            "address": self.cleaned_data["address"],
            "notation": Notation(self.cleaned_data["notation"]),
            "paper_size": PaperSize(self.cleaned_data["paper_size"]),
            "profile": self.cleaned_data["profile"],
            "base_min_mm": self.cleaned_data["base_min_mm"],
        }
