"""The demonstration's broken cast: what it says is what pages then show."""

import pytest

from labcases.domain import casts
from labcases.enums import Stage
from labcases.management.sample_incident import broken_and_mounted_again
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_a_broken_cast_is_reported_and_the_case_is_mounted_again():
    walk = world().walk()
    walk.to(Stage.SETTINGS)

    row = broken_and_mounted_again(walk)

    case = walk.reload()
    assert (case.stage, case.mounting.number) == (Stage.SETTINGS, 2)
    assert (row.stage_before, row.stage_after, row.days_lost) == (
        *(Stage.SETTINGS, Stage.MASTER_CAST),
        4,
    )
    assert row.done.startswith("Poured again from the same impression")
    broken, poured_again = case.casts.order_by("id")
    assert (casts.is_broken(broken), casts.is_broken(poured_again)) == (True, False)
