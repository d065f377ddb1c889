"""Whole set-ups: settled to nothing, mirrored, moved, changed, and what they say of themselves."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion.errors import BadRequest, NotANumber, OpenOrEmptyMesh
from occlusion.surfaces.arches import WORTH, Arches, Mark
from occlusion.surfaces.calliper import CalliperTooth, CompensatingCurve
from occlusion.surfaces.gaps import gap_maps, minima
from tests.occlusion.surfaces.crowns import arch, cusp, form
from tests.occlusion.surfaces.set_ups import BACK, finely, least, made


@pytest.fixture(scope="module")
def usual():
    return made()


# Settled


def test_every_upper_denture_tooth_just_touches(usual):
    assert list(usual.settled_mm) == [f"{q}{n}" for q in "12" for n in range(1, 8)]
    for tooth in ("21", "23", "24", "25", "26", "27"):
        assert finely(usual, tooth) == pytest.approx(0.0, abs=1e-3)
    for gap in least(usual).values():
        assert -1e-4 < gap < 5e-3


measured = {
    "cusp_angle_deg": st.floats(0.0, 35.0),
    "tip_height_mm": st.floats(-1.5, 1.5),
    "tilt_deg": st.floats(-10.0, 10.0),
    "tip_separation_mm": st.floats(3.5, 6.0),
}


@settings(max_examples=12, deadline=None)
@given(
    st.fixed_dictionaries({}, optional=measured),
    st.fixed_dictionaries({}, optional=measured),
    st.sampled_from(["natural", "denture"]),
)
def test_settling_leaves_no_gap_and_no_depth_and_moves_no_natural_tooth(above, below, material):
    upper = [CalliperTooth(tooth=t, material="denture", **above) for t in ("25", "26", "27")]
    lower = [CalliperTooth(tooth=t, material=material, **below) for t in ("35", "36", "37")]

    arches = made(upper, lower)

    assert set(arches.settled_mm) == {"25", "26", "27"}
    for tooth in arches.settled_mm:
        assert finely(arches, tooth) == pytest.approx(0.0, abs=1e-3)
    alone = made([], lower)
    assert arches.lower == alone.lower


def test_natural_upper_teeth_stay_and_lower_denture_teeth_come_to_them():
    arches = made(arch("upper", "natural"), arch("lower", "denture"))
    alone = made(arch("upper", "natural"), [])

    assert arches.upper == alone.upper
    assert set(arches.settled_mm) == {f"{q}{n}" for q in "34" for n in range(1, 8)}
    assert min(least(arches).values()) == pytest.approx(0.0, abs=5e-3)


def test_natural_arches_of_the_textbook_meet_and_nowhere_cross():
    arches = made(arch("upper", "natural"), arch("lower", "natural"))
    gaps = least(arches)

    assert arches.settled_mm == {}
    assert all(-0.01 < gap < 0.6 for gap in gaps.values())
    assert min(gaps.values()) < 0.05


def test_an_over_erupted_natural_tooth_stays_and_lifts_what_stands_above(usual):
    arches = made(lower=arch("lower", "natural", t37={"tip_height_mm": 1.6}))
    by_number = {form.tooth: form for form in arches.lower}
    plain = {form.tooth: form for form in usual.lower}

    lift = by_number["37"].tips_mm[:, 2] - plain["37"].tips_mm[:, 2]
    lifted = {t: arches.settled_mm[t] - usual.settled_mm[t] for t in arches.settled_mm}

    assert lift == pytest.approx(1.6)
    assert by_number["36"] == plain["36"]
    assert lifted["27"] == pytest.approx(1.6, abs=0.1)
    assert all(lifted[t] == pytest.approx(0.0, abs=1e-9) for t in ("17", "16", "25", "21"))
    assert least(arches)["27"] == pytest.approx(0.0, abs=5e-3)


def test_a_short_lower_tooth_lets_its_antagonist_down(usual):
    arches = made(lower=arch("lower", "natural", t46={"tip_height_mm": -0.5}))

    # Its neighbours hold the upper tooth before it is down by the whole of it.
    assert -0.5 < arches.settled_mm["16"] - usual.settled_mm["16"] < -0.05


def test_left_and_right_are_mirror_images(usual):
    for member in ("upper", "lower"):
        x, y = np.meshgrid(np.linspace(40.0, 84.0, 45), np.linspace(0.1, 34.0, 35))
        left, right = usual.heights(member, x, y), usual.heights(member, x, -y)

        assert np.isfinite(left).sum() > 300
        assert np.nanmax(np.abs(left - right)) < 1e-6
        assert (np.isnan(left) == np.isnan(right)).all()
    assert usual.settled_mm["16"] == pytest.approx(usual.settled_mm["26"], abs=1e-6)


def test_a_missing_lower_tooth_leaves_a_gap_and_a_sentence():
    lower = arch("lower", "natural", missing=("35", "36", "37"))
    arches = made(lower=lower)

    assert "27" not in arches.settled_mm
    assert "36" not in [form.tooth for form in arches.lower]
    assert any(
        text.startswith("Without an antagonist, and therefore not settled: 25, 26, 27")
        for text in arches.assumptions
    )


# Fields, samples and places


def test_field_and_samples_show_what_the_function_says(usual):
    for member in ("upper", "lower"):
        field, samples = usual.field(member, pitch_mm=0.2), usual.samples(member, pitch_mm=0.2)
        x, y, z = samples.points_mm.astype(float).T

        assert z == pytest.approx(usual.heights(member, x, y), abs=5e-3, nan_ok=True)
        assert field.inside.sum() == len(samples)
        assert samples.names == tuple(form.tooth for form in usual.forms(member))
        assert set(samples.region) == set(range(14))


def test_upper_lingual_and_lower_buccal_inclines_carry_the_bite(usual):
    samples = usual.samples("upper")
    maps = gap_maps(usual.field("lower"), samples, np.eye(4)[None])
    _gaps, at = minima(maps, samples)

    # Index 2 to 7: inner inclines of the buccal and everything of the lingual cusps.
    for tooth in BACK:
        assert samples.incline[at[0][samples.names.index(tooth)]] >= 2


@pytest.mark.parametrize(
    ("member", "tooth"), [("lower", "37"), ("lower", "44"), ("upper", "16"), ("upper", "21")]
)
def test_a_place_on_a_tooth_is_its_own(usual, member, tooth):
    (form,) = [form for form in usual.forms(member) if form.tooth == tooth]
    x, y, _z = form.tips_mm[0]

    assert usual.place_at(member, x, y) == tooth


@pytest.mark.parametrize(
    ("member", "numbers", "owner"), [("lower", ("36", "37"), "37"), ("upper", ("26", "27"), "26")]
)
def test_where_crowns_overlap_a_place_belongs_to_the_tooth_met_first(usual, member, numbers, owner):
    low, high = (
        form(cusp(z=z), tooth=tooth) for z, tooth in zip((-32.5, -32.0), numbers, strict=True)
    )
    teeth = {"upper": (), "lower": (), member: (low, high)}
    arches = Arches(**teeth, settled_mm={}, assumptions=(), warnings=(), asked=usual.asked)

    assert arches.place_at(member, 50.0, 25.0) == owner


def test_beside_the_teeth_a_place_belongs_to_none(usual):
    assert usual.place_at("lower", 50.0, 0.0) is None


def test_material_is_that_of_the_tooth(usual):
    assert (usual.material("16"), usual.material("46")) == ("denture", "natural")
    with pytest.raises(BadRequest, match="Tooth 18 is not in the set-up"):
        usual.material("18")


# What is said, and what is refused


def test_the_first_thing_said_is_what_the_model_is_worth(usual):
    assert usual.assumptions[0] == WORTH
    assert "good for ranking teeth" in WORTH
    assert "not for a depth below 0.3 mm" in WORTH


def test_defaults_of_place_and_curve_are_named(usual):
    assert usual.assumptions[1] == (
        "Lower tips stand on a sphere of 101.6 mm, on which the incisal point and the second "
        "molars are at one height; where no tip height and no tilt are given, both are 0."
    )
    assert usual.assumptions[2] == (
        "The arches are laid out from the incisal point and the crown widths, the upper tips 3 "
        "mm outside the lower ones (common practice, no source)."
    )
    given = made(
        lower=arch("lower", "natural", t36={"centre_mm": (54.0, 22.0)}),
        curve=CompensatingCurve(lowest_mm=(50.0, -33.0)),
    )
    assert given.assumptions[1].startswith("Lower tips stand on a sphere of 101.6 mm; where")
    assert given.assumptions[2].endswith("; 36 stand where they were measured.")


def test_a_tip_height_of_a_tooth_that_settles_is_said_to_be_without_effect(usual):
    heights = {"t26": {"tip_height_mm": 0.7}, "t36": {"tip_height_mm": 0.0}}
    arches = made(arch("upper", "denture", **heights), arch("lower", "natural", **heights))

    assert arches.assumptions[-1] == (
        "Settled into contact in spite of a tip height of its own: 26."
    )
    for moved, plain in zip(arches.upper, usual.upper, strict=True):
        assert moved.tips_mm == pytest.approx(plain.tips_mm, abs=1e-3)


def test_unusual_measures_and_curves_warn():
    arches = made(
        lower=arch("lower", "natural", t37={"tip_height_mm": 2.5}),
        curve=CompensatingCurve(radius_mm=200.0),
    )

    assert [w.code for w in arches.warnings][:2] == [
        "curve_radius_unusual",
        "tip_height_tooth_37_unusual",
    ]


def test_nothing_unusual_is_no_warning(usual):
    assert usual.warnings == ()


@pytest.mark.parametrize(
    ("request_", "error", "sentence"),
    [
        ({"upper": [], "lower": []}, BadRequest, "There are no teeth in either arch"),
        ({"upper": arch("lower", "natural")}, BadRequest, "Tooth 31 is in the list of the upper"),
        ({"lower": arch("lower", "natural") * 2}, BadRequest, "Tooth 31 is given twice"),
        ({"incisal_point_mm": (80.0, 0.0)}, NotANumber, "Incisal point is not a list of three"),
        ({"marks": [Mark("46", np.eye(4))]}, BadRequest, "names tooth 46, which is natural"),
    ],
)
def test_what_cannot_be_set_up_is_refused(request_, error, sentence):
    with pytest.raises(error, match=sentence):
        made(**request_)


def test_an_arch_without_teeth_has_no_field():
    arches = made(lower=[])

    with pytest.raises(OpenOrEmptyMesh, match="The lower arch has no teeth"):
        arches.field("lower")
    assert arches.settled_mm == {}


def test_a_member_is_upper_or_lower(usual):
    with pytest.raises(BadRequest, match="Choose one of: upper, lower"):
        usual.forms("middle")
