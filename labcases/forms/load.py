"""Minutes of people and of jobs at the bench, a job of a case, and a levelling to take over."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases.domain import bench_plan, calendars, load_reading
from labcases.domain.bench_minutes import MOST_MINUTES_A_DAY
from labcases.domain.bench_plan import Wish
from labcases.enums.load import BenchJob
from labcases.forms.base import PartForm
from labcases.forms.dates import DateField
from labcases.models import BenchTask, Case, Organisation, User
from labcases.models.load import LONGEST_JOB_MINUTES
from labcases.reference.load import usual_minutes


def _minutes(label: str, most: int, initial: int | None, *, least: int = 0) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=least,
        max_value=most,
        initial=initial,
        widget=forms.TextInput(attrs={"class": "short", "inputmode": "numeric"}),
        error_messages={
            "invalid": f"{label}: write the minutes as a whole number.",
            "min_value": f"{label}: at least {least} minutes.",
            "max_value": f"{label}: at most {most} minutes.",
        },
    )


class _Plain(forms.Form):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.form_tag = False


class PeopleMinutesForm(_Plain):
    """A row a person, a box a weekday on which the house is open; empty means none."""

    def __init__(self, *args: Any, laboratory: Organisation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.weekdays = sorted(int(number) for number in laboratory.open_weekdays)
        self.people = load_reading.bench_of(laboratory).people
        for person in self.people:
            for day in self.weekdays:
                label = f"{person.name}, {calendars.WEEKDAYS[day - 1]}"
                self.fields[f"m_{person.key}_{day}"] = _minutes(
                    label, MOST_MINUTES_A_DAY, person.minutes.get(day)
                )

    @property
    def heads(self) -> list[str]:
        return [calendars.WEEKDAYS[day - 1] for day in self.weekdays]

    def rows(self) -> list[tuple[Any, list[tuple[str, Any, int]]]]:
        """Each person with a weekday, its box and its stored minutes."""
        return [
            (
                person,
                [
                    (
                        calendars.WEEKDAYS[day - 1],
                        self[f"m_{person.key}_{day}"],
                        person.minutes.get(day, 0),
                    )
                    for day in self.weekdays
                ],
            )
            for person in self.people
        ]

    def minutes(self) -> dict[int, dict[int, int]]:
        """Those of weekdays on which the house is closed now stay as they are."""
        return {
            person.key: {
                **person.minutes,
                **{day: self.cleaned_data[f"m_{person.key}_{day}"] or 0 for day in self.weekdays},
            }
            for person in self.people
        }


class JobMinutesForm(_Plain):
    """A row a job; empty means the middle of the usual span."""

    def __init__(self, *args: Any, laboratory: Organisation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stored = laboratory.job_minutes
        for number, job in enumerate(BenchJob):
            self.fields[f"own_{number}"] = _minutes(
                f"Own minutes of {job.label.lower()}",
                LONGEST_JOB_MINUTES,
                self.stored.get(job.value),
                least=1,
            )

    def rows(self) -> list[tuple[Any, Any, int | None]]:
        """Each job with what is usual, its box and its stored minutes."""
        return [
            (usual, self[f"own_{number}"], self.stored.get(job.value))
            for number, (job, usual) in enumerate(usual_minutes().items())
        ]

    def minutes(self) -> dict[str, int]:
        return {
            job.value: own
            for number, job in enumerate(BenchJob)
            if (own := self.cleaned_data[f"own_{number}"])
        }


class TaskForm(PartForm):
    """Who does a job of a case, on which day, and its own minutes."""

    planned_on = DateField(label="Day", required=False)
    minutes = _minutes("Own minutes", LONGEST_JOB_MINUTES, None, least=1)

    class Meta:
        model = BenchTask
        fields = ("technician", "planned_on", "minutes")

    def __init__(self, *args: Any, case: Case, own: bench_plan.Own, **kwargs: Any) -> None:
        super().__init__(*args, instance=own.row or BenchTask(case=case), **kwargs)
        people = load_reading.bench_people(case.laboratory)
        keys = [person.pk for person in people]
        technician = self.fields["technician"]
        technician.queryset = User.objects.filter(pk__in=keys).order_by("full_name", "pk")  # type: ignore[attr-defined]
        technician.empty_label = "Nobody yet"  # type: ignore[attr-defined]
        technician.label = "Who does it"
        self.fields["minutes"].help_text = f"Empty: {own.usual} minutes, as this laboratory plans"


def move_text(code: str, job: str, on: date) -> str:
    return f"{code} {job} {on.isoformat()}"


def read_move(text: str) -> Wish | None:
    """What a box of the proposal says; nothing for a text that is none."""
    parts = text.split(" ")
    try:
        code, job, on = parts
        return Wish(code, BenchJob(job), date.fromisoformat(on))
    except ValueError:
        return None


def read_moves(texts: Iterable[str]) -> list[Wish]:
    """The moves of a proposal as they stood on its page.

    Raises
    ------
    ValueError
        There are none, or one was changed on the way.
    """
    told = [read_move(text) for text in texts]
    wishes = [wish for wish in told if wish is not None]
    if not wishes or len(wishes) < len(told):
        raise ValueError("The proposal did not arrive whole. Propose a levelling again.")
    return wishes
