"""`manage.py verify_history`."""

import io

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from labcases.domain import history
from labcases.models import HistoryEntry
from labcases.models.guard import guard_statements, unguard_statements
from tests.factories import OfficeLinkFactory, world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def here():
    """A history of two entries at one laboratory, and of one at another."""
    here = world()
    case = here.walk().case
    history.write(case=case, by=here.tomas, act="noted", part="case")
    OfficeLinkFactory(office=here.office, laboratory=here.other_laboratory)
    here.other_case = start_at(here, here.other_laboratory)
    return here


def start_at(here, laboratory):
    here.laboratory, kept = laboratory, here.laboratory
    try:
        return here.walk(patient_code="P-9").case
    finally:
        here.laboratory = kept


def verify(*options):
    """What it said, and with what it ended."""
    out = io.StringIO()
    try:
        call_command("verify_history", *options, stdout=out)
    except CommandError as told:
        return out.getvalue(), told
    return out.getvalue(), None


def forge(statement):
    with connection.cursor() as cursor:
        for one in (
            *unguard_statements(connection.vendor),
            statement,
            *guard_statements(connection.vendor),
        ):
            cursor.execute(one)


def last_of(laboratory):
    return HistoryEntry.objects.filter(laboratory=laboratory).last()


def test_it_says_count_number_and_digest_of_each_laboratory(here):
    said, ended = verify()

    one, other = here.laboratory, here.other_laboratory
    assert ended is None
    assert said.splitlines() == [
        f"Tarn Lane Laboratory ({one.pk}): 2 entries, head 2 {last_of(one).digest}",
        f"Quarry Laboratory ({other.pk}): 1 entries, head 1 {last_of(other).digest}",
        "A chain in one database does not stop somebody who rewrites all of it. Keep the head "
        "elsewhere every day (--write-head), and compare with it (--head).",
    ]


@pytest.mark.parametrize("by", ["name", "number"])
def test_one_laboratory_alone(here, by):
    wanted = "Quarry Laboratory" if by == "name" else str(here.other_laboratory.pk)
    said, _ended = verify("--laboratory", wanted)

    assert said.startswith("Quarry Laboratory (")
    assert "Tarn Lane" not in said


def test_a_laboratory_that_nobody_knows_is_refused_with_those_there_are(here):
    _said, ended = verify("--laboratory", "Quarry")

    assert str(ended) == (
        'No laboratory with a history is called "Quarry". Give its name or its number: '
        f"Tarn Lane Laboratory ({here.laboratory.pk}), "
        f"Quarry Laboratory ({here.other_laboratory.pk})."
    )


def test_a_forged_entry_is_named_and_the_others_are_walked_all_the_same(here):
    row = last_of(here.laboratory)
    code = row.case.code
    forge("UPDATE labcases_historyentry SET part = 'forged' WHERE act = 'noted'")

    said, ended = verify()

    assert ended.returncode == 1
    assert said.splitlines()[:2] == [
        f"Tarn Lane Laboratory ({here.laboratory.pk}): 2 entries",
        f"  entry 2, case {code[:4]}-{code[4:8]}-{code[8:]}: altered. It does not say what its "
        "digest was made from.",
    ]
    assert said.splitlines()[2].startswith("Quarry Laboratory (")
    assert str(ended) == (
        "1 of the histories are not as they were written. Keep this database as it is, and "
        "compare it with a copy from before."
    )


def test_heads_are_written_kept_and_compared(here, tmp_path):
    file = tmp_path / "heads.txt"
    said, ended = verify("--write-head", str(file))
    assert ended is None
    assert said.splitlines()[-1] == (
        f"Heads written to {file}. Keep them on another machine or on paper."
    )
    history.write(case=here.other_case, by=here.dora, act="noted", part="case")

    said, ended = verify("--head", str(file))

    assert ended is None
    assert "head 2 " in said.splitlines()[1]


def test_an_end_that_was_cut_off_with_its_head_is_seen_by_the_kept_one(here, tmp_path):
    file = tmp_path / "heads.txt"
    verify("--write-head", str(file))
    row = HistoryEntry.objects.get(laboratory=here.laboratory, sequence=1)
    forge(f"DELETE FROM labcases_historyentry WHERE act = 'noted' AND {row.pk} > 0")  # noqa: S608
    forge(
        f"UPDATE labcases_chainhead SET sequence = 1, digest = '{row.digest}' "  # noqa: S608
        f"WHERE laboratory_id = {here.laboratory.pk}"
    )
    assert verify()[1] is None

    said, ended = verify("--head", str(file))

    assert ended.returncode == 1
    assert "head does not match. The head that was kept says that 2 entries were written; 1" in said


def test_a_laboratory_that_is_gone_whole_is_seen_by_the_kept_head(here, tmp_path):
    file = tmp_path / "heads.txt"
    file.write_text(f"4711 12 {'ab' * 32} Gone Laboratory\n")

    said, ended = verify("--head", str(file))

    assert said.splitlines()[-1] == (
        "Gone Laboratory (4711): head does not match. The head that was kept says that 12 entries "
        "were written; none stands here."
    )
    assert ended.returncode == 1


def test_no_head_is_written_of_a_history_that_is_not_as_written(here, tmp_path):
    forge("UPDATE labcases_historyentry SET part = 'forged' WHERE act = 'noted'")

    _said, ended = verify("--write-head", str(tmp_path / "heads.txt"))

    assert str(ended).endswith("No head was written.")
    assert list(tmp_path.glob("heads.txt")) == []


def test_a_file_that_is_not_there_or_none_of_heads_is_refused(here, tmp_path):
    file = tmp_path / "heads.txt"
    assert str(verify("--head", str(file))[1]) == (
        f"{file} cannot be read: No such file or directory."
    )
    file.write_text("something else\n")
    assert str(verify("--head", str(file))[1]).startswith(
        f'{file} holds no heads. Line 1 is no kept head: "something else".'
    )
    nowhere = tmp_path / "no" / "heads.txt"
    assert str(verify("--write-head", str(nowhere))[1]) == (
        f"{nowhere} cannot be written: No such file or directory."
    )
