"""The page of open days: read by everybody inside, changed by those in charge."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import calendars
from labcases.enums import Stage
from labcases.models import HouseDay, OfficeLink
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def in_january(monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda *_args: date(2026, 1, 5))


def page(client, user, house):
    client.force_login(user)
    return client.get(reverse("calendar", args=[house.pk])).content.decode()


def post(client, user, house, **data):
    client.force_login(user)
    if data["what"] == "closed":
        data = {"how": "closed", **data}
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


def test_half_days_are_entered_by_the_week_and_by_the_day(client, here, in_january):
    week = {"what": "week", "weekdays": list("12345"), "halves": ["5"]}
    assert post(client, here.mona, here.laboratory, **week).status_code == 302
    typed = {"what": "closed", "first": "24-Dec-2026", "how": "half", "reason": "Christmas Eve"}
    assert post(client, here.mona, here.laboratory, **typed).status_code == 302
    words = page(client, here.lena, here.laboratory)
    assert "Open Monday to Friday, Friday for half the day." in words
    assert "open half the day" in words
    assert "Christmas Eve" in words
    client.force_login(here.mona)
    row = HouseDay.objects.get()
    told = client.post(reverse("house_day_remove", args=[row.pk]), follow=True).content.decode()
    assert "24-Dec-2026 is no longer a half day." in told


def test_a_half_day_outside_of_the_week_is_refused(client, here):
    week = {"what": "week", "weekdays": list("1234"), "halves": ["5"]}
    answer = post(client, here.mona, here.laboratory, **week)
    assert answer.status_code == 422
    assert "Choose half days among the weekdays" in answer.content.decode()
    here.laboratory.refresh_from_db()
    assert here.laboratory.open_weekdays == "12345"


def test_half_of_a_public_holiday_is_refused_until_the_holiday_is_opened(client, here, in_january):
    post(client, here.mona, here.laboratory, what="holidays", whose="fr-am")
    typed = {"what": "closed", "first": "11-Nov-2026", "how": "half", "reason": "parade"}
    answer = post(client, here.mona, here.laboratory, **typed)
    assert answer.status_code == 422
    shown = answer.content.decode()
    assert (
        "11-Nov-2026 is a public holiday (Armistice Day), closed all day. To work half "
        "of it, open it first." in shown
    )
    assert 'value="parade"' in shown
    here.laboratory.refresh_from_db()
    assert not calendars.is_open(here.laboratory, date(2026, 11, 11))

    post(client, here.mona, here.laboratory, what="open", holiday="2026-11-11")
    assert post(client, here.mona, here.laboratory, **typed).status_code == 302
    assert HouseDay.objects.get().kind == "half"
    assert post(client, here.mona, here.laboratory, **typed).status_code == 302


def test_tables_of_a_house_fold_on_a_narrow_screen_with_the_head_of_each_value(client, here):
    here.laboratory.holiday_region = "fr-am"
    here.laboratory.save()
    on = timezone.localdate() + timedelta(days=3)
    calendars.close(organisation=here.laboratory, first=on, last=None, reason="fair", by=here.mona)
    shown = page(client, here.mona, here.laboratory)
    shown += client.get(reverse("organisation", args=[here.laboratory.pk])).content.decode()
    assert '<table class="ruled">' not in shown
    for head, value in (
        ("Holiday", ""),
        ("The house is", "closed"),
        ("Reason", "fair"),
        ("Entered by", "Mona Ridley"),
        ("Said by", "nobody yet"),
        ("Role", "Laboratory manager"),
        ("Linked since", ""),
    ):
        assert f'data-head="{head}">{value}' in shown


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
    row = HouseDay.objects.get()
    assert (row.organisation, row.on, row.reason, row.by) == (
        *(here.office, on),
        *("stock-taking", here.dora),
    )
    assert "stock-taking" in page(client, here.farah, here.office)
    client.force_login(here.farah)
    organisation = client.get(reverse("organisation", args=[here.office.pk])).content.decode()
    assert "(stock-taking)" in organisation

    client.force_login(here.dora)
    client.post(reverse("house_day_remove", args=[row.pk]))
    assert "No closed or half day is entered from today on." in page(
        client, here.farah, here.office
    )


def test_a_list_of_holidays_is_chosen_and_one_of_them_worked_on(client, here, in_january):
    before = page(client, here.mona, here.laboratory)
    assert "No list is chosen: public holidays count as open days" in before
    answer = post(client, here.mona, here.laboratory, what="holidays", whose="fr-am")
    assert answer.status_code == 302
    words = page(client, here.lena, here.laboratory)
    assert "Closed on the public holidays of France, Alsace-Moselle." in words
    assert "Licence Ouverte" in words
    assert "Second day of Christmas" in words
    assert "Open all the same" not in words

    armistice = date(2026, 11, 11)
    answer = post(client, here.mona, here.laboratory, what="open", holiday=str(armistice))
    assert answer.status_code == 302
    assert "open all the same (Mona" in page(client, here.lena, here.laboratory)
    assert calendars.is_open(here.laboratory, armistice)
    client.force_login(here.mona)
    row = HouseDay.objects.get()
    told = client.post(reverse("house_day_remove", args=[row.pk]), follow=True).content.decode()
    assert "is closed, as a public holiday." in told


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"what": "holidays", "whose": "mars"}, "Choose one of the lists that are offered"),
        ({"what": "open"}, "Choose a public holiday of the list."),
        ({"what": "open", "holiday": "2026-05-12"}, "That day is no public holiday of this house."),
    ],
)
def test_a_wrong_holiday_is_refused_with_a_sentence(client, here, typed, sentence):
    answer = post(client, here.mona, here.laboratory, **typed)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()


def test_the_time_zone_of_a_house_is_chosen_and_told_on_the_dates_of_its_cases(client, here):
    zone = {"what": "zone", "zone": "Pacific/Auckland"}
    assert post(client, here.mona, here.laboratory, **zone).status_code == 302
    words = page(client, here.lena, here.laboratory)
    assert "Pacific/Auckland. Dates of a case are those of its office" in words
    answer = post(client, here.mona, here.laboratory, what="zone", zone="Mars/Olympus")
    assert answer.status_code == 422
    assert "Choose one of the time zones that are offered." in answer.content.decode()
    case = here.case_at(Stage.SENT)
    client.force_login(here.dora)
    dates = client.get(reverse("dates", args=[case.code])).content.decode()
    assert "Dates of this case are those of Ferry Street Office (UTC)." in dates


def test_a_bridge_day_is_closed_by_one_button(client, here, in_january):
    post(client, here.mona, here.laboratory, what="holidays", whose="fr")
    words = page(client, here.mona, here.laboratory)
    assert "Friday 15‑May‑2026 lies between Ascension Day and Saturday: close it?" in words
    assert "lies between" not in page(client, here.lena, here.laboratory)
    friday = date(2026, 5, 15)
    assert f'name="first" value="{friday}"' in words
    post(client, here.mona, here.laboratory, what="closed", first=str(friday), reason="Bridge day")
    assert not calendars.is_open(here.laboratory, friday)
    assert "between Ascension Day" not in page(client, here.mona, here.laboratory)


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
    assert not HouseDay.objects.exists()


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
