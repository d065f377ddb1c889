"""A walk takes a case along its stages through the verbs of the pages, gate by gate."""

from __future__ import annotations

from datetime import timedelta

import pytest

from labcases.domain import stages
from labcases.enums import Arch, BoxDirection, Route, SetUpOrder, Stage, TryInWish
from labcases.models import Case, HistoryEntry
from tests.factories import world

pytestmark = pytest.mark.django_db


def went_through(case: Case) -> list[str]:
    """The stages that the history says a case was moved into."""
    entries = case.history.filter(part="stage").order_by("id")
    return [entry.changes["stage"][1].lower() for entry in entries]


MAIN = [
    *("sent", "accepted", "master cast and rims", "jaw records", "mounting", "settings"),
    "set-up",
]
END = [
    *("final wax", "processing", "remount", "finishing", "released", "dispatched", "received"),
    *("delivered", "in review", "closed"),
]


@pytest.mark.parametrize("order", SetUpOrder)
@pytest.mark.parametrize(
    ("route", "tries"), [(Route.CONVENTIONAL, ["try-in", "set-up"]), (Route.INTERIM, [])]
)
def test_a_case_walks_from_draft_to_closed_without_passing_a_gate(route, order, tries):
    case = world().case_at(Stage.CLOSED, route=route, set_up_order=order)

    assert went_through(case) == [*MAIN, *tries, *END]
    assert not case.history.filter(act="passed a gate").exists()
    assert not case.is_open


@pytest.mark.parametrize(
    "prescribed",
    [
        {"arch": Arch.LOWER},
        {"try_in": TryInWish.WAIVED},
        {"scheme": "lingualised", "tooth_material": "porcelain"},
    ],
)
def test_other_orders_walk_as_far(prescribed):
    case = world().case_at(Stage.PROCESSING, **prescribed)

    assert case.stage == Stage.PROCESSING
    for field, value in prescribed.items():
        assert getattr(case.prescription, field) == value


@pytest.mark.parametrize("stage", [Stage.DRAFT, Stage.SENT, Stage.SETTINGS, Stage.TRY_IN])
def test_a_walk_stops_where_it_is_told(stage):
    assert world().case_at(stage).stage == stage


@pytest.mark.parametrize("stage", [Stage.SENT, Stage.SET_UP, Stage.PROCESSING, Stage.DELIVERED])
def test_a_walk_can_stop_with_only_the_move_left(stage):
    walk = world().walk()

    case = walk.ready(stage)

    assert stage in stages.next_stages(case)
    if stage == Stage.PROCESSING:
        assert [item.part for item in stages.missing(case, stage)] == ["handoff"]
    else:
        assert stages.missing(case, stage) == []
    walk.enter(stage)
    assert walk.reload().stage == stage


def test_each_step_is_done_by_the_person_whose_work_it_is():
    here = world()
    case = here.case_at(Stage.CLOSED)
    by = {
        (entry.part, entry.act): entry.by
        for entry in HistoryEntry.objects.filter(case=case).select_related("by")
    }

    assert by["prescription", "signed"] == here.dora
    assert by["mounting", "entered"] == here.tomas
    assert by["set-up log", "pass with foil"] == here.tomas
    assert by["try-in", "recorded"] == here.dora
    assert by["final wax", "approved"] == here.dora
    assert by["processing handoff", "handed over"] == here.tomas
    assert by["release", "looked at again"] == here.mona
    assert by["delivery", "entered"] == here.dora
    moved = {entry.changes["stage"][1]: entry.by for entry in case.history.filter(part="stage")}
    assert [moved[stage] for stage in ("Sent", "Set-up", "Released", "Dispatched", "Received")] == [
        *(here.farah, here.tomas, here.mona, here.lena, here.farah)
    ]


def test_boxes_travel_both_ways_and_are_counted_in():
    case = world().case_at(Stage.DELIVERED)

    boxes = [(box.direction, box.sent_at is not None) for box in case.boxes.all()]
    assert boxes == [
        (BoxDirection.TO_LABORATORY, True),
        (BoxDirection.TO_LABORATORY, True),
        (BoxDirection.TO_OFFICE, True),
    ]
    assert not case.boxes.filter(received_at=None).exists()


def test_the_day_of_the_first_extraction_lies_well_before_surgery():
    case = world().case_at(Stage.DRAFT)

    assert case.prescription.first_extraction_on == case.surgery_on - timedelta(days=75)


def test_settings_and_sites_of_one_case_can_be_given_beforehand():
    walk = world().walk()
    walk.settings["condylar_right_deg"] = 35
    walk.sites = {"16": {"space_mm": 9.5}}
    case = walk.to(Stage.SET_UP)

    assert case.articulator.condylar_right_deg == 35
    assert [site.space_mm for site in case.sites.filter(tooth__in=("16", "26"))] == [9.5, 9]


def test_no_try_in_is_judged_that_was_not_sent_out():
    walk = world().walk()
    walk.to(Stage.SET_UP)

    with pytest.raises(ValueError, match="no try-in to judge"):
        walk.judge_try_in()
