"""`manage.py read_bundle`."""

from __future__ import annotations

import io
import zipfile

import pytest
from django.core.management import CommandError, call_command

from labcases.outputs import bundle_file
from tests.factories import world
from tests.labcases.domain.test_bundle import AT


def said(path) -> tuple[str, str]:
    """What it said, and the words that it ended with."""
    out = io.StringIO()
    try:
        call_command("read_bundle", str(path), stdout=out)
    except CommandError as told:
        return out.getvalue(), str(told)
    return out.getvalue(), ""


@pytest.fixture
def path(db, tmp_path):
    cast = world()
    made = tmp_path / "case.zip"
    with made.open("w+b") as file:
        bundle_file.write(
            file,
            case=cast.walk().case,
            by=cast.dora,
            notation="ISO 3950",
            size="A4",
            at=AT,
            papers=False,
        )
    return made


def test_a_whole_bundle_is_read_without_a_database(path, django_db_blocker):
    with django_db_blocker.block():
        told, ended = said(path)

    assert ended == ""
    assert "History: 1 entries, 0 not as written" in told
    assert "left out when it was made: papers: not asked for" in told
    assert "same: vertical ledger" in told
    assert "Whole: every file is as it was made" in told


def test_one_that_was_cut_off_is_refused_in_words(path):
    path.write_bytes(path.read_bytes()[:-30])

    told, ended = said(path)

    assert told == ""
    assert "case.zip cannot be opened as a zip file" in ended


def test_one_that_was_changed_ends_with_the_words(path):
    with zipfile.ZipFile(path, "a") as packed:
        packed.writestr("tables/more.csv", b"1")

    told, ended = said(path)

    assert "extra: tables/more.csv" in told
    assert ended == "The bundle is not as it was made, or does not say the same."
