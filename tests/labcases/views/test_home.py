"""The first page leads each person to their own place."""

import pytest

from labcases.domain import roles
from tests.factories import UserFactory, world

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("tomas", "/bench/"),
        ("mona", "/bench/"),
        ("lena", "/desk/"),
        ("dora", "/desk/"),
        ("farah", "/desk/"),
    ],
)
def test_everybody_starts_where_they_work(client, name, place):
    client.force_login(getattr(world(), name))
    assert client.get("/").url == place


def test_a_person_of_no_organisation_is_told_whom_to_ask(client):
    client.force_login(UserFactory(full_name="Nina Stray"))
    page = client.get("/").content.decode()
    assert "Ask the manager of your laboratory or the dentist of your office" in page
    assert "Nina Stray" in page
    assert "/bench/" not in page


def test_a_role_that_was_stopped_leads_nowhere_any_more(client):
    here = world()
    client.force_login(here.tomas)
    roles.stop(membership=here.tomas.memberships.get(), by=here.mona)
    assert client.get("/").status_code == 200


def test_the_first_page_needs_a_login(client):
    assert client.get("/").url == "/login/?next=/"
