"""Lists of the desk: the first of each, how many there are, and the same few questions."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from labcases.domain import access, desk, desk_lists, desk_rows, queries, replanning
from labcases.domain.desk_lists import SHOWN_IN_LIST, SHOWN_ON_DAY, Asked, DayCount
from labcases.domain.planning import Planner
from labcases.enums import Side
from labcases.enums.desk import DeskKind, DeskSection
from labcases.models import Case
from tests.bench import many_cases
from tests.factories import world

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def asked(**more) -> Asked:
    today = timezone.localdate()
    return Asked(**{"today": today, "start": today, "days": 7, **more})


@pytest.fixture
def here():
    """Sixty open cases of the laboratory, two at most of an office but for the first one."""
    found = world()
    many_cases.build(found, cases=60, going=60)
    replanning.remake()
    return found


def made() -> list:
    planner = Planner()
    cases = replanning.fetch(Case.objects.all())
    return [row for case in cases for row in desk_rows.of_case(case, planner)]


@pytest.mark.both_databases
def test_every_list_counts_what_planning_all_cases_finds_and_shows_the_nearest(here):
    today = timezone.localdate()
    found = desk_lists.find(here.lena, asked())
    rows = [row for row in made() if row.holds(today)]
    told = Counter(row.section for row in rows if row.section != DeskSection.DAYS)
    assert found.counts == told
    assert sum(told.values()) > 60
    for section, shown in found.rows.items():
        every = sorted((row.nearest, row.case_id) for row in rows if row.section == section)
        assert [(row.nearest, row.case_id) for row in shown] == every[:SHOWN_IN_LIST], section
    for number in range(7):
        on = today + number * DAY
        of_day = [row for row in rows if row.section == DeskSection.DAYS and row.on == on]
        assert found.day_counts.get(on, DayCount()).entries == len(of_day)
        assert len(found.days.get(on, [])) == min(SHOWN_ON_DAY, len(of_day))


def test_what_is_said_of_those_who_wait_is_what_lists_of_whole_cases_say(here):
    lines = [row for row in queries.open_lines(here.farah) if row.case.office == here.office]
    whole = {(wait.line.case.pk, wait.on, wait.why) for wait in desk.waits(lines)}
    today = timezone.localdate()
    found = desk_lists.find(here.farah, asked())
    kept = {
        (row.case_id, wait.on, wait.why)
        for section in (DeskSection.WAITS_OFFICE, DeskSection.WAITS_LABORATORY)
        for row in found.rows.get(section, [])
        for wait in [desk.wait_of(found.lines[row.case_id], row, today)]
    }
    assert kept == whole


def test_lines_say_the_same_of_a_case_as_lines_of_whole_cases(here):
    whole = {row.case.pk: row for row in queries.open_lines(here.lena)}
    found = desk_lists.find(here.lena, asked())
    assert found.lines
    for key, line in found.lines.items():
        other = whole[key]
        assert (line.late_days, line.waits_for, line.glyph, line.stage_words) == (
            *(other.late_days, other.waits_for, other.glyph, other.stage_words),
        )
        assert (line.waiting, line.plain_state) == (other.waiting, other.plain_state)


def test_what_leaves_the_office_is_counted_from_the_readers_side(here):
    days = asked(start=timezone.localdate() - 20 * DAY, days=90)
    office = desk_lists.find(here.farah, days).day_counts.values()
    laboratory = desk_lists.find(here.lena, Asked(**{**vars(days), "office": here.office.pk}))
    theirs = laboratory.day_counts.values()
    assert sum(day.entries for day in office) == sum(day.entries for day in theirs) > 0
    assert sum(day.out for day in office) == sum(
        1
        for row in made()
        if row.office_id == here.office.pk
        and row.kind == DeskKind.LATEST
        and days.start <= row.on <= days.end
        and desk.LEAVES.get(row.about) == Side.OFFICE
    )


def test_one_office_is_kept_to_and_others_see_nothing(here):
    found = desk_lists.find(here.lena, asked(office=here.office.pk))
    assert found.lines
    assert {line.case.office_id for line in found.lines.values()} == {here.office.pk}
    nobody = desk_lists.find(here.olga, asked())
    assert (nobody.lines, nobody.rows, nobody.counts) == ({}, {}, Counter())


def test_a_list_that_is_shown_alone_goes_on_where_the_page_before_ended(here, monkeypatch):
    monkeypatch.setattr(desk_lists, "PER_PAGE", 15)
    show = DeskSection.NOT_CONFIRMED
    pages = [desk_lists.find(here.lena, asked(show=show, skip=skip)) for skip in (0, 15)]
    first, second = ([row.pk for row in page.rows.get(show, [])] for page in pages)
    assert len(first) + len(second) == min(30, pages[0].counts[show])
    assert not set(first) & set(second)
    assert set(pages[0].rows) == {show}
    assert pages[0].days == {}


def test_with_many_cases_a_page_asks_as_little_and_reads_no_more(here, monkeypatch):
    read: list[int] = []
    fetch = desk_lists.fetch

    def counted(keys, user, houses=()):
        read.append(len(keys))
        return fetch(keys, user, houses)

    monkeypatch.setattr(desk_lists, "fetch", counted)

    def asked_of_the_database() -> int:
        with CaptureQueriesContext(connection) as told, access.read_once():
            desk_lists.find(here.lena, asked())
        return len(told)

    few = asked_of_the_database()
    many_cases.build(here, cases=300, going=300, first=60)
    replanning.remake()
    assert Case.objects.count() == 360
    # Once more where a box is lost, for what was in it.
    assert few in (6, 7)
    assert asked_of_the_database() in (6, 7)
    assert 60 < read[-1] <= 15 * 8 + 7 * 6
