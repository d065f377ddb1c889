"""The record of a processing: what its technique asks, a step, and a material with its lot."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils import timezone

from labcases.domain import curing_cycles, own_materials, processing_state
from labcases.enums.curing import MaterialUse, Technique
from labcases.enums.materials import OwnKind
from labcases.forms.base import PartForm
from labcases.forms.casts import LogForm, choices, note_field, pick, text
from labcases.forms.dates import DateField
from labcases.forms.moments import MomentField
from labcases.forms.own_materials import offer
from labcases.models import Case, ProcessingRun
from labcases.reference import curing
from labcases.reference.curing import Asked

TECHNIQUE_MISSING = "Choose the technique."


class RunForm(PartForm):
    """What a base is processed by: only what its technique asks for.

    ``technique`` says which fields stand on the form; it is chosen before the form is filled in.
    """

    together = ("details",)

    technique = forms.ChoiceField(
        choices=Technique.choices,
        widget=forms.HiddenInput,
        error_messages=dict.fromkeys(("required", "invalid_choice"), TECHNIQUE_MISSING),
    )
    cycle = forms.ChoiceField(label="Curing cycle", required=False)

    class Meta:
        model = ProcessingRun
        fields = ("technique", "flask", "place", "cycle", "note")
        widgets: ClassVar[dict[str, Any]] = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, technique: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.way = curing.ways()[Technique(technique)]
        self.initial["technique"] = technique
        case = self.instance.case
        for name, label in (("flask", self.way.flask), ("place", self.way.place)):
            if label:
                self.fields[name].label = f"{label}, number or name"
                self.fields[name].widget.attrs |= {"class": "medium", "autocomplete": "off"}
            else:
                del self.fields[name]
        if self.way.cures:
            self._offer_cycles(case)
        else:
            del self.fields["cycle"]
        note = self.fields.pop("note")
        for one in self.way.fields:
            self.fields[_name(one)] = _asked(one)
            self.initial[_name(one)] = self.instance.details.get(one.key, "")
        self.fields["note"] = note

    def _offer_cycles(self, case: Case) -> None:
        """Cycles in use; the one that the record names stays among them."""
        offered = curing_cycles.to_choose(case.laboratory, self.way.technique)
        stands = curing_cycles.find(self.instance.cycle)
        if stands and stands.key not in {one.key for one in offered}:
            offered.append(stands)
        field = self.fields["cycle"]
        field.choices = choices("Choose one", [(one.key, one.label) for one in offered])  # type: ignore[attr-defined]
        field.help_text = (
            "What the instructions of the material say. A cycle that is not listed is entered "
            "once, among the laboratory's cycles."
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if self.data.get("keep-details") == "stored":
            cleaned["details"] = self.instance.details
        return cleaned

    def values(self) -> dict[str, Any]:
        told = super().values()
        details = {
            one.key: str(told[_name(one)]).strip()
            for one in self.way.fields
            if told.get(_name(one)) not in (None, "")
        }
        return {
            "technique": told["technique"],
            "flask": told.get("flask", ""),
            "place": told.get("place", ""),
            "cycle": told.get("cycle", ""),
            "details": told.get("details", details),
            "note": told["note"],
        }


def _name(one: Asked) -> str:
    return f"asked_{one.key}"


def _asked(one: Asked) -> forms.Field:
    """The box of what a technique asks."""
    if one.choices:
        return forms.ChoiceField(
            label=one.label,
            required=False,
            choices=choices("Not said", [(value, value.capitalize()) for value in one.choices]),
        )
    if one.low is not None:
        said = f"{one.label}: enter a whole number from {one.low} to {one.high}."
        return forms.IntegerField(
            label=one.label,
            required=False,
            min_value=one.low,
            max_value=one.high,
            help_text=one.help,
            widget=forms.TextInput(
                attrs={"inputmode": "numeric", "autocomplete": "off", "data-unit": one.unit}
                | {"class": "short number"}
            ),
            error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), said),
        )
    return text(one.label, longest=60, help_text=one.help)


class StepForm(LogForm):
    """One step that was done. ``words`` is asked where it came before its time."""

    what = "step"
    title = "Enter a step with its time"
    button = "Enter the step"

    step = pick("Step", (), missing="Choose the step.")
    happened_at = MomentField(
        label="Done at", error_messages={"required": "Enter when it was done."}
    )
    done_by = text("Done by, when it was somebody else")
    words = text("Why before its time", longest=200)
    note = note_field()

    def __init__(self, data: Any = None, *, run: ProcessingRun) -> None:
        super().__init__(data, case=run.case)
        self.run = run
        state = processing_state.of(run)
        field = self.fields["step"]
        field.choices = choices("Choose one", [(one.key, one.label) for one in state.way.steps])  # type: ignore[attr-defined]
        if state.next_step:
            self.initial["step"] = state.next_step.key
        if not (data and data.get("words")):
            self.fields[
                "words"
            ].help_text = (
                "Only when it was taken out or opened before the cycle or the cooling ended."
            )


class NowForm(forms.Form):
    """The next step, done at this moment: one tap."""

    step = forms.CharField(max_length=16, widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, run: ProcessingRun) -> None:
        super().__init__(data, auto_id=False)
        self.run = run

    def clean_step(self) -> str:
        step = str(self.cleaned_data["step"])
        if step not in {one.key for one in processing_state.of(self.run).way.steps}:
            raise forms.ValidationError("This technique has no such step. Look at the page again.")
        return step


class MaterialForm(LogForm):
    """A material as it went into the base."""

    what = "material"
    title = "Enter a material with its lot"
    button = "Enter the material"

    use = pick("Used as", MaterialUse.choices, missing="Choose what it was used as.")
    product = forms.CharField(
        label="Product",
        max_length=120,
        help_text="As its label says.",
        error_messages={"required": "Enter the product as its label says it."},
    )
    lot = forms.CharField(
        label="Lot",
        max_length=80,
        help_text="As the label says it; where the label has none, write so.",
        widget=forms.TextInput(attrs={"class": "medium", "autocomplete": "off"}),
        error_messages={"required": "Enter the lot from the label; where it has none, write so."},
    )
    expires_on = DateField(label="Expires on", required=False)
    instructions = text(
        "Instructions it was used by",
        longest=240,
        help_text="Which ones: their title with issue or date.",
    )
    note = note_field()

    def __init__(self, data: Any = None, *, run: ProcessingRun) -> None:
        super().__init__(data, case=run.case)
        offered = own_materials.to_choose(
            run.case.laboratory, kinds=(OwnKind.BASE, OwnKind.REPAIR), technique=run.technique
        )
        offer(self, "product", offered)
        lots = processing_state.of(run).lots_missing()
        use = next((one.value for one in MaterialUse if one.label in lots), None)
        if use:
            self.initial["use"] = use
        if use and not run.materials.exists():
            # The handoff named the base, and often its lot.
            self.initial["product"] = run.handoff.base_product
            self.initial["lot"] = run.handoff.base_lot

    def clean_product(self) -> str:
        return own_materials.spelled(self.case.laboratory, self.cleaned_data["product"])


class GiveUpForm(forms.Form):
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    reason = forms.CharField(
        label="Why it is given up",
        max_length=200,
        help_text="For example porous, wrong lot. It stays readable; another one begins.",
        error_messages={"required": "Give the reason why this processing is given up."},
    )

    def __init__(self, data: Any = None, *, run: ProcessingRun) -> None:
        super().__init__(data, auto_id="id_give_up_%s", initial={"version": run.version})


def minute() -> Any:
    """This moment, to the minute, as a clock on the wall shows it."""
    return timezone.now().replace(second=0, microsecond=0)
