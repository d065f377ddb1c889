"""The handoff page: what is missing with links, all or nothing, then the frozen record."""

import pytest
from django.urls import reverse

from labcases.domain import processing, stages
from labcases.enums import Role, Stage
from labcases.models import Handoff
from tests.factories import MembershipFactory, world

pytestmark = pytest.mark.django_db

FILLED = {
    "base_material": "heat-cured resin",
    "base_product": "pink resin, veined",
    "base_lot": "L-2291",
    "index_made": "on",
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.FINAL_WAX)
    return walk


def page(client, user, case):
    client.force_login(user)
    return client.get(reverse("handoff", args=[case.code])).content.decode()


def hand_over(client, user, case, **more):
    client.force_login(user)
    return client.post(reverse("handoff", args=[case.code]), {**FILLED, **more})


def test_what_the_gate_lacks_is_listed_with_links(here, client, walk):
    text = page(client, here.tomas, walk.case)
    assert "Enter the final wax." in text
    assert reverse("final_wax", args=[walk.case.code]) in text
    assert "Fill in the processing handoff." not in text


def test_when_nothing_is_missing_the_page_says_so(here, client, walk):
    walk.wax()
    walk.approve_wax()
    text = page(client, here.tomas, walk.case)
    assert "Nothing is missing" in text
    assert 'name="reason"' not in text


def test_a_handoff_moves_the_case_and_is_frozen_on_the_page(here, client, walk):
    walk.wax()
    walk.approve_wax()
    answer = hand_over(client, here.tomas, walk.case)
    assert answer.url == reverse("handoff", args=[walk.case.code])
    assert walk.reload().stage == Stage.PROCESSING
    handoff = Handoff.objects.get()
    assert (handoff.base_product, handoff.index_made) == ("pink resin, veined", True)
    text = page(client, here.dora, walk.case)
    assert "Handoff 1, frozen" in text
    assert "L-2291" in text
    assert handoff.engine_version in text
    assert "Condylar inclination, right condyle" in text
    assert "That no contact is predicted does not mean that there is none." in text
    assert "Hand over to processing" not in text


def test_a_refused_handoff_names_everything_and_writes_nothing(here, client, walk):
    before = walk.case.history.count()
    answer = hand_over(client, here.tomas, walk.case)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "<title>Error: " in text
    assert "Not ready for processing. Mend what is listed." in text
    assert "Enter the final wax." in text
    assert 'value="pink resin, veined"' in text
    assert not Handoff.objects.exists()
    assert walk.case.history.count() == before
    assert walk.reload().stage == Stage.FINAL_WAX


def test_material_and_product_are_asked_for(here, client, walk):
    answer = hand_over(client, here.tomas, walk.case, base_product="", base_material="")
    text = answer.content.decode()
    assert answer.status_code == 422
    assert '<a href="#id_base_material">Choose the base material.</a>' in text
    assert ">Choose one</option>" in text
    assert "---------" not in text
    assert '<a href="#id_base_product">Enter the product of the base.</a>' in text


def test_before_the_final_wax_the_page_says_where_the_case_is(here, client):
    case = here.case_at(Stage.SET_UP)
    text = page(client, here.tomas, case)
    assert "The case is in set-up. It is handed over from the final wax." in text
    assert 'name="base_product"' not in text
    answer = hand_over(client, here.tomas, case)
    assert answer.status_code == 422
    assert "A case in set-up cannot go to processing." in answer.content.decode()
    assert not Handoff.objects.exists()


def test_a_missing_try_in_is_passed_by_one_who_may_and_gives_a_reason(here, client, walk):
    walk.wax()
    walk.approve_wax()
    walk.case.bench_checks.all().delete()
    walk.case.try_ins.all().delete()
    MembershipFactory(user=here.tomas, organisation=here.office, role=Role.DENTIST)
    assert 'id="id_reason"' in page(client, here.tomas, walk.case)
    assert hand_over(client, here.tomas, walk.case).status_code == 422
    assert hand_over(client, here.tomas, walk.case, reason="seen at the chair").status_code == 302
    entry = walk.case.history.filter(act="passed a gate").get()
    assert entry.reason.startswith("seen at the chair")


def test_a_technician_alone_passes_nothing(here, client, walk):
    walk.wax()
    walk.approve_wax()
    walk.case.bench_checks.all().delete()
    walk.case.try_ins.all().delete()
    answer = hand_over(client, here.tomas, walk.case, reason="no time")
    assert answer.status_code == 422
    assert "The try-in is not approved." in answer.content.decode()
    assert not Handoff.objects.exists()


@pytest.mark.parametrize("name", ["dora", "farah", "lena"])
def test_only_the_bench_hands_over(here, client, walk, name):
    user = getattr(here, name)
    assert 'name="base_product"' not in page(client, user, walk.case)
    assert hand_over(client, user, walk.case).status_code == 403


def test_another_office_finds_nothing(here, client, walk):
    assert hand_over(client, here.olga, walk.case).status_code == 404


def test_a_case_that_was_brought_back_is_handed_over_anew(here, client, walk):
    walk.wax()
    walk.approve_wax()
    hand_over(client, here.tomas, walk.case)
    stages.bring_back(case=walk.reload(), to=Stage.FINAL_WAX, by=here.dora, revision=2)
    text = page(client, here.tomas, walk.case)
    assert "Handoff 1, frozen" in text
    assert 'value="pink resin, veined"' in text
    assert hand_over(client, here.tomas, walk.case, base_lot="L-3000").status_code == 302
    text = page(client, here.tomas, walk.case)
    assert "Handoff 2, frozen" in text
    assert "<li>Handoff 1, Tomas Abelard" in text


def test_when_somebody_was_faster_the_page_says_where_the_case_is_now(
    here, client, walk, monkeypatch
):
    def too_late(**_told):
        raise stages.SomebodyWasFaster(
            "Somebody else was faster: the case now stands at processing."
        )

    monkeypatch.setattr(processing, "hand_over", too_late)
    answer = hand_over(client, here.tomas, walk.case)
    assert answer.status_code == 409
    assert "Somebody else was faster: the case now stands at processing." in answer.content.decode()
