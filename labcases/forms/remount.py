"""Lines of the remount, a small form an act, and its checklist."""

from __future__ import annotations

from typing import Any, ClassVar

from crispy_forms.helper import FormHelper
from django import forms

from labcases.domain import teeth
from labcases.enums import Movement, Notation, OpposingTooth
from labcases.enums.marks import Cusps, Strength
from labcases.enums.remount import RemountAct
from labcases.forms.check_lines import YES_OR_NO, YesNoForm
from labcases.forms.choices import TeethField, YesNoField
from labcases.forms.fields import MeasureField
from labcases.forms.setup import DEPTH_MM
from labcases.models import Case, RemountCheck
from labcases.reference.remount import OTHER, causes, remount_checklist
from labcases.templatetags.units import tooth_number

RISE_MM = ("-2", "10")
"""Nothing that a flask does lies beyond (common practice, no source)."""

FOIL_UM = (4, 300)
HOURS = (1, 1000)


class LineForm(forms.Form):
    """A line of one act. It cleans; ``domain.remount.log`` stores.

    Parameters
    ----------
    case : Case
        Whose prescription says which teeth are there.
    notation : str
        The notation that teeth are typed in.
    """

    act: ClassVar[Any]
    lands: ClassVar[tuple[str, ...]] = ()
    """Boxes that gates send people to; each stands once on the page."""

    by_dentist = False
    """Who fills it in is the dentist, whom nobody else is to be asked for."""

    def __init__(self, data: Any = None, *, case: Case, notation: str = Notation.ISO_3950) -> None:
        super().__init__(data, auto_id=f"id_{self.act.name.lower()}_%s")
        self.case = case
        self.notation = notation
        for name in self.lands:
            self.fields[name].widget.attrs["id"] = f"id_{name}"
        if "note" not in self.fields:
            self.fields["note"] = forms.CharField(max_length=300, required=False, label="Note")
        self.helper = FormHelper()
        self.helper.form_tag = False

    @property
    def title(self) -> str:
        return str(self.act.label)

    def values(self) -> dict[str, Any]:
        """What ``domain.remount.log`` stores."""
        return {"act": self.act, **self.cleaned_data}

    def _shown(self, wanted: list[str]) -> str:
        return " ".join(tooth_number(tooth, self.notation) for tooth in wanted)


def _rise(label: str, help_text: str = "") -> MeasureField:
    return MeasureField(
        unit="mm",
        bounds=RISE_MM,
        max_digits=6,
        decimal_places=2,
        label=label,
        help_text=help_text,
        error_messages={
            "required": "Enter how far the pin stands off the agreed value; 0 when it is back."
        },
    )


class ReadForm(LineForm):
    act = RemountAct.PIN_READ
    lands = ("rise_mm",)
    rise_mm = _rise(
        "Pin rise",
        "From the agreed value: 0 when the pin is on the table again, below it with a minus. Read "
        "it with the cast still on its mounting.",
    )


class IndexForm(LineForm):
    act = RemountAct.INDEX_READ
    rise_mm = _rise("Pin rise on the index")
    hours_after = forms.IntegerField(
        min_value=HOURS[0],
        max_value=HOURS[1],
        label="Hours after the remount",
        widget=forms.TextInput(attrs={"inputmode": "numeric", "data-unit": "h"}),
        error_messages={
            "required": "Enter how many hours after the remount it was read.",
            "invalid": "Hours after the remount: enter whole hours, for example 48.",
            "min_value": "Hours after the remount: enter 1 to 1000.",
            "max_value": "Hours after the remount: enter 1 to 1000.",
        },
    )


class CauseForm(LineForm):
    act = RemountAct.CAUSE

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        note = self.fields.pop("note")
        self.fields["cause"] = forms.ChoiceField(
            choices=[("", "Choose"), *((one.key, one.words) for one in causes().values())],
            label="Cause that was found",
            widget=forms.Select(attrs={"id": "id_cause"}),
            error_messages={
                "required": "Choose the cause that was found.",
                "invalid_choice": "Choose the cause that was found.",
            },
        )
        note.label, note.help_text = "In words", "Needed for another cause."
        self.fields["note"] = note

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("cause") == OTHER and not str(cleaned.get("note", "")).strip():
            self.add_error("note", "Say in words what the cause was, or what was looked at.")
        return cleaned


class AcceptForm(LineForm):
    """One button: what is left of the rise is accepted."""

    act = RemountAct.ACCEPTED


class PassForm(LineForm):
    """The teeth that marked, typed; heavy ones and cusps among them where they were looked at."""

    act: ClassVar[Any] = RemountAct.PASS
    among: ClassVar[dict[str, tuple[str, str]]] = {
        "heavy": ("strength", Strength.HEAVY),
        "buccal": ("cusps", Cusps.BUCCAL),
        "lingual": ("cusps", Cusps.LINGUAL),
    }

    movement = forms.ChoiceField(
        choices=[("", "Choose"), *Movement.choices],
        label="Movement",
        widget=forms.Select(attrs={"id": "id_movement"}),
        error_messages={
            "required": "Choose the movement of the pass.",
            "invalid_choice": "Choose the movement of the pass.",
        },
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        note = self.fields.pop("note")
        for name, label in (
            ("teeth", "Teeth that marked"),
            ("heavy", "Heavier than the others"),
            ("buccal", "On buccal cusps"),
            ("lingual", "On lingual cusps"),
        ):
            self.fields[name] = TeethField(notation=self.notation, required=False, label=label)
        self.fields["none"] = forms.BooleanField(required=False, label="No tooth marked")
        self.fields["foil_um"] = forms.IntegerField(
            required=False,
            min_value=FOIL_UM[0],
            max_value=FOIL_UM[1],
            label="Foil",
            help_text="As its label says, in micrometres.",
            widget=forms.TextInput(attrs={"inputmode": "numeric", "data-unit": "µm"}),
            error_messages={
                "invalid": "Foil: enter whole micrometres, for example 8.",
                "min_value": "Foil: enter 4 to 300 micrometres.",
                "max_value": "Foil: enter 4 to 300 micrometres.",
            },
        )
        self.fields["as_wanted"] = YesNoField(
            label="As the scheme wants, and even on both sides", required=True
        )
        self.fields["as_wanted"].error_messages["required"] = (
            "Say whether the contacts are as wanted."
        )
        self.fields["note"] = note

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        marked = cleaned.get("teeth") or []
        if "teeth" in cleaned and bool(marked) == bool(cleaned.get("none")):
            self.add_error("teeth", 'Name the teeth that marked, or tick "No tooth marked".')
        for tooth in marked:
            if teeth.kind(self.case.prescription, tooth) == OpposingTooth.MISSING:
                self.add_error(
                    "teeth",
                    f"No tooth stands at {self._shown([tooth])}. Name only teeth that are there.",
                )
        for name in self.among:
            strange = [tooth for tooth in cleaned.get(name) or [] if tooth not in marked]
            if strange:
                self.add_error(
                    name, f"{self._shown(strange)} did not mark. Name it among the teeth as well."
                )
        both = set(cleaned.get("buccal") or []) & set(cleaned.get("lingual") or [])
        if both:
            self.add_error(
                "lingual", f"{self._shown(sorted(both))} stands in both boxes. Choose one."
            )
        return cleaned

    def values(self) -> dict[str, Any]:
        told = self.cleaned_data
        marks: dict[str, dict[str, str]] = {}
        for name, (what, word) in self.among.items():
            for tooth in told[name]:
                marks.setdefault(tooth, {})[what] = str(word)
        kept = ("movement", "teeth", "foil_um", "as_wanted", "note")
        return {"act": self.act, "marks": marks, **{name: told[name] for name in kept}}


class CorrectForm(LineForm):
    act: ClassVar[Any] = RemountAct.REDUCTION

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        note = self.fields.pop("note")
        own = teeth.replaced(self.case.prescription)
        self.fields["teeth"] = TeethField(
            notation=self.notation,
            label="Denture tooth",
            help_text=f"Denture teeth of this case: {self._shown(own)}.",
            error_messages={"required": "Enter the denture tooth that was corrected."},
        )
        self.fields["depth_mm"] = MeasureField(
            unit="mm",
            bounds=DEPTH_MM,
            max_digits=6,
            decimal_places=2,
            label="Taken off",
            error_messages={"required": "Enter how much was taken off."},
        )
        self.fields["note"] = note

    def clean_teeth(self) -> list[str]:
        wanted: list[str] = self.cleaned_data["teeth"]
        if len(wanted) != 1:
            raise forms.ValidationError("Name one denture tooth; log a line for each.", code="one")
        kind = teeth.kind(self.case.prescription, wanted[0])
        if kind != OpposingTooth.DENTURE:
            then = (
                "What you decide about it stands in the records of the patient."
                if self.by_dentist
                else "Ask the dentist about what you found on it."
            )
            raise forms.ValidationError(
                f"{self._shown(wanted)} is no denture tooth, and nothing else is ground. {then}",
                code="natural",
            )
        return wanted


FORMS: dict[RemountAct, type[LineForm]] = {
    form.act: form for form in (ReadForm, CauseForm, PassForm, CorrectForm, AcceptForm, IndexForm)
}


class RemountCheckForm(YesNoForm):
    """Before the denture comes off its cast. It may be saved while lines are open."""

    class Meta:
        model = RemountCheck
        fields: ClassVar[tuple[str, ...]] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lay_out(remount_checklist(), YES_OR_NO)
