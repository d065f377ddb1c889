"""The text of a reminder: code, what, day of surgery, and the page. Nothing of a patient."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import urlsplit

from django.conf import settings
from django.urls import reverse

from labcases import codes
from labcases.domain.reminders import Digest, Said, Urgent
from labcases.models import Case
from labcases.templatetags.units import NO_BREAK, due_date, long_date

FOOT = """\
No mail, or only the digest: {mail}
Do not answer this mail; nobody reads it. Names of patients are never in it."""


@dataclass(frozen=True)
class Mail:
    subject: str
    text: str


def host() -> str:
    """The name of this machine as people reach it, for the Message-ID."""
    return urlsplit(settings.PUBLIC_URL).hostname or "localhost"


def urgent(row: Urgent) -> Mail:
    subject = f"Waits for you: case {codes.grouped(row.case.code)}, {_surgery(row.case)}"
    head = "A case waits for your house, and its surgery is near."
    return _mail(subject, [head, *_lines(row.said)])


def digest(row: Digest) -> Mail:
    things = "1 thing" if row.count == 1 else f"{row.count} things"
    parts = [
        "\n".join([title, "-" * len(title), "", "\n\n".join(_lines(said))])
        for title, said in row.parts
    ]
    return _mail(f"{long_date(row.day)}: {things} to look at", parts)


def _lines(said: Iterable[Said]) -> list[str]:
    return [
        f"{codes.grouped(one.case.code)}, {_surgery(one.case)}\n{one.what}\n{_url(one)}"
        for one in said
    ]


def _surgery(case: Case) -> str:
    return f"surgery {due_date(case.surgery_on)}" if case.surgery_on else "no surgery day yet"


def _url(one: Said) -> str:
    return f"{settings.PUBLIC_URL}{reverse(one.page, args=[one.case.code])}"


def _mail(subject: str, parts: list[str]) -> Mail:
    foot = FOOT.format(mail=f"{settings.PUBLIC_URL}{reverse('mail')}")
    text = "\n\n".join([*parts, f"-- \n{foot}\n"])
    return Mail(subject.replace(NO_BREAK, " "), text.replace(NO_BREAK, " "))
