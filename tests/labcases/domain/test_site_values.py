"""What counts at a site, and from where: the site, then the tooth line and the houses."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench, site_values
from labcases.domain.site_values import NOTHING, Counts
from labcases.enums import Stage
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.DRAFT)
    return walk


def test_where_nobody_says_a_number_there_is_none(walk):
    assert site_values.at_tooth(walk.reload(), "16") == dict.fromkeys(site_values.FIELDS, NOTHING)


def test_the_tooth_line_speaks_for_every_site_and_a_site_for_itself(walk, here):
    bench.save_selection(
        case=walk.reload(),
        version=0,
        by=here.tomas,
        values={"tooth_height_mm": D("7.5"), "shell_min_mm": D("2")},
    )
    bench.save_site(
        case=walk.case, tooth="16", version=0, by=here.tomas, values={"shell_min_mm": D("1.5")}
    )
    case = walk.reload()
    assert site_values.at_tooth(case, "16")["shell_min_mm"] == Counts(
        D("1.5"), "entered at this site"
    )
    assert site_values.at_tooth(case, "17")["shell_min_mm"] == Counts(D("2"), "tooth selection")
    assert site_values.at_tooth(case, "16")["tooth_height_mm"] == Counts(
        D("7.5"), "tooth selection"
    )


def test_the_base_of_the_office_goes_before_that_of_the_laboratory(walk, here):
    here.laboratory.base_min_mm = D("2")
    here.laboratory.save()
    assert site_values.defaults(walk.reload())["base_min_mm"] == Counts(
        D("2"), "least base of Tarn Lane Laboratory"
    )
    here.office.base_min_mm = D("1.8")
    here.office.save()
    assert site_values.defaults(walk.reload())["base_min_mm"] == Counts(
        D("1.8"), "least base of Ferry Street Office"
    )
