"""Passes of a case on its way: teeth alone, or with what was said of them."""

import pytest

from labcases.domain.passes import Marked
from labcases.enums import Stage
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_a_tooth_alone_is_a_mark_without_strength():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    entry = walk.foil("centric", "26", Marked("16", "heavy", "lingual"))

    assert entry.as_wanted is True
    assert list(entry.marks.values_list("tooth", "strength", "cusps")) == [
        ("16", "heavy", "lingual"),
        ("26", "", ""),
    ]
