"""A reading with its error."""

import math

import numpy as np
import pytest

from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.spread import Measured, sd_of


def test_a_uniform_reading_never_lies_beyond_its_half_width():
    drawn = Measured(30.0, 5.0).drawn(20_000, np.random.default_rng(1))

    assert 25.0 <= drawn.min() < 25.01
    assert 34.99 < drawn.max() <= 35.0
    assert drawn.std() == pytest.approx(5.0 / math.sqrt(3.0), rel=0.02)
    assert Measured(30.0, 5.0).sd == sd_of(5.0) == 5.0 / math.sqrt(3.0)


def test_95_of_100_normal_readings_lie_within_the_half_width():
    reading = Measured(-2.0, 1.0, "normal")
    drawn = reading.drawn(20_000, np.random.default_rng(1))

    assert np.mean(np.abs(drawn + 2.0) <= 1.0) == pytest.approx(0.95, abs=0.005)
    assert drawn.std() == pytest.approx(0.5102, rel=0.02)
    assert reading.sd == pytest.approx(0.5102, abs=1e-4)


def test_an_exact_reading_is_drawn_as_itself():
    for distribution in ("uniform", "normal"):
        drawn = Measured(7.0, 0.0, distribution).drawn(5, np.random.default_rng(1))
        assert drawn.tolist() == [7.0] * 5


def test_what_is_no_reading_is_refused():
    with pytest.raises(NotANumber):
        Measured(math.nan, 1.0)
    with pytest.raises(NotANumber):
        Measured(1.0, None)
    with pytest.raises(OutOfRange, match="Enter 0 to 20"):
        Measured(1.0, -1.0)
    with pytest.raises(BadRequest, match="uniform, normal"):
        Measured(1.0, 1.0, "triangular")
