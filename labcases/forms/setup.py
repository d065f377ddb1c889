"""Lines of the set-up log: one small form an act, asking only what belongs to the act.

A pass with foil is no such line: it has a page of its own (``forms/passes.py``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms
from django.utils.functional import cached_property

from labcases.domain import calculations, ledger, opponent, teeth
from labcases.enums import Notation, OpposingTooth, SetUpAct, SetUpPart
from labcases.forms.choices import TeethField, YesNoField
from labcases.forms.fields import MeasureField
from labcases.models import Case
from labcases.templatetags.units import tooth_number

A = SetUpAct

# What callipers and a pin can read; nothing at a bench lies beyond (common practice, no source).
PIN_MM = ("-10", "30")
BASE_MM = ("0", "10")
DEPTH_MM = ("0.05", "5")

RESET_RATHER_MM = Decimal(str(calculations.RESET_BEYOND_MM))
"""From here on a tooth is usually set again instead of ground (common practice, no source)."""


@dataclass(frozen=True)
class Ask:
    """One box of a line: a column of the log, its label, and what to say when it is empty.

    Without a sentence for an empty box the box is optional.
    """

    name: str
    label: str
    missing: str = ""
    help: str = ""
    bounds: tuple[str, str] = PIN_MM


_NOTE = Ask("note", "Note")
_MINE = "Denture teeth of this case: {denture}."

ASKED: dict[SetUpAct, tuple[Ask, ...]] = {
    A.BASE_ADAPTED: (
        Ask(
            "separable_base",
            "Comes off the cast by itself",
            help="Needed for a try-in alone. It is carried on to the end of the posterior part.",
        ),
        _NOTE,
    ),
    A.PIN_OPENED: (
        Ask("before_mm", "Pin before", "Enter the pin reading before it was opened."),
        Ask("after_mm", "Pin after", "Enter the pin reading after it was opened."),
        _NOTE,
    ),
    A.PIN_READING: (Ask("after_mm", "Pin reads", "Enter what the pin reads."), _NOTE),
    A.BASE_REDUCED: (
        Ask("teeth", "At which site", "Enter the site where the base was reduced.", _MINE),
        Ask(
            "after_mm",
            "Base left",
            "Enter the thickness of base that is left.",
            bounds=BASE_MM,
        ),
        _NOTE,
    ),
    A.HOLLOW_GROUND: (
        Ask("teeth", "Which tooth", "Enter the tooth that was hollow-ground.", _MINE),
        Ask("after_mm", "Depth", "Enter how deep it was hollow-ground.", bounds=DEPTH_MM),
        Ask("shell_left_mm", "Shell left over the fossa", bounds=BASE_MM),
        Ask("base_mm", "Base under the tooth", bounds=BASE_MM),
        _NOTE,
    ),
    A.TOOTH_SET: (
        Ask("teeth", "Which teeth", "Enter the teeth that were set.", _MINE),
        _NOTE,
    ),
    A.CUSP_HELD: (
        Ask("teeth", "Which teeth", "Enter the teeth that were looked at.", _MINE),
        Ask("as_wanted", "Held in the fossa", "Say whether the cusp is held in its fossa."),
        _NOTE,
    ),
    A.REDUCTION: (
        Ask("teeth", "Which denture teeth", "Enter the denture teeth that were reduced.", _MINE),
        Ask("after_mm", "Taken off each", "Enter how much was taken off.", bounds=DEPTH_MM),
        _NOTE,
    ),
    A.PART_DONE: (
        Ask("part", "Part", "Choose the part that is done."),
        Ask(
            "separable_base",
            "Base comes off the cast by itself",
            help="Needed for the posterior teeth. Left open, it is as it was said with the base.",
        ),
        _NOTE,
    ),
    A.NOTE: (Ask("note", "Note", "Write the note."),),
}

# Gates send people to a box of a form by its identifier; these boxes stand once on the page.
_LANDINGS = {
    (A.PIN_READING, "after_mm"): "id_after_mm",
    (A.PART_DONE, "part"): "id_part",
    (A.PART_DONE, "separable_base"): "id_separable_base",
}

# Acts whose teeth must be denture teeth of this case or of the opposing denture.
_ON_DENTURE_TEETH = (A.HOLLOW_GROUND, A.REDUCTION)
_ONE_TOOTH = (A.BASE_REDUCED, A.HOLLOW_GROUND)


class LineForm(forms.Form):
    """A line of one act. It cleans; ``domain.bench.log`` stores.

    Parameters
    ----------
    act : SetUpAct
        What was done; it decides the boxes.
    case : Case
        Whose prescription says which teeth are denture teeth.
    notation : str
        The notation that teeth are typed in.
    initial : dict, optional
        What stands in the boxes before anything is typed.
    """

    def __init__(
        self,
        data: Any = None,
        *,
        act: SetUpAct,
        case: Case,
        notation: str = Notation.ISO_3950,
        initial: dict[str, Any] | None = None,
    ) -> None:
        super().__init__(data, auto_id=f"id_{act.name.lower()}_%s", initial=initial)
        self.act = act
        self.case = case
        self.notation = notation
        for ask in ASKED[act]:
            self.fields[ask.name] = self._field(ask)
            if landing := _LANDINGS.get((act, ask.name)):
                self.fields[ask.name].widget.attrs["id"] = landing
        self.helper = FormHelper()
        self.helper.form_tag = False

    @property
    def title(self) -> str:
        return str(self.act.label)

    def _field(self, ask: Ask) -> forms.Field:
        common: dict[str, Any] = {
            "label": ask.label,
            "required": bool(ask.missing),
            "help_text": ask.help.format(denture=self._list(self._own_teeth)),
            "error_messages": {"required": ask.missing},
        }
        if ask.name.endswith("_mm"):
            return MeasureField(
                unit="mm", bounds=ask.bounds, max_digits=6, decimal_places=2, **common
            )
        if ask.name == "teeth":
            return TeethField(notation=self.notation, **common)
        if ask.name == "part":
            return forms.ChoiceField(choices=[("", "Choose"), *SetUpPart.choices], **common)
        if ask.name == "as_wanted":
            return forms.TypedChoiceField(
                choices=(("yes", "Yes"), ("no", "No")),
                coerce=lambda value: value == "yes",
                widget=forms.RadioSelect(attrs={"data-across": True}),
                **common,
            )
        if ask.name == "separable_base":
            field = YesNoField(**common)
            field.widget.attrs["data-needed"] = self.act == A.PART_DONE
            return field
        return forms.CharField(max_length=300, **common)

    @cached_property
    def _own_teeth(self) -> list[str]:
        return teeth.replaced(self.case.prescription)

    def _list(self, wanted: list[str]) -> str:
        return " ".join(self._show(tooth) for tooth in wanted)

    def _show(self, tooth: str) -> str:
        return tooth_number(tooth, self.notation)

    def clean_teeth(self) -> list[str]:
        wanted: list[str] = self.cleaned_data["teeth"]
        if self.act in _ONE_TOOTH and len(wanted) > 1:
            raise forms.ValidationError(
                f"{self._list(wanted)} are {len(wanted)} teeth. Log one line for each: the "
                "millimetres belong to one tooth.",
                code="one",
            )
        for tooth in wanted:
            self._refuse(tooth, teeth.kind(self.case.prescription, tooth))
        return wanted

    def _refuse(self, tooth: str, kind: OpposingTooth) -> None:
        if self.act in _ON_DENTURE_TEETH:
            allowed = kind == OpposingTooth.DENTURE
        else:
            allowed = tooth in self._own_teeth
        if allowed:
            self._refuse_unasked(tooth)
            return
        if kind == OpposingTooth.NATURAL:
            raise forms.ValidationError(
                f"{self._show(tooth)} is a natural tooth, and natural teeth are never changed "
                "here. Log what you found as a note and ask the dentist; enter denture teeth "
                f"only: {self._list(self._own_teeth)}.",
                code="natural",
            )
        raise forms.ValidationError(
            f"{self._show(tooth)} is not a tooth of this denture. Enter one of "
            f"{self._list(self._own_teeth)}.",
            code="not_here",
        )

    def _refuse_unasked(self, tooth: str) -> None:
        """The opposing denture is somebody's; nothing is taken off it without a word."""
        refusal = opponent.keeps_off(self.case, tooth)
        if refusal and self.act in _ON_DENTURE_TEETH:
            raise forms.ValidationError(refusal, code="worn")

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if self.act == A.PIN_OPENED:
            before, after = cleaned.get("before_mm"), cleaned.get("after_mm")
            if before is not None and after is not None and after <= before:
                self.add_error(
                    "after_mm",
                    f"The pin went from {before:f} to {after:f} mm, which does not open it. Enter "
                    "the higher reading here, or log a closed pin as a reading.",
                )
        if self.act == A.PART_DONE:
            posterior = cleaned.get("part") == SetUpPart.POSTERIOR
            if posterior and cleaned.get("separable_base") is None:
                cleaned["separable_base"] = ledger.separable_base(self.case)
            if posterior and cleaned.get("separable_base") is None:
                self.add_error(
                    "separable_base",
                    "Say whether the base of the posterior teeth comes off the cast by itself.",
                )
        return cleaned

    def values(self) -> dict[str, Any]:
        """What ``domain.bench.log`` stores."""
        return {"act": self.act, **self.cleaned_data}

    def advice(self) -> str:
        """A word of caution about a line that was taken all the same."""
        taken = self.cleaned_data.get("after_mm")
        if self.act == A.REDUCTION and taken is not None and taken > RESET_RATHER_MM:
            return (
                f"{taken.normalize():f} mm off one tooth: beyond {RESET_RATHER_MM:f} mm a tooth "
                "is usually set again rather than ground (common practice, no source)."
            )
        return ""


def typed(values: Mapping[str, Any], notation: str) -> dict[str, str]:
    """Values of a line as a person would type them into its boxes."""
    found = {}
    for name, value in values.items():
        if isinstance(value, bool):
            found[name] = "yes" if value else "no"
        elif isinstance(value, Decimal):
            found[name] = f"{value.normalize():f}"
        elif isinstance(value, (list, tuple)):
            found[name] = " ".join(tooth_number(tooth, notation) for tooth in value)
        else:
            found[name] = str(value)
    return found


class StrikeForm(forms.Form):
    """Why a line is struck out; the line itself stays readable."""

    reason = forms.CharField(
        max_length=200,
        label="Why it is struck out",
        error_messages={"required": "Give the reason why the line is struck out."},
    )
