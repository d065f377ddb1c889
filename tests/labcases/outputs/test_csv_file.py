"""Tables as files: RFC 4180, and no cell that a program runs."""

from __future__ import annotations

import csv
import io

import pytest

from labcases.outputs import csv_file


def test_a_table_is_written_as_rfc_4180_wants_it():
    told = csv_file.written(("Tooth", "Note"), (("16", 'says "here", now'), ("26", "two\nlines")))

    assert told == b'Tooth,Note\r\n16,"says ""here"", now"\r\n26,"two\nlines"\r\n'


def test_letters_of_any_alphabet_are_kept():
    assert csv_file.written(("Note",), (("pr\u00fcfen \U0001f9b7",),)).decode() == (
        "Note\r\npr\u00fcfen \U0001f9b7\r\n"
    )


@pytest.mark.parametrize(
    "cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "\x00=1", "=", "-"]
)
def test_a_cell_that_a_program_would_run_gets_an_apostrophe(cell):
    [row] = csv.reader(io.StringIO(csv_file.written((), ((cell,),)).decode().partition("\r\n")[2]))

    assert row == [f"'{cell}"]


@pytest.mark.parametrize("cell", ["", "16", " =1", "'tis", "a-b", "1=1"])
def test_any_other_cell_is_left_alone(cell):
    assert csv_file.guarded(cell) == cell
