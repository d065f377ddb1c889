"""Published rows on pouring, mixing and setting, held against what a person is told."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from labcases.domain import pouring
from labcases.models import Impression
from tests import published

TAKEN = datetime(2027, 3, 12, 9, 0, tzinfo=UTC)
REFERENCE = Path(__file__).resolve().parents[3] / "labcases" / "reference"
TABLES = {
    "gypsum_mixes": "gypsum.toml",
    "gypsum_setting": "gypsum.toml",
    "pour_waits": "impressions.toml",
}


def whole(text: str) -> int | None:
    return int(text) if text else None


def codes(cautions) -> list[str]:
    return [caution.code for caution in cautions]


@published.each("gypsum_mixes")
def test_a_mix_is_spoken_of_beyond_a_tenth_outside_of_its_band(row):
    told = pouring.of_mix(
        row["type"], water_ml=Decimal(row["water_ml"]), powder_g=Decimal(row["powder_g"])
    )

    assert codes(told) == ([row["caution"]] if row["caution"] else [])


@published.each("gypsum_setting")
def test_a_mix_that_sets_sooner_or_later_than_its_type_is_spoken_of(row):
    told = pouring.of_setting(
        row["type"], set_minutes=Decimal(row["set_minutes"]), separated_minutes=None
    )

    assert codes(told) == ([row["caution"]] if row["caution"] else [])


@published.each("pour_waits")
def test_a_wait_is_held_against_the_label_or_against_what_was_read(row):
    one = Impression(
        arch="upper",
        material=row["material"],
        taken_at=TAKEN,
        poured_at=TAKEN + timedelta(minutes=int(row["minutes"])),
        label_earliest_minutes=whole(row["label_earliest_minutes"]),
        label_latest_minutes=whole(row["label_latest_minutes"]),
    )

    told = pouring.of_pour(one, now=TAKEN + timedelta(days=30))

    assert told.word == row["word"]
    assert codes(told.cautions) == ([row["caution"]] if row["caution"] else [])


@pytest.mark.parametrize("name", TABLES)
def test_a_row_from_memory_holds_nothing_against_anybody(name):
    remembered = [row for row in published.table(name) if row["mark"] == "MEMORY"]

    assert [row["id"] for row in remembered if row["caution"]] == []
    assert all("from memory" in row["source"] for row in remembered)


@pytest.mark.parametrize(("name", "file"), TABLES.items())
def test_a_row_names_a_source_that_the_reference_list_has(name, file):
    sources = tomllib.loads((REFERENCE / file).read_text(encoding="utf-8"))["sources"]

    assert {row["key"] for row in published.table(name)} <= {*sources, "not read"}
    assert {row["mark"] for row in published.table(name)} <= set(published.MARKS)
