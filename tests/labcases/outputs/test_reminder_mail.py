"""The text of a reminder, typed by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from labcases.domain.reminders import Digest, Said, Urgent
from labcases.models import Case
from labcases.outputs import reminder_mail

CASE = Case(code="7Q2K9A3BC4DH", surgery_on=date(2027, 3, 12))
DATELESS = Case(code="8R3M9A3BC4DK")


@pytest.fixture(autouse=True)
def _public(settings):
    settings.PUBLIC_URL = "https://cases.example.org"


def test_an_urgent_mail():
    since = datetime(2027, 3, 9, 8, 0, tzinfo=UTC)
    mail = reminder_mail.urgent(
        Urgent(CASE, since, (Said(CASE, "A question is open.", "questions"),))
    )

    assert mail.subject == "Waits for you: case 7Q2K-9A3B-C4DH, surgery Fri 12-Mar-2027"
    assert mail.text == (
        "A case waits for your house, and its surgery is near.\n"
        "\n"
        "7Q2K-9A3B-C4DH, surgery Fri 12-Mar-2027\n"
        "A question is open.\n"
        "https://cases.example.org/cases/7Q2K9A3BC4DH/questions/\n"
        "\n"
        "-- \n"
        "No mail, or only the digest: https://cases.example.org/mail/\n"
        "Do not answer this mail; nobody reads it. Names of patients are never in it.\n"
    )


def test_a_digest():
    mail = reminder_mail.digest(
        Digest(
            date(2027, 3, 9),
            waits=[Said(CASE, "A question is open.", "questions")],
            late=[Said(DATELESS, "Late by 1 working day.", "dates")],
        )
    )

    assert mail.subject == "09-Mar-2027: 2 things to look at"
    assert mail.text == (
        "Waits for you\n"
        "-------------\n"
        "\n"
        "7Q2K-9A3B-C4DH, surgery Fri 12-Mar-2027\n"
        "A question is open.\n"
        "https://cases.example.org/cases/7Q2K9A3BC4DH/questions/\n"
        "\n"
        "Late\n"
        "----\n"
        "\n"
        "8R3M-9A3B-C4DK, no surgery day yet\n"
        "Late by 1 working day.\n"
        "https://cases.example.org/cases/8R3M9A3BC4DK/dates/\n"
        "\n"
        "-- \n"
        "No mail, or only the digest: https://cases.example.org/mail/\n"
        "Do not answer this mail; nobody reads it. Names of patients are never in it.\n"
    )


def test_one_thing_is_one_thing():
    digest = Digest(date(2027, 3, 9), late=[Said(CASE, "Late by 1 working day.", "dates")])

    assert reminder_mail.digest(digest).subject == "09-Mar-2027: 1 thing to look at"


@pytest.mark.parametrize(
    ("public", "host"),
    [("https://cases.example.org:8443", "cases.example.org"), ("", "localhost")],
)
def test_the_message_id_ends_with_the_name_of_this_machine(settings, public, host):
    settings.PUBLIC_URL = public

    assert reminder_mail.host() == host
