"""The check page says what to weigh, what is left open, and what sending still wants."""

import re
from urllib.parse import urlsplit

import pytest
from django.urls import reverse

from labcases.enums import BoxContent, BoxDirection
from labcases.models import Case
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def complete(cast) -> Case:
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


def check(user, case: Case):
    return logged_in(user).get(reverse("prescription_check", args=[case.code]))


def test_each_warning_leads_to_the_field_that_it_speaks_of(cast, complete):
    page = check(cast.dora, complete).content.decode()
    part = page.partition('id="advice"')[2].partition("</section>")[0]
    links = re.findall(r'href="([^"]+)"', part)
    client = logged_in(cast.dora)

    lost = [
        link
        for link in links
        if f'id="{urlsplit(link).fragment}"' not in client.get(link).content.decode()
    ]

    assert "The vertical at rest is not read." in part
    assert "Source: lecture notes on immediate dentures, read second-hand" in part
    assert "10 left open, and that is allowed" in part
    assert len(links) == 13
    assert lost == []


def test_a_day_that_cannot_be_met_leads_to_the_dates(cast):
    walk = cast.walk(surgery_in_days=10)
    walk.prescribe(first_extraction_on=None)

    page = check(cast.dora, walk.case).content.decode()

    assert "This cannot meet the usual schedule" in page
    assert f'href="{reverse("dates", args=[walk.case.code])}#id_surgery_on"' in page


def test_the_laboratory_reads_the_warnings_without_links_to_forms_it_may_not_fill(cast, complete):
    page = check(cast.tomas, complete).content.decode()
    part = page.partition('id="advice"')[2].partition("</section>")[0]

    assert "The vertical at rest is not read." in part
    assert "href=" not in part


def test_warnings_do_not_hold_back_a_signature(cast, complete):
    assert 'type="password"' in check(cast.dora, complete).content.decode()


# Two checks: signing and sending


def send_part(answer) -> str:
    return answer.content.decode().partition('id="send"')[2].partition("</section>")[0]


def test_sending_is_checked_apart_from_signing(cast, complete):
    part = send_part(check(cast.farah, complete))

    assert "The dentist has not signed the prescription." in part
    assert "Pack a box: say what goes to the laboratory, and how many." in part
    assert f'href="{reverse("box_new", args=[complete.code])}"' in part


def test_after_signing_the_overview_says_what_sending_still_wants_until_nothing_is(cast, complete):
    walk = cast.walk()
    walk.prescribe()
    walk.sign()
    page = reverse("prescription", args=[walk.case.code])

    before = send_part(logged_in(cast.farah).get(page))
    walk.pack(
        *(BoxDirection.TO_LABORATORY, BoxContent.IMPRESSION, BoxContent.PHOTOGRAPHS),
        by=cast.farah,
    )
    after = send_part(logged_in(cast.farah).get(page))

    assert "has not signed" not in before
    assert "Pack a box" in before
    assert "Signed, packed, counted and declared." in after


def test_nothing_is_said_of_sending_once_it_is_sent(cast):
    case = cast.case_at("sent")

    answer = logged_in(cast.farah).get(reverse("prescription", args=[case.code]))

    assert "Ready to send" not in text_of(answer)
