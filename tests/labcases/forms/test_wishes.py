"""The steps of records and wishes: how the articulator is set, and what comes back and follows."""

import pytest
from django.http import QueryDict

from labcases.forms.wishes import RecordsStep, WishesStep
from labcases.models import Prescription

pytestmark = pytest.mark.django_db


def posted(**values: str) -> QueryDict:
    data = QueryDict(mutable=True)
    data.update(values)
    return data


def test_settings_are_wished_in_words_with_the_articulator():
    typed = posted(settings_wish="as written", settings_text="35 deg, table 20 deg, own bow")
    form = RecordsStep(typed, instance=Prescription())

    assert form.is_valid()
    values = form.values()
    assert (values["settings_wish"], values["settings_text"]) == (
        "as written",
        "35 deg, table 20 deg, own bow",
    )


@pytest.mark.parametrize(("typed", "value"), [("yes", True), ("no", False), ("", None)])
def test_casts_come_back_stay_or_nothing_is_said(typed, value):
    form = WishesStep(posted(return_casts=typed), instance=Prescription())

    assert form.is_valid()
    assert form.values()["return_casts"] is value


@pytest.mark.parametrize(
    ("step", "field", "typed", "words"),
    [
        (RecordsStep, "settings_wish", "guess", "guess is not one of the available choices"),
        (WishesStep, "reline_plan", "never", "never is not one of the available choices"),
        (WishesStep, "characterisation", "x" * 301, "at most 300 characters"),
    ],
)
def test_what_is_no_answer_is_refused_at_its_field(step, field, typed, words):
    form = step(posted(**{field: typed}), instance=Prescription())

    assert not form.is_valid()
    assert words in form.errors[field][0]
