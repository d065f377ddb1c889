"""What the database refuses of a proposal, whoever writes it."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from labcases.models import Proposal
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def here():
    here = world()
    here.walk()
    return here


def made(here, kind: str, **values) -> Proposal:
    case = here.laboratory.laboratory_cases.get()
    return Proposal.objects.create(
        case=case, number=1, kind=kind, why="found", raised_by=here.tomas, **values
    )


@pytest.mark.parametrize(
    "column",
    [
        *("before_mm", "proposed_mm", "answered_mm"),
        *("before_deg", "proposed_deg", "answered_deg"),
    ],
)
def test_no_number_stands_beside_a_natural_tooth(here, column):
    row = made(here, "natural tooth", tooth="46")
    with (
        pytest.raises(IntegrityError, match="proposal_natural_tooth_without_number"),
        transaction.atomic(),
    ):
        Proposal.objects.filter(pk=row.pk).update(**{column: D("0.2")})


def test_an_answer_says_who_gave_it_and_when(here):
    row = made(here, "arrangement", tooth="11")
    for values in ({}, {"answered_at": timezone.now()}, {"answered_by": here.dora}):
        with (
            pytest.raises(IntegrityError, match="proposal_answered_whole"),
            transaction.atomic(),
        ):
            Proposal.objects.filter(pk=row.pk).update(state="no", **values)


@pytest.mark.parametrize("values", [{"answered_mm": D("2")}, {"digest": "a" * 64}])
def test_a_new_vertical_has_its_value_and_the_digest_of_its_signature(here, values):
    row = made(here, "vertical", before_mm=D("0"), proposed_mm=D("2"))
    with (
        pytest.raises(IntegrityError, match="proposal_new_vertical_signed"),
        transaction.atomic(),
    ):
        Proposal.objects.filter(pk=row.pk).update(
            state="yes", answered_by=here.dora, answered_at=timezone.now(), **values
        )


def test_a_number_is_given_once_in_a_case(here):
    made(here, "arrangement", tooth="11")
    with pytest.raises(IntegrityError, match="case_id"), transaction.atomic():
        made(here, "natural tooth", tooth="46")
