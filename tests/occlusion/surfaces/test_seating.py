"""Who settles against whom, marks that pin a height, and what is said about it."""

import numpy as np
import pytest

from occlusion.errors import BadRequest, ImpossibleGeometry, NoSolution, NotANumber
from occlusion.surfaces.seating import Mark, seated
from occlusion.surfaces.touching import least_gap
from tests.occlusion.surfaces.crowns import cusp, form, two_cusps


def pair(upper="denture", lower="natural", gap=0.4):
    """A lone upper tip over a lower one, 26 over 36."""
    above = form(cusp(z=-32.0 + gap), tooth="26", material=upper)
    below = form(cusp(z=-32.0), material=lower)
    return above, below


def position(x=0.0, z=0.0):
    moved = np.eye(4)
    moved[:3, 3] = (x, 0.0, z)
    return moved


def codes(seat):
    return [warning.code for warning in seat.warnings]


@pytest.mark.parametrize("lower", ["natural", "denture"])
def test_an_upper_denture_tooth_settles_against_any_lower_one(lower):
    above, below = pair(lower=lower)
    seat = seated([above], [below])

    assert seat.settled_mm == {"26": pytest.approx(-0.4)}
    assert seat.lower == (below,)
    assert least_gap(seat.upper[0], seat.lower).gap_mm == pytest.approx(0.0, abs=1e-6)


def test_a_lower_denture_tooth_settles_against_a_natural_upper_one():
    above, below = pair("natural", "denture")
    seat = seated([above], [below])

    assert seat.settled_mm == {"36": pytest.approx(0.4)}
    assert seat.upper == (above,)


def test_what_stands_too_high_is_brought_out_of_its_antagonist():
    seat = seated(*([tooth] for tooth in pair(gap=-0.3)))

    assert seat.settled_mm == {"26": pytest.approx(0.3)}


def test_natural_teeth_stay_and_their_distance_is_told():
    seat = seated(*([tooth] for tooth in pair("natural", "natural")))

    assert seat.settled_mm == {}
    assert seat.sentences == [
        "Natural 26 is laid out 0.40 mm above its natural antagonists and is not settled; give "
        "its tip height or its centre."
    ]


def test_an_upper_denture_tooth_follows_a_lower_one_that_settled_first():
    natural, denture = (
        form(cusp(z=-31.0), tooth="26", material="natural", centre_mm=(50.0, 25.0)),
        form(cusp(z=-31.0), tooth="27", material="denture", centre_mm=(41.0, 25.0)),
    )
    bridge = form(
        *(cusp(z=-32.0, u=u) for u in (4.5, -4.5)),
        **{"tooth": "37", "material": "denture", "centre_mm": (45.5, 25.0)},
    )

    seat = seated([natural, denture], [bridge])

    assert seat.settled_mm["37"] == pytest.approx(1.0)
    assert seat.settled_mm["27"] == pytest.approx(0.0, abs=1e-6)
    assert least_gap(seat.upper[1], seat.lower).gap_mm == pytest.approx(0.0, abs=1e-6)


def test_a_tooth_without_an_antagonist_stays_and_is_named():
    above, _below = pair()
    aside = form(cusp(), centre_mm=(70.0, 25.0))

    seat = seated([above], [aside])

    assert seat.settled_mm == {}
    assert seat.sentences == ["Without an antagonist, and therefore not settled: 26."]


def test_a_sliver_of_a_neighbour_is_no_antagonist():
    above, _below = pair()
    beside = form(cusp(), centre_mm=(59.8, 25.0))

    assert least_gap(above, [beside]).opposed_mm2 > 0.0
    assert seated([above], [beside]).settled_mm == {}


def test_a_tooth_that_settles_far_is_asked_about():
    seat = seated(*([tooth] for tooth in pair(gap=2.5)))

    assert codes(seat) == ["settled_far"]
    assert seat.warnings[0].text.startswith("Tooth 26 settles by -2.5 mm from the curve.")


# Marks


def test_a_mark_pins_the_height_at_its_own_position():
    # Tips 2 mm apart: 2 tan 20 (sqrt(1.25) - 0.5) = 0.4500 between them at one height.
    above, below = pair()
    seat = seated([above], [below], [Mark("26", position(x=2.0, z=-0.4))])

    assert seat.settled_mm["26"] == pytest.approx(-0.4 - 0.4 - 0.45, abs=1e-3)
    assert least_gap(seat.upper[0], [below], position(x=2.0, z=-0.4)).gap_mm == pytest.approx(
        0.0, abs=1e-5
    )
    assert "Height taken from observed marks, not from centric: 26." in seat.sentences


def test_a_mark_that_wants_depth_in_centric_says_how_much():
    above, below = pair()
    seat = seated([above], [below], [Mark("26", position(x=2.0, z=-0.4))])

    assert codes(seat) == ["mark_deep"]
    assert "tooth 26 would stand 0.85 mm into its antagonist in centric" in seat.warnings[0].text


def test_a_mark_that_leaves_centric_open_says_how_much():
    # The lower member rises by 0.7 over 2 mm, 0.25 more than the tips allow.
    above, below = pair()
    seat = seated([above], [below], [Mark("26", position(x=2.0, z=0.7))])

    assert codes(seat) == ["mark_open"]
    assert "tooth 26 stands 0.25 mm out of contact in centric" in seat.warnings[0].text


def test_a_mark_that_fits_centric_needs_no_word():
    above, below = pair()

    assert seated([above], [below], [Mark("26", position(x=2.0, z=0.45))]).warnings == []


@pytest.mark.parametrize(
    ("tooth", "materials", "up"),
    [("26", ("denture", "natural"), -0.4 + 0.25), ("36", ("natural", "denture"), 0.4 - 0.25)],
)
def test_of_two_marks_the_one_counts_that_crosses_nothing(tooth, materials, up):
    above, below = pair(*materials)
    marks = [Mark(tooth, position(x=2.0, z=0.7)), Mark(tooth, position(x=2.0, z=0.45))]

    for order in (marks, marks[::-1]):
        seat = seated([above], [below], order)

        assert seat.settled_mm[tooth] == pytest.approx(up, abs=1e-3)
        assert codes(seat) == ["marks_disagree", "mark_open"]
        assert "want heights 0.25 mm apart" in seat.warnings[0].text


@pytest.mark.parametrize(
    ("tooth", "materials", "sentence"),
    [
        ("36", ("denture", "natural"), "names tooth 36, which is natural and keeps its height"),
        ("36", ("denture", "denture"), "names tooth 36, which settles against nothing"),
        ("27", ("denture", "natural"), "names tooth 27, which is not in the set-up"),
    ],
)
def test_a_mark_on_what_does_not_settle_is_refused(tooth, materials, sentence):
    above, below = pair(*materials)

    with pytest.raises(BadRequest, match=sentence):
        seated([above], [below], [Mark(tooth, position())])


def test_a_mark_with_nothing_opposite_is_refused():
    above, below = pair()

    with pytest.raises(NoSolution, match="Tooth 26 has nothing opposite in the position"):
        seated([above], [below], [Mark("26", position(x=14.0))])


@pytest.mark.parametrize(
    ("transform", "error", "sentence"),
    [
        (np.stack([np.eye(4)] * 2), NotANumber, "The mark on tooth 26 has 2 positions"),
        (np.eye(3), NotANumber, "not a matrix of 4 x 4"),
        (np.diag([2.0, 1.0, 1.0, 1.0]), ImpossibleGeometry, "stretches or mirrors"),
    ],
)
def test_a_mark_needs_one_rigid_position(transform, error, sentence):
    with pytest.raises(error, match=sentence):
        Mark("26", transform)


def test_a_mark_needs_a_tooth():
    with pytest.raises(BadRequest, match="not an ISO 3950 number"):
        Mark("56", np.eye(4))


def test_cusps_between_cusps_settle_as_well():
    above = two_cusps(tooth="26", material="denture", centre_mm=(50.0, 27.6))
    below = two_cusps()

    seat = seated([above], [below])

    # The upper fossa over the lower buccal tip: both interlock by nearly a cusp's height.
    assert seat.settled_mm["26"] == pytest.approx(-0.66, abs=0.02)
