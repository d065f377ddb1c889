"""A case is found by those who see it, and every missing thing leads to where it is mended."""

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.test import RequestFactory

from labcases.domain.gates import Missing
from labcases.enums import Notation
from labcases.models import Case
from labcases.views._lookup import (
    PAGES,
    acting_case,
    case_for,
    link_to,
    notation_for,
)
from tests.factories import World, world

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    return cast.walk().case


@pytest.mark.both_databases
@pytest.mark.parametrize("code", ["%00", "A%00B", "%EF%BF%BF", "x" * 5000, "%F0%9F%A6%B7"])
def test_a_code_that_no_case_can_have_is_no_page(client, cast, case, code):
    client.force_login(cast.dora)
    client.raise_request_exception = False

    assert client.get(f"/cases/{code}/").status_code == 404
    assert client.post(f"/cases/{code}/hold/", {"reason": "x"}).status_code == 404


@pytest.mark.both_databases
@pytest.mark.parametrize("pk", [9**20, 9**200])
def test_a_number_that_no_row_can_have_is_no_page(client, cast, case, pk):
    client.force_login(cast.dora)
    client.raise_request_exception = False

    assert client.get(f"/cases/{case.code}/boxes/{pk}/").status_code == 404


def asked_by(user, method: str = "get"):
    request = getattr(RequestFactory(), method)("/")
    request.user = user
    return request


@pytest.mark.parametrize("who", ["dora", "farah", "tomas", "lena", "mona"])
def test_everybody_of_both_houses_finds_the_case(cast, case, who):
    assert case_for(asked_by(getattr(cast, who)), case.code) == case


def test_a_case_of_another_office_is_as_absent_as_an_unknown_code(cast, case):
    for user, code in ((cast.olga, case.code), (cast.dora, "ZZZZZZZZZZZW")):
        with pytest.raises(Http404) as absent:
            case_for(asked_by(user), code)
        assert str(absent.value) == ""


def test_looking_is_for_all_and_posting_for_the_role(cast, case):
    assert acting_case(asked_by(cast.dora), case.code, "bench work") == case
    assert acting_case(asked_by(cast.tomas, "post"), case.code, "bench work") == case
    with pytest.raises(PermissionDenied):
        acting_case(asked_by(cast.dora, "post"), case.code, "bench work")


@pytest.mark.parametrize("part", sorted(PAGES))
def test_every_part_that_a_gate_can_name_has_a_page(case, part):
    assert link_to(case, Missing("Mend it.", part)).startswith(f"/cases/{case.code}/")


@pytest.mark.parametrize(
    ("part", "field", "ending"),
    [
        ("prescription", "teeth", "prescription/write/teeth/#id_teeth"),
        ("prescription", "shade", "prescription/write/materials/#id_shade"),
        ("prescription", "allergy", "prescription/write/records/#id_allergy"),
        ("prescription", "", "prescription/"),
        ("sites", "16-space_mm", "sites/#id_16-space_mm"),
        ("settings", "acknowledge", "settings/#id_acknowledge"),
        ("mounting", "", "mounting/"),
    ],
)
def test_a_missing_answer_leads_to_its_field(case, part, field, ending):
    assert link_to(case, Missing("Mend it.", part, field)) == f"/cases/{case.code}/{ending}"


def test_teeth_are_numbered_as_the_persons_own_house_does(cast, case):
    cast.office.notation = Notation.UNIVERSAL
    cast.office.save()
    fresh = Case.objects.get()

    assert notation_for(cast.farah, fresh) == "Universal"
    assert notation_for(cast.tomas, fresh) == "ISO 3950"
