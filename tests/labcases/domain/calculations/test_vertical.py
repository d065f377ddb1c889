"""The door to what the engine says of readings of the vertical."""

from decimal import Decimal

from labcases.domain import calculations

D = Decimal


def test_readings_are_handed_on_as_they_are():
    judged = calculations.freeway(D("71.5"), D("68.2"))
    assert (judged.value_mm, judged.band, judged.alarm) == (3.3, "usual", False)
    assert (calculations.speaking(D("3.6")).band, calculations.speaking(D("1")).alarm) == (
        "large",
        False,
    )


def test_readings_that_no_face_has_say_nothing():
    assert calculations.freeway(D("5"), D("68")) is None
    assert calculations.speaking(D("16")) is None
