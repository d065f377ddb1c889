"""What the office enters of a denture that came: its check, the surgery, the delivery."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any, ClassVar

from django import forms
from django.forms import BoundField

from labcases import notation as numbers
from labcases.domain import bench, calendars, delivered
from labcases.domain.bench_check import NO
from labcases.enums import Notation, Stage
from labcases.enums.delivery import Liner, TemplateUse
from labcases.forms.asking import ask_again
from labcases.forms.base import PartForm
from labcases.forms.check_lines import YES_OR_NO, AskedPause, YesNoForm, asked
from labcases.forms.choices import TeethField, YesNoField
from labcases.forms.dates import DateField
from labcases.forms.tryin_numbers import add_closings, closings
from labcases.models import ArrivalCheck, Case, Delivery, Surgery
from labcases.reference.delivery import arrival_checklist, delivery_checklist
from labcases.reference.reviews import liners
from labcases.templatetags.units import long_date, mm

_LEFT = (Stage.DISPATCHED, Stage.RECEIVED, Stage.DELIVERED, Stage.IN_REVIEW, Stage.CLOSED)
NOT_LEFT = "The denture has not left the laboratory yet. Enter this when it is here."
ASK_DENTIST = "Log it as a note and ask the dentist."
NOT_HERE = "Take in the box with the denture and count it first; then check what came."


def _refuse_early(form: forms.BaseForm, case: Case) -> None:
    if case.stage not in _LEFT:
        form.add_error(None, NOT_LEFT)


class ArrivalForm(YesNoForm):
    """How the denture was found when it was unpacked. It may be saved while lines are open."""

    needs_box: ClassVar[bool] = True

    class Meta:
        model = ArrivalCheck
        fields: ClassVar[tuple[str, ...]] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lay_out(arrival_checklist(), YES_OR_NO)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        _refuse_early(self, self.instance.case)
        if self.needs_box and not self.errors and not delivered.came(self.instance.case):
            self.add_error(None, NOT_HERE)
        return cleaned


class SurgeryForm(PartForm):
    """The surgery as it was. Teeth are typed in the notation of the office."""

    held_on = DateField(label="Day of the surgery", required=False)
    teeth_out = TeethField(label="Teeth that came out", required=False)
    bone_changed = YesNoField(label="Bone was changed")

    class Meta:
        model = Surgery
        fields = (
            *("held_on", "teeth_out", "why_otherwise", "template_use", "template_words"),
            *("bone_changed", "bone_words", "note"),
        )
        labels = {
            "why_otherwise": "Why other teeth than planned",
            "template_use": "Surgical template",
            "template_words": "Where it blanched, and what was relieved",
            "bone_words": "Where, and how much",
        }
        widgets = {
            "note": forms.Textarea(attrs={"rows": 3}),
            "template_use": forms.RadioSelect,
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        case = self.instance.case
        self.planned = delivered.planned(case)
        teeth = self.fields["teeth_out"]
        teeth.notation = case.office.notation  # type: ignore[attr-defined]
        teeth.help_text = f"As it was, with blanks between, in {case.office.get_notation_display()}"
        if not self.instance.pk and not self.instance.held_on:
            self.initial["teeth_out"] = self.planned
        self.initial["teeth_out"] = _typed(self.initial["teeth_out"], case.office.notation)
        if not self.instance.held_on:
            self.initial["held_on"] = case.surgery_on
        field = self.fields["template_use"]
        field.choices = [("", "Not said yet"), *TemplateUse.choices]  # type: ignore[attr-defined]
        for name in ("held_on", "teeth_out", "template_use"):
            self.fields[name].widget.attrs["data-needed"] = True

    def clean_held_on(self) -> Any:
        return _not_ahead(
            self.instance.case, self.cleaned_data["held_on"], "The day of the surgery"
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        _refuse_early(self, self.instance.case)
        other = set(cleaned.get("teeth_out") or ()) != set(self.planned)
        if other and "teeth_out" not in self.errors and not cleaned.get("why_otherwise"):
            self.add_error(
                "why_otherwise",
                "These are not the teeth of the plan. Say why; the laboratory reads it.",
            )
        if cleaned.get("bone_changed") and not cleaned.get("bone_words"):
            self.add_error("bone_words", "Say where bone was changed, and how much.")
        return cleaned


class DeliveryForm(YesNoForm):
    """The delivery: three pauses, coarse numbers, what was adjusted and what was placed."""

    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "vertical_rest_mm": ("20", "120"),
        "vertical_mm": ("20", "120"),
    }
    together: ClassVar[tuple[str, ...]] = ("answers", "words", "centric")
    first: ClassVar[tuple[str, ...]] = ("delivered_on", "day_meant")
    surgery_beside: ClassVar[bool] = False
    """The surgery is entered together with the delivery, so that nothing of it is stored yet."""
    rest: ClassVar[tuple[str, ...]] = (
        *("adjusted", "adjusted_words", "relieved", "liner_kind", "liner_product", "liner_lot"),
        *("liner_placed_on", "liner_until", "first_check_on", "note"),
    )

    delivered_on = DateField(label="Delivered on", required=False)
    adjusted = TeethField(label="Denture teeth that were adjusted", required=False)
    liner_placed_on = DateField(label="Placed on", required=False)
    liner_until = DateField(
        label="Looked at or changed by",
        required=False,
        help_text="Left empty, it is the latest day that is usual for its kind. The instructions "
        "of the product go first.",
    )
    first_check_on = DateField(label="The check after 24 hours is booked for", required=False)

    class Meta:
        model = Delivery
        fields = (
            *("delivered_on", "vertical_rest_mm", "vertical_mm", "adjusted", "adjusted_words"),
            *("relieved", "liner_kind", "liner_product", "liner_lot", "liner_placed_on"),
            *("liner_until", "first_check_on", "note"),
        )
        labels = {
            "vertical_rest_mm": "Vertical at rest",
            "vertical_mm": "Vertical, teeth together",
            "adjusted_words": "How they were adjusted",
            "relieved": "Where the fitting surface was relieved",
            "liner_kind": "Placed under the denture",
            "liner_product": "Product",
            "liner_lot": "Lot",
        }
        help_texts = {
            "adjusted_words": "For example: 16 mesial, 0.2 mm. Never a natural tooth.",
        }
        widgets = {"note": forms.Textarea(attrs={"rows": 3}), "liner_kind": forms.RadioSelect}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        row = self.instance
        self.lay_out(delivery_checklist(), YES_OR_NO)
        add_closings(self, row.centric)
        teeth = self.fields["adjusted"]
        teeth.notation = row.case.office.notation  # type: ignore[attr-defined]
        teeth.help_text = f"With blanks between, in {row.case.office.get_notation_display()}"
        self.initial["adjusted"] = _typed(row.adjusted, row.case.office.notation)
        field = self.fields["liner_kind"]
        field.choices = [("", "Not said yet"), *Liner.choices]  # type: ignore[attr-defined]
        for name in ("delivered_on", "vertical_rest_mm", "vertical_mm"):
            self.fields[name].widget.attrs["data-needed"] = True

    @property
    def pauses(self) -> list[AskedPause]:
        boxes = [name for name in self.fields if name.startswith("closing_")]
        numbers = {"dl_centric": boxes, "dl_vertical": ["vertical_rest_mm", "vertical_mm"]}
        return asked(self, self.checklist, numbers)

    @property
    def boxes_first(self) -> list[BoundField]:
        return [self[name] for name in self.first if name in self.fields]

    @property
    def boxes_rest(self) -> list[BoundField]:
        return [self[name] for name in self.rest]

    def clean_delivered_on(self) -> Any:
        return _not_ahead(
            self.instance.case, self.cleaned_data["delivered_on"], "The day of delivery"
        )

    def clean_adjusted(self) -> Any:
        wanted = self.cleaned_data["adjusted"]
        try:
            bench.only_denture_teeth(self.instance.case, wanted)
        except bench.NotADentureTooth as refused:
            # Whoever records a delivery is the dentist, or types what the dentist signed.
            said = str(refused).replace(ASK_DENTIST, "What was done to it stands in the records.")
            raise forms.ValidationError(said, code="natural") from refused
        return wanted

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        kept = self.data.get("keep-centric") == "stored"
        cleaned["centric"] = self.instance.centric if kept else closings(self, cleaned)
        _refuse_early(self, self.instance.case)
        self._check_days(cleaned)
        self._check_vertical(cleaned)
        self._check_liner(cleaned)
        return cleaned

    def _check_vertical(self, cleaned: dict[str, Any]) -> None:
        """Teeth together above the rest is a denture that is too high, or a wrong reading."""
        rest, closed = cleaned.get("vertical_rest_mm"), cleaned.get("vertical_mm")
        said = cleaned["answers"].get("dl_vertical") == NO and cleaned["words"].get("dl_vertical")
        if rest is None or closed is None or closed <= rest or said:
            return
        self.add_error(
            "vertical_mm",
            f"With the teeth together {mm(closed)} is higher than {mm(rest)} at rest, so no "
            "freeway space is left. Look whether the two readings stand in each other's box, and "
            'measure again. If the denture is too high, answer "The vertical was read" with no '
            "and say it in words.",
        )

    def _check_days(self, cleaned: dict[str, Any]) -> None:
        row: Surgery | None = getattr(self.instance.case, "surgery", None)
        day = cleaned.get("delivered_on")
        if day and row and row.held_on and day < row.held_on:
            self.add_error("delivered_on", "The delivery lies before the surgery. Correct it.")
        elif day and not (row and row.held_on):
            self._ask_of_planned_day(day)
        check = cleaned.get("first_check_on")
        if day and check and check < day:
            self.add_error("first_check_on", "The check lies before the delivery. Correct it.")

    def _ask_of_planned_day(self, day: date) -> None:
        """A denture is placed at surgery: before a confirmed day of it, one of both is wrong."""
        case = self.instance.case
        planned = case.surgery_on
        if self.surgery_beside or planned is None or day >= planned:
            return
        if case.surgery_confirmed_at is None:
            return
        ask_again(
            self,
            at="delivered_on",
            tick="day_meant",
            value=day,
            question=f"Surgery is confirmed for {long_date(planned)} and is not recorded yet; the "
            f"delivery on {long_date(day)} lies before it. If surgery was held sooner, record it "
            "on the page of the surgery first.",
            label=f"Delivered on {long_date(day)}, before the surgery day {long_date(planned)}",
        )

    def _check_liner(self, cleaned: dict[str, Any]) -> None:
        kind = cleaned.get("liner_kind")
        if kind not in (Liner.CONDITIONER, Liner.SOFT):
            for name in ("liner_product", "liner_lot", "liner_placed_on", "liner_until"):
                if cleaned.get(name) and name not in self.errors:
                    self.add_error(name, "Say above what was placed, or empty this box.")
            return
        if not cleaned.get("liner_lot"):
            self.add_error("liner_lot", "Enter the lot of what was placed, as its pack says it.")
        placed: date | None = cleaned.get("liner_placed_on") or cleaned.get("delivered_on")
        cleaned["liner_placed_on"] = placed
        if placed and not cleaned.get("liner_until"):
            cleaned["liner_until"] = placed + timedelta(days=liners()[kind].last)
        if placed and cleaned.get("liner_until") and cleaned["liner_until"] < placed:
            self.add_error("liner_until", "This day lies before the one it was placed on.")

    def values(self) -> dict[str, Any]:
        names = (*(self._meta.fields or ()), "answers", "words", "centric")
        return {name: self.cleaned_data[name] for name in names}


class SettleForm(forms.Form):
    """How the desk knows of a delivery that nobody reported."""

    settled_reason = forms.CharField(
        label="How you know",
        max_length=200,
        help_text="Whom you asked and when, or that nobody answered.",
        error_messages={"required": "Say how you know: whom you asked, or that nobody answered."},
    )


def _typed(teeth: list[str], notation: str) -> str:
    """Teeth as they are typed in a notation."""
    universal = notation == Notation.UNIVERSAL
    return " ".join(numbers.universal(one) if universal else one for one in teeth)


def _not_ahead(case: Case, day: date | None, what: str) -> date | None:
    if day and day > calendars.today_of(case.office):
        raise forms.ValidationError(
            f"{what} lies ahead. Enter it when the denture is in the mouth.", code="ahead"
        )
    return day
