"""Chosen teeth and what callipers read at each site."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from labcases.models import SiteMeasure, ToothSelection
from tests.labcases.models.limits import (
    assert_as_the_engine,
    assert_held,
    measured,
    second_row_refused,
)

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

SITE = {
    "space_mm": ("0", "40"),
    "base_min_mm": ("0", "10"),
    "relief_mm": ("0", "5"),
    "tooth_height_mm": ("0", "20"),
    "shell_over_fossa_mm": ("0", "10"),
    "shell_min_mm": ("0", "10"),
    "cusp_angle_deg": ("0", "60"),
    "tip_separation_mm": ("1", "12"),
    "mesiodistal_mm": ("3", "15"),
    "buccolingual_mm": ("3", "15"),
    "tip_height_mm": ("-8", "8"),
    "tilt_deg": ("-30", "30"),
    "behind_incisal_mm": ("0", "80"),
    "from_midline_mm": ("0", "50"),
}
# The place of a tooth is read against the incisal point; the engine knows coordinates only.
OTHER_NAMES = {
    "mesiodistal_mm": "crown_width_mm",
    "buccolingual_mm": "crown_width_mm",
    "tilt_deg": "tooth_tilt_deg",
}
ENGINE = {
    field: OTHER_NAMES.get(field, field)
    for field in SITE
    if field not in ("behind_incisal_mm", "from_midline_mm")
}
SELECTION = {
    "cusp_angle_deg": ("0", "60"),
    "front_six_mm": ("15", "150"),
    "posterior_four_mm": ("20", "48"),
    "tooth_height_mm": ("0", "20"),
    "shell_over_fossa_mm": ("0", "10"),
    "shell_min_mm": ("0", "10"),
    "natural_central_mm": ("3", "15"),
    "natural_six_mm": ("18", "90"),
    "opposing_six_mm": ("15", "150"),
    "inner_canthal_mm": ("15", "55"),
    "bizygomatic_mm": ("80", "200"),
    "interalar_mm": ("20", "60"),
    "hamular_notch_mm": ("25", "70"),
    "room_right_mm": ("0", "70"),
    "room_left_mm": ("0", "70"),
}
# As many crowns as the name says, each within what the engine takes for one.
CROWNS = {"natural_six_mm", "posterior_four_mm"}
SELECTION_ENGINE = {
    "cusp_angle_deg": "cusp_angle_deg",
    "front_six_mm": "teeth_together_mm",
    "opposing_six_mm": "teeth_together_mm",
    "tooth_height_mm": "tooth_height_mm",
    "shell_over_fossa_mm": "shell_over_fossa_mm",
    "shell_min_mm": "shell_min_mm",
    "natural_central_mm": "crown_width_mm",
    "inner_canthal_mm": "inner_canthal_mm",
    "bizygomatic_mm": "bizygomatic_mm",
    "interalar_mm": "interalar_mm",
    "hamular_notch_mm": "hamular_notch_mm",
    "room_right_mm": "posterior_room_mm",
    "room_left_mm": "posterior_room_mm",
}


def test_every_measured_column_is_limited_where_the_engine_knows_it_as_there():
    assert set(measured(SiteMeasure)) == set(SITE)
    assert set(measured(ToothSelection)) == set(SELECTION)
    assert_as_the_engine(SITE, ENGINE)
    assert set(SELECTION_ENGINE) == set(SELECTION) - CROWNS
    assert_as_the_engine(SELECTION, SELECTION_ENGINE)


@pytest.mark.parametrize("field", SITE)
def test_a_reading_out_of_range_is_not_stored(case, field):
    assert_held(SiteMeasure.objects.create(case=case, tooth="16"), field, *SITE[field])


@pytest.mark.parametrize("field", SELECTION)
def test_a_selection_out_of_range_is_not_stored(case, field):
    assert_held(ToothSelection.objects.create(case=case), field, *SELECTION[field])


def test_a_site_and_a_selection_stand_once(case):
    ToothSelection.objects.create(case=case)
    SiteMeasure.objects.create(case=case, tooth="26")
    SiteMeasure.objects.create(case=case, tooth="16")

    second_row_refused(ToothSelection, case=case)
    second_row_refused(SiteMeasure, case=case, tooth="16")
    assert [str(row) for row in case.sites.all()] == [
        f"site 16 of {case.code}",
        f"site 26 of {case.code}",
    ]


def test_a_site_is_a_permanent_tooth(case):
    with pytest.raises(ValidationError, match="not a permanent tooth"):
        SiteMeasure(case=case, tooth="55").full_clean()


def test_a_cusp_angle_of_20_deg_is_assumed_until_somebody_enters_one(case):
    row = ToothSelection.objects.create(case=case)
    row.refresh_from_db()

    assert row.cusp_angle_deg == 20
