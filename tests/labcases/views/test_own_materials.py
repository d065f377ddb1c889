"""The page of a laboratory's own materials, and where their names are offered."""

from __future__ import annotations

import pytest
from django.urls import reverse

from labcases.domain import own_materials
from labcases.enums import Stage
from labcases.management import walk_curing
from labcases.models import OwnMaterial, UsedMaterial
from tests.factories import world

pytestmark = [pytest.mark.django_db]

TYPED = {
    "called": "resin, pink",
    "kind": "base",
    "technique": "",
    "monomer": "yes",
    "note": "shelf",
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def manager(here, client):
    client.force_login(here.mona)
    return client


def listed(here):
    return reverse("own_materials", args=[here.laboratory.pk])


def entered(manager, here):
    assert manager.post(listed(here), TYPED).status_code == 302
    return OwnMaterial.objects.get()


def text_of(client, url):
    return client.get(url).content.decode()


def test_the_organisation_leads_to_the_list_and_a_technician_reads_it_only(here, manager, client):
    row = entered(manager, here)
    assert listed(here) in text_of(manager, reverse("organisation", args=[here.laboratory.pk]))
    assert reverse("own_material", args=[row.pk]) in text_of(manager, listed(here))

    client.force_login(here.tomas)
    text = text_of(client, listed(here))
    assert "resin, pink" in text
    assert "Contains monomer" in text
    assert "Enter a material" not in text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"called": " "}, "Enter the product as its label says it."),
        ({"kind": ""}, "Choose what the material is for."),
        ({"monomer": ""}, "Say what the label tells of monomer."),
    ],
)
def test_what_lacks_is_asked_for_and_nothing_typed_is_lost(here, manager, typed, said):
    answer = manager.post(listed(here), {**TYPED, **typed})

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert 'value="shelf"' in answer.content.decode()
    assert not OwnMaterial.objects.exists()


def test_a_second_of_the_same_name_is_refused_however_it_is_written(here, manager):
    entered(manager, here)
    answer = manager.post(listed(here), {**TYPED, "called": "Resin,  PINK"})

    assert answer.status_code == 422
    assert "resin, pink stands in the list already. Change that one." in answer.content.decode()


def test_stopping_asks_for_the_reason_and_the_list_goes_on_saying_it(here, manager):
    row = entered(manager, here)
    where = reverse("own_material", args=[row.pk])
    typed = {**TYPED, "version": "1"}

    refused = manager.post(where, typed)
    assert refused.status_code == 422
    assert "Give the reason why resin, pink is used no more." in refused.content.decode()
    assert manager.post(where, {**typed, "why": "no more made"}).status_code == 302
    assert ": no more made" in text_of(manager, listed(here))
    again = manager.post(where, {**typed, "version": "2", "in_use": "on"})
    assert again.status_code == 302
    assert "no more made" not in text_of(manager, listed(here))


def test_of_two_managers_the_second_sees_both_values(here, manager):
    row = entered(manager, here)
    where = reverse("own_material", args=[row.pk])
    first = {**TYPED, "version": "1", "in_use": "on"}
    manager.post(where, {**first, "note": "cabinet"})
    late = manager.post(where, {**first, "note": "drawer"})

    assert late.status_code == 409
    for word in ("cabinet", "drawer", "Mona Ridley saved it"):
        assert word in late.content.decode()


def test_processing_offers_it_spells_it_and_tells_what_it_is(here, manager, client):
    row = entered(manager, here)
    case = here.walk().to(Stage.PROCESSING)
    walk_curing.begin(case, here.tomas, flask="5", place="2")
    client.force_login(here.tomas)
    page = reverse("processing", args=[case.code])
    assert '<option value="resin, pink"></option>' in text_of(client, page)

    line = {"use": "bonding agent", "product": "RESIN, pink", "lot": "R-9"}
    answer = client.post(reverse("processing_material", args=[case.code]), line)
    assert answer.status_code == 302
    assert UsedMaterial.objects.get(lot="R-9").product == "resin, pink"
    assert "<b>resin, pink</b>: Denture base, contains monomer, shelf" in text_of(client, page)

    own_materials.change(
        row=row, version=1, by=here.mona, values={}, in_use=False, why="no more made"
    )
    after = text_of(client, page)
    assert '<option value="resin, pink"></option>' not in after
    assert "used no more since" in after


def test_the_cycle_of_a_material_is_entered_with_its_name_filled_in(here, manager):
    row = entered(manager, here)
    way = f"{reverse('curing_cycles', args=[here.laboratory.pk])}?material=resin%2C%20pink"
    assert way in text_of(manager, reverse("own_material", args=[row.pk]))
    assert 'value="resin, pink"' in text_of(manager, way)
