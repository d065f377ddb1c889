"""What lies between the opening of a case and its surgery."""

from __future__ import annotations

import pytest

from labcases.domain.course import CHAIN, SHORTEST, USUAL, Course, Houses, Standing, left, place
from labcases.domain.open_days import Calendar
from labcases.domain.schedule import offsets
from labcases.enums import Route, SetUpOrder, Stage
from labcases.enums.dates import Step, Work


@pytest.mark.parametrize(
    ("route", "order", "wanted"),
    [
        ("conventional", "posterior first", [23, 22, 19, 18, 15, 14, 13, 9, 8, 7, 6, 3, 2]),
        ("conventional", "anterior first", [23, 22, 19, 18, 15, 14, 13, 12, 8, 7, 6, 3, 2]),
        ("interim", "posterior first", [18, 16, 13, 12, 11, 8, 7, 6, 3, 2]),
        ("interim", "anterior first", [18, 16, 13, 12, 11, 10, 7, 6, 3, 2]),
    ],
)
def test_usual_days_add_up_to_the_published_offsets(route, order, wanted):
    assert list(offsets(Course(Route(route), SetUpOrder(order))).values()) == wanted


def test_every_row_of_every_route_and_order_is_one_of_its_stages():
    assert set(CHAIN) == {(route, order) for route in Route for order in SetUpOrder}
    for (route, _order), rows in CHAIN.items():
        assert (Step.TRY_IN in rows) == (route == Route.CONVENTIONAL)
        stages = [step.stage for step in rows if step.stage and step != Step.TRAY]
        assert stages == sorted(stages, key=list(Stage).index)


def test_hurrying_is_never_slower():
    assert all(SHORTEST[work] <= USUAL[work] for work in Work)
    # A house that is quicker than the shortest usual stays so.
    assert Houses(own={"processing": 1}).days(Work.PROCESSING, (Work.PROCESSING,)) == 1
    assert Houses(road_days=3).days(Work.ROAD, (Work.ROAD,)) == 0


def test_the_road_counts_days_on_which_both_are_open():
    houses = Houses(
        laboratory=Calendar(weekdays=frozenset({1, 2, 3})),
        office=Calendar(weekdays=frozenset({3, 4, 5})),
    )
    assert houses.calendar(Work.ROAD).weekdays == {3}
    assert houses.calendar(Work.ARRIVAL).weekdays == {3, 4, 5}
    assert houses.calendar(Work.PROCESSING).weekdays == {1, 2, 3}


# stage, whether tried -> row in which the case stands, posterior teeth first.
STANDS = """
draft                 no   sent
sent                  no   sent
accepted              no   sent
tray                  no   tray
master cast and rims  no   master cast and rims
jaw records           no   jaw records
mounting              no   mounting
settings              no   mounting
set-up                no   set-up
try-in                no   try-in
set-up                yes  anterior teeth
final wax             yes  final wax
processing            yes  processing
remount               yes  processing
finishing             yes  processing
released              yes  processing
dispatched            yes  dispatched
received              yes  received
delivered             yes  received
"""


@pytest.mark.parametrize("row", STANDS.strip().splitlines())
def test_a_case_stands_in_the_last_row_that_it_reached(row):
    stage, tried, step = (part.strip() for part in row.split("  ") if part.strip())
    course = Course(Route.CONVENTIONAL)
    assert place(course, Standing(Stage(stage), tried=tried == "yes")) == Step(step)


def test_an_interim_case_has_no_tray_of_its_own():
    assert place(Course(Route.INTERIM), Standing(Stage.TRAY)) == Step.SENT


def test_what_is_left_begins_where_the_case_stands():
    rows = left(Course(Route.CONVENTIONAL), Step.PROCESSING)
    assert rows == [
        (Step.PROCESSING, (Work.PROCESSING,)),
        (Step.DISPATCHED, (Work.ROAD,)),
        (Step.RECEIVED, (Work.ARRIVAL,)),
    ]
