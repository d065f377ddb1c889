"""Final wax and handoff."""

from __future__ import annotations

import pytest

from labcases.models import FinalWax, Handoff
from tests.labcases.models.limits import (
    assert_as_the_engine,
    assert_held,
    measured,
    second_row_refused,
)

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {
    "trim_labial_mm": ("0", "10"),
    "overjet_mm": ("-10", "15"),
    "overbite_mm": ("-10", "12"),
    "incisal_display_mm": ("-10", "20"),
    "midline_offset_mm": ("-10", "10"),
    "central_length_mm": ("5", "20"),
    "flange_right_mm": ("0", "10"),
    "flange_front_mm": ("0", "10"),
    "flange_left_mm": ("0", "10"),
}


def test_every_measured_column_is_limited_where_the_engine_knows_it_as_there():
    assert set(measured(FinalWax)) == set(LIMITS)
    assert_as_the_engine(LIMITS, {"overjet_mm": "overjet_mm", "overbite_mm": "overbite_mm"})


@pytest.mark.parametrize("field", LIMITS)
def test_a_wax_out_of_range_is_not_stored(case, field):
    assert_held(FinalWax.objects.create(case=case), field, *LIMITS[field])


def test_what_is_not_decided_is_neither_yes_nor_no(case):
    row = FinalWax.objects.create(case=case)
    row.refresh_from_db()

    assert (row.bone_change_planned, row.template_wanted) == (None, None)
    assert (row.duplicate_made, row.trimming_approved, row.approved_at) == (False, False, None)
    second_row_refused(FinalWax, case=case)


def test_handoffs_are_numbered_and_kept_beside_one_another(cast, case):
    values = {"case": case, "revision": 1, "frozen": {"inputs": {}}, "by": cast.tomas}
    first = Handoff.objects.create(number=1, base_product="resin", **values)
    second = Handoff.objects.create(number=2, base_product="another resin", **values)

    assert list(case.handoffs.all()) == [first, second]
    assert str(second) == f"handoff 2 of {case.code}"
    second_row_refused(Handoff, number=2, base_product="a third resin", **values)
