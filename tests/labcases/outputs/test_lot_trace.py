"""The rows of a trace as a file, and what stands above them."""

from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from labcases.domain.lots import PLACES, Found, Trace, Use
from labcases.outputs import lot_trace


def found(code: str, *, delivered: date | None = None, ended: str = "") -> Found:
    case: Any = SimpleNamespace(
        pk=code,
        code=code,
        office="=Office",
        patient=SimpleNamespace(code="P-1"),
        delivery=SimpleNamespace(delivered_on=delivered),
        stage="closed",
        is_open=False,
        on_hold=False,
        get_stage_display=lambda: "Closed",
    )
    use = Use(case, PLACES[0], "Upper master cast", "L-1", date(2026, 3, 5), bool(ended), ended)
    return Found(case, (use,))


@pytest.mark.parametrize(
    ("trace", "said"),
    [
        (Trace("L-1", (), ()), "0 cases with lot L-1."),
        (
            Trace("L-1", (found("A", delivered=date(2026, 4, 1)),), (), 2),
            "1 case with lot L-1; 1 delivered with it; 2 sets on the shelf.",
        ),
        (
            Trace("L-1", (found("A", delivered=date(2026, 4, 1), ended="struck"), found("B")), ()),
            "2 cases with lot L-1; 0 delivered with it.",
        ),
    ],
)
def test_cases_and_those_in_a_mouth_are_counted(trace, said):
    assert lot_trace.summary(trace) == said


def test_the_file_guards_cells_and_says_what_is_written_nearly_alike(monkeypatch):
    monkeypatch.setattr(lot_trace.stages, "stage_words", lambda _case: "Closed")
    near = found("BBBBBBBBBBBB", ended="struck out: wrong")
    trace = Trace("L-1", (found("AAAAAAAAAAAA", delivered=date(2026, 4, 1)),), (near,))
    _head, first, second, _end = lot_trace.content(trace).decode().split("\r\n")
    assert first == (
        "'=Office,AAAAAAAAAAAA,P-1,L-1,Upper master cast,Casts,2026-03-05,Closed,2026-04-01,counts"
    )
    assert second.endswith("Closed,,nearly alike; struck out: wrong")
