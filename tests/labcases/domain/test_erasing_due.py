"""On its day a case goes; its code, dates and the reason stay, and the history verifies."""

from __future__ import annotations

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import call_command
from django.utils import timezone

from labcases.domain import access, chain, erasing, erasing_due, files
from labcases.enums import AskedBy, Stage
from labcases.models import Attachment, Case, Erasure, HistoryEntry, Prescription
from tests.factories import World, world
from tests.labcases import sent_files as made

pytestmark = pytest.mark.django_db


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def asked(here, settings, tmp_path) -> Erasure:
    settings.MEDIA_ROOT = tmp_path
    case = here.walk(patient_code="MQ-4417").to(Stage.ACCEPTED)
    files.add(
        case=case,
        kind="paper prescription",
        upload=made.sent(made.jpeg((9, 9))),
        by=here.dora,
    )
    Case.objects.filter(pk=case.pk).update(stage=Stage.CANCELLED)
    case = Case.objects.get(pk=case.pk)
    _pseudonym, rows = erasing.ask(
        case=case,
        by=here.dora,
        asked_by=AskedBy.PATIENT,
        asked_on=timezone.localdate(),
        read_code="MQ-4417",
    )
    return rows[0]


def run(*arguments: str) -> str:
    out = StringIO()
    call_command("erase_due", *arguments, stdout=out)
    return out.getvalue()


def make_due(row: Erasure) -> None:
    Erasure.objects.filter(pk=row.pk).update(kept_until=timezone.localdate())


def test_before_its_day_nothing_goes(asked):
    assert run("--act").startswith("Nothing is due")
    assert Prescription.objects.exists()


def test_a_dry_run_says_what_would_go_and_leaves_it(asked, tmp_path):
    make_due(asked)
    told = run()
    assert "would be erased" in told
    assert "and 2 files would be erased" in told
    assert "Nothing was erased. Run it with --act" in told
    assert Prescription.objects.exists()
    assert len(list(tmp_path.rglob("*.jpg"))) == 2


@pytest.mark.both_databases
def test_on_its_day_code_dates_and_reason_are_left(
    here, asked, tmp_path, django_capture_on_commit_callbacks
):
    make_due(asked)
    with django_capture_on_commit_callbacks(execute=True):
        assert "and 2 files erased" in run("--act")

    case = Case.objects.get(pk=asked.case_id)
    assert (case.erased, case.restricted) == (True, True)
    assert not Prescription.objects.exists()
    assert not Attachment.objects.exists()
    assert list(tmp_path.rglob("*.jpg")) == []
    assert list(access.visible_cases(here.dora)) == []
    row = Erasure.objects.get()
    assert row.erased_files == 2
    assert row.rule
    told = HistoryEntry.objects.filter(case=case).exclude(part="erasure")
    assert told.count() > 5
    assert {(str(one.changes), one.reason, one.row) for one in told} == {("{}", "", None)}
    assert chain.walk(here.laboratory).broken is None
    assert run("--act").startswith("Nothing is due")


def test_another_case_of_the_house_stays_whole(here, asked):
    other = here.walk(patient_code="P-2").to(Stage.ACCEPTED)
    before = Prescription.objects.filter(case=other).count(), other.history.count()
    make_due(asked)
    erasing_due.erase(asked)
    assert (Prescription.objects.filter(case=other).count(), other.history.count()) == before


def test_it_is_due_from_its_day_on(asked):
    day = asked.kept_until
    assert erasing_due.due(day - timedelta(days=1)) == []
    assert [one.row for one in erasing_due.due(day)] == [asked]
