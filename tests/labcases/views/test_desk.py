"""The desk: a week, day by day, and who waits for whom."""

from collections import Counter
from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.domain import case as cases
from labcases.domain import complaints, desk_lists, replanning
from labcases.domain import question as asking
from labcases.enums import AppointmentKind, AppointmentStatus, Side, Stage
from labcases.models import Case, DeskRow
from labcases.templatetags.units import due_date
from labcases.views import _desk_asked
from labcases.views import desk as desk_view
from tests.bench import many_cases
from tests.factories import UserFactory, last_weekday, world

pytestmark = pytest.mark.django_db


def read(client, user, **asked):
    client.force_login(user)
    return client.get("/desk/", asked)


def text(answer):
    return answer.content.decode().replace("\N{NON-BREAKING HYPHEN}", "-")


def week_of(day):
    year, week, _weekday = day.isocalendar()
    return f"{year}-W{week:02d}"


def texts(rows):
    return [row.text for row in rows]


def book(here, case, on, kind=AppointmentKind.REVIEW):
    values = {"kind": kind, "on": on, "status": AppointmentStatus.BOOKED, "note": ""}
    cases.save_appointment(case=case, appointment=None, version=0, by=here.farah, values=values)


class TestWeek:
    def test_this_week_is_shown_from_monday_to_sunday(self, client):
        days = read(client, world().farah).context["days"]
        assert [day.date.weekday() for day in days] == [0, 1, 2, 3, 4, 5, 6]
        assert [day.date for day in days if day.today] == [timezone.localdate()]

    def test_another_week_is_asked_for_by_its_number(self, client):
        answer = read(client, world().farah, week="2026-W48")
        assert answer.context["days"][0].date == date(2026, 11, 23)
        assert "23-Nov-2026 to 29-Nov-2026" in text(answer)
        assert 'href="/desk/?week=2026-W49"' in text(answer)

    def test_the_last_week_of_a_long_year_leads_to_the_first_of_the_next(self, client):
        answer = read(client, world().farah, week="2026-W53")
        assert "28-Dec-2026 to 03-Jan-2027" in text(answer)
        assert 'href="/desk/?week=2027-W01"' in text(answer)

    def test_a_day_shows_the_week_it_is_in(self, client):
        answer = read(client, world().farah, **{"from": "25-Nov-2026"})
        assert answer.context["start"] == date(2026, 11, 23)
        assert [day.date for day in answer.context["days"] if day.current] == [date(2026, 11, 25)]

    @pytest.mark.parametrize(
        ("asked", "words"),
        [
            ({"week": "2026-W60"}, "There is no week 2026-W60. Write it like 2026-W48."),
            ({"week": "soon"}, "There is no week soon."),
            ({"week": "9999-W52"}, "9999-W52 lies outside of 2001 to 2099. This week is shown."),
            ({"week": "0001-W01"}, "0001-W01 lies outside of 2001 to 2099. This week is shown."),
            ({"week": f"{'9' * 5000}-W01"}, "There is no week 99999"),
            ({"from": "03/04/2027"}, "03/04/2027 can be read two ways"),
        ],
    )
    def test_a_week_that_is_none_is_refused_in_words(self, client, asked, words):
        answer = read(client, world().farah, **asked)
        assert answer.status_code == 200
        assert words in text(answer)
        assert any(day.today for day in answer.context["days"])

    def test_a_weekend_is_closed_unless_something_takes_place(self, client):
        here = world()
        case = here.walk().case
        saturday = date(2027, 3, 13)
        shut = {
            day.date: day.shut for day in read(client, here.farah, week="2027-W10").context["days"]
        }
        assert shut[saturday] == "Closed"
        book(here, case, saturday)
        days = read(client, here.farah, week="2027-W10").context["days"]
        assert [day.shut for day in days if day.date >= saturday] == ["", "Closed"]


class TestDays:
    def test_what_takes_place_stands_on_its_day(self, client):
        here = world()
        case = here.walk(surgery_in_days=120).case
        answer = read(client, here.farah, week=week_of(case.surgery_on))
        (day,) = [day for day in answer.context["days"] if day.date == case.surgery_on]
        assert "Surgery and delivery" in texts(day.entries)
        assert day.surgeries == 1

    def test_the_week_strip_counts_what_is_booked(self, client):
        here = world()
        case = here.walk(surgery_in_days=120).case
        book(here, case, date(2027, 3, 10))
        book(here, case, date(2027, 3, 10), AppointmentKind.TRY_IN)

        answer = read(client, here.farah, week="2027-W10")

        assert [day.booked for day in answer.context["days"]] == [0, 0, 2, 0, 0, 0, 0]
        assert "<b>2</b> booked" in answer.content.decode()

    def test_what_leaves_one_house_comes_into_the_other(self, client):
        here = world()
        case = here.case_at(Stage.RELEASED)
        book(here, case, case.surgery_on, AppointmentKind.DELIVERY)
        week = week_of(case.surgery_on)

        def counts(user):
            days = read(client, user, week=week).context["days"]
            (day,) = [day for day in days if day.date == case.surgery_on]
            return day.out, day.back

        assert counts(here.farah) == (0, 1)
        assert counts(here.lena) == (0, 0)

    def test_an_office_reads_plain_states_with_the_stage_under_them(self, client):
        here = world()
        case = here.case_at(Stage.MOUNTING)
        week = week_of(case.surgery_on)
        office, laboratory = (
            text(read(client, user, week=week)) for user in (here.farah, here.lena)
        )
        assert "<span>At the laboratory</span>" in office
        assert '<span class="under">Mounting</span>' in office
        assert "<span>Mounting</span>" in laboratory
        assert "At the laboratory" not in laboratory

    def test_an_empty_day_says_so(self, client):
        assert text(read(client, world().farah)).count("Nothing is planned.") == 5


class TestLists:
    def test_late_cases_say_by_how_much_and_since_when(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        Case.objects.filter(pk=case.pk).update(surgery_on=last_weekday())
        replanning.refresh([case.pk])
        (late,) = read(client, here.farah).context["late"]
        assert late.text.startswith(
            "Late by 18 working days: master cast and rims begin, at the latest "
        )

    def test_who_waits_for_whom(self, client):
        here = world()
        sent = here.walk(patient_code="P-1").to(Stage.SENT)
        asked = here.walk(patient_code="P-2").to(Stage.MOUNTING)
        asking.ask(case=asked, about="shade", text="B1?", waits_for=Side.OFFICE, by=here.tomas)
        answer = read(client, here.farah)
        assert [(row.line.case, row.text) for row in answer.context["waits_for_laboratory"]] == [
            (sent, "The case is to be accepted.")
        ]
        (row,) = answer.context["waits_for_office"]
        assert row.line.case == asked
        assert row.text.startswith("A question about shade is open. Waits since ")
        assert row.url == f"/cases/{asked.code}/questions/"

    def test_a_case_on_hold_says_why(self, client):
        here = world()
        case = here.case_at(Stage.MOUNTING)
        cases.hold(case=case, reason="patient is away", by=here.mona)
        assert texts(read(client, here.farah).context["on_hold"]) == ["patient is away"]

    def test_a_box_under_way_is_taken_in_by_the_house_it_comes_to(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        box = case.boxes.get()
        url = f'href="/cases/{case.code}/boxes/{box.pk}/receive/"'
        assert url in text(read(client, here.lena))
        office = text(read(client, here.farah))
        assert "Boxes on the way to the laboratory" in office
        assert url not in office

    def test_a_case_without_a_surgery_day_is_not_forgotten(self, client):
        here = world()
        here.walk(surgery_in_days=None)
        (row,) = read(client, here.farah).context["dateless"]
        assert row.text == "Enter the surgery day; every other date follows it."

    def test_a_moved_surgery_day_waits_for_the_dentist_until_it_is_confirmed(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        (row,) = read(client, here.dora).context["unconfirmed"]
        cases.confirm_surgery(case=case, version=case.version, by=here.dora)

        assert row.text == f"The dentist has not confirmed {due_date(case.surgery_on)}."
        assert row.url == f"/cases/{case.code}/dates/"
        assert read(client, here.dora).context["unconfirmed"] == []

    @pytest.mark.parametrize("stage", [Stage.DRAFT, Stage.DELIVERED])
    def test_a_draft_and_a_delivered_case_ask_for_no_confirmation(self, client, stage):
        here = world()
        here.case_at(stage)
        assert read(client, here.dora).context["unconfirmed"] == []

    def test_an_empty_desk_says_what_to_do(self, client):
        here = world()
        assert "Open one: the prescription comes first" in text(read(client, here.farah))
        assert "when a linked office opens them" in text(read(client, here.lena))

    def test_cases_of_others_and_names_of_patients_are_not_on_it(self, client):
        here = world()
        case = here.walk(patient_name="Agatha Quill").case
        week = week_of(case.surgery_on)
        assert case.patient.code not in text(read(client, here.olga, week=week))
        for user in (here.farah, here.lena):
            assert "Agatha" not in text(read(client, user, week=week))


class TestOutlook:
    def at_risk(self, here, days):
        case = here.case_at(Stage.SET_UP)
        on = timezone.localdate() + timedelta(days=days)
        cases.set_surgery(case=case, version=case.version, on=on, by=here.dora)
        return on

    def test_a_surgery_day_that_may_be_held_by_hurrying_says_until_when(self, client):
        here = world()
        on = self.at_risk(here, 14)
        answer = read(client, here.farah)
        (row,) = answer.context["at_risk"]
        assert row.text.startswith(
            f"By the usual days not ready for {due_date(on)}. Hurrying can still hold the day until"
        )
        assert (row.act, row.act_url) == ("Win time", row.url)
        assert row.url.endswith("/dates/")
        assert answer.context["missed"] == []
        assert [row.act for row in read(client, here.tomas).context["at_risk"]] == [""]

    def test_one_that_is_certain_to_be_missed_says_so(self, client):
        here = world()
        on = self.at_risk(here, 5)
        answer = read(client, here.lena)
        assert texts(answer.context["missed"]) == [
            f"Even when everybody hurries it comes too late for {due_date(on)}: the surgery day "
            "has to move."
        ]
        assert answer.context["at_risk"] == []
        assert "Certain to be missed" in text(answer)


class TestFilters:
    @pytest.fixture
    def here(self):
        found = world()
        many_cases.build(found, cases=90, going=90)
        replanning.remake()
        return found

    def test_a_long_list_shows_its_first_lines_and_leads_to_all_of_them(self, client, here):
        answer = read(client, here.lena)
        (listed,) = [one for one in answer.context["lists"] if one.key == "waits-office"]
        assert len(listed.rows) == 8
        assert listed.total > 10
        assert f'<a href="/desk/?show=waits-office">and {listed.left} more' in text(answer)
        alone = read(client, here.lena, show="waits-office")
        assert len(alone.context["waits_for_office"]) == listed.total
        assert [one.key for one in alone.context["lists"] if one.rows] == ["waits-office"]
        assert "The whole desk" in text(alone)

    def test_a_day_with_much_on_it_leads_to_all_of_it(self, client, here):
        on = DeskRow.objects.filter(section="days", kind="latest").values_list("on", flat=True)
        busy, number = Counter(on).most_common(1)[0]
        assert number > 6
        week = read(client, here.lena, week=week_of(busy))
        (day,) = [day for day in week.context["days"] if day.date == busy]
        assert len(day.entries) == 6
        assert f'href="{day.more_url.replace("&", "&amp;")}">and {day.left} more' in text(week)
        alone = client.get(day.more_url)
        (whole,) = alone.context["days"]
        assert (whole.date, len(whole.entries)) == (busy, whole.counts.entries)

    def test_pages_of_a_list_follow_each_other(self, client, here, monkeypatch):
        for module in (desk_lists, _desk_asked, desk_view):
            monkeypatch.setattr(module, "PER_PAGE", 7)
        first = read(client, here.lena, show="waits-office")
        total = first.context["pager"].shown.removeprefix("1 to 7 of ")
        assert first.context["pager"].later == "/desk/?show=waits-office&page=2"
        second = client.get(first.context["pager"].later)
        assert second.context["pager"].shown.startswith("8 to ")
        assert second.context["pager"].shown.endswith(f" of {total}")

    def test_a_laboratory_keeps_to_one_office_in_the_address(self, client, here):
        answer = read(client, here.lena, office=here.office.pk)
        assert f'<option value="{here.office.pk}" selected>Ferry Street Office' in text(answer)
        shown = [row.line.case.office for row in answer.context["waits_for_office"]]
        assert set(shown) == {here.office}
        assert f"/desk/?office={here.office.pk}&amp;week=" in text(answer)
        assert "desk-office" not in text(read(client, here.farah))

    @pytest.mark.parametrize(
        ("asked", "words"),
        [
            ({"show": "everything"}, "There is no such list. All lists of the desk are shown."),
            ({"office": "4711"}, "There is no such office here. The cases of all offices"),
            ({"month": "2026-13"}, "There is no month 2026-13. Write it like 2026-12."),
            ({"month": "soon"}, "There is no month soon. Write it like 2026-12."),
            ({"month": "1999-01"}, "1999-01 lies outside of 2001 to 2099. This week is shown."),
        ],
    )
    def test_what_the_address_names_and_is_not_there_is_told(self, client, asked, words):
        answer = read(client, world().lena, **asked)
        assert answer.status_code == 200
        assert words in text(answer)
        assert len(answer.context["days"]) == 7

    def test_a_month_shows_every_day_and_leads_to_its_neighbours(self, client):
        here = world()
        case = here.walk(surgery_in_days=120).case
        month = f"{case.surgery_on:%Y-%m}"
        answer = read(client, here.farah, month=month)
        days = answer.context["days"]
        assert {f"{day.date:%Y-%m}" for day in days} == {month}
        (day,) = [day for day in days if day.date == case.surgery_on]
        assert texts(day.entries) == ["Surgery and delivery"]
        assert [row.act for row in day.entries] == ["Move"]
        december = text(read(client, here.farah, month="2026-12"))
        assert "December 2026" in december
        assert 'href="/desk/?month=2026-11"' in december
        assert 'href="/desk/?month=2027-01"' in december

    def test_a_list_with_nothing_in_it_says_so(self, client):
        here = world()
        here.walk()
        assert "Nothing stands in this list today." in text(
            read(client, here.farah, show="boxes-gone")
        )


def test_with_everything_on_it_the_desk_asks_twelve_questions_at_most(
    client, django_assert_max_num_queries
):
    here = world()
    many_cases.build(here, cases=300, going=300)
    replanning.remake()
    complaint(here, Case.objects.filter(office=here.office).first())
    for user in (here.farah, here.lena):
        client.force_login(user)
        client.get("/desk/")
        with django_assert_max_num_queries(12):
            answer = client.get("/desk/")
        assert answer.context["complaints"]
    assert answer.context["incidents"]
    assert answer.context["late"]


def complaint(here, case):
    complaints.enter(
        case=case,
        by=here.dora,
        values={
            "gravity": "complaint",
            "text": "It rocks.",
            "known_on": timezone.localdate(),
            "reporter": "dentist",
            "concern": "denture",
        },
    )


def test_more_cases_need_no_more_questions_to_the_database(client, django_assert_num_queries):
    here = world()
    client.force_login(here.farah)
    here.walk(patient_code="P-99", surgery_in_days=119)
    client.get("/desk/")
    with django_assert_num_queries(10):
        client.get("/desk/")
    for number in range(5):
        here.walk(patient_code=f"P-{number}0", surgery_in_days=120 + number)
    with django_assert_num_queries(10):
        client.get("/desk/", {"week": week_of(timezone.localdate() + timedelta(days=121))})


def test_a_person_without_a_house_finds_an_empty_desk(client):
    client.force_login(UserFactory())
    answer = client.get("/desk/")
    assert answer.status_code == 200
    assert "No open case yet." in answer.content.decode()
