"""The list of devices as a file, and what stands above it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from labcases.domain.devices import Device
from labcases.outputs import device_list

ONE = Device(
    code="AAAABBBBCCCC",
    what="Upper immediate denture, heat-cured resin",
    patient_code="P-1",
    office="=Office",
    dispatched_on=date(2026, 3, 5),
    delivered_on=date(2026, 3, 9),
    no_day="not yet delivered",
    statement=2,
    stated_on=date(2026, 3, 4),
)
BARE = replace(ONE, delivered_on=None, statement=None, stated_on=None)


def test_the_file_guards_cells_and_leaves_open_what_is_not_known():
    _head, first, second, _end = device_list.content([ONE, BARE]).decode().split("\r\n")
    assert first.startswith("AAAABBBBCCCC,")
    assert first.endswith(",P-1,'=Office,2026-03-05,2026-03-09,2,2026-03-04")
    assert second.endswith(",P-1,'=Office,2026-03-05,,none,")


def test_those_without_a_statement_are_counted():
    assert device_list.summary([ONE]) == "1 device dispatched."
    assert device_list.summary([ONE, BARE]) == "2 devices dispatched; 1 without a statement."
    assert device_list.summary([]) == "0 devices dispatched."
