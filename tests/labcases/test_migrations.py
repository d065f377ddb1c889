"""Migrations that carry readings from one shape of the record to the next."""

from decimal import Decimal

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

BEFORE, AFTER = ("labcases", "0004_selection_measures"), ("labcases", "0005_callipers")


@pytest.fixture
def before(transactional_db):
    """The tables as they were while facets were read; afterwards as they are now."""
    newest = MigrationExecutor(connection).loader.graph.leaf_nodes()
    executor = MigrationExecutor(connection)
    executor.migrate([BEFORE])
    yield executor.loader.project_state([BEFORE]).apps
    MigrationExecutor(connection).migrate(newest)


def case_of(apps):
    """The least that a case stands on."""
    organisation, patient, case = (
        apps.get_model("labcases", name) for name in ("Organisation", "Patient", "Case")
    )
    office = organisation.objects.create(name="Office", kind="office")
    laboratory = organisation.objects.create(name="Laboratory", kind="laboratory")
    return case.objects.create(
        code="0123456789AB",
        office=office,
        laboratory=laboratory,
        patient=patient.objects.create(office=office, code="P-1"),
    )


def test_the_steepest_facet_that_was_read_stays_as_the_cusp_angle(before):
    case, site = case_of(before), before.get_model("labcases", "SiteMeasure")
    for tooth, facets in {
        "16": {"protrusive_facet_deg": "25", "working_facet_deg": "31.5"},
        "17": {"balancing_facet_deg": "0"},
        "26": {"space_mm": "9"},
    }.items():
        site.objects.create(case=case, tooth=tooth, **facets)

    executor = MigrationExecutor(connection)
    executor.migrate([AFTER])

    rows = executor.loader.project_state([AFTER]).apps.get_model("labcases", "SiteMeasure")
    assert dict(rows.objects.values_list("tooth", "cusp_angle_deg")) == {
        "16": Decimal("31.5"),
        "17": Decimal("0"),
        "26": None,
    }
    assert rows.objects.get(tooth="26").space_mm == 9
