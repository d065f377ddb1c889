"""Looking at pages as a person does: logged in, and reading words rather than tags."""

import re

from django.http import HttpResponse
from django.test import Client

from labcases.models import User


def logged_in(user: User) -> Client:
    client = Client()
    client.force_login(user)
    return client


def text_of(answer: HttpResponse) -> str:
    """The words of a page, with its tags and entities out of the way."""
    words = (
        re.sub(r"<[^>]+>", " ", answer.content.decode()).replace("\xa0", " ").replace("\u2011", "-")
    )
    return re.sub(r"\s+", " ", words.replace("&#x27;", "'"))


def words_of(answer: HttpResponse, status: int = 200) -> str:
    """What a page of this status says: its text without tags, each run of blanks as one."""
    assert answer.status_code == status, answer.status_code
    return " ".join(text_of(answer).split())
