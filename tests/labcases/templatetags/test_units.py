"""How numbers, dates and teeth read. The space before a unit never breaks: it is U+00A0."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.template import Context, Template

from labcases.templatetags import units


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Decimal("0.50"), "0.5\xa0mm"),
        (5.0, "5\xa0mm"),
        (".5", "0.5\xa0mm"),
        (12, "12\xa0mm"),
        (100, "100\xa0mm"),
        (0, "0\xa0mm"),
        (Decimal("-0.001"), "0\xa0mm"),
        (-0.3, "\u22120.3\xa0mm"),
        (1.234567, "1.23\xa0mm"),
        (Decimal("0.125"), "0.12\xa0mm"),
        ("1E+2", "100\xa0mm"),
        (None, ""),
        ("", ""),
        ("much", ""),
        (float("nan"), ""),
        (True, ""),
    ],
)
def test_millimetres_keep_the_leading_zero_and_drop_trailing_ones(value, text):
    assert units.mm(value) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.3, "+0.3\xa0mm"),
        (-0.31, "\u22120.31\xa0mm"),
        (0, "0\xa0mm"),
        (0.001, "0\xa0mm"),
        (None, ""),
    ],
)
def test_a_signed_length_always_shows_its_sign_but_zero_has_none(value, text):
    assert units.signed_mm(value) == text


@pytest.mark.parametrize(
    ("value", "text"), [(30, "30\xa0deg"), (Decimal("30.50"), "30.5\xa0deg"), (None, "")]
)
def test_degrees_are_written_in_letters_to_a_tenth(value, text):
    assert units.deg(value) == text


@pytest.mark.parametrize(
    ("value", "deviation", "text"),
    [
        (Decimal("30.0"), Decimal("2.0"), "30 ± 2 deg"),
        (Decimal("33.9"), Decimal("2.4"), "33.9 ± 2.4 deg"),
        (Decimal("30"), None, "30 deg"),
        (None, Decimal("2"), ""),
    ],
)
def test_a_deviation_stands_beside_its_angle_and_never_alone(value, deviation, text):
    assert units.deg_within(value, deviation).replace(units.NO_BREAK, " ") == text


def test_a_bare_number_takes_the_places_asked_for():
    assert units.number(1.26, 1) == "1.3"
    assert units.number(None) == ""


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (date(2027, 3, 12), "12-Mar-2027"),
        (date(2026, 12, 1), "01-Dec-2026"),
        (datetime(2027, 3, 12, 23, 30, tzinfo=UTC), "12-Mar-2027"),
        (None, ""),
        ("2027-03-12", ""),
    ],
)
def test_a_date_has_its_month_in_letters(value, text):
    assert units.long_date(value) == text


def test_a_moment_shows_the_day_of_the_place_where_it_is_read(settings):
    settings.TIME_ZONE = "Asia/Tokyo"

    assert units.long_date(datetime(2027, 3, 12, 23, 30, tzinfo=UTC)) == "13-Mar-2027"
    assert units.long_time(datetime(2027, 3, 12, 23, 30, tzinfo=UTC)) == "13-Mar-2027\xa008:30"


def test_a_due_date_carries_its_weekday():
    assert units.due_date(date(2027, 3, 12)) == "Fri\xa012-Mar-2027"
    assert units.due_date(None) == ""


def test_on_a_page_no_date_breaks_at_its_hyphens():
    page = Template(
        "{% load units %}{{ day|long_date }}, {{ day|due_date }}, {{ day|day_month }}: "
        "{{ text|unbroken }}"
    )
    text = "moved from 01-Feb-2027 to 05-Mar-2027 <for> 7Q2K-9A3B"

    shown = page.render(Context({"day": date(2027, 3, 12), "text": text}))

    assert shown == (
        "12\u2011Mar\u20112027, Fri\xa012\u2011Mar\u20112027, 12\u2011Mar: moved from "
        "01\u2011Feb\u20112027 to 05\u2011Mar\u20112027 &lt;for&gt; 7Q2K-9A3B"
    )


def test_the_week_strip_reads_weekday_and_day():
    assert (units.weekday(date(2027, 3, 12)), units.day_month(date(2027, 3, 12))) == (
        "Fri",
        "12-Mar",
    )


def test_a_tooth_shows_its_own_notation_first_and_the_other_beside_it():
    assert units.tooth("16") == "16\xa0(Universal\xa03)"
    assert units.tooth("16", "Universal") == "3\xa0(ISO\xa016)"
    assert units.tooth_number("16", "Universal") == "3"
    assert units.tooth_words("11") == "11, upper right central incisor"
    assert units.tooth_words("11", "Universal") == "8, upper right central incisor"


@pytest.mark.parametrize("filter_of_a_tooth", [units.tooth, units.tooth_number, units.tooth_words])
def test_no_tooth_gives_no_text(filter_of_a_tooth):
    assert filter_of_a_tooth(None) == ""
    assert filter_of_a_tooth("") == ""


def test_a_case_code_stands_in_groups_of_four():
    assert units.grouped("7Q2K9A3BC4DH") == "7Q2K-9A3B-C4DH"
    assert units.grouped(None) == ""
