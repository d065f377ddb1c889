"""A case in memory alone: it answers as the stored one does, and asks for nothing."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import case_rows, ledger, rebuilt
from labcases.enums import Stage
from tests.factories import world


def test_a_case_made_from_rows_reads_its_lists_without_a_database(db, django_db_blocker):
    cast = world()
    stored = cast.case_at(Stage.SETTINGS)
    cast.walk()
    told = case_rows.of_case(stored)

    with django_db_blocker.block():
        case = rebuilt.case_of(told)

        assert case.prescription.arch == "upper"
        assert case.mounting.pin_zero_mm == Decimal("0")
        assert case.laboratory.name == "Tarn Lane Laboratory"
        assert list(case.setup_entries.all()) == []
        assert getattr(case, "release", None) is None
        assert ledger.balance(case).reading_mm is None


@pytest.mark.parametrize("lacks", ["case", "patient", "rows", "office"])
def test_what_is_not_there_is_told_and_not_guessed(lacks, db):
    told = case_rows.of_case(world().walk().case)
    del told[lacks]

    with pytest.raises(rebuilt.NotRows, match=lacks):
        rebuilt.case_of(told)


def test_a_model_that_is_not_known_here_is_refused(db):
    told = case_rows.of_case(world().walk().case)
    told["rows"]["Nonesuch"] = [{"key": 1}]

    with pytest.raises(rebuilt.NotRows, match="Nonesuch"):
        rebuilt.case_of(told)
