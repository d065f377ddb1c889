"""Try-ins of a case, numbered."""

from __future__ import annotations

import pytest

from labcases.models import TryIn
from tests.labcases.models.limits import assert_held, measured, second_row_refused

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {
    **{"vertical_rest_mm": ("20", "120"), "vertical_mm": ("20", "120")},
    **{"speaking_mm": ("0", "15"), "display_rest_mm": ("-10", "20")},
    **{"display_smile_mm": ("-10", "25"), "midline_mm": ("-10", "10")},
    "length_change_mm": ("-5", "5"),
}


def test_every_measured_column_is_limited():
    assert set(measured(TryIn)) == set(LIMITS)


@pytest.mark.parametrize("name", LIMITS)
def test_what_no_face_has_is_not_stored(case, name):
    row = TryIn.objects.create(case=case, number=1, revision=1)

    assert_held(row, name, *LIMITS[name])


def test_try_ins_are_numbered_and_open_without_an_outcome(case):
    second = TryIn.objects.create(case=case, number=2, revision=1)
    first = TryIn.objects.create(case=case, number=1, revision=1)

    assert list(case.try_ins.all()) == [first, second]
    assert (first.outcome, first.answers, first.decided_at) == ("", {}, None)
    second_row_refused(TryIn, case=case, number=2, revision=1)
