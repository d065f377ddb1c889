"""Try-ins of a case, numbered."""

from __future__ import annotations

import pytest

from labcases.models import TryIn
from tests.labcases.models.limits import assert_held, measured, second_row_refused

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {"vertical_mm": ("20", "120")}


def test_every_measured_column_is_limited():
    assert set(measured(TryIn)) == set(LIMITS)


def test_a_vertical_that_no_face_has_is_not_stored(case):
    row = TryIn.objects.create(case=case, number=1, revision=1)

    assert_held(row, "vertical_mm", *LIMITS["vertical_mm"])


def test_try_ins_are_numbered_and_open_without_an_outcome(case):
    second = TryIn.objects.create(case=case, number=2, revision=1)
    first = TryIn.objects.create(case=case, number=1, revision=1)

    assert list(case.try_ins.all()) == [first, second]
    assert (first.outcome, first.answers, first.decided_at) == ("", {}, None)
    second_row_refused(TryIn, case=case, number=2, revision=1)
