"""`manage.py clean_files`."""

import io
import os
import time
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import transaction

from labcases import codes
from labcases.domain import files
from tests.factories import world
from tests.labcases import sent_files as made

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def add(case, by, side):
    upload = made.sent(made.jpeg((side, side)))
    return files.add(case=case, kind="paper", upload=upload, by=by)


def clean(*options):
    out = io.StringIO()
    call_command("clean_files", *options, stdout=out)
    return out.getvalue()


def age(row, hours):
    then = time.time() - hours * 3600
    for stored in (row.file, row.small):
        os.utime(stored.path, (then, then))


def test_it_erases_what_no_case_knows_once_it_is_old_and_says_so_before(here):
    case = here.walk().case
    kept = add(case, here.dora, 20)
    age(kept, 30)
    with transaction.atomic():
        left = add(case, here.dora, 21)
        transaction.set_rollback(True)
    young = clean()
    assert young == "0 of the stored files belonged to no case. Erased.\n"
    age(left, 2)

    dry = clean("--dry-run")

    assert left.file.name in dry
    assert dry.endswith("2 of the stored files belong to no case. None erased.\n")
    assert Path(left.file.path).exists()

    assert clean().endswith("2 of the stored files belonged to no case. Erased.\n")

    assert not Path(left.file.path).exists()
    assert not Path(left.small.path).exists()
    assert files.content(kept)
    assert clean() == "0 of the stored files belonged to no case. Erased.\n"


def test_it_keeps_what_is_taken_out_of_view(here):
    row = add(here.walk().case, here.dora, 20)
    files.take_out(attachment=row, reason="blurred", by=here.dora)
    age(row, 30)

    clean()

    assert Path(row.file.path).exists()


def test_it_names_the_pictures_whose_file_is_gone_and_no_patient(here):
    case = here.walk(patient_name="Quendoline Zaffrane").case
    row = add(case, here.dora, 20)
    Path(row.file.path).unlink()

    said = clean("--dry-run")

    assert f"case {codes.grouped(case.code)}, another paper: its file is gone" in said
    assert "1 of the pictures have lost their file. Bring the folder of uploads back" in said
    assert "Zaffrane" not in said
