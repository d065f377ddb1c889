"""Spread of gaps: the few drawn cells say what whole maps of every draw would."""

import numpy as np
import pytest

from occlusion.clearance import AskedExcursion, surface_clearance
from occlusion.clearance.callipers import oppose
from occlusion.motion import lower_positions
from occlusion.spread import Measured, draws_of
from occlusion.surfaces.arches import set_up
from occlusion.surfaces.calliper import CalliperTooth
from occlusion.surfaces.gaps import gap_maps, minima
from tests.occlusion.bench import settings_of, symmetric
from tests.occlusion.clearance.faces import sphere_under_facet

SETTINGS = settings_of(symmetric(30, 20, bennett=10, wing=15))
RIGHT = AskedExcursion(kind="right", travel_mm=3.0, steps=12)
ERRORS = {"condylar_inclination_deg": 5.0, "bennett_deg": 5.0, "incisal_table_deg": 2.0}


def arches(**cusp):
    upper = [CalliperTooth(tooth=t, material="denture", **cusp) for t in ("15", "16", "17")]
    lower = [CalliperTooth(tooth=t, material="natural") for t in ("44", "45", "46", "47")]
    return set_up(upper=upper, lower=lower, incisal_point_mm=(80.0, 0.0, -32.0))


@pytest.fixture(scope="module")
def surfaces():
    return oppose(arches(), pitch_mm=0.2)


def check(surfaces, **options):
    return surface_clearance(settings=SETTINGS, asked=[RIGHT], surfaces=surfaces, **options)


def rows(found):
    return {row.name: row for row in found.excursions[0].regions}


def test_few_cells_of_each_draw_say_what_its_whole_map_would(surfaces):
    draws = draws_of(SETTINGS, half_widths=ERRORS, draws=60, seed=5)
    found = rows(check(surfaces, draws=draws))
    facing = surfaces.facings[0]
    ends = []
    for one in draws.settings:
        path = lower_positions(settings=one, excursion=RIGHT.excursion, steps=RIGHT.steps)
        least, _ = minima(gap_maps(facing.field, facing.samples, path.transforms), facing.samples)
        ends.append(least[-1])
    whole = dict(zip(facing.samples.names, np.array(ends, dtype=float).T, strict=True))

    for name, row in found.items():
        assert row.doubt.sd_mm == pytest.approx(whole[name].std(), rel=0.05, abs=0.004)
        assert row.doubt.p05_mm == pytest.approx(np.percentile(whole[name], 5), abs=0.02)
        assert row.doubt.p95_mm == pytest.approx(np.percentile(whole[name], 95), abs=0.02)


def test_readings_without_error_leave_no_spread(surfaces):
    exact = rows(check(surfaces, draws=draws_of(SETTINGS, half_widths={}, draws=20)))

    for row in exact.values():
        assert row.doubt.sd_mm == pytest.approx(0.0, abs=1e-6)
        assert row.doubt.p05_mm == pytest.approx(row.gap_mm, abs=1e-4)


def test_the_same_seed_gives_the_same_spread_and_another_a_near_one(surfaces):
    def sds(seed):
        draws = draws_of(SETTINGS, half_widths=ERRORS, draws=400, seed=seed)
        return [row.doubt.sd_mm for row in rows(check(surfaces, draws=draws)).values()]

    assert sds(1) == sds(1)
    assert sds(1) != sds(2)
    assert sds(1) == pytest.approx(sds(2), rel=0.15)


def test_a_doubtful_cusp_widens_the_spread_as_teeth_really_made_so_would():
    """Teeth made with each of many cusp angles and settled anew, against draws of one set-up."""
    made = []
    for degrees in np.linspace(18.0, 22.0, 9):
        steep = oppose(arches(cusp_angle_deg=float(degrees)), pitch_mm=0.2)
        made.append([row.gap_mm for row in rows(check(steep)).values()])
    doubtful = oppose(
        arches(cusp_angle_deg=20.0),
        pitch_mm=0.2,
        cusp_half_width_deg={"denture": 2.0, "natural": 0.0},
    )
    found = rows(check(doubtful, draws=draws_of(SETTINGS, half_widths={}, draws=800)))
    sds = [row.doubt.sd_mm for row in found.values()]

    # Nine even steps of 2 deg either way have the deviation of an even spread, and a little more.
    assert sds == pytest.approx(np.std(made, axis=0), abs=0.02, rel=0.25)


def test_a_tooth_that_is_set_to_touch_never_interferes_in_centric_for_its_cusps():
    doubtful = oppose(arches(), pitch_mm=0.2, cusp_half_width_deg={"denture": 8.0, "natural": 8.0})
    still = AskedExcursion(kind="protrusive", travel_mm=0.01, steps=2)
    found = surface_clearance(
        settings=SETTINGS,
        asked=[still],
        surfaces=doubtful,
        draws=draws_of(SETTINGS, half_widths={}, draws=300),
    )

    assert [row.doubt.p_interference for row in found.excursions[0].regions] == [0.0, 0.0, 0.0]


def test_an_error_of_registration_is_added():
    plain = sphere_under_facet(-0.3, 0.0)
    shaky = type(plain)(
        facings=plain.facings, material=plain.material, vertical_sd_mm={"all": 0.12}
    )
    found = rows(check(shaky, draws=draws_of(SETTINGS, half_widths={}, draws=1000)))

    assert found["all"].doubt.sd_mm == pytest.approx(0.12, rel=0.08)


def test_a_setting_with_a_known_deviation_goes_before_the_usual_one(surfaces):
    sure = {"condylar_inclination_deg.left": Measured(30.0, 0.5, "normal")}
    loose = draws_of(SETTINGS, half_widths={"condylar_inclination_deg": 5.0}, draws=400)
    tight = draws_of(
        SETTINGS, half_widths={"condylar_inclination_deg": 5.0}, readings=sure, draws=400
    )
    wide, narrow = (rows(check(surfaces, draws=one)) for one in (loose, tight))

    # To the right the left condyle leads; the right one only turns.
    assert narrow["16"].doubt.sd_mm < 0.5 * wide["16"].doubt.sd_mm
