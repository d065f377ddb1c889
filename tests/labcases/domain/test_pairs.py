"""Two linked cases: what both prescriptions say alike, and both values where they do not."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from labcases.domain import linking, pairs
from labcases.domain.advice import of_prescription
from labcases.enums import Stage
from labcases.management.sample import natural, order
from labcases.models import Case, Prescription
from tests.factories import World, world

D = Decimal
UPPER, LOWER = "7Q2K-9A3B-C4DH (upper)", "8R3M-7B4C-D5EJ (lower)"
DENTURE = {
    arch: {t: "missing" if t[1] == "8" else "denture" for t in natural(arch)}
    for arch in ("upper", "lower")
}
BEING_MADE = "complete denture being made"


def upper(**said: Any) -> Prescription:
    values = order(opposing=DENTURE["lower"]) | {"opponent": BEING_MADE} | said
    return Prescription(case=Case(code="7Q2K9A3BC4DH"), **values)


def lower(**said: Any) -> Prescription:
    values = order(arch="lower", opposing=DENTURE["upper"]) | {"opponent": BEING_MADE} | said
    return Prescription(case=Case(code="8R3M7B4CD5EJ"), **values)


def test_two_prescriptions_that_fit_differ_in_nothing():
    assert list(pairs.differences(upper(), lower())) == []


DIFFER: dict[str, tuple[Prescription, Prescription, list[str]]] = {
    "a denture tooth that the other chart has as natural": (
        upper(),
        lower(opposing=DENTURE["upper"] | {"16": "natural", "15": "natural"}),
        [
            f"16, 15: denture tooth in case {UPPER}, natural tooth in the opposing chart of case "
            f"{LOWER}."
        ],
    ),
    "a tooth that stays and the other chart has as a denture tooth": (
        upper(opposing=DENTURE["lower"]),
        lower(teeth=order(arch="lower")["teeth"] | {"33": "stays"}),
        [
            f"33: natural tooth in case {LOWER}, denture tooth in the opposing chart of case "
            f"{UPPER}.",
            f"Case {LOWER} makes natural teeth and a partial denture that is being made, but case "
            f"{UPPER} says that its denture meets a complete denture that is being made.",
        ],
    ),
    "a kind that is not being made": (
        upper(opponent="complete denture worn"),
        lower(),
        [
            f"Case {LOWER} makes a complete denture that is being made, but case {UPPER} says that "
            "its denture meets a complete denture that is worn.",
        ],
    ),
    "scheme": (
        upper(),
        lower(scheme="group"),
        [f"The occlusal scheme is balanced in case {UPPER}, group function in case {LOWER}."],
    ),
    "overjet": (
        upper(overjet_mm=D("2.50")),
        lower(),
        [f"The overjet is 2.5 mm in case {UPPER}, 2 mm in case {LOWER}."],
    ),
    "allergy": (
        upper(allergy="listed", allergy_text="nickel"),
        lower(),
        [f"The allergy is listed below in case {UPPER}, none known in case {LOWER}."],
    ),
    "one arch twice": (
        upper(),
        upper(),
        [
            f"Case {UPPER} and case {UPPER} are both for the upper arch. Two arches are linked: "
            "correct the arch of one.",
        ],
    ),
}


@pytest.mark.parametrize("name", DIFFER)
def test_each_difference_names_both_values(name):
    one, two, wanted = DIFFER[name]

    assert list(pairs.differences(one, two)) == wanted


@pytest.mark.parametrize("field", ["scheme", "overjet_mm", "teeth", "opposing", "opponent"])
def test_what_a_draft_leaves_open_is_no_difference(field):
    nothing: Any = {"overjet_mm": None, "teeth": {}, "opposing": {}}.get(field, "")

    assert list(pairs.differences(upper(), lower(**{field: nothing}))) == []


@pytest.fixture
def cast(db) -> World:
    return world()


def test_a_denture_that_is_being_made_asks_for_its_case_before_signing(cast):
    case = cast.case_at(Stage.DRAFT, opposing=DENTURE["lower"], opponent=BEING_MADE)
    asked = (
        "The opposing denture is being made. Link its case, so that both are set against each "
        "other, or say in the instructions where it is made."
    )
    assert asked in weighed(case)

    linking.open_other(case=case, by=cast.dora)

    assert weighed(Case.objects.get(pk=case.pk)) == []


def weighed(case: Case) -> list[str]:
    found = of_prescription(case.prescription, date(2026, 3, 2))
    return [one.text for one in found if one.field in ("opponent", "opposing")]
