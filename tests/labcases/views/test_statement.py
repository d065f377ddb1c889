"""The page of the device statement, as people meet it."""

from __future__ import annotations

import html

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.models import DeviceStatement, Organisation
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    case = here.case_at(Stage.RELEASED)
    Organisation.objects.filter(pk=case.office_id).update(profile="eu")
    return case


def read(client, user, case, name="statement"):
    client.force_login(user)
    return html.unescape(client.get(reverse(name, args=[case.code])).content.decode())


def post(client, user, case, **typed):
    client.force_login(user)
    return client.post(reverse("statement", args=[case.code]), typed)


def test_it_is_drawn_up_struck_out_and_read(here, client, case):
    page = read(client, here.tomas, case)
    assert "Not legal advice. Check the text that is in force in your place." in page
    assert "The denture does not leave before it is." in page
    assert 'id="id_origin"' not in page

    answer = post(client, here.tomas, case, unmet="23.1, too small for a label")
    assert answer.status_code == 422
    assert "Say that it meets the requirements" in html.unescape(answer.content.decode())
    assert 'value="23.1, too small for a label"' in answer.content.decode()

    assert post(client, here.tomas, case, conforms="on").status_code == 302
    page = read(client, here.dora, case)
    assert "Drawn up" in page
    assert "for the exclusive use of one patient, patient code P-100" in page
    assert "Strike the statement out" not in page

    client.force_login(here.tomas)
    url = reverse("statement_strike", args=[case.code, DeviceStatement.objects.get().pk])
    assert client.post(url).status_code == 422
    assert client.post(url, {"reason": "wrong office"}).status_code == 302
    assert client.post(url, {"reason": "again"}).status_code == 409
    assert "wrong office" in read(client, here.tomas, case)


def test_what_was_not_read_of_a_place_says_so(here, client, case):
    Organisation.objects.filter(pk=case.office_id).update(profile="gb-eng")

    page = read(client, here.tomas, case)

    assert "England, Scotland and Wales, not read: Medicinal substance" in page


@pytest.mark.parametrize(
    ("profile", "sentence"),
    [
        ("", "Neither office nor laboratory has chosen a place"),
        ("us-wv", "No place that was chosen asks for a statement with the denture"),
    ],
)
def test_where_nothing_is_asked_the_page_says_why(here, client, case, profile, sentence):
    Organisation.objects.filter(pk=case.office_id).update(profile=profile)

    assert sentence in read(client, here.tomas, case)
    assert "Draw up the statement" not in read(client, here.tomas, case)


@pytest.mark.parametrize("name", ["dora", "farah", "lena"])
def test_only_the_bench_draws_it_up(here, client, case, name):
    assert post(client, getattr(here, name), case, conforms="on").status_code == 403
