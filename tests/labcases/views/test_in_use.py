"""The pages that say what a house works by."""

import pytest
from django.urls import reverse

from labcases.domain import profiles
from labcases.views.in_use import MARKS, all_checklists
from tests.factories import world


def test_every_line_has_a_source_and_a_mark_that_is_explained():
    lines = [line for one in all_checklists() for pause in one.pauses for line in pause.lines]
    assert len(lines) > 40
    assert [line.key for line in lines if not line.source] == []
    assert {line.mark for line in lines} - set(MARKS) == set()


@pytest.mark.django_db
def test_a_technician_reads_checklists_and_profile_with_what_was_not_read(client):
    here = world()
    client.force_login(here.tomas)
    house = here.laboratory

    shown = client.get(reverse("checklists_in_use", args=[house.pk])).content.decode()
    assert "Laboratory remount" in shown
    assert "CP common practice, no source" in shown
    none = client.get(reverse("profile_in_use", args=[house.pk])).content.decode()
    assert "Tarn Lane Laboratory has chosen no profile" in none

    house.profile = "strict"
    house.save()
    strict = client.get(reverse("profile_in_use", args=[house.pk])).content.decode()
    assert "Not legal advice. Check locally" in strict
    assert "Strict: everything that any of the profiles asks" in strict

    partly = next(
        one for one in profiles.profiles().values() if not all(item.read for item in one.items)
    )
    house.profile = partly.key
    house.save()
    shown = client.get(reverse("profile_in_use", args=[house.pk])).content.decode()
    assert ">not read<" in shown
    assert partly.edition in shown
