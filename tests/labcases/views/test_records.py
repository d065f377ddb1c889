"""Check records on their page: read in, what they say, adopted by a person."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from labcases.domain import bench, records
from labcases.enums import SettingsOrigin
from labcases.management.sample import GAP_RECORD, POINT_RECORDS, SETTINGS
from labcases.models import ArticulatorRecord, Case, CheckRecord
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db

GAP = {
    "kind": "posterior gap",
    "advance_mm": "5,5",
    "right_tooth": "16",
    "right_gap_mm": "2.2",
    "left_tooth": "26",
    "left_gap_mm": "2.4",
    "facet_deg": "0",
    "note": "hard wax",
}
CLOSED = {
    "kind": "closed",
    **{"name_1": "A", "x_1": "80", "y_1": "0", "z_1": "-32"},
    **{"name_2": "B", "x_2": "45", "y_2": "-24", "z_2": "-30"},
    **{"name_3": "C", "x_3": "45", "y_3": "24", "z_3": "-30"},
}
# 6 mm forward and 6 tan 30 down.
FORWARD = {
    "kind": "protrusive",
    **{"x_1": "86", "y_1": "0", "z_1": "-35.46"},
    **{"x_2": "51", "y_2": "-24", "z_2": "-33.46"},
    **{"x_3": "51", "y_3": "24", "z_3": "-33.46"},
}


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


def url(case: Case, name: str = "check_records", *more) -> str:
    return reverse(name, args=[case.code, *more])


def post(user, case: Case, data, name: str = "check_records", *more):
    return logged_in(user).post(url(case, name, *more), data, follow=True)


def with_settings(cast, case, **values) -> ArticulatorRecord:
    return bench.save_articulator(
        case=case, version=0, by=cast.tomas, values={**SETTINGS, **values}
    )


def adopting(page: str, method: str = "points") -> dict[str, str]:
    """What the form of one proposal posts beside the ticks."""
    form = page.partition(f'id="{method}"')[2]
    return {
        name: re.search(rf'name="{name}" value="([^"]*)"', form)[1]
        for name in ("version", "method", "digest")
    }


def ticked(user, case, *fields, method: str = "points", **more):
    page = logged_in(user).get(url(case)).content.decode()
    return post(
        user,
        case,
        {**adopting(page, method), "take": fields, **more},
        "check_records_adopt",
    )


class TestReadIn:
    def test_a_gap_is_kept_and_what_it_says_stands_beside_the_record(self, cast, case):
        with_settings(cast, case)

        answer = post(cast.tomas, case, GAP)

        row = CheckRecord.objects.get()
        assert (str(row.advance_mm), row.right_tooth, row.note) == ("5.50", "16", "hard wax")
        words = text_of(answer)
        assert "Kept: posterior gap in a protrusive record." in words
        assert "Advance 5.5 mm. Gap 2.2 mm at 16 and 2.4 mm at 26. hard wax" in words
        assert re.search(r"Condylar inclination, right condyle usual 10 to 60 30 deg \d+", words)

    def test_points_are_kept_under_their_names_and_asked_for_again_under_them(self, cast, case):
        answer = post(cast.tomas, case, CLOSED)

        assert CheckRecord.objects.get().points == {
            "A": [80.0, 0.0, -32.0],
            "B": [45.0, -24.0, -30.0],
            "C": [45.0, 24.0, -30.0],
        }
        page = answer.content.decode()
        assert 'id="id_protrusive_x_1"' in page
        assert "A, forward of the axis" in text_of(answer)
        assert 'id="id_protrusive_x_4"' not in page

    def test_moved_points_say_an_inclination(self, cast, case):
        post(cast.tomas, case, CLOSED)
        answer = post(cast.tomas, case, FORWARD)

        words = text_of(answer)
        assert re.search(
            r"Condylar inclination, left condyle usual 10 to 60 not entered 30 ± ", words
        )
        assert "Travel: protrusive record, the condyle that goes less far, 6 mm." in words

    def test_a_record_is_asked_for_only_once_there_are_points_to_read_it_against(self, cast, case):
        page = logged_in(cast.tomas).get(url(case)).content.decode()
        answer = post(cast.tomas, case, FORWARD)

        assert 'id="id_protrusive_x_1"' not in page
        assert answer.status_code == 422
        assert "Enter the points with the casts closed first" in text_of(answer)

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            (GAP | {"advance_mm": ""}, "Advance at the incisors: enter a number."),
            (GAP | {"left_gap_mm": "22"}, "Gap on the left is 22 mm. Enter 0 to 15 mm."),
            (GAP | {"facet_deg": "80"}, "is 80 deg. Enter 0 to 60 deg"),
            (GAP | {"right_tooth": ""}, "Choose the tooth where the right gap was read."),
            (CLOSED | {"z_2": ""}, "Point 2, above the axis: enter a number."),
            (CLOSED | {"x_1": "900"}, "Point 1, forward of the axis, is 900 mm."),
            (CLOSED | {"name_3": "B"}, "Two points are called B. Give each a name of its own."),
            (CLOSED | {"x_4": "10"}, "Point 4 is half filled. Give its name and three numbers"),
            (CLOSED | {"name_4": "D"}, "Point 4 is half filled."),
            ({}, "Choose which record was read, then fill it in."),
        ],
    )
    def test_what_is_missing_or_impossible_is_refused_in_words(self, cast, case, typed, sentence):
        answer = post(cast.tomas, case, typed)

        assert answer.status_code == 422
        assert sentence in text_of(answer)
        assert not CheckRecord.objects.exists()

    def test_what_was_typed_survives_a_refusal(self, cast, case):
        page = post(cast.tomas, case, GAP | {"advance_mm": ""}).content.decode()

        assert 'name="right_gap_mm" value="2.2"' in page
        assert 'href="#id_gap_advance_mm"' in page

    def test_a_lower_denture_is_asked_for_lower_teeth(self, cast):
        walk = cast.walk()
        walk.prescribe(arch="lower")

        words = text_of(logged_in(cast.tomas).get(url(walk.reload())))

        assert "46, lower right first molar" in words
        assert "16, upper right first molar" not in words


class TestNotRead:
    def test_a_record_that_cannot_be_read_is_named_with_its_line_and_the_rest_proposes(
        self, cast, case
    ):
        bad = FORWARD | {"x_1": "82", "z_1": "-33", "x_2": "47", "z_2": "-31"}
        bad |= {"x_3": "47", "z_3": "-31"}
        for typed in (CLOSED, bad, FORWARD):
            answer = post(cast.tomas, case, typed)

        row = case.check_records.all()[1]
        words = text_of(answer)
        assert re.search(
            r"Not read: Points in a protrusive record, \S+ \d\d:\d\d, line 2 below : In the "
            r"protrusive record a condyle goes only 2.0 mm forward",
            words,
        )
        assert "Strike it out there if it is wrong, and read it in again." in words
        assert "What is proposed here comes from the other records." in words
        assert f'<a href="#record{row.pk}">' in answer.content.decode()
        assert re.search(r"left condyle usual 10 to 60 not entered 30 ± ", words)

        after = post(cast.tomas, case, {"reason": "short"}, "check_record_strike", row.pk)
        assert "Not read:" not in text_of(after)

    def test_two_ways_that_disagree_are_pointed_out_above_both(self, cast, case):
        with_settings(cast, case)
        for typed in (CLOSED, FORWARD, GAP | {"right_gap_mm": "3.4"}):
            answer = post(cast.tomas, case, typed)

        page = answer.content.decode()
        said = page.index("Points and gaps disagree about the right condyle: 30.0 deg")
        assert said < page.index('id="points"') < page.index('id="gap"')


class TestStrike:
    @pytest.fixture
    def row(self, cast, case):
        return records.add(case=case, by=cast.tomas, values=GAP_RECORD)

    def test_a_struck_record_stays_readable_and_says_why(self, cast, case, row):
        answer = post(cast.mona, case, {"reason": "wax was bent"}, "check_record_strike", row.pk)

        words = text_of(answer)
        assert "The record is struck out." in words
        assert "Struck out by Mona Ridley" in words
        assert "wax was bent" in words
        assert "No check record stands." in words

    def test_it_asks_for_the_reason(self, cast, case, row):
        answer = post(cast.mona, case, {"reason": ""}, "check_record_strike", row.pk)

        assert answer.status_code == 422
        assert "Give the reason why the line is struck out." in text_of(answer)

    def test_the_second_to_strike_is_told(self, cast, case, row):
        records.strike(row=row, reason="bent", by=cast.tomas)

        answer = post(cast.mona, case, {"reason": "bent"}, "check_record_strike", row.pk)

        assert answer.status_code == 409
        assert "This line was struck out already." in text_of(answer)

    def test_a_record_of_another_case_is_not_reached(self, cast, case, row):
        other = cast.walk(patient_code="P-7").case

        assert (
            post(cast.mona, other, {"reason": "x"}, "check_record_strike", row.pk).status_code
            == 404
        )


class TestAdopt:
    @pytest.fixture
    def read(self, cast, case):
        with_settings(cast, case, origin=SettingsOrigin.AVERAGE)
        for values in POINT_RECORDS:
            records.add(case=case, by=cast.tomas, values=values)
        return case

    def test_only_the_ticked_values_go_into_the_record_with_their_deviation(self, cast, read):
        answer = ticked(cast.tomas, read, "condylar_right_deg", "bennett_left_deg")

        row = ArticulatorRecord.objects.get()
        assert (str(row.condylar_right_deg), str(row.condylar_left_deg)) == ("33.9", "30.0")
        words = text_of(answer)
        assert "Adopted. The articulator record says where the values come from." in words
        assert "± 2.4 deg, from check records" in words
        assert re.search(
            r'name="origin" value="check records"[^>]*checked', answer.content.decode()
        )

    def test_no_box_is_ticked_beforehand(self, cast, read):
        page = logged_in(cast.tomas).get(url(read)).content.decode()

        boxes = re.findall(r'<input type="checkbox" name="take"[^>]*>', page)
        assert len(boxes) == 4
        assert not any("checked" in box for box in boxes)

    def test_nothing_ticked_nothing_adopted(self, cast, read):
        answer = ticked(cast.tomas, read)

        assert answer.status_code == 422
        assert "Tick the values that the articulator record is to take." in text_of(answer)
        assert ArticulatorRecord.objects.get().version == 1

    def test_prescribed_settings_are_pointed_out_before(self, cast, case):
        with_settings(cast, case, origin=SettingsOrigin.PRESCRIBED)
        for values in POINT_RECORDS:
            records.add(case=case, by=cast.tomas, values=values)

        words = text_of(logged_in(cast.tomas).get(url(case)))

        assert "The settings that stand now were prescribed by the dentist." in words
        assert "Adopt the ticked values in place of the prescribed ones" in words

    def test_average_settings_are_not_called_prescribed(self, cast, read):
        assert "prescribed by the dentist" not in text_of(logged_in(cast.tomas).get(url(read)))

    def test_the_textbook_estimate_stands_apart_and_has_no_box(self, cast, read):
        answer = logged_in(cast.tomas).get(url(read))

        # An eighth of 33.9 and 37.1 deg, plus 12.
        assert (
            "Textbook estimate of the Bennett angle: 16.2 deg right and 16.6 deg left"
            in text_of(answer)
        )
        assert "An estimate, no reading" in text_of(answer)

    def test_the_history_says_who_adopted_what_in_place_of_what(self, cast, read):
        ticked(cast.mona, read, "condylar_right_deg")

        words = text_of(logged_in(cast.dora).get(reverse("history", args=[read.code])))
        assert "adopted what check records say into the articulator record" in words
        assert "condylar inclination right 30 deg → 33.9 deg" in words

    def test_a_record_that_came_meanwhile_is_read_before_anything_is_adopted(self, cast, read):
        page = logged_in(cast.tomas).get(url(read)).content.decode()
        records.strike(row=read.check_records.last(), reason="bent", by=cast.mona)

        answer = post(
            cast.tomas,
            read,
            {**adopting(page), "take": ["condylar_right_deg"]},
            "check_records_adopt",
        )

        assert answer.status_code == 422
        assert "Read the proposal again." in text_of(answer)

    def test_settings_that_somebody_changed_meanwhile_stay(self, cast, read):
        answer = ticked(cast.tomas, read, "condylar_right_deg", version="7")

        assert answer.status_code == 409
        assert "changed the settings while you read them" in text_of(answer)
        assert ArticulatorRecord.objects.get().condylar_right_deg == 30

    def test_without_an_articulator_record_the_page_says_what_comes_first(self, cast, case):
        for values in POINT_RECORDS:
            records.add(case=case, by=cast.tomas, values=values)

        answer = logged_in(cast.tomas).get(url(case))

        assert "Enter the articulator record first" in text_of(answer)
        assert 'name="take"' not in answer.content.decode()


def test_the_settings_page_leads_to_the_records(cast, case):
    empty = text_of(logged_in(cast.tomas).get(url(case, "settings")))
    records.add(case=case, by=cast.tomas, values=GAP_RECORD)
    one = logged_in(cast.tomas).get(url(case, "settings"))

    assert "No check record is read in. Read a check record in ." in empty
    assert "1 reading of check records stands." in text_of(one)
    assert f'href="{url(case)}"' in one.content.decode()


def test_points_that_were_read_again_leave_the_old_records_unused(cast, case):
    for values in (*POINT_RECORDS, POINT_RECORDS[0]):
        records.add(case=case, by=cast.tomas, values=values)

    words = text_of(logged_in(cast.tomas).get(url(case)))

    assert words.count("Not used: it belongs to points that were struck out or read again") == 4


@pytest.mark.parametrize("who", ["dora", "farah", "lena"])
def test_others_read_the_page_without_any_form(cast, case, who):
    with_settings(cast, case)
    row = records.add(case=case, by=cast.tomas, values=GAP_RECORD)
    user = getattr(cast, who)

    answer = logged_in(user).get(url(case))

    assert "Gap 1.6 mm at 16" in text_of(answer)
    page = answer.content.decode()
    assert 'name="take"' not in page
    assert 'name="advance_mm"' not in page
    assert "Strike out" not in page
    assert post(user, case, GAP).status_code == 403
    assert post(user, case, {}, "check_records_adopt").status_code == 403
    assert post(user, case, {"reason": "x"}, "check_record_strike", row.pk).status_code == 403


def test_another_office_finds_nothing(cast, case):
    assert logged_in(cast.olga).get(url(case)).status_code == 404
