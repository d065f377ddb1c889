"""Callipers of both arches on the sites page: each row on its own, refusals in words."""

from decimal import Decimal

import pytest

from labcases.management.walk import natural, teeth_of
from labcases.models import Case, SiteMeasure
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of
from tests.labcases.views.site_boxes import (
    CALLIPER,
    HEIGHT,
    MEASURED,
    post,
    shown,
    site,
    typed,
    url,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


def boxes_of(user, case: Case, tooth: str) -> set[str]:
    page = logged_in(user).get(url(case)).content.decode()
    return {
        name for name in (*HEIGHT, *CALLIPER) if f'<input type="text" name="{tooth}-{name}"' in page
    }


def test_every_tooth_that_may_meet_a_denture_tooth_has_boxes_for_its_form_and_place(cast):
    walk = cast.walk()
    walk.prescribe(
        teeth=walk_teeth("14", "18"),
        opposing={**natural("lower"), "46": "missing", "36": "denture"},
    )
    case = walk.reload()

    assert boxes_of(cast.tomas, case, "16") == {*HEIGHT, *CALLIPER}
    for tooth in ("14", "18", "47", "36", "43", "33"):
        assert boxes_of(cast.tomas, case, tooth) == set(CALLIPER)
    for tooth in ("46", "48", "42", "13", "28"):
        assert boxes_of(cast.tomas, case, tooth) == set()


def walk_teeth(*stay: str) -> dict[str, str]:
    return teeth_of("upper", "conventional") | dict.fromkeys(stay, "stays")


def test_each_row_says_what_its_tooth_is(cast):
    walk = cast.walk()
    walk.prescribe(teeth=walk_teeth("14"), opposing={**natural("lower"), "36": "denture"})

    words = text_of(logged_in(cast.tomas).get(url(walk.reload())))

    for row in (
        "16 (Universal 3) denture tooth",
        "14 (Universal 5) natural tooth",
        "47 (Universal 31) natural tooth",
        "36 (Universal 19) denture tooth",
    ):
        assert f"{row} " in words


def test_callipers_of_the_opposing_arch_are_stored_each_row_on_its_own(cast, case):
    data = typed(case, "47", tip_height_mm="1,2", tilt_deg="-5")
    data |= {"36-cusp_angle_deg": "38", "36-tip_separation_mm": "5.8"}

    answer = post(cast.tomas, case, data)

    assert "Saved: 47, 36." in text_of(answer)
    assert sorted(SiteMeasure.objects.values_list("tooth", flat=True)) == ["36", "47"]
    assert (site("47").tip_height_mm, site("47").tilt_deg) == (Decimal("1.2"), -5)
    assert (site("36").cusp_angle_deg, site("36").tip_separation_mm) == (38, Decimal("5.8"))
    assert [entry.part for entry in case.history.order_by("-id")[:2]] == ["site 36", "site 47"]


def test_callipers_of_a_tooth_that_stays_are_stored_without_any_height(cast):
    walk = cast.walk()
    walk.prescribe(teeth=walk_teeth("14"))
    case = walk.reload()
    data = shown(case, staying=("14",)) | {
        "14-mesiodistal_mm": "7.1",
        "14-space_mm": "9",
        "all-base_min_mm": "2",
    }

    post(cast.tomas, case, data)

    assert (site("14").mesiodistal_mm, site("14").space_mm) == (Decimal("7.1"), None)
    assert site("14").base_min_mm is None
    assert site("15").base_min_mm == 2
    assert not SiteMeasure.objects.filter(tooth="46").exists()


def test_height_and_callipers_of_one_site_are_one_row(cast, case):
    answer = post(cast.tomas, case, typed(case, "16", cusp_angle_deg="30", **MEASURED))

    assert "Saved: 16." in text_of(answer)
    assert (site("16").cusp_angle_deg, site("16").space_mm, site("16").version) == (30, 9, 1)


@pytest.mark.parametrize(
    ("box", "typed_in", "words"),
    [
        ("47-tip_height_mm", "9", "47: Tips above the curve is 9 mm. Enter -8 to 8 mm."),
        ("36-tilt_deg", "-31", "36: Tilt is -31 deg. Enter -30 to 30 deg."),
        ("46-cusp_angle_deg", "61", "46: Cusp angle is 61 deg. Enter 0 to 60 deg."),
        ("45-mesiodistal_mm", "2", "45: Mesiodistal is 2 mm. Enter 3 to 15 mm."),
        ("16-buccolingual_mm", "16", "16: Buccolingual is 16 mm. Enter 3 to 15 mm."),
        ("16-tip_separation_mm", "0.5", "16: Tips apart is 0.5 mm. Enter 1 to 12 mm."),
        ("16-from_midline_mm", "51", "16: From the midline is 51 mm. Enter 0 to 50 mm."),
        (
            "37-behind_incisal_mm",
            "81",
            "37: Behind the incisal point is 81 mm. Enter 0 to 80 mm.",
        ),
    ],
)
def test_a_reading_that_no_tooth_has_is_refused_with_the_limits(cast, case, box, typed_in, words):
    answer = post(cast.tomas, case, shown(case) | {box: typed_in})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in text_of(answer).replace("\N{MINUS SIGN}", "-")
    assert f'href="#id_{box}"' in page
    assert f'name="{box}" value="{typed_in}"' in page
    assert '<details class="fold" open>' in page
    assert not SiteMeasure.objects.exists()


def test_a_conflict_on_an_opposing_tooth_keeps_the_other_rows(cast, case):
    post(cast.tomas, case, typed(case, "47", tip_height_mm="1"))
    stale = typed(case, "47", tip_height_mm="2") | {"46-tilt_deg": "4"}
    post(cast.tomas, case, typed(case, "47", tip_height_mm="1.4"))

    answer = post(cast.mona, case, stale)

    page = answer.content.decode()
    assert answer.status_code == 409
    assert "47: tips above the curve" in text_of(answer)
    assert "Keep yours: </span>2<" in page
    assert "Keep stored: </span>1.4<" in page
    assert "Saved: 46." in text_of(answer)
    assert '<details class="fold" open>' in page
    assert (site("47").tip_height_mm, site("46").tilt_deg) == (Decimal("1.4"), 4)

    again = stale | {"47-version": "2", "keep-47-tip_height_mm": "yours"}
    assert post(cast.mona, case, again).status_code == 200
    assert site("47").tip_height_mm == 2


def test_the_callipers_are_folded_until_something_was_read(cast, case):
    before = logged_in(cast.tomas).get(url(case)).content.decode()
    post(cast.tomas, case, typed(case, "16", **MEASURED))
    heights_only = logged_in(cast.tomas).get(url(case)).content.decode()
    post(cast.tomas, case, typed(case, "47", tip_height_mm="1"))
    after = logged_in(cast.tomas).get(url(case)).content.decode()

    assert '<details class="fold">' in before
    assert '<details class="fold">' in heights_only
    assert '<details class="fold" open>' in after
    assert "(optional; 1 read)" in after


def test_a_laboratory_with_universal_numbers_reads_and_is_refused_in_them(cast, case):
    cast.laboratory.notation = "Universal"
    cast.laboratory.save()

    shown_first = text_of(logged_in(cast.tomas).get(url(case)))
    refused = post(cast.tomas, case, typed(case, "47", tip_height_mm="9") | {"46-tilt_deg": "4"})
    stale = typed(case, "46", tilt_deg="6")
    post(cast.mona, case, typed(case, "46", tilt_deg="5"))
    conflict = post(cast.tomas, case, stale)

    assert "31 (ISO 47) natural tooth 31: Cusp angle" in shown_first
    assert "31: Tips above the curve is 9 mm." in text_of(refused)
    assert "Saved: 30." in text_of(refused)
    assert "30: tilt" in text_of(conflict)
    assert site("46").tilt_deg == 5


def test_the_office_reads_callipers_of_both_arches_without_a_form(cast, case):
    post(cast.tomas, case, typed(case, "47", tip_height_mm="1.2") | {"16-cusp_angle_deg": "30"})

    words = text_of(logged_in(cast.dora).get(url(case)))

    assert "16 (Universal 3) denture tooth 30 deg" in words
    assert "47 (Universal 31) natural tooth 1.2 mm" in words
    heights, _, _ = words.partition("What callipers read of the teeth of both arches")
    assert "47" not in heights.partition("Height at each site")[2]
