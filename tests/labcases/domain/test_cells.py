"""Cells that would be formulas leave as text, and come back as they were."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labcases.domain.cells import guarded, unguarded


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-1", "'-1"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\tx", "'\tx"),
        ("\0x", "'\0x"),
        ("\r\nx", "'\r\nx"),
        ("'=1+1", "''=1+1"),
        ("B2", "B2"),
        ("'tis", "'tis"),
        ("a=b", "a=b"),
        ("", ""),
    ],
)
def test_a_cell_that_looks_like_one_is_text(text, cell):
    assert guarded(text) == cell
    assert unguarded(cell) == text


@given(st.text(alphabet="'=+-@\t\0\r\nab ", max_size=6))
def test_every_text_comes_back_and_no_cell_is_a_formula(text):
    assert unguarded(guarded(text)) == text
    assert not guarded(text).startswith(("=", "+", "-", "@", "\t", "\0", "\r", "\n"))
