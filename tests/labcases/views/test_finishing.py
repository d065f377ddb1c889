"""The page of the finishing: the office gives the text, the bench confirms mark and template."""

from __future__ import annotations

import html
import re

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.models import Finishing, MarkText
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    case = here.case_at(Stage.FINISHING)
    case.prescriptions.update(identification="office text")
    return case


def read(client, user, case):
    client.force_login(user)
    return html.unescape(client.get(reverse("finishing", args=[case.code])).content.decode())


def post(client, user, case, name="finishing", **typed):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code]), {"version": 0, **typed})


def test_the_office_gives_the_text_and_the_bench_confirms_it(here, client, case):
    page = read(client, here.tomas, case)
    assert "The office has not given the text yet." in page
    assert 'id="id_mark_placed"' not in page

    assert post(client, here.farah, case, "mark_text", mark_text="A. Quill").status_code == 302
    page = read(client, here.tomas, case)
    assert "It reads: <b>A. Quill</b>" in page
    assert "Fresh pumice and a sterile or new wheel for each denture" in page

    typed = {"mark_placed": "yes", "template_made": "yes", "template_seats": "no"}
    assert post(client, here.tomas, case, template_mm="1,5", **typed).status_code == 302
    row = Finishing.objects.get()
    assert (row.mark_placed, row.template_seats, str(row.template_mm)) == (True, False, "1.50")


def test_a_template_that_is_not_made_neither_seats_nor_has_a_thickness(here, client, case):
    typed = {"template_made": "no", "template_seats": "yes", "template_lot": "CR-1"}
    answer = post(client, here.tomas, case, template_mm="2", **typed)

    assert answer.status_code == 422
    page = html.unescape(answer.content.decode())
    assert "The template is not made, so it cannot be said how it seats." in page
    assert "The template is not made. Say that it is, or empty its lot." in page
    assert "The template is not made. Say that it is, or empty its thickness." in page
    assert 'value="2"' in page
    assert not Finishing.objects.exists()
    assert post(client, here.tomas, case, template_made="no").status_code == 302


def test_the_text_stands_on_no_other_page_of_the_laboratory(here, client, case):
    post(client, here.farah, case, "mark_text", mark_text="A. Quill")
    client.force_login(here.tomas)

    for name in ("case", "history", "release", "prescription"):
        assert "Quill" not in client.get(reverse(name, args=[case.code])).content.decode(), name
    type(case).objects.filter(pk=case.pk).update(stage=Stage.RELEASED)
    assert "Quill" not in read(client, here.tomas, case)


@pytest.mark.parametrize("name", ["tomas", "lena", "mona"])
def test_the_laboratory_writes_no_text(here, client, case, name):
    answer = post(client, getattr(here, name), case, "mark_text", mark_text="A. Quill")

    assert answer.status_code == 403
    assert not MarkText.objects.exists()


def test_an_empty_text_and_one_that_nobody_asks_for_are_refused_in_words(here, client, case):
    answer = post(client, here.farah, case, "mark_text", mark_text=" ")
    assert answer.status_code == 422
    assert "Write the text of the mark." in answer.content.decode()

    case.prescriptions.update(identification="none")
    answer = post(client, here.farah, case, "mark_text", mark_text="A. Quill")
    assert answer.status_code == 422
    assert "The prescription asks for no text of the office." in answer.content.decode()
    assert not MarkText.objects.exists()


def test_two_of_the_office_who_write_at_once_are_told(here, client, case):
    post(client, here.farah, case, "mark_text", mark_text="A. Quill")

    answer = post(client, here.dora, case, "mark_text", mark_text="A. Quilt")

    assert answer.status_code == 409
    assert "Somebody else gave a text meanwhile." in answer.content.decode()
    assert MarkText.objects.get().mark_text == "A. Quill"


def test_the_page_of_a_case_calls_finishing_done_only_when_it_is(here, client):
    walk = here.walk()
    walk.to(Stage.FINAL_WAX, identification="none")
    client.force_login(here.tomas)

    def line() -> str:
        shown = client.get(reverse("case", args=[walk.case.code])).content.decode()
        told = html.unescape(shown[shown.index('id="finishing"') :].partition("</details>")[0])
        return " ".join(re.sub(r"<[^>]+>", " ", told).split())

    assert "Not begun. Nothing is asked of mark and template" in line()
    assert "Done" not in line()
