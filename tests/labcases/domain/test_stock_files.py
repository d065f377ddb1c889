"""Taking a file into the stock: looked at first, all of it or nothing, and the same twice."""

from __future__ import annotations

import pytest

from labcases.domain import stock, stock_files, stock_table
from labcases.domain.stock_files import NotTakenIn
from labcases.models import StockFile, StockLine, ToothSet
from labcases.outputs import stock_csv
from tests.factories import World, world
from tests.labcases.domain.test_stock_table import HEAD, ROW, file, with_cell
from tests.labcases.tooth_stock import BACK, FRONT, on_shelf

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


def looked(cast: World, *rows: str) -> StockFile:
    return stock_files.look(laboratory=cast.laboratory, content=file(*rows), by=cast.lena)


def take_in(cast: World, one: StockFile) -> dict[str, int]:
    return stock_files.take_in(file=one, digest=stock_files.plan(one).digest, by=cast.lena)


def said(one: StockFile) -> list[tuple[int, str, str]]:
    return [
        (found.row.number, found.act, "; ".join(found.said))
        for found in stock_files.plan(one).outcomes
    ]


def test_looking_changes_nothing_of_the_stock(cast):
    one = looked(cast, ROW)

    assert (one.rows, one.by, one.taken_in_at) == (1, cast.lena, None)
    assert said(one) == [(2, "new", "3 on the shelf")]
    assert not ToothSet.objects.exists()


def test_new_kinds_are_added_each_with_a_line(cast):
    counts = take_in(cast, looked(cast, ROW, with_cell("lot", "P-09")))

    assert counts == {"refused": 0, "new": 2, "changed": 0, "same": 0}
    row = ToothSet.objects.get(lot="P-09")
    assert (row.laboratory, row.count, row.shelf) == (cast.laboratory, 3, "drawer 5")
    line = row.lines.get()
    assert (line.act, line.before, line.after, line.why, line.by) == (
        *("imported", 0, 3, "from a file"),
        cast.lena,
    )


def test_the_same_file_again_changes_nothing_and_says_so(cast):
    take_in(cast, looked(cast, ROW, with_cell("lot", "P-09")))
    rows = list(ToothSet.objects.values())

    again = looked(cast, ROW, with_cell("lot", "P-09"))

    assert stock_files.plan(again).changes_nothing
    assert take_in(cast, again) == {"refused": 0, "new": 0, "changed": 0, "same": 2}
    assert list(ToothSet.objects.values()) == rows
    assert StockLine.objects.count() == 2


def test_an_empty_cell_takes_nothing_away_and_the_look_says_so(cast):
    take_in(cast, looked(cast, ROW))
    emptied = "Alder,upper,posterior,20 S,B2,resin,P-08,20,,1.5,,,3"

    same = looked(cast, emptied)
    kept = (
        "together_mm: stays 30, as the cell is empty; expires_on: stays 2028-05-31, as the cell "
        "is empty; shelf: stays drawer 5, as the cell is empty"
    )
    assert said(same) == [(2, "same", kept)]
    more = looked(cast, emptied.removesuffix("3") + "7")
    assert said(more) == [(2, "changed", f"count: 3 to 7; {kept}")]
    take_in(cast, more)

    row = ToothSet.objects.get()
    assert (row.count, row.shelf, str(row.together_mm)) == (7, "drawer 5", "30.00")
    assert set(row.lines.last().changes) == set()


def test_a_kind_that_stands_is_set_to_what_the_file_says(cast):
    row = on_shelf(cast, BACK)
    other = on_shelf(cast, FRONT)

    one = looked(cast, ROW)
    assert said(one) == [
        (
            *(2, "changed"),
            "shell_min_mm: nothing to 1.5; expires_on: nothing to 2028-05-31; count: 1 to 3",
        )
    ]
    take_in(cast, one)

    row.refresh_from_db()
    other.refresh_from_db()
    assert (row.count, row.version, row.changed_by, other.count) == (3, 2, cast.lena, 2)
    line = row.lines.last()
    assert (line.before, line.after) == (1, 3)
    assert line.changes == {
        "shell min mm": [None, "1.50"],
        "expires on": [None, "2028-05-31"],
    }


def test_one_row_that_cannot_be_read_keeps_the_whole_file_out(cast):
    one = looked(cast, ROW, with_cell("shade", ""), with_cell("lot", "P-10"))

    assert said(one) == [
        (2, "new", "3 on the shelf"),
        (3, "refused", "shade: It is empty. Enter it."),
        (4, "new", "3 on the shelf"),
    ]
    with pytest.raises(NotTakenIn) as refused:
        take_in(cast, one)
    assert str(refused.value) == (
        "1 row is refused, so nothing was taken in. Mend the file and choose it again."
    )
    assert not ToothSet.objects.exists()


def test_a_kind_that_stands_twice_in_a_file_is_refused(cast):
    one = looked(cast, ROW, with_cell("count", "9"))

    assert said(one)[1] == (
        *(3, "refused"),
        "line: The same kind of set stands in row 2. Leave one.",
    )


def test_a_stock_that_changed_since_is_shown_once_more(cast):
    row = on_shelf(cast, BACK)
    one = looked(cast, ROW)
    digest = stock_files.plan(one).digest
    stock.take_one(row=row, case=None, by=cast.tomas)

    with pytest.raises(NotTakenIn, match="The stock changed since you looked at this file"):
        stock_files.take_in(file=one, digest=digest, by=cast.lena)

    row.refresh_from_db()
    assert row.count == 0


def test_a_file_is_taken_in_once_and_what_it_held_is_let_go(cast):
    one = looked(cast, ROW)
    digest = stock_files.plan(one).digest
    stock_files.take_in(file=one, digest=digest, by=cast.lena)

    with pytest.raises(NotTakenIn, match="Lena Marsh took this file in already"):
        stock_files.take_in(file=one, digest=digest, by=cast.mona)

    one.refresh_from_db()
    assert bytes(one.content) == b""
    assert one.taken_in_by == cast.lena


def test_what_was_looked_at_and_left_goes_with_the_next_file_of_the_same_person(cast):
    looked(cast, ROW)
    others = stock_files.look(laboratory=cast.laboratory, content=file(ROW), by=cast.mona)
    mine = looked(cast, ROW)

    assert set(StockFile.objects.all()) == {others, mine}


def test_an_unreadable_file_is_not_kept(cast):
    with pytest.raises(stock_table.Unreadable, match="The first row lacks"):
        stock_files.look(laboratory=cast.laboratory, content=b"a,b\r\n1,2", by=cast.lena)

    assert not StockFile.objects.exists()


def test_sets_of_another_laboratory_are_neither_seen_nor_changed(cast):
    theirs = stock.add(laboratory=cast.other_laboratory, by=cast.mona, values=BACK)

    one = looked(cast, ROW)

    assert [act for _number, act, _said in said(one)] == ["new"]
    take_in(cast, one)
    theirs.refresh_from_db()
    assert theirs.count == 1


def test_more_rows_than_a_batch_are_all_written(cast, monkeypatch):
    monkeypatch.setattr(stock_files, "BATCH", 3)

    take_in(cast, looked(cast, *(with_cell("lot", f"P-{n}") for n in range(8))))

    assert ToothSet.objects.count() == StockLine.objects.count() == 8
    assert {line.tooth_set.lot for line in StockLine.objects.all()} == {f"P-{n}" for n in range(8)}


def test_what_is_saved_as_a_file_changes_nothing_when_it_is_taken_in(cast):
    on_shelf(cast, BACK, line='=cmd|"calc"!A1', lot="'=7")
    on_shelf(cast, FRONT, shelf="a, b; c")
    text = stock_csv.content(cast.laboratory)

    one = stock_files.look(laboratory=cast.laboratory, content=text, by=cast.lena)

    assert HEAD.encode() in text
    assert stock_files.plan(one).counts == {"refused": 0, "new": 0, "changed": 0, "same": 2}
