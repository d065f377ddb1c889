"""Where a lot went: found in every place that holds one, however it was typed."""

from __future__ import annotations

from importlib import import_module

import pytest
from django.apps import apps
from django.db import connection, models
from django.test.utils import CaptureQueriesContext

from labcases.domain import lots
from labcases.enums import Stage
from labcases.models import Cast, Finishing, Piece, Release, ReleaseLot, UsedMaterial

HOLDERS = {
    "Cast.lot",
    "Piece.lot",
    "TeethSupply.lot",
    "ToothSet.lot",
    "Handoff.base_lot",
    "UsedMaterial.lot",
    "Delivery.liner_lot",
    "Finishing.template_lot",
    "ReleaseLot.lot",
    "ReviewEntry.lot",
    # What a complaint is about; the cases of that lot are found by the other columns.
    "Complaint.lot",
    # The text of before, which the migration made rows of.
    "Release.lots",
}


def test_every_column_that_holds_a_lot_is_known():
    found = {
        f"{model.__name__}.{field.name}"
        for model in apps.get_app_config("labcases").get_models()
        for field in model._meta.get_fields()
        if isinstance(field, models.CharField)
        and (field.name in ("lot", "lots") or field.name.endswith("_lot"))
    }
    assert found == HOLDERS
    looked_through = {f"{place.model.__name__}.{place.field}" for place in lots.PLACES}
    assert looked_through == HOLDERS - {"ToothSet.lot", "Release.lots", "Complaint.lot"}


@pytest.mark.parametrize(
    ("entry", "asked", "is_it"),
    [
        ("L-2291", "L-2291", True),
        ("l-2291", "L-2291", True),
        ("base L-2291, teeth T-118", "T-118", True),
        ("base L-2291, teeth T-118", "L-2291", True),
        ("L2291", "L-2291", False),
        ("L-22910", "L-2291", False),
        ("L-2291-B", "L-2291", False),
        ("XL-2291", "L-2291", False),
        ("A(1)", "A(1)", True),
    ],
)
def test_an_entry_is_the_lot_or_names_it_as_one_of_several(entry, asked, is_it):
    assert lots.holds(entry, asked) is is_it


@pytest.fixture
def released(before):
    return before(Stage.RELEASED)


def _told(found):
    return [(use.place.key, use.entry) for one in found for use in one.uses]


def test_each_place_is_found_and_said(released):
    case, by = released.case, released.hands.technician
    Cast.objects.create(case=case, by=by, arch="upper", kind="master", lot="X 77")
    Piece.objects.create(case=case, by=by, kind="tray", arch="upper", lot="X 77")
    case.tooth_supplies.update(lot="X 77")
    case.handoffs.update(base_lot="X 77")
    UsedMaterial.objects.filter(case=case).update(lot="X 77")
    Finishing.objects.update_or_create(case=case, defaults={"template_lot": "X 77"})
    lots.add(case=case, by=by, lot_of="liner", lot="X 77", product="", note="")

    found = lots.trace(case.laboratory, "x 77")

    assert {use.place.key for use in found.found[0].uses} == {
        *("cast", "piece", "teeth", "handoff", "material", "template", "release")
    }
    assert found.near == ()
    assert {entry for _key, entry in _told(lots.trace(case.laboratory, "X-77").near)} == {"X 77"}


def test_struck_lines_are_told_as_such_and_another_laboratory_finds_nothing(released):
    case, by = released.case, released.hands.technician
    row = lots.add(case=case, by=by, lot_of="liner", lot="S-4", product="liner", note="")
    lots.strike(row=row, reason="wrong case", by=by)

    [one] = lots.trace(case.laboratory, "S-4").found
    assert (one.counts, one.uses[0].ended) == (False, "struck out: wrong case")
    assert lots.trace(case.office, "S-4").found == ()
    assert case.history.filter(part="lots at the release").count() == 2


def test_a_trace_asks_as_often_for_many_cases_as_for_one(released):
    case, by = released.case, released.hands.technician
    lots.add(case=case, by=by, lot_of="liner", lot="S-4", product="", note="")

    laboratory = case.laboratory

    def asked():
        with CaptureQueriesContext(connection) as told:
            lots.trace(laboratory, "S-4")
        return len(told)

    one = asked()
    for _ in range(4):
        lots.add(case=case, by=by, lot_of="liner", lot="S-4", product="", note="")
    assert (one, asked()) == (10, 10)


def test_the_lots_of_a_denture_come_from_where_they_were_written(released):
    case = released.reload()
    found = [(one.lot, one.step) for one in lots.at_release(case)]
    assert ("T-118", "Teeth") in found
    assert {step for _lot, step in found} >= {"Processing", "Teeth"}
    assert lots.lacking(case) == []


def test_what_no_lot_is_told_of_is_named(released):
    case = released.reload()
    case.tooth_supplies.update(lot="")
    assert lots.lacking(released.reload()) == ["teeth"]
    ReleaseLot.objects.create(
        case=case, by=released.hands.technician, lot_of="before", lot="teeth T-1"
    )
    assert lots.lacking(released.reload()) == []


@pytest.mark.parametrize("asked", ["", "-", "x", " . "])
def test_too_little_to_look_for_finds_nothing(released, asked):
    assert lots.trace(released.case.laboratory, asked).found == ()


def test_the_text_of_before_becomes_a_row_that_is_found_by_each_lot(released):
    case = released.case
    Release.objects.filter(case=case).update(lots="base L-1, teeth T-9")
    migration = import_module("labcases.migrations.0072_lots_of_before")

    migration.as_rows(apps, None)

    assert [(row.lot, row.lot_of) for row in case.release_lots.all()] == [
        ("base L-1, teeth T-9", "before")
    ]
    [one] = lots.trace(case.laboratory, "T-9").found
    assert [use.entry for use in one.uses] == ["base L-1, teeth T-9"]
    migration.away(apps, None)
    assert case.release_lots.count() == 0
    assert Release.objects.get(case=case).lots == "base L-1, teeth T-9"
