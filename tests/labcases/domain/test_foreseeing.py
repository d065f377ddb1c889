"""What an incident would do is told before anybody saves it, and is the table typed by hand."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.domain import calendars, foreseeing, undoing
from labcases.domain.foreseeing import Report
from labcases.domain.incident_effects import ABOUT
from labcases.domain.question import FIELD_OF
from labcases.enums import ENDS, Route, Side, Stage, Thing
from labcases.models import Case
from labcases.reference.incidents import kinds
from tests.factories import world
from tests.labcases.domain.incident_table import CONVENTIONAL, INTERIM, rows

SHORT = "dr se ac tr mc jr mo st su ti fw pr rm fi rl di rc de rv cl dc ca"
CODES = dict(zip(SHORT.split(" "), Stage, strict=True))
TABLES = {Route.CONVENTIONAL: rows(CONVENTIONAL), Route.INTERIM: rows(INTERIM)}


def cell(kind, answer, stage, route):
    """The cell of the table as the program has it."""
    ways = kind.ways_at(stage=stage, route=route)
    answers = kind.answers_at(ways, stage)
    if not ways or (kind.answers and stage not in ENDS and answer not in answers):
        return "-"
    way = foreseeing.way_for(ways, answer)
    if way is None:
        return "-"
    to = way.goes_to(stage)
    code = next(code for code, one in CODES.items() if one == to)
    if to == stage:
        return "?" if way.revision else "="
    return code.upper() if way.revision else code


def named(key, kind):
    return [(f"{key}:{answer}", answer) for answer in kind.answers] or [(key, "")]


@pytest.mark.parametrize("route", list(Route))
def test_what_can_happen_where_and_where_it_leads_is_the_table(route):
    said = {
        name: [cell(kind, answer, stage, route) for stage in Stage]
        for key, kind in kinds().items()
        for name, answer in named(key, kind)
    }

    assert said == TABLES[route]
    assert all(len(cells) == 22 for cells in TABLES[route].values())
    assert len(kinds()) == 17


def test_a_way_by_revision_goes_where_the_revision_brings_it():
    by_revision = [way for kind in kinds().values() for way in kind.ways if way.revision]

    assert {way.revision for way in by_revision} == set(ABOUT)
    for way in by_revision:
        assert undoing.UNDOES[way.revision] == way.returns
        assert FIELD_OF[ABOUT[way.revision]] == way.revision


# Kind, answer, at -> working days lost on the conventional route, on the interim one.
LOST = [
    ("broken-cast", "own", Stage.SET_UP, 5, 5),
    ("broken-cast", "own", Stage.FINAL_WAX, 11, 9),
    ("broken-cast", "own", Stage.MASTER_CAST, 0, 0),
    ("disagreeing-record", "", Stage.MOUNTING, 1, 1),
    ("disagreeing-record", "", Stage.SET_UP, 2, 2),
    ("perforated-tooth", "", Stage.SET_UP, 0, 0),
    ("perforated-tooth", "", Stage.FINAL_WAX, 6, 4),
    ("flask-failed", "wax", Stage.PROCESSING, 1, 1),
    ("flask-failed", "cast", Stage.PROCESSING, 8, 6),
    ("denture-failed", "repair", Stage.FINISHING, 0, 0),
    ("denture-failed", "again", Stage.RECEIVED, 12, 10),
    ("lost-box", "denture", Stage.DISPATCHED, 11, 9),
    ("lost-box", "impression", Stage.SENT, 0, 0),
]


def _columns(case):
    return {field.attname: getattr(case, field.attname) for field in case._meta.concrete_fields}


@pytest.mark.django_db
@pytest.mark.parametrize(("key", "answer", "at", "conventional", "interim"), LOST)
def test_days_lost_follow_from_the_stage_times(key, answer, at, conventional, interim):
    case = world().walk().case
    kind, said = kinds()[key], []
    for route in (Route.CONVENTIONAL, Route.INTERIM):
        case.prescriptions.update(route=route)
        seen = Case(**{**_columns(case), "stage": at})
        way = foreseeing.way_for(kind.ways_at(stage=at, route=route), answer)
        report = Report(kind=kind, text="x", answer=answer)
        said.append(foreseeing.foresee(case=seen, report=report, way=way).days_lost)

    assert said == [conventional, interim]


@pytest.fixture
def waxed(db):
    walk = world().walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    walk.approve_wax()
    return walk


def told(walk, key, by, answer="", **more):
    case = walk.reload()
    kind = kinds()[key]
    ways = foreseeing.ways_of(by, case, kind)
    way = foreseeing.way_for(ways, answer)
    report = Report(kind=kind, text="it fell", answer=answer, **more)
    return foreseeing.foresee(case=case, report=report, way=way, today=date(2027, 3, 1))


def test_only_what_stands_is_named_as_falling_and_approvals_are(waxed):
    seen = told(waxed, "broken-cast", waxed.hands.technician, "own")

    assert seen.things == [
        *(Thing.CASTS, Thing.MOUNTING, Thing.PIN, Thing.PASSES, Thing.PARTS, Thing.CHECKS),
        *(Thing.TRY_IN, Thing.WAX),
    ]
    assert "The dentist's approval of the final wax and of the trimming falls." in seen.undone
    assert (seen.to, seen.moves, seen.waits) == (Stage.MASTER_CAST, True, False)


def test_an_opposing_cast_leaves_the_try_in_alone(waxed):
    seen = told(waxed, "broken-cast", waxed.hands.technician, "opposing")

    assert Thing.TRY_IN not in seen.things
    assert Thing.WAX in seen.things


def test_whether_the_surgery_day_holds_is_told_with_the_earliest_day(waxed):
    case = waxed.reload()
    case.surgery_on = date(2027, 3, 10)
    case.save()

    seen = told(waxed, "broken-cast", waxed.hands.technician, "own")

    # Master cast and rims begin 18 working days before surgery: Mon 1-Mar to Thu 25-Mar-2027.
    assert seen.surgery.earliest == date(2027, 3, 25)
    assert (seen.surgery.holds, seen.surgery.spare_days) == (False, -11)


def test_closed_days_of_either_house_move_the_earliest_day(waxed):
    case, hands = waxed.reload(), waxed.hands
    case.surgery_on = date(2027, 3, 10)
    case.save()
    # A week of the laboratory, five open days of it; the day after that the office is closed.
    span = {"first": date(2027, 3, 8), "last": date(2027, 3, 12), "reason": "stock-taking"}
    calendars.close(organisation=case.laboratory, by=hands.manager, **span)
    span = {"first": date(2027, 4, 1), "last": None, "reason": "a holiday"}
    calendars.close(organisation=case.office, by=hands.dentist, **span)

    seen = told(waxed, "broken-cast", hands.technician, "own")

    # Thu 25-Mar and five days are Thu 1-Apr-2027.
    assert seen.surgery.earliest == date(2027, 4, 2)
    # From Wed 10-Mar to Fri 2-Apr lie 17 weekdays, two of them closed.
    assert seen.surgery.spare_days == -15


def test_a_day_far_ahead_holds(waxed):
    case = waxed.reload()
    case.surgery_on = date(2027, 6, 1)
    case.save()

    assert told(waxed, "broken-cast", waxed.hands.technician, "own").surgery.holds is True


def test_of_a_postponed_surgery_the_new_day_is_judged_and_the_age_of_the_casts(waxed):
    case = waxed.reload()
    case.impressions.create(
        arch="upper",
        material="alginate",
        taken_at=timezone.now() - timedelta(days=50),
        by=waxed.hands.technician,
    )
    day = timezone.localdate() + timedelta(days=20)

    seen = told(waxed, "surgery-postponed", waxed.hands.dentist, new_day=day)

    assert seen.surgery.on == day
    assert seen.cast_age_days == 70
    assert (seen.things, seen.days_lost, seen.moves) == ([], 0, False)


def test_each_reports_what_happens_under_their_eyes(waxed):
    case, hands = waxed.reload(), waxed.hands

    def keys(user):
        return {kind.key for kind in foreseeing.possible(user, case)}

    assert "broken-cast" in keys(hands.technician) & keys(hands.dentist)
    assert "perforated-tooth" in keys(hands.technician) - keys(hands.lab_desk)
    assert "shade-or-mould-changed" in keys(hands.office_desk) - keys(hands.manager)
    assert "patient-died" not in keys(hands.manager)
    assert foreseeing.houses_of(hands.dentist, case, kinds()["lost-box"]) == {Side.OFFICE}


def test_the_front_desk_may_stop_a_case_but_not_end_it(waxed):
    case, hands = waxed.reload(), waxed.hands
    kind = kinds()["surgery-cancelled"]

    def answers(user):
        return list(kind.answers_at(foreseeing.ways_of(user, case, kind), Stage(case.stage)))

    assert answers(hands.dentist) == ["hold", "end"]
    assert answers(hands.office_desk) == ["hold"]


def test_a_tooth_is_named_in_words_and_in_both_notations():
    assert foreseeing.tooth_words(["13"]) == "upper right canine, 13 (Universal 6)"
