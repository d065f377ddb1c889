"""The page on which a person says which mail they want."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client
from django.utils import timezone

from labcases.models import Reminder, User
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def farah():
    return world().farah


def browser(user):
    client = Client()
    client.force_login(user)
    return client


def text(answer):
    return answer.content.decode()


def post(user, address, wanted):
    told = {"mail_address": address, "mail_wanted": wanted}
    return browser(user).post("/mail/", told)


def stored(user):
    row = User.objects.get(pk=user.pk)
    return row.email, row.mail_choice


def test_both_are_wanted_until_somebody_says_otherwise(farah):
    assert stored(farah) == ("", "urgent and digest")

    assert post(farah, "desk@example.org", "digest").status_code == 302
    assert stored(farah) == ("desk@example.org", "digest")
    page = text(browser(farah).get("/mail/"))
    assert 'value="desk@example.org"' in page
    assert post(farah, "", "none").status_code == 302
    assert stored(farah) == ("", "none")


@pytest.mark.parametrize(
    ("address", "wanted", "words"),
    [
        ("", "digest", "Enter an address for the mail, or choose no mail."),
        ("desk at the office", "digest", "Write the address like name@example.org."),
        ("a@example.org\r\nBcc: b@example.org", "none", "Write the address like name@example.org."),
        ("desk@example.org", "", "Choose which mail you want."),
        ("desk@example.org", "hourly", "Select a valid choice."),
    ],
)
def test_what_cannot_be_is_refused_in_words_and_stays_as_typed(farah, address, wanted, words):
    answer = post(farah, address, wanted)

    assert answer.status_code == 422
    assert words in text(answer)
    assert address.split("\r")[0] in text(answer)
    assert stored(farah) == ("", "urgent and digest")


def test_the_last_mails_are_listed_with_what_is_known_of_them(farah):
    for n, (kind, state) in enumerate((("digest", "sent"), ("urgent", "leaving"))):
        Reminder.objects.create(
            user=farah,
            kind=kind,
            key=str(n),
            day=date(2027, 3, 9),
            message_id=f"<{n}@example.org>",
            state=state,
            leaving_at=timezone.now(),
        )

    page = text(browser(farah).get("/mail/"))
    assert "Not known whether it left" in page
    assert page.index("Urgent mail</th>") < page.index("Digest</th>")
    assert "None yet." in text(browser(User.objects.get(username="dora")).get("/mail/"))


def test_where_no_mail_goes_from_here_the_page_says_so(farah, settings):
    assert "No mail is sent from here" not in text(browser(farah).get("/mail/"))
    settings.EMAIL_BACKEND = ""
    assert "No mail is sent from here at present." in text(browser(farah).get("/mail/"))
