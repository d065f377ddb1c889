"""Check records and proposals in the words of the page."""

from __future__ import annotations

import pytest

from labcases.domain import bench, records
from labcases.management.sample import GAP_RECORD, POINT_RECORDS, SETTINGS
from labcases.outputs import records_view
from tests.factories import world

pytestmark = pytest.mark.django_db

NO_BREAK = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    walk = here.walk()
    walk.prescribe()
    return walk.reload()


def read_in(case, here, *several):
    for values in several:
        records.add(case=case, by=here.tomas, values=values)
    return type(case).objects.get(pk=case.pk)


def plain(text: str) -> str:
    return text.replace(NO_BREAK, " ")


def test_a_proposal_stands_beside_what_the_record_says_today(case, here):
    bench.save_articulator(case=case, version=0, by=here.tomas, values=SETTINGS)
    [shown] = records_view.proposals(read_in(case, here, *POINT_RECORDS))

    rows = [(row.label, plain(row.now), plain(row.proposed)) for row in shown.rows]

    assert shown.title == "From the points of the lower cast"
    assert rows == [
        ("Condylar inclination, right condyle", "30 deg", "33.9 ± 2.4 deg"),
        ("Condylar inclination, left condyle", "30 deg", "37.1 ± 2.3 deg"),
        ("Bennett angle, right condyle", "15 deg", "12.2 ± 1.8 deg"),
        ("Bennett angle, left condyle", "15 deg", "15 ± 1.9 deg"),
    ]
    assert shown.can_be_adopted
    assert [(one.label, plain(one.travel)) for one in shown.travel] == [
        ("protrusive record, the condyle that goes less far,", "5.51 mm"),
        ("right lateral record, left condyle,", "5.51 mm"),
        ("left lateral record, right condyle,", "5.52 mm"),
    ]


def test_without_an_articulator_record_nothing_stands_now_and_nothing_can_be_adopted(case, here):
    [shown] = records_view.proposals(read_in(case, here, *POINT_RECORDS))

    assert [row.now for row in shown.rows] == ["", "", "", ""]
    assert not shown.can_be_adopted


def test_lines_come_newest_first_in_the_readers_notation(case, here):
    lines = records_view.lines(read_in(case, here, POINT_RECORDS[0], GAP_RECORD), "Universal")

    assert [plain(line.what) for line in lines] == [
        "Advance 5.5 mm. Gap 1.6 mm at 3 and 1.8 mm at 14. hard wax, made at the office",
        f"A: 80 / 0 / {MINUS}32; B: 45 / {MINUS}24 / {MINUS}30; C: 45 / 24 / {MINUS}30. "
        "A in front, B and C at the first molars",
    ]


def test_a_slope_that_the_gap_was_read_to_is_said(case, here):
    case = read_in(case, here, {**GAP_RECORD, "facet_deg": 20, "note": ""})

    assert plain(records_view.lines(case, "ISO 3950")[0].what) == (
        "Advance 5.5 mm. Gap 1.6 mm at 16 and 1.8 mm at 26, to a surface of 20 deg"
    )


def test_a_record_that_no_longer_counts_says_why(case, here):
    case = read_in(case, here, *POINT_RECORDS[:2])
    records.strike(row=case.check_records.first(), reason="read mirrored", by=here.mona)

    moved, closed = records_view.lines(case, "ISO 3950")

    assert (closed.struck, closed.unused) == (True, "")
    assert moved.unused == (
        "Not used: it belongs to points that were struck out or read again later."
    )
