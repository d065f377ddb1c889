"""What check records say of the settings, read in the plane of the articulator record."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench, calculations, records
from labcases.enums import CheckRecordKind
from labcases.management.sample import GAP_RECORD as GAP
from labcases.management.sample import POINT_RECORDS, SETTINGS
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
CLOSED = {"A": [80.0, 0.0, -32.0], "B": [45.0, -24.0, -30.0], "C": [45.0, 24.0, -30.0]}
K = CheckRecordKind


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    walk = here.walk()
    walk.prescribe()
    return walk.reload()


def settings(case, here, **values):
    bench.save_articulator(case=case, version=0, by=here.tomas, values={**SETTINGS, **values})


def moved(x: float, y: float, z: float) -> dict[str, list[float]]:
    """The closed points, all carried the same way: every condyle goes along with them."""
    return {name: [a + x, b + y, c + z] for name, (a, b, c) in CLOSED.items()}


def read_in(case, here, kind, points):
    records.add(case=case, by=here.tomas, values={"kind": kind, "points": points})


def points_say(case):
    return calculations.record_proposals(type(case).objects.get(pk=case.pk))["points"]


def values(told) -> dict[str, float]:
    return {value.field: round(value.value, 1) for value in told.values}


def test_without_records_nothing_is_proposed(case):
    assert calculations.record_proposals(case) == {}


def test_closed_casts_alone_say_nothing(case, here):
    read_in(case, here, K.CLOSED, CLOSED)

    told = points_say(case)

    assert told.values == ()
    assert told.refusal == (
        "Enter the same points in a protrusive, a right or a left record; the closed casts alone "
        "say nothing."
    )


def test_a_cast_that_slides_down_along_30_deg_reads_30_deg_on_both_sides(case, here):
    # 6 mm forward, 6 tan 30 down.
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -3.4641))

    told = points_say(case)

    assert values(told) == {"condylar_right_deg": 30.0, "condylar_left_deg": 30.0}
    assert told.travel_mm == {"protrusive": pytest.approx(6.0)}
    assert told.estimates_deg == {"right": pytest.approx(15.75), "left": pytest.approx(15.75)}


def test_the_records_of_the_sample_give_back_what_they_were_made_from(case, here):
    for one in POINT_RECORDS:
        records.add(case=case, by=here.tomas, values=one)

    found = {value.field: (value.value, value.sd) for value in points_say(case).values}

    for field, made_from in (
        ("condylar_right_deg", 34.0),
        ("condylar_left_deg", 37.0),
        ("bennett_right_deg", 12.0),
        ("bennett_left_deg", 15.0),
    ):
        value, sd = found[field]
        assert abs(value - made_from) < sd < 3.0


def test_angles_are_read_against_the_plane_of_the_articulator_record(case, here):
    # A plane that drops by 10 deg to the front sees 10 deg less of the same path.
    settings(case, here, plane_tilt_deg=D("10"))
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -3.4641))

    told = points_say(case)

    assert values(told)["condylar_right_deg"] == 20.0
    assert "tilted by 10 deg to the axis plane" in told.assumptions[-1]


def test_a_bennett_angle_turns_with_the_plane_too(case, here):
    for one in POINT_RECORDS:
        records.add(case=case, by=here.tomas, values=one)
    flat = values(points_say(case))
    settings(case, here, plane_tilt_deg=D("10"))

    turned = values(points_say(case))

    # The tangent shrinks by cos 33.9 / cos 23.9 = 0.908 on the right.
    assert flat["bennett_right_deg"] == 12.2
    assert turned["bennett_right_deg"] == 11.1


def test_a_value_that_no_articulator_has_is_shown_and_cannot_be_adopted(case, here):
    settings(case, here, plane_tilt_deg=D("12"))
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -1.0))

    told = points_say(case)

    assert [value.can_be_adopted for value in told.values] == [False, False]
    assert told.values[0].refusal == "No articulator is set to it: 0 to 75 deg."


@pytest.mark.parametrize(
    ("kind", "points", "sentence"),
    [
        (K.PROTRUSIVE, moved(2.0, 0.0, -1.0), "goes only 2.0 mm forward. Take a record of 3 mm"),
        (K.RIGHT, moved(3.0, 4.0, -1.0), "carries the lower teeth 4.0 mm to the left"),
    ],
)
def test_a_record_that_cannot_be_read_is_refused_in_the_engines_words(
    case, here, kind, points, sentence
):
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, kind, points)

    told = points_say(case)

    [bad] = told.not_read
    assert (bad.record.kind, sentence in bad.why) == (kind, True)
    assert told.refusal == "None of these records can be read, so nothing is proposed."
    assert told.values == ()


@pytest.mark.parametrize("points", [moved(2.0, 0.0, -1.0), moved(6.0, 0.0, 9.0)])
def test_a_record_that_cannot_be_read_leaves_the_others_their_say(case, here, points):
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -3.4641))
    read_in(case, here, K.PROTRUSIVE, points)

    told = points_say(case)

    assert [one.record.pk for one in told.not_read] == [case.check_records.last().pk]
    assert values(told) == {"condylar_right_deg": 30.0, "condylar_left_deg": 30.0}
    assert told.refusal == ""


def test_a_swapped_side_is_named_and_the_protrusive_record_still_speaks(case, here):
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, K.RIGHT, moved(5.0, 1.0, -2.5))
    read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -3.4641))

    told = points_say(case)

    [bad] = told.not_read
    assert bad.record.kind == K.RIGHT
    assert "carries the lower teeth 1.0 mm to the left" in bad.why
    assert values(told) == {"condylar_right_deg": 30.0, "condylar_left_deg": 30.0}


def test_of_two_travels_too_near_each_other_the_newer_counts(case, here):
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, K.RIGHT, moved(5.0, -1.0, -2.5))
    read_in(case, here, K.RIGHT, moved(5.2, -1.04, -2.6))

    told = points_say(case)

    [left] = told.not_read
    assert left.record == case.check_records.filter(kind=K.RIGHT).first()
    assert "too near each other to tell side shift from Bennett angle" in left.why
    assert values(told)["bennett_left_deg"] == 11.3


def test_closed_points_on_one_line_are_no_fault_of_a_moved_record(case, here):
    straight = {"A": [80.0, 0.0, -32.0], "B": [60.0, 0.0, -32.0], "C": [45.0, 0.0, -32.0]}
    read_in(case, here, K.CLOSED, straight)
    read_in(case, here, K.PROTRUSIVE, {name: [x + 6, y, z] for name, (x, y, z) in straight.items()})

    told = points_say(case)

    assert told.not_read == ()
    assert "one straight line" in told.refusal


def test_without_an_articulator_record_the_usual_width_is_said_to_be_assumed(case, here):
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -3.4641))

    assert "the condyles are taken 110 mm apart" in points_say(case).assumptions[-1]


def test_the_digest_names_the_values(case, here):
    read_in(case, here, K.CLOSED, CLOSED)
    read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -3.4641))
    first = points_say(case).digest

    assert points_say(case).digest == first
    read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -3.6))
    assert points_say(case).digest != first


def test_a_side_shift_that_the_record_has_already_is_pointed_out(case, here):
    settings(case, here, side_shift_left_mm=D("0.5"))
    for one in POINT_RECORDS:
        records.add(case=case, by=here.tomas, values=one)

    [warning] = points_say(case).warnings

    assert warning.code == "side_shift_left_twice"
    assert "the articulator record has 0.5 mm of it" in warning.text


def test_two_right_records_of_unlike_travel_tell_the_side_shift_of_the_left_condyle(case, here):
    # Slid forward and to the right without any turn: 0.5 mm at once, then a tenth of the way.
    read_in(case, here, K.CLOSED, CLOSED)
    for forward in (4.0, 8.0):
        sideways = 0.5 + 0.1 * forward
        read_in(case, here, K.RIGHT, moved(forward, -sideways, -0.5 * forward))

    told = {value.field: value for value in points_say(case).values}

    assert told["side_shift_left_mm"].value == pytest.approx(0.5)
    assert told["bennett_left_deg"].value == pytest.approx(5.7106, abs=1e-3)


class TestGaps:
    def read(self, case, here, **values):
        records.add(case=case, by=here.tomas, values={**GAP, **values})

    def say(self, case):
        return calculations.record_proposals(type(case).objects.get(pk=case.pk))["gap"]

    def test_no_gap_over_a_slope_as_steep_as_the_table_reads_the_table(self, case, here):
        # All slopes alike: the cast slides along them without turning (geometry).
        settings(case, here, incisal_table_deg=D("20"))
        self.read(case, here, right_gap_mm=D("0"), left_gap_mm=D("0"), facet_deg=D("20"))

        assert values(self.say(case)) == {"condylar_right_deg": 20.0, "condylar_left_deg": 20.0}

    def test_a_larger_gap_on_the_right_reads_a_steeper_right_condyle(self, case, here):
        settings(case, here)
        self.read(case, here, right_gap_mm=D("2.6"), left_gap_mm=D("2.4"))

        told = values(self.say(case))

        assert told["condylar_right_deg"] > told["condylar_left_deg"] + 2.0

    def test_it_depends_on_the_table_and_says_so_before_there_is_a_record(self, case, here):
        self.read(case, here)

        told = self.say(case)

        assert told.values == ()
        assert told.refusal.startswith("Enter the articulator record first: what a gap says")

    def test_a_gap_tells_no_bennett_angle_but_the_estimate_is_worked_out(self, case, here):
        settings(case, here)
        self.read(case, here)

        told = self.say(case)

        assert [value.field for value in told.values] == [
            *("condylar_right_deg", "condylar_left_deg")
        ]
        assert set(told.estimates_deg) == {"right", "left"}

    def test_teeth_without_a_measured_place_are_named(self, case, here):
        settings(case, here)
        self.read(case, here)
        by_the_book = self.say(case)
        bench.save_site(
            case=case,
            tooth="16",
            version=0,
            by=here.tomas,
            values={"behind_incisal_mm": D("33"), "from_midline_mm": D("26")},
        )

        measured = self.say(case)

        assert "not measured: 16, 26." in " ".join(by_the_book.assumptions)
        assert "not measured: 26." in " ".join(measured.assumptions)
        assert values(by_the_book) != values(measured)

    def test_two_records_are_surer_than_one_and_their_mean_lies_between(self, case, here):
        settings(case, here)
        self.read(case, here, right_gap_mm=D("2.4"), left_gap_mm=D("2.4"))
        one = self.say(case)
        self.read(case, here, right_gap_mm=D("2.5"), left_gap_mm=D("2.5"))

        both = self.say(case)

        assert one.values[0].value < both.values[0].value < one.values[0].value + 3.0
        assert both.values[0].sd == pytest.approx(one.values[0].sd / 2**0.5, rel=0.05)
        assert "The mean of 2 gap records" in both.assumptions[-1]

    def test_records_that_reading_errors_cannot_reconcile_are_pointed_out(self, case, here):
        settings(case, here)
        self.read(case, here, right_gap_mm=D("2.0"), left_gap_mm=D("2.0"))
        self.read(case, here, right_gap_mm=D("3.2"), left_gap_mm=D("3.2"))

        codes = [warning.code for warning in self.say(case).warnings]

        assert {"gap_records_disagree_right", "gap_records_disagree_left"} <= set(codes)

    def test_a_short_record_is_refused_in_the_engines_words(self, case, here):
        settings(case, here)
        self.read(case, here, advance_mm=D("2"))

        [bad] = self.say(case).not_read

        assert "was taken 2 mm forward. Take one of 3 mm or more" in bad.why

    def test_a_short_record_leaves_the_other_one_its_say(self, case, here):
        settings(case, here)
        self.read(case, here)
        alone = values(self.say(case))
        self.read(case, here, advance_mm=D("2"))

        told = self.say(case)

        assert [one.record.advance_mm for one in told.not_read] == [D("2.00")]
        assert values(told) == alone
        assert "The mean of" not in " ".join(told.assumptions)


class TestWaysApart:
    """Points that read 30 deg, beside a gap record."""

    def apart(self, case, here, **gap):
        settings(case, here)
        read_in(case, here, K.CLOSED, CLOSED)
        read_in(case, here, K.PROTRUSIVE, moved(6.0, 0.0, -3.4641))
        records.add(case=case, by=here.tomas, values={**GAP, **gap})
        found = calculations.record_proposals(type(case).objects.get(pk=case.pk))
        return {one.code: one.text for one in calculations.ways_apart(found)}

    def test_ways_that_agree_within_two_deviations_are_not_spoken_of(self, case, here):
        assert self.apart(case, here, right_gap_mm=D("2.2"), left_gap_mm=D("2.2")) == {}

    def test_the_condyle_about_which_they_disagree_is_named_with_both_angles(self, case, here):
        told = self.apart(case, here, right_gap_mm=D("3.4"), left_gap_mm=D("2.2"))

        assert list(told) == ["points_and_gaps_disagree_right"]
        assert told["points_and_gaps_disagree_right"].startswith(
            "Points and gaps disagree about the right condyle: 30.0 deg from the points, "
        )

    def test_one_way_alone_cannot_disagree(self, case):
        assert calculations.ways_apart(calculations.record_proposals(case)) == []
