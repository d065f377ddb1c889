"""Sending to one person: once a wait, once a day, whatever the clock and the mail server do."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.core import mail

from labcases.domain import outbox, reminders
from labcases.domain import question as asking
from labcases.enums import Side, Stage
from labcases.management.demo_case import load_demo
from labcases.management.reminding import remind_person
from labcases.models import Case, Organisation, Patient, PatientName, Reminder, User
from tests.factories import world

pytestmark = pytest.mark.django_db

TUESDAY = datetime(2027, 3, 9, 8, 0, tzinfo=UTC)
NOTHING = {"left": 0, "refused": 0, "unknown": 0}


@pytest.fixture(autouse=True)
def _public(settings):
    settings.PUBLIC_URL = "https://cases.example.org"


@pytest.fixture
def at(monkeypatch):
    """Set the clock to a moment."""

    def to(moment):
        monkeypatch.setattr("django.utils.timezone.now", lambda: moment)

    return to


@pytest.fixture
def here(at):
    """A question to the office, a week before surgery."""
    cast = world()
    cast.farah.email = "farah@example.org"
    cast.farah.save()
    cast.case = cast.walk(patient_name="Ada Quill").to(Stage.ACCEPTED)
    Case.objects.filter(pk=cast.case.pk).update(surgery_on=date(2027, 3, 16))
    at(TUESDAY)
    asking.ask(
        case=cast.case, about="Ada Quill", text="P-100?", waits_for=Side.OFFICE, by=cast.tomas
    )
    return cast


def run(user):
    """What the task says of itself."""
    result = remind_person.enqueue(user.pk)
    assert result.errors == []
    return result.return_value


def subjects():
    return [one.subject[:17] for one in mail.outbox]


def test_the_urgent_mail_and_the_digest_leave_once(here):
    assert run(here.farah) == {"left": 2, "refused": 0, "unknown": 0}
    assert run(here.farah) == NOTHING

    assert subjects() == ["Waits for you: ca", "09-Mar-2027: 2 th"]
    assert [one.to for one in mail.outbox] == [["farah@example.org"]] * 2
    for one in mail.outbox:
        for word in ("P-100", "Ada", "Quill", "Ferry", "Dora"):
            assert word not in one.message().as_string()


def test_the_next_day_has_a_digest_and_no_second_urgent_mail(here, at):
    run(here.farah)
    at(TUESDAY + timedelta(days=1))

    assert run(here.farah)["left"] == 1
    assert subjects()[2:] == ["10-Mar-2027: 2 th"]


def test_days_on_which_nothing_ran_are_not_made_up_for(here, at):
    run(here.farah)
    at(TUESDAY + timedelta(days=7))

    assert run(here.farah)["left"] == 1
    assert subjects()[2:] == ["16-Mar-2027: 2 th"]


@pytest.mark.parametrize(
    ("jump", "leaves"),
    [
        (timedelta(hours=-2), 0),
        (timedelta(hours=-9), 0),
        (timedelta(days=1), 1),
        (timedelta(days=365), 1),
    ],
)
def test_a_clock_that_jumps_sends_one_digest_for_its_day_and_none_again(here, at, jump, leaves):
    run(here.farah)

    at(TUESDAY + jump)
    assert [run(here.farah)["left"] for _n in range(3)] == [leaves, 0, 0]
    at(TUESDAY + timedelta(hours=1))
    assert run(here.farah) == NOTHING
    days = [row.day for row in Reminder.objects.filter(kind="digest")]
    assert len(days) == len(set(days))


def test_a_clock_that_came_back_from_next_year_holds_up_no_digest(here, at):
    at(TUESDAY + timedelta(days=365))
    run(here.farah)

    at(TUESDAY)
    assert run(here.farah)["left"] == 2


def test_an_answer_before_the_run_leaves_nothing_urgent(here):
    asking.answer(question=here.case.questions.get(), text="Yes.", by=here.dora)

    run(here.farah)

    assert subjects() == ["09-Mar-2027: 1 th"]


def test_a_case_that_came_to_rest_while_mail_was_leaving_is_in_none_of_it(here, monkeypatch):
    found = reminders.of(here.farah)
    Case.objects.filter(pk=here.case.pk).update(silent=True)
    monkeypatch.setattr("labcases.domain.reminders.of", lambda _user: found)

    assert run(here.farah) == NOTHING
    assert not Reminder.objects.exists()


def test_a_fault_between_the_row_and_the_mail_is_told_and_not_repeated(here, monkeypatch):
    with monkeypatch.context() as broken:
        broken.setattr(
            "django.core.mail.backends.locmem.EmailBackend.send_messages",
            lambda _self, _messages: (_ for _ in ()).throw(RuntimeError("killed")),
        )
        assert run(here.farah) == {"left": 0, "refused": 0, "unknown": 2}

    assert run(here.farah) == NOTHING
    assert mail.outbox == []
    assert {row.state for row in Reminder.objects.all()} == {"leaving"}


def test_who_says_no_after_the_work_was_put_in_the_queue_gets_nothing(here):
    reminders.choose(user=here.farah, email="farah@example.org", choice="none")

    assert run(here.farah) == NOTHING


def test_where_no_mail_goes_anywhere_nothing_is_written(here, settings):
    settings.EMAIL_BACKEND = ""

    assert run(here.farah) == NOTHING
    assert not Reminder.objects.exists()
    assert outbox.is_on() is False


def test_no_mail_of_the_demonstration_names_a_patient(settings):
    settings.DIGEST_HOUR = 0
    load_demo()
    # Whatever day it is.
    Organisation.objects.update(open_weekdays="1234567")
    for user in User.objects.exclude(email=""):
        run(user)

    texts = [one.message().as_string() for one in mail.outbox]
    codes = set(Patient.objects.values_list("code", flat=True))
    names = {
        word for name in PatientName.objects.values_list("name", flat=True) for word in name.split()
    }
    assert len(texts) >= 5
    assert len(codes) >= 5
    assert [word for word in codes | names for text in texts if word in text] == []
