"""Two people on one row: the second sees both values, and nothing is lost."""

from decimal import Decimal

import pytest

from labcases.domain import bench, prescription
from labcases.domain.versions import EditConflict, save_row
from labcases.enums import JawRecord, TransferMethod
from labcases.models import Case, Mounting, SiteMeasure
from tests.factories import World, world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


def test_a_save_writes_the_fields_that_changed_and_one_line_of_history(cast, case):
    row = case.prescription
    lines = case.history.count()

    saved = prescription.save(
        row=row,
        version=row.version,
        by=cast.farah,
        values={"shade": "A3", "mould": row.mould, "overjet_mm": Decimal("2.5")},
    )

    entry = case.history.last()
    assert case.history.count() == lines + 1
    assert (entry.act, entry.part, entry.by) == ("changed", "prescription", cast.farah)
    assert entry.changes == {"shade": ["B2", "A3"], "overjet mm": ["2.00", "2.5"]}
    assert (saved.shade, saved.version, saved.changed_by) == ("A3", row.version + 1, cast.farah)


def test_a_save_that_changes_nothing_writes_nothing(cast, case):
    row = case.prescription
    lines = case.history.count()

    saved = prescription.save(row=row, version=row.version, by=cast.farah, values={"shade": "B2"})

    assert saved.version == row.version
    assert case.history.count() == lines


def test_the_second_of_two_editors_sees_both_values_and_loses_neither(cast, case):
    started = case.prescription.version
    prescription.save(row=case.prescription, version=started, by=cast.dora, values={"shade": "A1"})
    lines = case.history.count()

    with pytest.raises(EditConflict) as conflict:
        prescription.save(
            row=case.prescription,
            version=started,
            by=cast.farah,
            values={"shade": "A3", "mould": "square"},
        )

    found = conflict.value
    assert [(c.field, c.yours, c.stored) for c in found.clashes] == [
        ("shade", "A3", "A1"),
        ("mould", "square", "copy the natural teeth"),
    ]
    assert "Dora Winsley saved this part while you had it open" in str(found)
    stored = Case.objects.get(pk=case.pk).prescription
    assert (stored.shade, stored.mould) == ("A1", "copy the natural teeth")
    assert case.history.count() == lines


def test_after_the_conflict_a_save_from_the_stored_version_goes_through(cast, case):
    started = case.prescription.version
    prescription.save(row=case.prescription, version=started, by=cast.dora, values={"shade": "A1"})
    with pytest.raises(EditConflict) as conflict:
        prescription.save(
            row=case.prescription, version=started, by=cast.farah, values={"shade": "A3"}
        )

    saved = prescription.save(
        row=case.prescription,
        version=conflict.value.stored.version,
        by=cast.farah,
        values={"shade": "A3"},
    )

    assert saved.shade == "A3"
    assert case.history.last().changes == {"shade": ["A1", "A3"]}


def test_two_who_agree_do_not_clash(cast, case):
    started = case.prescription.version
    prescription.save(row=case.prescription, version=started, by=cast.dora, values={"shade": "A1"})

    saved = prescription.save(
        row=case.prescription, version=started, by=cast.farah, values={"shade": "A1"}
    )

    assert saved.changed_by == cast.dora


def test_a_first_save_creates_the_row_and_says_what_was_entered(cast, case):
    row = bench.save_mounting(
        case=case,
        version=0,
        by=cast.tomas,
        values={"casts_inspected": True, "cast_note": "", "pin_zero_mm": Decimal("0")},
    )

    entry = case.history.last()
    assert (row.version, row.casts_inspected, row.changed_by) == (1, True, cast.tomas)
    assert (entry.act, entry.part) == ("entered", "mounting")
    assert entry.changes == {"casts inspected": [None, True], "pin zero mm": [None, "0"]}


def test_of_two_first_saves_the_second_sees_what_the_first_stored(cast, case):
    """Both opened the page while nothing was there; both post version 0."""
    late = Mounting(case=Case.objects.get(pk=case.pk))
    bench.save_mounting(
        case=case,
        version=0,
        by=cast.tomas,
        values={"transfer": TransferMethod.ARBITRARY},
    )
    lines = case.history.count()

    with pytest.raises(EditConflict) as conflict:
        save_row(
            row=late,
            version=0,
            by=cast.mona,
            case=case,
            part="mounting",
            values={
                "transfer": TransferMethod.KINEMATIC,
                "jaw_record": JawRecord.CENTRIC_RELATION,
            },
        )

    assert [(c.field, c.yours, c.stored) for c in conflict.value.clashes] == [
        ("transfer", "kinematic face-bow", "arbitrary face-bow"),
        ("jaw_record", "centric relation", ""),
    ]
    assert Mounting.objects.get().transfer == "arbitrary face-bow"
    assert case.history.count() == lines


def test_of_two_first_saves_of_one_site_the_second_sees_the_first(cast, case):
    late = SiteMeasure(case=Case.objects.get(pk=case.pk), tooth="16")
    bench.save_site(
        case=case, tooth="16", version=0, by=cast.tomas, values={"space_mm": Decimal("9")}
    )

    with pytest.raises(EditConflict) as conflict:
        save_row(
            row=late,
            version=0,
            by=cast.mona,
            case=case,
            part="site 16",
            values={"tooth": "16", "space_mm": Decimal("7")},
        )

    assert [(c.field, c.yours, c.stored) for c in conflict.value.clashes] == [
        ("space_mm", Decimal("7"), Decimal("9.00"))
    ]


def test_another_site_of_the_same_case_does_not_clash(cast, case):
    for tooth in ("16", "26"):
        bench.save_site(
            case=case, tooth=tooth, version=0, by=cast.tomas, values={"space_mm": Decimal("9")}
        )

    assert sorted(case.sites.values_list("tooth", flat=True)) == ["16", "26"]
