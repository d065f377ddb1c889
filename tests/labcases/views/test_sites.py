"""Sites: every row is saved on its own, and the height budget follows at once."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.domain import bench, checks
from labcases.enums import CheckKind, OpposingTooth
from labcases.management.walk import natural
from labcases.models import Case, SiteMeasure
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of
from tests.labcases.views.site_boxes import MEASURED, SITES, post, shown, site, typed, url

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


def test_the_boxes_of_a_site_carry_its_number(cast, case):
    page = logged_in(cast.tomas).get(url(case)).content.decode()

    for tooth in SITES:
        assert f'id="id_{tooth}-space_mm"' in page
    assert 'id="id_13-space_mm"' not in page


def test_a_page_that_nobody_touched_saves_nothing(cast, case):
    lines = case.history.count()

    answer = post(cast.tomas, case, shown(case))

    assert not SiteMeasure.objects.exists()
    assert case.history.count() == lines
    assert "Nothing had changed, so nothing was saved." in text_of(answer)


def test_only_the_rows_that_were_filled_are_stored(cast, case):
    answer = post(cast.tomas, case, typed(case, "16", **MEASURED))

    assert [row.tooth for row in SiteMeasure.objects.all()] == ["16"]
    assert site("16").space_mm == 9
    assert "Saved: 16." in text_of(answer)
    entry = case.history.last()
    assert (entry.part, entry.by) == ("site 16", cast.tomas)


def test_one_row_fills_the_empty_boxes_of_all(cast, case):
    data = typed(case, "16", space_mm="9", base_min_mm="2.5") | {
        "17-ample": "on",
        "all-base_min_mm": "2",
        "all-tooth_height_mm": "8",
    }

    post(cast.tomas, case, data)

    assert site("16").base_min_mm == Decimal("2.5")
    assert site("15").base_min_mm == Decimal("2")
    assert site("15").tooth_height_mm == Decimal("8")
    assert site("17").base_min_mm is None


def test_a_refused_row_keeps_what_was_typed_and_the_others_are_saved(cast, case):
    data = typed(case, "16", **MEASURED) | {"15-space_mm": "90"}

    answer = post(cast.tomas, case, data)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "15: Space is 90 mm. Enter 0 to 40 mm." in text_of(answer)
    assert 'href="#id_15-space_mm"' in page
    assert 'name="15-space_mm" value="90"' in page
    assert "Saved: 16." in text_of(answer)
    assert [row.tooth for row in SiteMeasure.objects.all()] == ["16"]


def test_two_people_on_different_rows_do_not_disturb_each_other(cast, case):
    tomas, mona = typed(case, "16", **MEASURED), typed(case, "26", **MEASURED)

    first, second = post(cast.tomas, case, tomas), post(cast.mona, case, mona)

    assert (first.status_code, second.status_code) == (200, 200)
    assert sorted(SiteMeasure.objects.values_list("tooth", flat=True)) == ["16", "26"]
    assert site("16").changed_by == cast.tomas


def test_a_stale_row_that_was_not_touched_is_left_alone(cast, case):
    post(cast.tomas, case, typed(case, "16", **MEASURED))
    stale = typed(case, "26", space_mm="8")
    post(cast.tomas, case, typed(case, "16", space_mm="7"))

    answer = post(cast.mona, case, stale)

    assert answer.status_code == 200
    assert site("16").space_mm == 7
    assert site("26").space_mm == 8


def test_of_two_on_one_row_the_second_sees_both_values_of_what_was_touched(cast, case):
    post(cast.tomas, case, typed(case, "16", **MEASURED))
    stale = typed(case, "16", space_mm="6")
    post(cast.tomas, case, typed(case, "16", space_mm="7", base_min_mm="3"))

    answer = post(cast.mona, case, stale)

    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Tomas Abelard saved it on" in text_of(answer)
    assert "16: space" in text_of(answer)
    assert "Keep yours: </span>6<" in page
    assert "Keep stored: </span>7<" in page
    assert 'name="keep-16-base_min_mm"' not in page
    assert 'name="16-space_mm" value="6"' in page
    assert (site("16").space_mm, site("16").base_min_mm) == (7, 3)


@pytest.mark.parametrize(("keep", "space"), [("yours", 6), ("stored", 7)])
def test_saving_again_keeps_the_value_that_was_chosen(cast, case, keep, space):
    post(cast.tomas, case, typed(case, "16", **MEASURED))
    stale = typed(case, "16", space_mm="6")
    post(cast.tomas, case, typed(case, "16", space_mm="7", base_min_mm="3"))
    post(cast.mona, case, stale)

    answer = post(cast.mona, case, stale | {"16-version": "2", "keep-16-space_mm": keep})

    assert answer.status_code == 200
    assert (site("16").space_mm, site("16").base_min_mm) == (space, 3)


def test_the_first_to_enter_a_row_is_not_overwritten_by_the_second(cast, case):
    empty = shown(case)
    post(cast.tomas, case, typed(case, "16", **MEASURED))

    answer = post(cast.mona, case, empty | {"16-space_mm": "5", "16-base_min_mm": "2"})

    assert answer.status_code == 409
    assert site("16").space_mm == 9


# The budget below


def test_the_budget_follows_what_was_saved(cast, case):
    words = text_of(post(cast.tomas, case, typed(case, "16", **MEASURED)))

    assert "16 (Universal 3) fits" in words
    assert "17 (Universal 2) not measured" in words


def test_a_short_site_says_by_how_much_and_what_could_be_done(cast, case):
    answer = post(cast.tomas, case, typed(case, "16", **MEASURED | {"space_mm": "6"}))

    words = text_of(answer)
    assert "16 (Universal 3) short by 2.7 mm natural 4 mm −1.2 mm 0 mm" in words
    assert "Ways out at 16 (Universal 3), for the dentist to decide:" in words
    assert "A tooth of at most 5.3 mm in place of 8 mm." in words


def test_an_ample_site_needs_no_numbers(cast, case):
    words = text_of(post(cast.tomas, case, shown(case) | {"16-ample": "on"}))

    assert "16 (Universal 3) ample" in words


def test_a_site_without_antagonist_says_so(cast):
    walk = cast.walk()
    walk.prescribe(opposing={**natural("lower"), "46": OpposingTooth.MISSING.value})

    words = text_of(logged_in(cast.tomas).get(url(walk.reload())))

    assert "16 (Universal 3) no antagonist nothing" in words
    assert "No opposing tooth, so no budget." in words


def test_a_kept_budget_says_when_it_was_kept_and_what_changed_since(cast, case):
    post(cast.tomas, case, typed(case, "16", **MEASURED))
    assert "Not computed for the papers yet." in text_of(logged_in(cast.tomas).get(url(case)))

    checks.compute(case=Case.objects.get(), kind=CheckKind.HEIGHT, by=cast.tomas)
    kept = text_of(logged_in(cast.tomas).get(url(case)))
    changed = text_of(post(cast.tomas, case, typed(case, "16", space_mm="8")))

    assert "by Tomas Abelard; it says the same as above." in kept
    assert "16 space: 9 → 8" in changed
    assert "Compute the height budget again" in changed


def test_the_button_below_the_budget_keeps_it(cast, case):
    post(cast.tomas, case, typed(case, "16", **MEASURED))
    client = logged_in(cast.tomas)
    page = client.get(url(case)).content.decode()
    kind = re.search(r'name="kind" value="([^"]+)"', page)

    keep = reverse("check_compute", args=[case.code])
    answer = client.post(keep, {"kind": kind[1]}, follow=True)

    assert answer.status_code == 200
    assert "it says the same as above." in text_of(client.get(url(case)))


def test_a_row_saved_again_without_a_choice_undoes_nothing_of_the_other(cast, case):
    post(cast.tomas, case, typed(case, "16", **MEASURED))
    again = typed(case, "16", space_mm="8") | {"16-version": "1", "clash": ["16-space_mm"]}

    answer = post(cast.mona, case, again)

    assert answer.status_code == 409
    assert SiteMeasure.objects.get(tooth="16").space_mm == 9


# Who may


def test_the_office_reads_the_sites_without_a_form(cast, case):
    post(cast.tomas, case, typed(case, "16", **MEASURED))

    answer = logged_in(cast.dora).get(url(case))

    assert "16 (Universal 3) 9 mm Healed ridge 2 mm 8 mm 2.8 mm 1.5 mm" in text_of(answer)
    assert 'name="16-space_mm"' not in answer.content.decode()


@pytest.mark.parametrize("who", ["dora", "farah", "lena"])
def test_only_the_bench_enters_sites(cast, case, who):
    answer = post(getattr(cast, who), case, typed(case, "16", **MEASURED))

    assert answer.status_code == 403
    assert not SiteMeasure.objects.exists()


def test_another_office_finds_nothing(cast, case):
    assert logged_in(cast.olga).get(url(case)).status_code == 404


def test_without_a_prescribed_posterior_tooth_the_page_says_why_it_is_empty(cast):
    walk = cast.walk()
    walk.prescribe(teeth=dict.fromkeys(natural("upper"), "stays"))

    words = text_of(logged_in(cast.tomas).get(url(walk.reload())))

    assert "The prescription replaces no posterior tooth yet" in words


class TestFewTaps:
    """Only the space is typed: what is the same everywhere counts from where it is entered."""

    @pytest.fixture
    def sheet(self, cast, case):
        cast.laboratory.base_min_mm = Decimal("2")
        cast.laboratory.save()
        bench.save_selection(
            case=case,
            version=0,
            by=cast.tomas,
            values={
                "tooth_height_mm": Decimal("8"),
                "shell_over_fossa_mm": Decimal("2.8"),
                "shell_min_mm": Decimal("1.5"),
            },
        )

    def test_the_space_alone_gives_a_budget(self, cast, case, sheet):
        answer = post(cast.tomas, case, typed(case, "16", space_mm="9"))
        words = text_of(answer)
        assert site("16").base_min_mm is None
        # 9 - 2 = 7 of the 8 mm tooth: 1 mm hollow; 2.8 - 1 = 1.8 mm of shell left.
        assert "16 (Universal 3) fits natural 1 mm 1.8 mm 0.3 mm" in words

    def test_what_counts_where_a_box_is_empty_stands_with_where_it_is_from(self, cast, case, sheet):
        words = text_of(logged_in(cast.tomas).get(url(case)))
        assert "Least base, where empty 2 mm least base of Tarn Lane Laboratory" in words
        assert "Least shell, where empty 1.5 mm tooth selection" in words

    def test_where_nothing_is_entered_nothing_is_built_in(self, cast, case):
        words = text_of(logged_in(cast.tomas).get(url(case)))
        assert "Least base, where empty not entered" in words
        answer = post(cast.tomas, case, typed(case, "16", space_mm="9"))
        assert (
            "Enter least base thickness, tooth height, shell over the fossa, least shell, or tick "
            "the site as ample." in text_of(answer)
        )

    def test_a_site_goes_before_what_counts_for_all(self, cast, case, sheet):
        answer = post(cast.tomas, case, typed(case, "16", space_mm="9", tooth_height_mm="7"))
        assert "16 (Universal 3) fits natural 0 mm 2.8 mm 1.3 mm" in text_of(answer)

    def test_one_tap_says_that_a_site_is_ample_and_saves_what_was_typed(self, cast, case):
        post(cast.tomas, case, typed(case, "16", space_mm="9") | {"tick": "17"})
        assert site("17").ample
        assert site("16").space_mm == 9
        assert not site("16").ample

    def test_one_tap_for_all_leaves_measured_sites_and_those_without_antagonist_alone(self, cast):
        walk = cast.walk()
        walk.prescribe(opposing={**natural("lower"), "46": OpposingTooth.MISSING.value})
        case = walk.reload()
        page = logged_in(cast.tomas).get(url(case)).content.decode()
        assert "All 7 sites that are not measured have 10 mm or more: ample" in page
        answer = post(cast.tomas, case, typed(case, "27", space_mm="9") | {"tick": "all"})
        ample = SiteMeasure.objects.filter(ample=True).values_list("tooth", flat=True)
        assert sorted(ample) == ["14", "15", "17", "24", "25", "26"]
        assert "No opposing tooth, so no budget." in text_of(answer)

    def test_the_enter_key_saves_and_ticks_nothing(self, cast, case):
        page = logged_in(cast.tomas).get(url(case)).content.decode()
        form = page.split('<form method="post" novalidate>')[1]
        first = re.search(r"<button[^>]*>", form)
        assert first is not None
        assert "name=" not in first.group()

    def test_an_agreed_vertical_asks_to_read_the_space_again(self, cast):
        walk = cast.walk()
        walk.prescribe()
        walk.settings["pin_agreed_mm"] = Decimal("1")
        walk.reload()
        walk.enter_settings()
        words = text_of(logged_in(cast.tomas).get(url(walk.reload())))
        assert "The dentist agreed to a vertical of +1 mm at the pin." in words
