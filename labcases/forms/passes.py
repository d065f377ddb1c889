"""A pass with foil: movement, teeth that marked as they stand, and how strongly.

Every tooth is a box to tick of its own, so that a pass is logged by tapping; strength and cusps
are asked beside a tooth once it is tapped, and may be left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms

from labcases import notation as numbers
from labcases.domain import teeth
from labcases.domain.passes import Marked
from labcases.enums import Movement, Notation, OpposingTooth
from labcases.enums.marks import Cusps, Excursions, Strength
from labcases.forms.fields import MeasureField
from labcases.forms.setup import DEPTH_MM
from labcases.models import Case
from labcases.templatetags.units import tooth_words

LIFTED_MM = ("0.05", "10")
"""A pin that is lifted further does not come from a contact (common practice, no source)."""

QUICK_MM = ("0.05", "0.1", "0.2")
"""What a stone takes off in a step, to tap where no depth is proposed (common practice, no
source)."""


@dataclass(frozen=True)
class Choice:
    """One round box to tick."""

    value: str
    label: str
    checked: bool


@dataclass(frozen=True)
class ToothTap:
    """One tooth to tap, with what is asked beside it; ``place`` counts from the viewer's left."""

    tooth: str
    number: str
    words: str
    denture: bool
    place: int
    checked: bool
    strengths: tuple[Choice, ...]
    cusps: tuple[Choice, ...]


@dataclass(frozen=True)
class SideTaps:
    """One side of the mouth: its upper and its lower teeth as they stand."""

    side: str
    rows: tuple[tuple[str, tuple[ToothTap, ...]], ...]


class PassForm(forms.Form):
    """A pass. It cleans; ``domain.passes.log_pass`` stores.

    Parameters
    ----------
    case : Case
        Whose prescription says which teeth stand where.
    notation : str
        How the teeth are numbered on the page.
    movement : str
        The movement that usually comes next; it is chosen already.
    """

    movement = forms.ChoiceField(
        choices=Movement.choices,
        widget=forms.RadioSelect,
        label="Movement",
        error_messages={
            "required": "Choose the movement of the pass.",
            "invalid_choice": "That is no movement. Choose centric, right lateral, left lateral "
            "or protrusive.",
        },
    )
    none = forms.BooleanField(required=False, label="No tooth marked")
    note = forms.CharField(required=False, max_length=300, label="Note")

    def __init__(
        self,
        data: Any = None,
        *,
        case: Case,
        notation: str = Notation.ISO_3950,
        movement: str = Movement.CENTRIC,
    ) -> None:
        super().__init__(data, initial={"movement": movement})
        self.notation = notation
        prescription = case.prescription
        self.kinds = {
            tooth: teeth.kind(prescription, tooth) for tooth in (*numbers.UPPER, *numbers.LOWER)
        }
        self.present = [t for t, kind in self.kinds.items() if kind != OpposingTooth.MISSING]
        self.fields["teeth"] = forms.MultipleChoiceField(
            choices=[(tooth, tooth) for tooth in self.present],
            required=False,
            label="Teeth that marked",
            error_messages={
                "invalid_choice": "No tooth stands at %(value)s. Tap teeth that are there."
            },
        )

    # -- the page --------------------------------------------------------------------------

    @property
    def movements(self) -> list[Choice]:
        chosen = self["movement"].value()
        return [Choice(one.value, str(one.label), one.value == chosen) for one in Movement]

    @property
    def columns(self) -> int:
        """How many teeth stand beside each other on a side: eight with a third molar, else 7."""
        return 8 if any(tooth[1] == "8" for tooth in self.present) else 7

    @property
    def sides(self) -> Iterator[SideTaps]:
        """Right and left of the patient, each with its upper teeth over its lower ones."""
        for side in ("right", "left"):
            yield SideTaps(
                side,
                tuple(
                    (
                        arch,
                        tuple(
                            self._tap(tooth)
                            for tooth in row
                            if tooth in self.present and numbers.side_of(tooth) == side
                        ),
                    )
                    for arch, row in (("upper", numbers.UPPER), ("lower", numbers.LOWER))
                ),
            )

    def _tap(self, tooth: str) -> ToothTap:
        position = int(tooth[1])
        right = numbers.side_of(tooth) == "right"
        denture = self.kinds[tooth] == OpposingTooth.DENTURE
        words = tooth_words(tooth, self.notation)
        return ToothTap(
            tooth=tooth,
            number=words.partition(",")[0],
            words=f"{words}, {'denture tooth' if denture else 'natural tooth'}",
            denture=denture,
            place=self.columns - position + 1 if right else position,
            checked=tooth in (self["teeth"].value() or ()),
            strengths=self._choices(f"strength_{tooth}", Strength),
            cusps=self._choices(f"cusps_{tooth}", Cusps) if numbers.is_posterior(tooth) else (),
        )

    def _choices(self, name: str, of: type[Strength] | type[Cusps]) -> tuple[Choice, ...]:
        chosen = str(self.data.get(name, ""))
        return (
            Choice("", "not said", chosen not in of.values),
            *(Choice(one.value, str(one.label).lower(), one.value == chosen) for one in of),
        )

    # -- what was sent ---------------------------------------------------------------------

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if "teeth" not in cleaned:
            return cleaned
        tapped = list(cleaned["teeth"])
        if tapped and cleaned.get("none"):
            self.add_error(
                "teeth",
                'Teeth are tapped, and "No tooth marked" is ticked as well. Take one of them away.',
            )
        elif not tapped and not cleaned.get("none"):
            self.add_error("teeth", 'Tap the teeth that marked, or tick "No tooth marked".')
        for tooth in tapped:
            for name, of in ((f"strength_{tooth}", Strength), (f"cusps_{tooth}", Cusps)):
                if self.data.get(name, "") not in ("", *of.values):
                    self.add_error(
                        "teeth",
                        f"What is said of {tooth_words(tooth, self.notation)} is not known. Choose "
                        f"{', '.join(of.values)}, or leave it out.",
                    )
        return cleaned

    def marks(self) -> list[Marked]:
        """The teeth that marked, with what was said of each."""
        return [
            Marked(
                tooth,
                strength=self.data.get(f"strength_{tooth}", ""),
                cusps=self.data.get(f"cusps_{tooth}", "") if numbers.is_posterior(tooth) else "",
            )
            for tooth in self.cleaned_data["teeth"]
        ]


class JudgeForm(forms.Form):
    """Whether a pass was as the scheme wants: one of two buttons."""

    verdict = forms.TypedChoiceField(
        choices=(("yes", "As wanted"), ("no", "Not as wanted")),
        coerce=lambda value: value == "yes",
        label="As the scheme wants",
        error_messages={
            "required": "Say whether the pass was as the scheme wants.",
            "invalid_choice": "Say whether the pass was as the scheme wants: yes or no.",
        },
    )


class ExcursionsForm(forms.Form):
    """Whether a cusp that is high in centric marks in the excursions too: one of three."""

    marks_too = forms.TypedChoiceField(
        choices=Excursions.choices,
        coerce=Excursions,
        label="Marks in the excursions too",
        error_messages={
            "required": "Say whether the same cusp marks in the excursions too.",
            "invalid_choice": "Say whether the same cusp marks in the excursions too: yes, no, or "
            "not known yet.",
        },
    )


class DoneForm(forms.Form):
    """What was taken off for a mark: the number in the box, or one of the short buttons."""

    tooth = forms.ChoiceField(
        choices=[(tooth, tooth) for tooth in (*numbers.UPPER, *numbers.LOWER)],
        widget=forms.HiddenInput,
        error_messages={
            "required": "The tooth that was ground is not named. Open the pass again.",
            "invalid_choice": "%(value)s is no tooth. Open the pass again.",
        },
    )
    quick = forms.ChoiceField(
        choices=[(value, value) for value in QUICK_MM], required=False, widget=forms.HiddenInput
    )
    depth_mm = MeasureField(
        unit="mm",
        bounds=DEPTH_MM,
        max_digits=6,
        decimal_places=2,
        required=False,
        label="Taken off",
    )

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("quick"):
            cleaned["depth_mm"] = Decimal(cleaned["quick"])
            self.errors.pop("depth_mm", None)
        elif cleaned.get("depth_mm") is None and "depth_mm" not in self.errors:
            self.add_error("depth_mm", "Enter how much was taken off, in mm.")
        return cleaned


class PinForm(forms.Form):
    """Whether the pin touches the table, or how far it is lifted."""

    touches = forms.BooleanField(required=False, widget=forms.HiddenInput)
    lifted_mm = MeasureField(
        unit="mm",
        bounds=LIFTED_MM,
        max_digits=6,
        decimal_places=2,
        required=False,
        label="Lifted by",
    )

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("touches"):
            cleaned["lifted_mm"] = Decimal("0")
            self.errors.pop("lifted_mm", None)
        elif cleaned.get("lifted_mm") is None and "lifted_mm" not in self.errors:
            self.add_error(
                "lifted_mm", "Say that the pin touches the table, or by how many mm it is lifted."
            )
        return cleaned


class LeaveForm(forms.Form):
    """Why a change that would explain the marks is not followed."""

    reason = forms.CharField(
        max_length=200,
        label="Why it is left",
        error_messages={"required": "Give the reason why it is left."},
    )
