"""What is minded for people stands on the page of the step at which it applies."""

from __future__ import annotations

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.reference import safety
from tests.factories import world
from tests.labcases.views.pages import logged_in, words_of

pytestmark = pytest.mark.django_db

DUST = "extraction at the place where it arises and a mask"
EYES = "Eye protection at every rotating tool"
MONOMER = "Monomer: mix under extraction"
FLAME = "Flame and hot wax: hair and sleeves tied back"
PUMICE = "Fresh pumice and a sterile or new wheel for each denture"
LABEL = "Disinfectant: its label gives the minutes"
LINER = "ask about an allergy first; ventilate"
PATIENT = "the patient wears eye protection too"
PREVAILS = "The instructions of the product, its safety sheet and local codes go before everything"

PAGES = (
    ("casts", (DUST, EYES, MONOMER, "count as contaminated until")),
    ("front_teeth", (DUST, EYES)),
    ("setup", (DUST, EYES, FLAME)),
    ("passes", (DUST, EYES, FLAME)),
    ("pass_seen", (DUST, EYES, FLAME)),
    ("final_wax", (FLAME,)),
    ("remount", (DUST, EYES)),
    ("finishing", (DUST, EYES, MONOMER, PUMICE, "guards on the lathe")),
    ("release", (LABEL,)),
    ("arrival", (LABEL,)),
    ("delivery", (DUST, EYES, PATIENT, LINER)),
    ("reviews", (DUST, EYES, PATIENT, LINER)),
    ("review_seen", (DUST, EYES, PATIENT, LINER)),
)


@pytest.fixture
def case():
    return world().case_at(Stage.RECEIVED)


def address(case, name):
    more = {
        "pass_seen": lambda: [case.setup_entries.filter(act="pass").first().pk],
        "review_seen": lambda: ["first"],
    }
    return reverse(name, args=[case.code, *more.get(name, list)()])


def test_each_page_tells_what_is_minded_there_and_what_goes_before_it(case):
    client = logged_in(case.laboratory.memberships.first().user)
    lacking = [
        (name, words)
        for name, told in PAGES
        for page in [words_of(client.get(address(case, name)))]
        for words in (PREVAILS, *told)
        if words not in page
    ]

    assert lacking == []


def test_the_sheet_of_the_remount_carries_it_to_the_bench(case):
    client = logged_in(case.laboratory.memberships.first().user)

    page = words_of(client.get(reverse("paper", args=[case.code, "remount-sheet"])))

    assert [words for words in (PREVAILS, DUST, EYES) if words not in page] == []


def test_every_place_has_something_to_mind():
    assert [place for place in safety.PLACES if not safety.at(place)] == []
