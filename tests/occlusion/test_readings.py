"""One reading of the pin, told everywhere; published ratios stand in the fixtures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from occlusion import readings
from occlusion.errors import BadRequest, ImpossibleGeometry, OutOfRange, PinUnreachable
from tests.occlusion import strategies as some
from tests.occlusion.bench import INCISAL, M1, M2, settings_of, symmetric, tooth
from tests.occlusion.second_opinion import Bench

TEETH = {"16": tooth(M1), "17": tooth(M2)}
#: Second molar, incisors and pin at 2, 4 and 6 inches, at the height of the axis.
INCHES = settings_of(Bench(pin=(152.4, 0.0, 0.0)), incisal=(101.6, 0.0, 0.0))
MOLAR = {"17": (50.8, -28.0, 0.0)}


def on_g1(table=20, table_on="lower"):
    return settings_of(symmetric(20, table, table_on=table_on))


def means(value, read_at, settings=INCHES, teeth=MOLAR):
    found = readings.reading_means(value, read_at=read_at, settings=settings, teeth_mm=teeth)
    return found, {row.name: row for row in found.places}


# A straight pin


def test_the_member_with_the_table_says_which_bench_is_meant():
    for table_on, bench, opened in (
        ("upper", "table lowered", 2.6029),
        ("lower", "upper pin", 2.5685),
    ):
        found = readings.straight_pin(settings=on_g1(table_on=table_on), reading_mm=3)
        assert (found.bench, found.opening_mm) == (bench, pytest.approx(opened, abs=5e-5))
        assert found.short_by_mm == pytest.approx(3 - opened, abs=5e-5)


def test_the_note_next_to_the_field_tells_reading_table_and_what_is_missing():
    found = readings.straight_pin(settings=on_g1(table_on="upper"), reading_mm=1)

    assert found.text == (
        "A straight pin read 1 mm on a table of 20 deg lowers the guided point 0.87 mm, 0.13 mm "
        "less: opening carries the lower member back along the table. Openings here are what the "
        "point goes down."
    )


def test_a_closed_pin_opens_nothing_and_a_shortened_one_closes():
    assert readings.straight_pin(settings=on_g1(), reading_mm=0).opening_mm == pytest.approx(0)
    closed = readings.straight_pin(settings=on_g1(), reading_mm=-1)
    assert -1 < closed.opening_mm < -0.8
    assert "0.12 mm more" in closed.text or "0.13 mm more" in closed.text


def test_the_tilted_reference_plane_turns_the_table_under_the_pin():
    tilted = settings_of(Bench(table=12.0, tilt=8.0, table_on="upper"))
    found = readings.straight_pin(settings=tilted, reading_mm=1)

    assert found.opening_mm == pytest.approx(0.871158, abs=1e-6)  # a table of 20 deg in the axes


def test_a_straight_pin_beyond_its_scale_or_of_no_known_bench_is_refused():
    with pytest.raises(OutOfRange, match="Enter -2 to 10 mm"):
        readings.straight_pin(settings=on_g1(), reading_mm=11)
    with pytest.raises(BadRequest, match="Choose one of: table lowered, upper pin, lower pin"):
        readings.straight_pin(settings=on_g1(), reading_mm=1, bench="bent")


def test_a_pin_that_meets_its_table_nowhere_is_refused():
    # A pin point above the axis and a table along the arc on which it swings.
    settings = settings_of(Bench(pin=(40.0, 0.0, 20.0), table=60.0, table_on="upper"))
    with pytest.raises(ImpossibleGeometry, match="finds no place on this table"):
        readings.straight_pin(settings=settings, reading_mm=-2)


# One reading everywhere


@pytest.mark.parametrize(
    ("read_at", "expected"),
    [("pin", (3, 2, 1)), ("incisors", (4.5, 3, 1.5)), ("17", (9, 6, 3))],
)
def test_three_millimetres_mean_something_else_at_each_place(read_at, expected):
    found, rows = means(3.0, read_at)

    for name, value in zip(("pin", "incisors", "17"), expected, strict=True):
        assert rows[name].straight_line_mm == pytest.approx(value, abs=1e-12)
        assert rows[name].exact_mm == pytest.approx(value, abs=1e-9)  # at the axis's height
    assert found.pin_opening_mm == pytest.approx(expected[0], abs=1e-9)
    assert (
        found.sentences[0]
        == {
            "pin": "3 mm, read at the pin.",
            "incisors": "3 mm, read at the incisors.",
            "17": "3 mm, read at the tooth 17.",
        }[read_at]
    )


def test_the_words_of_the_schoolroom_hold_for_a_reading_at_the_pin_only():
    rule = "3 in front is 1 behind: true of 17, read at the pin."

    assert rule in means(3.0, "pin")[0].sentences
    assert means(3.0, "incisors")[0].sentences[1:] == (
        "Read at the incisors, 2.0 in front is 1 at 17. '3 in front is 1 behind' is meant of the "
        "pin.",
    )
    assert means(3.0, "17")[0].sentences[1:] == ()


def test_incisors_three_times_as_far_as_a_tooth_are_still_not_the_pin():
    found, _ = means(3.0, "incisors", INCHES, {"17": (101.6 / 3, -28.0, 0.0)})

    assert found.sentences[1].startswith("Read at the incisors, 3.0 in front is 1 at 17.")
    assert not any("true of" in sentence for sentence in found.sentences)


def test_a_pin_that_is_not_three_times_as_far_says_what_it_is():
    found, _ = means(3.0, "pin", on_g1(), TEETH)

    assert found.sentences[1:] == (
        "Here 1.6 at the pin is 1 at 16, not 3.",
        "Here 2.3 at the pin is 1 at 17, not 3.",
    )


@pytest.mark.parametrize(("distance", "holds"), [(80 / 3.24, True), (80 / 3.26, False)])
def test_nearly_three_to_one_is_near_enough_for_the_words(distance, holds):
    found, _ = means(3.0, "pin", on_g1(), {"17": (distance, -28.0, -32.0)})

    assert found.sentences[1].startswith("3 in front is 1 behind") is holds


def test_exact_and_straight_line_stand_side_by_side():
    _, rows = means(1.0, "pin", on_g1(), TEETH)

    assert rows["17"].exact_mm == pytest.approx(0.4361, abs=5e-5)
    assert rows["17"].straight_line_mm == pytest.approx(0.4375, abs=1e-12)
    assert list(rows) == ["pin", "incisors", "16", "17"]


def test_more_than_6_mm_at_the_pin_warns_wherever_it_was_read():
    quiet, _ = means(6.0, "pin")
    loud, _ = means(2.1, "17")

    assert quiet.warnings == ()
    assert [warning.code for warning in loud.warnings] == ["pin_opening_unusual"]
    assert loud.warnings[0].source.startswith("Dentistry Journal 2022")


def test_a_reading_at_an_unknown_place_or_beyond_the_instrument_is_refused():
    with pytest.raises(BadRequest, match="Choose one of: pin, incisors, 17"):
        means(1.0, "27")
    with pytest.raises(OutOfRange, match="The opening at the pin is 15 mm"):
        means(5.0, "17")
    with pytest.raises(PinUnreachable):
        means(60.0, "17")


@given(
    some.pins,
    st.floats(0.1, 3.0),
    st.sets(st.integers(35, 74), min_size=2, max_size=5),
)
def test_reading_what_a_reading_means_elsewhere_gives_the_same_opening(guided, value, distances):
    teeth = {str(x): (float(x), 0.0, -32.0) for x in sorted(distances)}
    settings = settings_of(Bench(pin=guided))
    found, rows = means(value, "pin", settings, teeth)

    assert found.source.startswith("Kaiser and Schelb")
    for name in teeth:
        again, others = means(rows[name].exact_mm, name, settings, teeth)
        assert again.hinge_deg == pytest.approx(found.hinge_deg, abs=1e-9)
        assert others["pin"].exact_mm == pytest.approx(value, abs=1e-9)
    drops = [rows[name].exact_mm for name in teeth]
    assert drops == sorted(drops)
    assert drops[0] > 0


@given(some.pins, st.floats(0.1, 3.0), some.teeth, st.floats(0.9, 1.1))
def test_readings_scale_with_the_jaw(guided, value, place, k):
    def grown(point):
        return tuple(k * part for part in point)

    small = means(value, "pin", settings_of(Bench(pin=guided)), {"17": place})[1]
    large = means(
        k * value,
        "pin",
        settings_of(Bench(pin=grown(guided)), incisal=grown(INCISAL)),
        {"17": grown(place)},
    )[1]
    for name in ("incisors", "17"):
        assert large[name].exact_mm == pytest.approx(k * small[name].exact_mm, abs=1e-9)
        assert large[name].straight_line_mm == pytest.approx(
            k * small[name].straight_line_mm, abs=1e-9
        )


# Depth at a tooth


def test_a_rise_of_the_pin_is_another_depth_at_each_tooth_and_the_place_stays_open():
    molar, second_molar = readings.correction_depths(
        pin_rise_mm=0.4785, settings=on_g1(), teeth_mm=TEETH
    )

    assert molar.exact_mm == pytest.approx(0.3, abs=5e-5)
    assert molar.straight_line_mm == pytest.approx(0.4785 * 50 / 80)
    assert second_molar.exact_mm < molar.exact_mm
    assert molar.text == (
        "If 16 is what lifts the pin by 0.48 mm, it stands 0.30 mm too low. The pin alone does "
        "not tell where the teeth meet: find the place with foil before anything is reduced."
    )


def test_a_natural_tooth_gets_no_depth():
    _, natural = readings.correction_depths(
        pin_rise_mm=1.0, settings=on_g1(), teeth_mm=TEETH, materials={"17": "natural"}
    )

    assert (natural.exact_mm, natural.straight_line_mm) == (None, None)
    assert natural.text == "17 is natural: the dentist decides."


@pytest.mark.parametrize("rise", [0.0, -0.5])
def test_without_a_rise_nothing_is_reduced(rise):
    found = readings.correction_depths(pin_rise_mm=rise, settings=on_g1(), teeth_mm=TEETH)

    assert [(one.exact_mm, one.straight_line_mm) for one in found] == [(0.0, 0.0)] * 2
    assert found[0].text == "No rise: nothing to reduce at 16."
