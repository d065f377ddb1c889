"""A day with its time, read as people write it, and refused where it reads no one way."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from labcases.forms.moments import MomentField, read_moment
from labcases.templatetags.units import long_time


@pytest.mark.parametrize(
    "text",
    [
        *("12-Mar-2026 09:40", "12 March 2026, 9:40", "Thu 12-Mar-2026 09:40", "2026-03-12 09:40"),
        *("2026-03-12T09:40", "2026-03-12 09:40:30", "12-Mar-2026\N{NO-BREAK SPACE}09:40"),
        *("Mar 12, 2026 9:40", "25/12/2025 09:40", " 12-Mar-2026   09:40 "),
    ],
)
def test_a_moment_is_read_as_people_write_it(text):
    day = "25-Dec-2025" if text.startswith("25") else "12-Mar-2026"

    found = read_moment(text)

    assert long_time(found) == f"{day}\N{NO-BREAK SPACE}09:40"
    assert timezone.is_aware(found)


def test_a_time_alone_is_today():
    assert timezone.localtime(read_moment("0:00")) == timezone.localtime().replace(
        hour=0, minute=0, second=0, microsecond=0
    )


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("12-Mar-2026", "12-Mar-2026 has no time of day. Write day and time like"),
        ("soon", "soon has no time of day."),
        ("12-Mar-2026 24:00", "There is no time 24:00."),
        ("12-Mar-2026 09:60", "There is no time 09:60."),
        ("31-Feb-2026 09:40", "There is no 31-Feb-2026 in the calendar."),
        ("03/04/2026 09:40", "03/04/2026 can be read two ways"),
        ("yesterday 09:40", "yesterday is not a day."),
    ],
)
def test_what_names_no_moment_is_refused_in_words(text, sentence):
    with pytest.raises(ValidationError) as refused:
        read_moment(text)

    assert refused.value.messages[0].startswith(sentence)


def test_what_lies_ahead_has_not_happened():
    ahead = long_time(timezone.now() + timedelta(hours=2))

    with pytest.raises(ValidationError, match=r"lies ahead\. Enter when it was\."):
        MomentField(label="Taken").clean(ahead)


def test_a_stored_moment_stands_in_its_box_as_it_may_be_typed_again():
    field = MomentField(label="Taken", required=False)
    stored = timezone.now().replace(second=0, microsecond=0)

    assert field.clean(field.prepare_value(stored)) == stored
    assert field.clean("  ") is None
