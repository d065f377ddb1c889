"""A forged history: the guard refuses it, and with the guard lifted the walk names it."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.db import DatabaseError, connection, transaction

from labcases.domain import chain, history
from labcases.domain.chain import Head, NoHeadFile
from labcases.models import ChainHead, HistoryEntry
from labcases.models.chain import START
from labcases.models.guard import guard_statements, unguard_statements
from tests.factories import World, world

both = pytest.mark.both_databases
pytestmark = pytest.mark.django_db

ENTRY = "labcases_historyentry"
COLUMNS = "case_id, at, by_id, position, act, part, changes, reason, laboratory_id"


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def six(here) -> list[HistoryEntry]:
    """Six entries on two cases of one laboratory, numbered 1 to 6."""
    first, second = (here.walk(patient_code=code).case for code in ("P-1", "P-2"))
    for number in range(2):
        for case in (first, second):
            history.write(case=case, by=here.tomas, act="noted", part=f"part {number}")
    rows = list(HistoryEntry.objects.order_by("pk"))
    assert [row.sequence for row in rows] == [1, 2, 3, 4, 5, 6]
    assert [row.act for row in rows] == ["opened", "opened", "noted", "noted", "noted", "noted"]
    return rows


def run(*statements: str) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def forge(*statements: str) -> None:
    """Past models and guard, as somebody who owns the database can."""
    run(*unguard_statements(connection.vendor), *statements)
    run(*guard_statements(connection.vendor))


def found(here: World, kept: Head | None = None) -> str:
    return str(chain.walk(here.laboratory, kept).broken)


def head_of(here: World) -> Head:
    return chain.walk(here.laboratory).head


def renumber(first: int, by: int) -> tuple[str, str]:
    """Two steps, so that no number stands twice meanwhile."""
    return (
        f"UPDATE {ENTRY} SET sequence = sequence + 1000 WHERE sequence >= {first}",
        f"UPDATE {ENTRY} SET sequence = sequence - 1000 + ({by}) WHERE sequence >= 1000",
    )


def insert(row: HistoryEntry, sequence: int, previous: str, digest: str) -> str:
    """SQL that puts a forged copy of an entry at a number."""
    return (
        f"INSERT INTO {ENTRY} ({COLUMNS}, sequence, previous, digest) "
        f"SELECT {COLUMNS}, {sequence}, '{previous}', '{digest}' FROM {ENTRY} WHERE id = {row.pk}"
    )


def copied(row: HistoryEntry, sequence: int, previous: str) -> str:
    """The digest that a well-forged copy of an entry has at another number."""
    row.sequence, row.previous = sequence, previous
    return row.made_digest()


# --- as it was written ---------------------------------------------------------------------------


@both
def test_what_nobody_touched_stands_as_written(here, six):
    walked = chain.walk(here.laboratory)

    assert walked.broken is None
    assert walked.count == 6
    assert walked.head == Head(here.laboratory.pk, 6, six[-1].digest, "Tarn Lane Laboratory")
    assert ChainHead.objects.get(laboratory=here.laboratory).digest == six[-1].digest


def test_each_entry_names_the_digest_of_the_one_before(six):
    assert six[0].previous == START
    assert [row.previous for row in six[1:]] == [row.digest for row in six[:-1]]
    assert len({row.digest for row in six}) == 6


def test_every_laboratory_has_a_chain_of_its_own(here, six):
    other = here.walk().case
    assert chain.walk(here.other_laboratory).count == 0
    assert chain.laboratories() == [here.laboratory]
    assert other.history.get().sequence == 7


@both
def test_numbers_and_words_of_every_kind_come_back_as_they_were_chained(here):
    history.write(
        case=here.walk().case,
        by=here.dora,
        act="noted",
        part="case",
        changes={"größe": [1.5, 1e22], "b": [{"z": 0.1, "a": -2.0}, [True, None, "é\u2009mm"]]},
    )
    assert found(here) == "None"


def test_a_clock_that_is_turned_back_does_not_change_the_order(here, six, monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: datetime(2020, 1, 1, tzinfo=UTC))
    last = history.write(case=six[0].case, by=here.tomas, act="noted", part="late")

    assert last.at.year == 2020
    assert HistoryEntry.objects.last() == last
    assert last.sequence == 7
    assert found(here) == "None"


# --- forged --------------------------------------------------------------------------------------


@both
class TestForged:
    def test_a_changed_word(self, here, six):
        forge(f"UPDATE {ENTRY} SET act = 'forged' WHERE id = {six[2].pk}")
        assert found(here) == (
            f"entry 3, case {self.grouped(six[2])}: altered. It does not say what its digest was "
            "made from."
        )

    @staticmethod
    def grouped(row: HistoryEntry) -> str:
        code = row.case.code
        return f"{code[:4]}-{code[4:8]}-{code[8:]}"

    @pytest.mark.parametrize(
        "change",
        [
            "part = 'forged'",
            "reason = 'forged'",
            "position = 'dentist'",
            "at = '2020-01-01 00:00:00+00:00'",
            "digest = previous",
        ],
    )
    def test_any_column(self, here, six, change):
        forge(f"UPDATE {ENTRY} SET {change} WHERE id = {six[3].pk}")
        assert found(here).startswith(f"entry 4, case {self.grouped(six[3])}: altered.")

    def test_another_person(self, here, six):
        forge(f"UPDATE {ENTRY} SET by_id = {here.mona.pk} WHERE id = {six[3].pk}")
        assert found(here).startswith("entry 4, ")

    def test_another_case(self, here, six):
        forge(f"UPDATE {ENTRY} SET case_id = {six[1].case_id} WHERE id = {six[2].pk}")
        assert found(here).startswith(f"entry 3, case {self.grouped(six[1])}: altered.")

    def test_an_entry_with_a_digest_of_its_own(self, here, six):
        row = six[2]
        row.act = "forged"
        forge(
            f"UPDATE {ENTRY} SET act = 'forged', digest = '{row.made_digest()}' WHERE id = {row.pk}"
        )
        assert found(here) == (
            f"entry 3, case {self.grouped(row)}: altered. It was written anew with a digest of its "
            "own; the next entry follows another one."
        )

    def test_the_last_entry_with_a_digest_of_its_own(self, here, six):
        row = six[5]
        row.act = "forged"
        forge(
            f"UPDATE {ENTRY} SET act = 'forged', digest = '{row.made_digest()}' WHERE id = {row.pk}"
        )
        assert found(here) == (
            f"entry 6, case {self.grouped(row)}: head does not match. The last entry has another "
            "digest than the head."
        )

    def test_one_taken_out(self, here, six):
        forge(f"DELETE FROM {ENTRY} WHERE id = {six[3].pk}")
        assert found(here) == "entry 4: missing. Nothing stands at 4."

    def test_two_taken_out(self, here, six):
        forge(f"DELETE FROM {ENTRY} WHERE id IN ({six[1].pk}, {six[2].pk})")
        assert found(here) == "entry 2: missing. Nothing stands at 2 to 3."

    def test_one_taken_out_and_the_rest_numbered_anew(self, here, six):
        forge(f"DELETE FROM {ENTRY} WHERE id = {six[3].pk}", *renumber(5, -1))
        assert found(here) == ("entry 4: missing. What stands there now was written as entry 5.")

    def test_one_put_in(self, here, six):
        forged = copied(HistoryEntry.objects.get(pk=six[0].pk), 4, six[2].digest)
        forge(*renumber(4, 1), insert(six[0], 4, six[2].digest, forged))
        assert found(here) == (
            f"entry 4, case {self.grouped(six[0])}: inserted. What was written as entry 4 now "
            "follows it."
        )

    def test_one_put_in_carelessly(self, here, six):
        forge(*renumber(4, 1), insert(six[0], 4, six[2].digest, "f" * 64))
        assert found(here) == (
            f"entry 4, case {self.grouped(six[0])}: inserted. It was stored after the entries that "
            "follow it."
        )

    def test_one_put_in_at_the_end(self, here, six):
        forged = copied(HistoryEntry.objects.get(pk=six[0].pk), 7, six[5].digest)
        forge(insert(six[0], 7, six[5].digest, forged))
        assert found(here) == (
            f"entry 7, case {self.grouped(six[0])}: inserted. The head says that 6 entries were "
            "written."
        )

    def test_two_that_change_places(self, here, six):
        forge(
            f"UPDATE {ENTRY} SET sequence = 99 WHERE id = {six[2].pk}",
            f"UPDATE {ENTRY} SET sequence = 3 WHERE id = {six[3].pk}",
            f"UPDATE {ENTRY} SET sequence = 4 WHERE id = {six[2].pk}",
        )
        assert found(here) == (
            f"entry 3, case {self.grouped(six[3])}: re-ordered. It was written as entry 4."
        )

    def test_two_whose_words_change_places(self, here, six):
        words = ("case_id", "act", "part", "at", "by_id", "position", "changes", "reason")

        def taken_from(row: HistoryEntry) -> str:
            return ", ".join(
                f"{word} = (SELECT {word} FROM spare WHERE id = {row.pk})" for word in words
            )

        forge(
            f"CREATE TEMPORARY TABLE spare AS SELECT * FROM {ENTRY}",
            f"UPDATE {ENTRY} SET {taken_from(six[4])} WHERE id = {six[2].pk}",
            f"UPDATE {ENTRY} SET {taken_from(six[2])} WHERE id = {six[4].pk}",
            "DROP TABLE spare",
        )
        assert found(here) == (
            f"entry 3, case {self.grouped(six[4])}: re-ordered. It says what was written as entry "
            "5."
        )

    def test_one_that_is_moved_to_another_laboratory(self, here, six):
        forge(
            f"UPDATE {ENTRY} SET laboratory_id = {here.other_laboratory.pk}, sequence = 1 "
            f"WHERE id = {six[3].pk}"
        )
        assert found(here) == "entry 4: missing. Nothing stands at 4."
        assert str(chain.walk(here.other_laboratory).broken) == (
            f"entry 1, case {self.grouped(six[3])}: inserted. Its case belongs to another "
            "laboratory."
        )

    def test_the_end_cut_off(self, here, six):
        forge(f"DELETE FROM {ENTRY} WHERE sequence > 4")
        assert found(here) == "entry 5: missing. The head says that 6 entries were written."

    def test_everything_cut_off(self, here, six):
        forge(f"DELETE FROM {ENTRY}")
        assert found(here) == "entry 1: missing. The head says that 6 entries were written."

    def test_the_end_cut_off_and_the_head_set_back_is_seen_by_a_kept_head(self, here, six):
        kept = head_of(here)
        forge(
            f"DELETE FROM {ENTRY} WHERE sequence > 4",
            f"UPDATE labcases_chainhead SET sequence = 4, digest = '{six[3].digest}'",
        )
        assert found(here) == "None"
        assert found(here, kept) == (
            "entry 5: head does not match. The head that was kept says that 6 entries were "
            "written; 4 stand here."
        )

    def test_a_history_that_is_written_anew_whole_is_seen_by_a_kept_head(self, here, six):
        kept = head_of(here)
        row = six[5]
        row.act = "forged"
        forged = row.made_digest()
        forge(
            f"UPDATE {ENTRY} SET act = 'forged', digest = '{forged}' WHERE id = {row.pk}",
            f"UPDATE labcases_chainhead SET digest = '{forged}'",
        )
        assert found(here) == "None"
        assert found(here, kept) == (
            f"entry 6, case {self.grouped(row)}: head does not match. The head that was kept has "
            f"the digest {kept.digest}, this entry {forged}."
        )

    def test_a_head_that_was_kept_earlier_matches_while_the_history_grows(self, here, six):
        kept = head_of(here)
        history.write(case=six[0].case, by=here.tomas, act="noted", part="more")
        assert found(here, kept) == "None"


def test_a_replaced_row_is_named_on_sqlite(here, six):
    """The one statement that takes a row's place without a delete."""
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL has no such statement")
    told = insert(six[1], 2, six[0].digest, six[1].digest)
    put, taken = told.replace("INSERT", "INSERT OR REPLACE").split("SELECT")
    taken = taken.replace("act", "'forged'")
    statement = f"{put} SELECT {taken}"
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        run(statement)
    forge(statement)
    assert HistoryEntry.objects.count() == 6
    assert found(here) == (
        f"entry 2, case {TestForged.grouped(six[1])}: inserted. It was stored after the entries "
        "that follow it."
    )


# --- with the guard in its place ------------------------------------------------------------------


@both
@pytest.mark.parametrize(
    "statement",
    [
        f"UPDATE {ENTRY} SET act = 'forged' WHERE sequence = 3",
        f"DELETE FROM {ENTRY} WHERE sequence = 3",
        f"DELETE FROM {ENTRY} WHERE sequence > 4",
        f"UPDATE {ENTRY} SET sequence = sequence + 1 WHERE sequence = 6",
        f"UPDATE {ENTRY} SET laboratory_id = laboratory_id + 1 WHERE sequence = 3",
        "UPDATE labcases_chainhead SET sequence = 4",
        "UPDATE labcases_chainhead SET sequence = sequence",
        "UPDATE labcases_chainhead SET laboratory_id = laboratory_id + 1, sequence = sequence + 1",
        "DELETE FROM labcases_chainhead",
    ],
)
def test_the_guard_refuses_it(here, six, statement):
    with (
        pytest.raises(DatabaseError, match=r"append-only|only goes forward"),
        transaction.atomic(),
    ):
        run(statement)
    assert found(here) == "None"


@both
def test_a_number_is_given_once(here, six):
    with (
        pytest.raises(DatabaseError, match=r"append-only|one_entry_per_number"),
        transaction.atomic(),
    ):
        run(insert(six[0], 3, six[1].digest, "f" * 64))
    assert found(here) == "None"


# --- heads that are kept -----------------------------------------------------------------------


def test_kept_heads_are_read_as_they_were_written():
    heads = [Head(3, 17, "ab" * 32, "Tarn Lane Laboratory"), Head(9, 0, START, "")]
    text = "\n".join(chain.head_lines(heads))

    assert text.splitlines()[1] == f"3 17 {'ab' * 32} Tarn Lane Laboratory"
    assert chain.read_heads(text) == {3: heads[0], 9: heads[1]}


def test_a_line_that_is_no_head_is_refused():
    with pytest.raises(NoHeadFile) as told:
        chain.read_heads("# title\n3 seventeen abc")
    assert str(told.value) == (
        'Line 2 is no kept head: "3 seventeen abc". It has the number of the laboratory, the '
        "number of entries, and a digest of 64 characters. Name a file that --write-head has "
        "written."
    )


def test_an_empty_file_is_refused():
    with pytest.raises(NoHeadFile, match=r"No kept head stands in it\. Name a file"):
        chain.read_heads("# title\n\n")
