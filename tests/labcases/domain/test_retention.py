"""Until when papers are kept: by the profile of a place, and for an ended case."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from labcases.domain import retention, stages
from labcases.enums import Stage
from labcases.models import Case, Delivery
from tests import published
from tests.factories import world

PLACED = date(2026, 3, 26)


@published.each("retention")
def test_papers_are_kept_as_long_as_the_place_asks(row):
    until = retention.kept_until(date.fromisoformat(row["placed"]), row["profile"])

    assert until == (date.fromisoformat(row["until"]) if row["until"] else None)


def test_with_no_place_named_the_longest_of_all_counts():
    assert retention.kept_until(PLACED) == date(2036, 3, 26)


@pytest.mark.parametrize(
    ("placed", "years", "until"),
    [
        (date(2028, 2, 29), 10, date(2038, 3, 1)),
        (date(2028, 2, 29), 1, date(2029, 3, 1)),
        (date(2028, 2, 29), 4, date(2032, 2, 29)),
        (date(2028, 2, 28), 10, date(2038, 2, 28)),
        (date(2028, 3, 1), 10, date(2038, 3, 1)),
    ],
)
def test_a_leap_day_counts_to_the_later_of_two_days(placed, years, until):
    assert retention.day_after_years(placed, years) == until


# A case


@pytest.fixture
def ended(db):
    """A case that was cancelled on 2-Feb-2027, and how it is changed further."""
    cast = world()
    walk = cast.walk()
    stages.move(case=walk.reload(), to=Stage.CANCELLED, by=cast.dora, reason="moved away")
    Case.objects.update(stage_since=datetime(2027, 2, 2, 12, tzinfo=UTC))

    def make(*, office: str = "", laboratory: str = "", delivered_on: date | None = None) -> Case:
        for house, profile in ((cast.office, office), (cast.laboratory, laboratory)):
            house.profile = profile
            house.save()
        if delivered_on:
            Delivery.objects.create(case=walk.case, delivered_on=delivered_on)
        return walk.reload()

    return make


def told(case: Case) -> tuple[date, str, int, str]:
    kept = retention.of_case(case)
    assert kept
    return kept.until, kept.profile.key, kept.years, kept.counted


def test_an_open_case_is_kept_without_a_day(db):
    assert retention.of_case(world().walk().case) is None


@pytest.mark.parametrize(
    ("office", "laboratory", "until", "profile", "years"),
    [
        ("us-fl", "us-ct", date(2030, 3, 26), "us-fl", 4),
        ("us-ct", "eu", date(2036, 3, 26), "eu", 10),
        ("us-ct", "us-ct", date(2027, 3, 26), "us-ct", 1),
    ],
)
def test_of_two_houses_the_longer_wish_counts_from_delivery(
    ended, office, laboratory, until, profile, years
):
    case = ended(office=office, laboratory=laboratory, delivered_on=PLACED)

    assert told(case) == (until, profile, years, "delivered")
    assert retention.of_case(case).counted_from == PLACED


@pytest.mark.parametrize(
    ("office", "laboratory"), [("", ""), ("us-ct", ""), ("us-ct", "us-tx"), ("us-md", "us-md")]
)
def test_where_a_wish_is_not_known_the_longest_of_all_counts(ended, office, laboratory):
    case = ended(office=office, laboratory=laboratory, delivered_on=PLACED)

    assert told(case) == (date(2036, 3, 26), "strict", 10, "delivered")


def test_a_case_that_was_never_delivered_counts_from_the_day_it_ended(ended):
    assert told(ended(office="us-ct", laboratory="us-ct")) == (
        date(2028, 2, 2),
        "us-ct",
        1,
        "cancelled",
    )
