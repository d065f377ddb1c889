"""Days as people type them."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from labcases.forms.dates import DateField, read_date

TWELFTH = date(2027, 3, 12)

READ = [
    ("12-Mar-2027", TWELFTH),
    ("12-mar-2027", TWELFTH),
    ("12-MAR-2027", TWELFTH),
    ("12 Mar 2027", TWELFTH),
    ("12 March 2027", TWELFTH),
    ("12 marc 2027", TWELFTH),
    ("12.Mar.2027", TWELFTH),
    ("12. March 2027", TWELFTH),
    ("12Mar2027", TWELFTH),
    ("  12-Mar-2027  ", TWELFTH),
    ("12\N{NO-BREAK SPACE}Mar\N{NO-BREAK SPACE}2027", TWELFTH),
    ("Fri 12-Mar-2027", TWELFTH),
    ("Friday, 12 March 2027", TWELFTH),
    ("Fri\N{NO-BREAK SPACE}12-Mar-2027", TWELFTH),
    ("12\N{NON-BREAKING HYPHEN}Mar\N{NON-BREAKING HYPHEN}2027", TWELFTH),
    ("Mar 12, 2027", TWELFTH),
    ("March 12 2027", TWELFTH),
    ("2027-03-12", TWELFTH),
    ("2027/3/12", TWELFTH),
    ("2027.03.12", TWELFTH),
    ("9-Mar-2027", date(2027, 3, 9)),
    ("09-Mar-2027", date(2027, 3, 9)),
    ("25/12/2027", date(2027, 12, 25)),
    ("12/25/2027", date(2027, 12, 25)),
    ("25.12.2027", date(2027, 12, 25)),
    ("25-12-2027", date(2027, 12, 25)),
    ("04/04/2027", date(2027, 4, 4)),
    ("29-Feb-2028", date(2028, 2, 29)),
    ("1 Sept 2027", date(2027, 9, 1)),
    ("1 May 2027", date(2027, 5, 1)),
    ("31-Jul-2027", date(2027, 7, 31)),
]

REFUSED = [
    ("03/04/2027", "03/04/2027 can be read two ways: 3 Apr or 4 Mar."),
    ("03/04/2027", "Write the month in letters, as in 03-Apr-2027."),
    ("3.4.2027", "can be read two ways"),
    ("12-11-2027", "can be read two ways"),
    ("12-Mar-27", "Write the year of 12-Mar-27 with four digits."),
    ("25/12/27", "Write the year of 25/12/27 with four digits."),
    ("29-Feb-2027", "There is no 29-Feb-2027 in the calendar."),
    ("31/31/2027", "There is no 31/31/2027 in the calendar."),
    ("2027-13-01", "There is no 2027-13-01 in the calendar."),
    ("12-Mar-1927", "The year is 1927. Enter a year from 2000 to 2100."),
    ("12 Ma 2027", "names no month that is known"),
    ("12 Ju 2027", "names no month that is known"),
    ("12 Foo 2027", "names no month that is known"),
    ("tomorrow", "tomorrow is not a day. Write the day like 12-Mar-2027."),
    ("12", "12 is not a day."),
    ("12-Mar", "12-Mar is not a day."),
]


@pytest.mark.parametrize(("typed", "day"), READ)
def test_a_day_that_reads_one_way_is_taken(typed, day):
    assert read_date(typed) == day


@pytest.mark.parametrize(("typed", "sentence"), REFUSED)
def test_anything_else_is_refused_with_a_sentence(typed, sentence):
    with pytest.raises(ValidationError) as refused:
        read_date(typed)
    assert sentence in refused.value.messages[0]


@pytest.mark.parametrize("empty", ["", "   "])
def test_an_empty_box_is_no_day(empty):
    assert read_date(empty) is None


def test_a_day_is_shown_with_its_month_in_letters():
    assert DateField().prepare_value(TWELFTH) == "12-Mar-2027"


def test_what_was_typed_stays_in_the_box():
    assert DateField().prepare_value("03/04/2027") == "03/04/2027"


def test_the_same_day_in_another_spelling_is_no_change():
    field = DateField()
    assert field.has_changed(TWELFTH, "12 March 2027") is False
    assert field.has_changed(TWELFTH, "13 March 2027") is True
    assert field.has_changed(TWELFTH, "nonsense") is True
