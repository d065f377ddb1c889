"""What a measure, a mark, a movement or a plane does to whole arches."""

import math

import pytest

from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.surfaces.arches import Mark
from occlusion.surfaces.calliper import CalliperTooth, CompensatingCurve
from occlusion.surfaces.seating import seated
from occlusion.surfaces.touching import least_gap
from tests.occlusion.surfaces.crowns import arch, cusp, form
from tests.occlusion.surfaces.set_ups import BACK, articulator, least, made, position


@pytest.fixture(scope="module")
def usual():
    return made()


def test_a_degree_of_cusp_angle_is_0_047_mm_after_3_mm_along_the_path():
    # 3 mm along a condylar path of 40 deg, table 45: a second molar advances by 2.192 mm, and
    # 2.192 sec^2(25) pi / 180 is 0.0466 mm a degree. A sharp lower tip slides up a distal incline.
    there = position(beta=40.0, table=45.0)
    tip = form(cusp(deg=40.0, roundness_mm=0.01), centre_mm=(35.0, 28.0))
    gaps = []
    for angle in (24.5, 25.5):
        cusps = [cusp(u=u, z=-32.5, deg=angle, roundness_mm=0.01) for u in (5.0, -5.0)]
        upper = form(*cusps, tooth="27", centre_mm=(35.0, 28.0), md_mm=14.0, material="denture")
        (settled,) = seated([upper], [tip]).upper
        gaps.append(least_gap(settled, [tip], there).gap_mm)

    assert gaps[0] - gaps[1] == pytest.approx(0.0466, abs=0.002)


@pytest.mark.parametrize("of_upper", [{"cusp_angle_deg": 0.0}, {"cusp_angle_deg": 33.0}])
def test_steeper_cusps_leave_less_room_in_protrusion(of_upper):
    there, teeth = position(), [f"2{n}" for n in (4, 5, 6)]
    lower = {f"t3{n}": of_upper for n in (4, 5, 6, 7)}
    upper = {f"t{tooth}": of_upper for tooth in teeth}
    plain = least(made(), there, pitch=0.2)
    other = least(
        made(arch("upper", "denture", **upper), arch("lower", "natural", **lower)), there, pitch=0.2
    )

    for tooth in teeth:
        change = other[tooth] - plain[tooth]
        assert change > 0.2 if of_upper["cusp_angle_deg"] == 0.0 else change < -0.2


def test_changed_arches_are_those_set_up_with_the_other_angle(usual):
    steeper = usual.changed(upper_cusp_deg=2.0)
    angles = {f"t{t}": {"cusp_angle_deg": 22.0} for t in BACK}
    anew = made(upper=arch("upper", "denture", **angles))

    assert steeper.upper == anew.upper
    assert steeper.settled_mm == anew.settled_mm
    assert steeper.assumptions == usual.assumptions
    assert usual.changed(lower_cusp_deg=2.0).lower != usual.lower
    assert usual.changed().upper == usual.upper


def test_no_cusp_gets_flatter_than_flat_or_steeper_than_a_tooth(usual):
    flat = usual.changed(upper_cusp_deg=-30.0)

    assert flat.upper[5].cusps[0].inner_deg == 0.0
    with pytest.raises(OutOfRange, match="Cusp angle of tooth 14 is 65 deg"):
        usual.changed(upper_cusp_deg=45.0)


def test_tilt_steepens_what_meets_in_protrusion():
    # Flat cusps that lean by 8 deg: after 3 mm forward on a level table they cross by 3 tan 8.
    there = position(beta=0.0, table=0.0, along="horizontal")
    flat = {"cusp_angle_deg": 0.0, "outer_incline_deg": 0.0}
    curve = CompensatingCurve(radius_mm=10_000.0)

    def gap(tilt):
        upper = [CalliperTooth(tooth="26", material="denture", tilt_deg=tilt, **flat)]
        lower = [
            CalliperTooth(tooth=t, material="natural", tilt_deg=tilt, **flat) for t in ("36", "37")
        ]
        return least(made(upper, lower, curve=curve), there, pitch=0.2)["26"]

    assert gap(8.0) < -0.3
    assert gap(8.0) < gap(0.0) - 0.3 < gap(-8.0) - 0.6


def test_teeth_off_their_contact_are_that_much_off(usual):
    low = usual.moved({"16": -0.2, "17": -0.5, "26": 0.3})
    gaps = least(low)

    assert gaps["16"] == pytest.approx(-0.2, abs=5e-3)
    assert gaps["17"] == pytest.approx(-0.5, abs=5e-3)
    assert gaps["26"] == pytest.approx(0.3, abs=5e-3)
    assert gaps["27"] == pytest.approx(0.0, abs=5e-3)
    assert low.settled_mm == usual.settled_mm


def test_what_is_off_its_contact_stays_off_when_cusps_change(usual):
    again = usual.moved({"16": -0.2}).moved({"16": -0.1}).changed(upper_cusp_deg=1.0)

    assert least(again)["16"] == pytest.approx(-0.3, abs=5e-3)


@pytest.mark.parametrize(
    ("up", "error", "sentence"),
    [
        ({"46": 0.2}, BadRequest, "Tooth 46 is natural and stays where it stands"),
        ({"18": 0.2}, BadRequest, "Tooth 18 is not in the set-up"),
        ({"16": math.nan}, NotANumber, "Movement of tooth 16 is not a finite number"),
        ({"16": 9.0}, OutOfRange, "Movement of tooth 16 is 9 mm"),
    ],
)
def test_what_cannot_be_moved_is_refused(usual, up, error, sentence):
    with pytest.raises(error, match=sentence):
        usual.moved(up)


def test_a_mark_brings_its_tooth_into_contact_where_it_was_seen(usual):
    there = position()
    arches = made(marks=[Mark("26", there)])

    assert abs(least(usual, there)["26"]) > 0.05
    assert least(arches, there)["26"] == pytest.approx(0.0, abs=5e-3)
    assert arches.settled_mm["27"] == usual.settled_mm["27"]
    assert any("Height taken from observed marks" in text for text in arches.assumptions)
    assert [w.code for w in arches.warnings] == ["mark_deep"]


def test_the_arches_lie_in_the_plane_of_the_settings():
    level = made(settings=articulator())
    falling = made(settings=articulator(tilt=8.0))

    drop = [
        form.tips_mm[1, 2] - arches.lower[0].tips_mm[0, 2]
        for arches in (level, falling)
        for form in arches.lower
        if form.tooth == "37"
    ]

    # 37.6 mm behind the incisal edge a plane that falls forward by 8 deg stands 5.2 mm higher.
    assert drop[1] - drop[0] == pytest.approx(5.2, abs=0.3)
    assert level.upper == made().upper
