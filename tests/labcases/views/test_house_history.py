"""The page of a house's own history: sentences, the newest first."""

import pytest
from django.urls import reverse

from labcases.domain import roles
from labcases.enums import Role
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_everybody_inside_reads_who_changed_what_and_what_it_was(client):
    here = world()
    roles.change(
        person=here.tomas,
        organisation=here.laboratory,
        wanted=(Role.MANAGER,),
        among=(Role.TECHNICIAN, Role.MANAGER),
        by=here.mona,
    )
    client.force_login(here.lena)

    shown = client.get(reverse("house_history", args=[here.laboratory.pk])).content.decode()

    assert (
        "Mona Ridley (Laboratory manager) changed (people): "
        "Tomas Abelard: technician → laboratory manager"
    ) in shown
