"""Lines of the set-up log."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from labcases.models import SetUpEntry
from tests.labcases.models.limits import assert_held, measured

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {
    "before_mm": ("-10", "40"),
    "after_mm": ("-10", "40"),
    "shell_left_mm": ("0", "10"),
    "base_mm": ("0", "10"),
}


def test_every_measured_column_is_limited():
    assert set(measured(SetUpEntry)) == set(LIMITS)


@pytest.mark.parametrize("field", LIMITS)
def test_a_reading_out_of_range_is_not_stored(cast, case, field):
    entry = SetUpEntry.objects.create(case=case, act="pin reading", by=cast.tomas)

    assert_held(entry, field, *LIMITS[field])


def test_lines_come_in_the_order_in_which_they_were_logged(cast, case):
    lines = [
        SetUpEntry.objects.create(case=case, act=act, by=cast.tomas)
        for act in ("base adapted", "pin opened", "tooth set")
    ]

    assert list(case.setup_entries.all()) == lines
    assert str(lines[1]) == f"pin opened ({case.code})"


@pytest.mark.parametrize("teeth", [["16", "46", "19"], "16", [16]])
def test_a_line_names_permanent_teeth(cast, case, teeth):
    entry = SetUpEntry(case=case, act="tooth set", by=cast.tomas, teeth=teeth)

    with pytest.raises(ValidationError) as refused:
        entry.full_clean()

    assert "teeth" in refused.value.message_dict
