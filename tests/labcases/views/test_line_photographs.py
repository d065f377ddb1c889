"""The photographs of one line: chosen from the case or added, and small in the log."""

from __future__ import annotations

import pytest
from django.urls import reverse

from labcases.domain import files
from labcases.enums import SetUpAct, Stage
from labcases.models import LinePhotograph
from tests.factories import world
from tests.labcases import sent_files
from tests.labcases.views.pages import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.DRAFT)
    walk.log(SetUpAct.TOOTH_SET, teeth=["11"])
    return walk


def address(walk):
    return reverse("line_photographs", args=[walk.case.code, walk.case.setup_entries.get().pk])


def stored(here, walk):
    return files.add(
        case=walk.reload(),
        kind="photograph",
        view="cast",
        caption="before trimming",
        upload=sent_files.sent(sent_files.jpeg((20, 20))),
        by=here.tomas,
    )


def test_one_of_the_case_is_put_at_the_line_and_stands_in_the_log(here, client, walk):
    row = stored(here, walk)
    client.force_login(here.tomas)
    answer = client.post(address(walk), {"what": "bind", "photograph": row.pk}, follow=True)
    assert "The photograph stands at the line." in text_of(answer)
    assert "before trimming at this line by Tomas Abelard" in text_of(answer)
    log = client.get(reverse("setup", args=[walk.case.code])).content.decode()
    assert reverse("file_small", args=[walk.case.code, row.pk]) in log


def test_one_is_added_and_put_at_the_line(here, client, walk):
    client.force_login(here.tomas)
    sent = {"what": "shows: cast", "upload": sent_files.sent(sent_files.jpeg((20, 20)))}
    assert client.post(address(walk), sent).status_code == 302
    assert LinePhotograph.objects.get().photograph.view == "cast"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"what": "bind"}, "Choose a photograph of the case, or add one below."),
        ({"what": "shows: cast"}, "Choose the photograph, or the picture of the paper."),
    ],
)
def test_what_is_missing_is_asked_for(here, client, walk, typed, sentence):
    stored(here, walk)
    client.force_login(here.tomas)
    answer = client.post(address(walk), typed)
    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not LinePhotograph.objects.exists()


def test_a_paper_is_no_photograph(here, client, walk):
    client.force_login(here.tomas)
    sent = {"what": "paper", "upload": sent_files.sent(sent_files.jpeg((20, 20)))}
    answer = client.post(address(walk), sent)
    assert answer.status_code == 422
    assert "a paper stands with the papers" in text_of(answer)


def test_the_office_looks_and_puts_nothing(here, client, walk):
    client.force_login(here.dora)
    answer = client.get(address(walk))
    assert "No photograph stands at this line." in text_of(answer)
    assert "Add one" not in text_of(answer)
    assert client.post(address(walk), {"what": "bind"}).status_code == 403


def test_a_line_of_another_case_is_not_found(here, client, walk):
    other = here.walk(patient_code="P-200").to(Stage.DRAFT)
    client.force_login(here.tomas)
    pk = walk.case.setup_entries.get().pk
    assert client.get(reverse("line_photographs", args=[other.code, pk])).status_code == 404
