"""What every editable row and every measured column share."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import models

from labcases import models as all_models
from labcases.models import SiteMeasure
from labcases.models.base import Versioned, between, deg, mm

pytestmark = pytest.mark.django_db


def test_a_row_starts_at_version_one_and_knows_who_changed_it(cast, case):
    assert case.version == 1
    assert case.changed_by == cast.dora
    assert case.changed_at is not None


def test_every_row_that_two_people_may_open_has_a_version():
    versioned = {
        model.__name__
        for name in all_models.__all__
        if isinstance(model := getattr(all_models, name), type) and issubclass(model, Versioned)
    }

    assert versioned == {
        *("Appointment", "ArrivalCheck", "ArticulatorRecord", "BenchCheck", "Box", "Case"),
        *("BenchTask", "Delivery", "OwnMaterial", "Surgery"),
        *("FinalWax", "Mounting", "Prescription", "Proposal", "Release", "SignedPaper"),
        *("Finishing", "MarkText", "ProcessingRun", "RemountCheck"),
        "SiteMeasure",
        *("TeethSupply", "ToothSelection", "ToothSet", "TryIn"),
    }


def test_millimetres_are_kept_to_a_hundredth_and_degrees_to_a_tenth(case):
    row = SiteMeasure.objects.create(
        case=case, tooth="16", space_mm=Decimal("9.25"), cusp_angle_deg=Decimal("22.5")
    )
    row.refresh_from_db()

    assert (row.space_mm, row.cusp_angle_deg) == (Decimal("9.25"), Decimal("22.5"))
    assert (mm().decimal_places, deg().decimal_places) == (2, 1)


def test_a_range_leaves_an_empty_column_alone():
    condition = between("space_mm", "0", "40").condition

    assert condition == models.Q(space_mm__isnull=True) | models.Q(
        space_mm__gte=Decimal("0"), space_mm__lte=Decimal("40")
    )


def test_every_measured_column_of_every_model_is_limited_by_the_database():
    bare = {
        f"{model.__name__}.{field.name}"
        for name in all_models.__all__
        if isinstance(model := getattr(all_models, name), type) and issubclass(model, models.Model)
        for field in model._meta.get_fields()
        if isinstance(field, models.DecimalField)
        and f"{model.__name__.lower()}_{field.name}_range"
        not in {constraint.name for constraint in model._meta.constraints}
    }

    # A past mounting is a copy of one that was limited when it was written.
    assert bare == {"PastMounting.agreement_mm", "PastMounting.pin_zero_mm"}
