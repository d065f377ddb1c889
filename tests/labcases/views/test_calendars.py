"""The page of open days: read by everybody inside, changed by those in charge."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import calendars
from labcases.enums import Stage
from labcases.models import ClosedDay, OfficeLink
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def page(client, user, house):
    client.force_login(user)
    return client.get(reverse("calendar", args=[house.pk])).content.decode()


def post(client, user, house, **data):
    client.force_login(user)
    return client.post(reverse("calendar", args=[house.pk]), data)


def road(client, user, link, days):
    client.force_login(user)
    return client.post(reverse("link_road", args=[link.pk]), {"days": days})


def test_the_manager_opens_the_laboratory_on_saturday(client, here):
    answer = post(client, here.mona, here.laboratory, what="week", weekdays=list("123456"))
    assert answer.status_code == 302
    words = page(client, here.lena, here.laboratory)
    assert "Open Monday to Saturday." in words
    assert "Save the week" not in words


def test_a_week_without_a_day_is_refused(client, here):
    answer = post(client, here.mona, here.laboratory, what="week")
    assert answer.status_code == 422
    assert "Choose at least one weekday on which the house is open." in answer.content.decode()


def test_days_are_closed_and_opened_again(client, here):
    on = timezone.localdate() + timedelta(days=30)
    answer = post(
        client,
        here.dora,
        here.office,
        **{"what": "closed", "first": f"{on:%d-%b-%Y}", "reason": "stock-taking"},
    )
    assert answer.status_code == 302
    row = ClosedDay.objects.get()
    assert (row.organisation, row.on, row.reason, row.by) == (
        *(here.office, on),
        *("stock-taking", here.dora),
    )
    assert "stock-taking" in page(client, here.farah, here.office)
    client.force_login(here.farah)
    organisation = client.get(reverse("organisation", args=[here.office.pk])).content.decode()
    assert "(stock-taking)" in organisation

    client.force_login(here.dora)
    client.post(reverse("closed_day_remove", args=[row.pk]))
    assert "No closed day is entered from today on." in page(client, here.farah, here.office)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"first": ""}, "Enter the day on which it is closed."),
        ({"reason": ""}, "Enter why it is closed."),
        ({"last": "01-Mar-2027"}, "The last day lies before the first. Check both days."),
        ({"last": "01-Mar-2028"}, "Close at most 60 days at once."),
        ({"first": "30-Feb-2027"}, "30"),
    ],
)
def test_a_wrong_closed_day_is_refused_and_keeps_what_was_typed(client, here, typed, sentence):
    data = {"what": "closed", "first": "24-Mar-2027", "last": "", "reason": "moving house"}
    answer = post(client, here.mona, here.laboratory, **data | typed)
    assert answer.status_code == 422
    words = answer.content.decode()
    assert sentence in words
    assert ("moving house" if "reason" not in typed else "24-Mar-2027") in words
    assert not ClosedDay.objects.exists()


@pytest.mark.parametrize(("name", "side"), [("dora", "office"), ("mona", "laboratory")])
def test_either_house_says_how_long_the_road_is_and_both_read_who_did(client, here, name, side):
    link = OfficeLink.objects.get(office=here.office)
    user = getattr(here, name)
    assert road(client, user, link, "2").status_code == 302
    for reader, house in ((here.farah, here.office), (here.lena, here.laboratory)):
        words = page(client, reader, house)
        assert "2 open days" in words
        assert f"{user.full_name}, for the {side}" in words


@pytest.mark.parametrize("days", ["", "-1", "21", "two"])
def test_a_road_that_cannot_be_is_refused(client, here, days):
    link = OfficeLink.objects.get(office=here.office)
    answer = road(client, here.dora, link, days)
    assert answer.status_code == 422
    assert "Enter 0 to 20 days; 0 means the same day." in answer.content.decode()
    link.refresh_from_db()
    assert link.road_days == 1


def test_the_desk_and_the_boxes_expect_a_box_by_the_calendar_of_its_receiver(client, here):
    case = here.case_at(Stage.SENT)
    case.boxes.update(sent_at=datetime(2026, 3, 27, 12, tzinfo=ZoneInfo("UTC")))
    calendars.close(
        organisation=here.laboratory,
        first=date(2026, 3, 30),
        last=None,
        reason="stock-taking",
        by=here.mona,
    )
    for user in (here.farah, here.lena):
        client.force_login(user)
        desk = client.get(reverse("desk"))
        (late,) = desk.context["boxes_overdue"]
        assert late.expected == date(2026, 3, 31)
        assert late.overdue > 100
        words = desk.content.decode()
        assert "by Farah Kline, carried by own round" in words
        assert "overdue by" in words
        boxes = client.get(reverse("boxes", args=[case.code])).content.decode()
        assert "Expected by Tue 31\u2011Mar\u20112026" in boxes.replace("\N{NO-BREAK SPACE}", " ")


def test_a_weekday_without_entries_on_which_a_house_is_closed_is_shut(client, here):
    monday = timezone.localdate() + timedelta(days=14 - timezone.localdate().weekday())
    calendars.close(
        organisation=here.laboratory, first=monday, last=None, reason="moving", by=here.mona
    )
    client.force_login(here.lena)
    days = client.get(reverse("desk"), {"from": monday.isoformat()}).context["days"]
    assert [bool(day.shut) for day in days] == [True, False, False, False, False, True, True]


def test_the_manager_enters_the_hours_and_everybody_inside_reads_them(client, here):
    hours = {"what": "hours", "opens_at": "08:00", "closes_at": "16:30"}
    assert post(client, here.mona, here.laboratory, **hours).status_code == 302
    assert "08:00 to 16:30 on open days." in page(client, here.lena, here.laboratory)

    late = post(client, here.mona, here.laboratory, **{**hours, "closes_at": "07:00"})
    assert late.status_code == 422
    assert "It cannot close at 07:00 when it opens at 08:00." in late.content.decode()
    odd = post(client, here.mona, here.laboratory, **{**hours, "opens_at": "8 o'clock"})
    assert odd.status_code == 422
    assert "Opens at: write the time like 08:00." in odd.content.decode()
    assert "08:00 to 16:30 on open days." in page(client, here.lena, here.laboratory)
