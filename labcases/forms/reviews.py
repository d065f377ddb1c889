"""Lines of the reviews: a small form an act, what is looked at in a review, and the decision."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms
from django.http import HttpRequest
from django.utils import timezone

from labcases.domain.bench_check import NO
from labcases.domain.review_dates import DueReview
from labcases.domain.reviewing import TAKEN_OUT
from labcases.enums.reviews import Decision, ReviewAct
from labcases.forms import remount
from labcases.forms.asking import ask_again
from labcases.forms.check_lines import YES_OR_NO, AskedPause, add_lines, asked, given, words_of
from labcases.forms.choices import YesNoField
from labcases.forms.dates import DateField
from labcases.forms.fields import MeasureField
from labcases.forms.signature import PasswordForm
from labcases.models import User
from labcases.reference.reviews import ReviewKind, liners, signs
from labcases.templatetags.units import long_date

AGREEMENT_MM = ("0", "20")
A = ReviewAct


def _day() -> DateField:
    return DateField(
        label="Day",
        help_text="For example 12-Mar-2027",
        error_messages={"required": "Enter the day on which it was done."},
    )


def _text(label: str, missing: str, longest: int, help_text: str = "") -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=longest,
        help_text=help_text,
        error_messages={"required": missing},
    )


class OnDayForm(remount.LineForm):
    """A line with the day on which it was done; ``domain.reviewing.log`` stores it."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields = {"happened_on": _day(), **self.fields}
        self.initial.setdefault("happened_on", long_date(timezone.localdate()))

    def values(self) -> dict[str, Any]:
        return {**super().values(), "happened_on": self.cleaned_data["happened_on"]}


class SpotForm(OnDayForm):
    act = A.SPOT
    place = _text(
        "Where on the denture",
        "Say where on the denture the pressure spot was.",
        120,
        "In words, for example: fitting surface, right tuberosity.",
    )
    relieved = YesNoField(
        label="The denture was relieved there",
        required=True,
        error_messages={"required": "Say whether the denture was relieved there."},
    )


class WithLotForm(OnDayForm):
    """A material with its lot, as its label says."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        note = self.fields.pop("note")
        self.fields["product"] = _text(
            "Material", "Enter the material, as its label says.", 120, "As its label says."
        )
        self.fields["lot"] = _text("Lot", "Enter the lot, as its label says.", 80)
        self.fields["expires_on"] = DateField(label="Expires on", required=False)
        self.fields["note"] = note


class LinerForm(WithLotForm):
    act = A.LINER
    liner = forms.ChoiceField(
        label="Liner",
        choices=[("", "Choose"), (TAKEN_OUT, "Taken out, none in use")],
        error_messages={
            "required": "Choose the kind of liner, or that it was taken out.",
            "invalid_choice": "Choose the kind of liner, or that it was taken out.",
        },
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["liner"]
        kinds = [(one.key, one.words) for one in liners().values()]
        field.choices = [("", "Choose"), *kinds, (TAKEN_OUT, "Taken out, none in use")]  # type: ignore[attr-defined]
        for name in ("product", "lot"):
            self.fields[name].required = False
            self.fields[name].help_text = "Needed when a liner was placed. As its label says."

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("liner") not in (None, TAKEN_OUT):
            for name in ("product", "lot"):
                if name in cleaned and not cleaned[name].strip():
                    self.add_error(name, str(self.fields[name].error_messages["required"]))
        return cleaned


class RecordForm(OnDayForm):
    act = A.RECORD

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        note = self.fields.pop("note")
        self.fields["product"] = _text("Material", "Enter the material of the record.", 120)
        self.fields["note"] = note


class MountedForm(OnDayForm):
    act = A.MOUNTED

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        note = self.fields.pop("note")
        self.fields["agreement_mm"] = MeasureField(
            unit="mm",
            bounds=AGREEMENT_MM,
            max_digits=6,
            decimal_places=2,
            label="A second record or the split cast is off by",
            help_text="0 when it is not. Above 0.3 mm take a new record (common practice).",
            error_messages={
                "required": "Enter how far a second record or the split cast is off; 0 when not."
            },
        )
        self.fields["note"] = note


class PassForm(OnDayForm, remount.PassForm):
    act = A.PASS


class AdjustForm(OnDayForm, remount.CorrectForm):
    act = A.REDUCTION

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["depth_mm"].required = False
        self.fields["depth_mm"].help_text = "Where it was measured."
        self.fields["teeth"].error_messages["required"] = "Enter the denture tooth."


class DoneForm(WithLotForm):
    """A reline or a rebase that was made."""

    act = A.DONE
    decision = forms.ChoiceField(
        label="What was done",
        choices=[
            ("", "Choose"),
            *((one.value, one.label) for one in (Decision.RELINE, Decision.REBASE)),
        ],
        error_messages={
            "required": "Say whether it was a reline or a rebase.",
            "invalid_choice": "Say whether it was a reline or a rebase.",
        },
    )


FORMS: dict[ReviewAct, type[OnDayForm]] = {
    form.act: form
    for form in (SpotForm, AdjustForm, LinerForm, RecordForm, MountedForm, PassForm, DoneForm)
}


class SeenForm(forms.Form):
    """What was looked at in one review; lines may stay open."""

    happened_on = _day()
    note = forms.CharField(
        max_length=300, required=False, label="Note", widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(
        self, data: Any = None, *, review: ReviewKind, dues: Sequence[DueReview] = ()
    ) -> None:
        super().__init__(data)
        self.review = review
        self.dues = list(dues)
        self.initial.setdefault("happened_on", long_date(timezone.localdate()))
        add_lines(self, review.pause.lines, YES_OR_NO, {}, {})
        self.helper = FormHelper()
        self.helper.form_tag = False

    @property
    def checklist(self) -> tuple[Any, ...]:
        return (self.review.pause,)

    @property
    def pauses(self) -> list[AskedPause]:
        return asked(self, (self.review.pause,))

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        told = given(cleaned, self.review.pause.lines)
        if not told["answers"]:
            raise forms.ValidationError("Answer at least one line of what was looked at.")
        for line in self.review.pause.lines:
            if told["answers"].get(line.key) == NO and not told["words"].get(line.key):
                self.add_error(words_of(line), f"Say what is otherwise: {line.text}.")
        if day := cleaned.get("happened_on"):
            self._ask_of_early_day(day)
        return cleaned

    def _ask_of_early_day(self, day: date) -> None:
        """Ask about a day before the review is on time; nothing comes before the first."""
        keys = [one.review.key for one in self.dues]
        place = keys.index(self.review.key) if self.review.key in keys else 0
        if not place or day >= self.dues[place].earliest:
            return
        one = self.dues[place]
        fits = [row for row in self.dues[:place] if row.earliest <= day <= row.latest]
        other = f' On {long_date(day)} the review "{fits[-1].review.words}" is due.' if fits else ""
        ask_again(
            self,
            at="happened_on",
            tick="day_meant",
            value=day,
            question=f'The day of the review "{self.review.words}" is {long_date(one.on)}; it is '
            f"on time from {long_date(one.earliest)} to {long_date(one.latest)}.{other}",
            label=f'"{self.review.words}" was held on {long_date(day)}',
        )

    def values(self) -> dict[str, Any]:
        told = self.cleaned_data
        return {
            "act": A.SEEN,
            "review": self.review.key,
            "happened_on": told["happened_on"],
            "note": told["note"],
            **given(told, self.review.pause.lines),
        }


class DecideForm(PasswordForm):
    """What is decided about the denture, signed with the password."""

    signs = forms.MultipleChoiceField(
        label="What was seen", required=False, widget=forms.CheckboxSelectMultiple
    )
    decision = forms.ChoiceField(
        label="Decision",
        choices=Decision.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose what is decided.",
            "invalid_choice": "Choose what is decided.",
        },
    )
    reason = forms.CharField(
        max_length=300,
        label="Reason",
        help_text="It is kept with the decision.",
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Give the reason of the decision; it is kept with it."},
    )

    def __init__(self, request: HttpRequest, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(request, user, *args, **kwargs)
        del self.fields["version"]
        choices = [
            (one.key, f"{one.text} - speaks for: {Decision(one.speaks_for).label.lower()}")
            for one in signs().values()
        ]
        self.fields["signs"].choices = choices  # type: ignore[attr-defined]
        self.order_fields(["signs", "decision", "reason", "password"])
        self.helper = FormHelper()
        self.helper.form_tag = False

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        decision, seen = cleaned.get("decision"), cleaned.get("signs") or []
        found = {signs()[key].speaks_for for key in seen}
        if not decision or not found or decision in found:
            return cleaned
        named = " and ".join(str(Decision(one).label).lower() for one in sorted(found))
        chosen = str(Decision(decision).label).lower()
        ask_again(
            self,
            at="decision",
            tick="all_the_same",
            value=":".join([decision, *sorted(seen)]),
            question=f"What was seen speaks for: {named}. None of it speaks for: {chosen}. Say "
            "under Reason why it is decided so.",
            label=f"All the same: {chosen}; the reason says why",
        )
        self.order_fields(["signs", "decision", "all_the_same", "reason", "password"])
        return cleaned

    def values(self) -> dict[str, Any]:
        told = self.cleaned_data
        return {
            "act": A.DECISION,
            "happened_on": timezone.localdate(),
            "signs": told["signs"],
            "decision": told["decision"],
            "note": told["reason"],
        }
