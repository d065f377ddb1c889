"""The order that a walk enters where nothing is said can be signed on every route and arch."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from labcases.domain import gates
from labcases.domain.calculations import settings_findings
from labcases.domain.teeth import posterior_sites, replaced
from labcases.enums import Arch, Route
from labcases.management import sample
from labcases.models import ArticulatorRecord, Case, Organisation, Prescription


def prescription(**values) -> Prescription:
    case = Case(surgery_on=date(2027, 3, 12), laboratory=Organisation(), office=Organisation())
    row = Prescription(case=case, **sample.order(**values))
    if row.route == Route.CONVENTIONAL:
        row.first_extraction_on = date(2026, 12, 28)
    return row


@pytest.mark.parametrize("arch", Arch)
@pytest.mark.parametrize("route", Route)
def test_a_sample_order_lacks_nothing(arch, route):
    row = prescription(arch=arch, route=route)

    assert gates.to_sign(row) == []
    row.clean_fields(exclude=["case", "changed_by", "signed_by"])


@pytest.mark.parametrize(("arch", "quadrants"), [(Arch.UPPER, "12"), (Arch.LOWER, "43")])
def test_fourteen_teeth_are_replaced_and_eight_of_them_are_posterior(arch, quadrants):
    row = prescription(arch=arch)
    right, left = quadrants

    assert len(replaced(row)) == 14
    assert posterior_sites(row) == [
        *(f"{right}{place}" for place in "7654"),
        *(f"{left}{place}" for place in "4567"),
    ]


def test_single_answers_can_be_given():
    assert sample.order(shade="A3")["shade"] == "A3"
    assert sample.order(route=Route.INTERIM)["try_in"] == "not possible"


def test_the_natural_arch_has_all_teeth_but_the_third_molars():
    marks = sample.natural(Arch.LOWER)

    assert len(marks) == 16
    assert {tooth for tooth, mark in marks.items() if mark != "natural"} == {"48", "38"}


def test_the_sample_settings_are_usual():
    found = settings_findings(ArticulatorRecord(**sample.SETTINGS))

    assert (found.refusal, found.warnings) == ("", ())


def test_the_sample_site_fits():
    """9 mm hold 2 mm of base and 7 of a tooth of 8; its shell of 2.8 allows the last one."""
    site = sample.SITE

    hollow = site["tooth_height_mm"] - (site["space_mm"] - site["base_min_mm"])
    assert site["shell_over_fossa_mm"] - hollow >= site["shell_min_mm"] == Decimal("1.5")
