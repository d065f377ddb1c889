"""The page of a remake: its reason, both cases, and who opens one."""

from __future__ import annotations

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.models import Case
from tests.factories import world
from tests.labcases.views.pages import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def read(client, user, case, name="remake"):
    client.force_login(user)
    return words_of(client.get(reverse(name, args=[case.code])))


def post(client, user, case, **typed):
    client.force_login(user)
    return client.post(reverse("remake", args=[case.code]), typed)


def test_a_remake_is_opened_and_both_cases_lead_to_each_other(client, here):
    old = here.case_at(Stage.DELIVERED)
    assert "Open the remake" in read(client, here.farah, old)
    assert "Choose the reason." in words_of(post(client, here.farah, old), 422)
    other = post(client, here.farah, old, reason="other", in_words="")
    assert "Say the reason in words." in words_of(other, 422)
    answer = post(client, here.farah, old, reason="fit", in_words="")
    new = Case.objects.latest("pk")
    assert answer.url == reverse("case", args=[new.code])
    a, b = (f"{c.code[:4]}-{c.code[4:8]}-{c.code[8:]}" for c in (new, old))
    assert f"Made again in case {a}" in read(client, here.lena, old)
    assert f"Made in place of case {b}" in read(client, here.lena, new)
    assert "In place of" in read(client, here.lena, new, "case")
    assert "A remake of this denture is open already" in read(client, here.dora, old)


def test_before_the_processing_the_page_sends_to_the_next_revision(client, here):
    case = here.case_at(Stage.SET_UP)
    words = read(client, here.farah, case)
    assert "Until the processing a change is the next revision of its prescription." in words
    assert "Open the remake" not in words


def test_the_laboratory_reads_and_does_not_open(client, here):
    old = here.case_at(Stage.DELIVERED)
    assert "The office opens the case of a remake." in read(client, here.mona, old)
    assert post(client, here.mona, old, reason="fit").status_code == 403
