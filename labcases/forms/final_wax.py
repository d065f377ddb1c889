"""The final wax as typed: what is decided, what is measured, two checklists, and the approval."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.forms import BoundField

from labcases.domain import final_wax
from labcases.domain.wax_measures import LABELS
from labcases.enums import Flange
from labcases.enums.wax import Insertion, Undercut, WaxAnswer, WaxList
from labcases.forms.base import PartForm
from labcases.forms.check_lines import MOST_WORDS, LinesForm, answer_of, given, words_of
from labcases.forms.choices import YesNoField
from labcases.models import FinalWax
from labcases.reference.checklists import lines_of, wax_checklist

NOT_SAID = ("", "Not said yet")
MEASURES = tuple(LABELS)
FLANGE_MM = ("flange_right_mm", "flange_front_mm", "flange_left_mm")


class FinalWaxForm(PartForm):
    """May be saved while decisions are open; the gate asks for all of them."""

    limits: ClassVar[dict[str, str]] = {"overjet_mm": "overjet_mm", "overbite_mm": "overbite_mm"}
    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "incisal_display_mm": ("-10", "20"),
        "midline_offset_mm": ("-10", "10"),
        "central_length_mm": ("5", "20"),
        **dict.fromkeys(FLANGE_MM, ("0", "10")),
    }
    together: ClassVar[tuple[str, ...]] = ("as_prescribed",)
    needed: ClassVar[tuple[str, ...]] = (
        *("bone_change_planned", "flange_kind", *FLANGE_MM, "undercut_kind", "undercut_decision"),
        *("insertion", "template_wanted", "template_decision", *MEASURES),
    )

    flange_kind = forms.ChoiceField(
        choices=[NOT_SAID, *Flange.choices], label="Flange", required=False
    )
    undercut_kind = forms.ChoiceField(
        choices=[NOT_SAID, *Undercut.choices], label="Undercuts", required=False
    )
    insertion = forms.ChoiceField(
        choices=[NOT_SAID, *Insertion.choices], label="Path of insertion", required=False
    )
    bone_change_planned = YesNoField(
        label="A change of bone is planned",
        help_text="Planned by the dentist. The cast is cut no further than the dentist approves.",
    )
    template_wanted = YesNoField(label="A surgical template is made")

    class Meta:
        model = FinalWax
        fields = (
            *("duplicate_made", "bone_change_planned", "template_wanted", "template_decision"),
            *("flange_kind", *FLANGE_MM, "flange_decision"),
            *("undercut_kind", "undercut_decision", "insertion"),
            *(*MEASURES, "note"),
        )
        labels: ClassVar[dict[str, str]] = {
            "duplicate_made": "The trimmed cast is duplicated",
            "template_decision": "Of the template, in words",
            "flange_right_mm": "Thick at the right canine",
            "flange_front_mm": "Thick at the midline",
            "flange_left_mm": "Thick at the left canine",
            "flange_decision": "Of the flange, in words",
            "undercut_decision": "Of undercuts, in words",
            **{name: f"{label} in wax" for name, label in LABELS.items()},
        }
        help_texts: ClassVar[dict[str, str]] = {
            "template_decision": "Needed where none is made though prescribed or bone changes.",
            "flange_decision": "For example: thinner towards 13.",
            "undercut_decision": "Where and how much, for example: 13 and 23, 1 mm.",
            "incisal_display_mm": "As the lip line on the cast shows it.",
            "midline_offset_mm": "Plus to the patient's left, minus to the right.",
        }
        widgets: ClassVar[dict[str, Any]] = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stored_words = dict(self.instance.as_prescribed)
        for name in self.needed:
            self.fields[name].widget.attrs["data-needed"] = True
        for name, label in LABELS.items():
            self.fields[_words(name)] = forms.CharField(
                label=f"{label}: as prescribed, in words",
                max_length=MOST_WORDS,
                required=False,
                widget=forms.TextInput(attrs={"data-needed": True}),
            )
            self.initial[_words(name)] = self.stored_words.get(name, "")

    @property
    def measures(self) -> list[tuple[BoundField, BoundField]]:
        """Each measurement with the words that say why it differs."""
        return [(self[name], self[_words(name)]) for name in MEASURES]

    @property
    def flange_mm(self) -> list[BoundField]:
        return [self[name] for name in FLANGE_MM]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("undercut_kind") not in ("", None, Undercut.NONE) and not cleaned.get(
            "undercut_decision"
        ):
            self.add_error(
                "undercut_decision", "Say where the undercuts are, and how much is done."
            )
        typed = {name: cleaned.get(_words(name), "") for name in MEASURES}
        cleaned["as_prescribed"] = (
            self.stored_words
            if self.data.get("keep-as_prescribed") == "stored"
            else {name: words for name, words in typed.items() if words}
        )
        return cleaned

    def values(self) -> dict[str, Any]:
        names = (*(self._meta.fields or ()), "as_prescribed")
        return {name: self.cleaned_data[name] for name in names}


class WaxListForm(LinesForm):
    """One checklist: yes, no, or not asked for here, the latter two in words."""

    which: ClassVar[WaxList]

    class Meta:
        model = FinalWax
        fields: ClassVar[tuple[str, ...]] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        pauses = wax_checklist(self.which, self.instance.case.prescription.arch)
        self.lay_out(pauses, WaxAnswer.choices)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        lines = lines_of(self.checklist)
        for name, told in given(cleaned, lines).items():
            kept = self.data.get(f"keep-{name}") == "stored"
            own = {line.key for line in lines}
            stored = {key: value for key, value in self.stored[name].items() if key in own}
            cleaned[name] = stored if kept else told
        for line in lines:
            answer, words = cleaned["answers"].get(line.key), cleaned["words"].get(line.key)
            if answer == WaxAnswer.NO and not words:
                self.add_error(words_of(line), f"Say what is wrong: {line.text}.")
            elif answer == WaxAnswer.NOT_ASKED and not words:
                self.add_error(words_of(line), f"Say why it is not asked for here: {line.text}.")
            elif answer == WaxAnswer.YES:
                self._prove(line)
        return cleaned

    def _prove(self, line: Any) -> None:
        lacks = final_wax.unproven(self.instance.case, line, self.instance)
        if lacks:
            self.add_error(answer_of(line), f"Answered yes, and {lacks}. Enter it, or answer no.")


class TeethListForm(WaxListForm):
    which = WaxList.TEETH


class BaseListForm(WaxListForm):
    which = WaxList.BASE


LIST_FORMS: dict[WaxList, type[WaxListForm]] = {
    WaxList.TEETH: TeethListForm,
    WaxList.BASE: BaseListForm,
}


class ApproveForm(forms.Form):
    """Carries the version and the trimming that the dentist looked at; the button is the act."""

    version = forms.IntegerField(
        widget=forms.HiddenInput,
        error_messages={
            "required": "Open the page again and look at the wax before you approve it.",
            "invalid": "Open the page again and look at the wax before you approve it.",
        },
    )
    trims = forms.RegexField(
        r"^[\d,]*$",
        required=False,
        widget=forms.HiddenInput,
        error_messages={
            "invalid": "Open the page again and look at the trimming before you approve it.",
        },
    )

    def values(self) -> dict[str, Any]:
        """The version, and the lines of the trimming where the page said them."""
        told = self.cleaned_data["trims"]
        return {
            "version": self.cleaned_data["version"],
            "trims": [int(one) for one in told.split(",") if one] if "trims" in self.data else None,
        }


def _words(name: str) -> str:
    return f"words_{name}"
