"""Where a case may go, who may move it, and what keeps it where it is."""

from __future__ import annotations

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.db import transaction
from django.utils import timezone

from labcases.domain import case as cases
from labcases.domain import processing, stages
from labcases.domain import question as asking
from labcases.domain.stages import NotAllowed, Refused
from labcases.enums import BoxContent, BoxDirection, Route, SetUpOrder, Side, Stage, TryInOutcome
from labcases.management.walk import Walk
from labcases.models import Case, HistoryEntry, TryIn, User
from tests.factories import OrganisationFactory, World, member
from tests.labcases.domain.stage_table import ANTERIOR, CONVENTIONAL, INTERIM, POSTERIOR, TABLE

# --- the table: route x order x stage x stage --------------------------------------------------

ORDERS = [
    pytest.param(route, order, id=f"{route}, {order}")
    for route in (CONVENTIONAL, INTERIM)
    for order in (POSTERIOR, ANTERIOR)
]


def case_like(route: str, order: str, stage: str) -> SimpleNamespace:
    """As much of a case as the table asks for, without a database."""
    return SimpleNamespace(
        stage=stage, prescription=SimpleNamespace(route=route, set_up_order=order)
    )


def test_the_table_below_names_every_route_order_and_stage():
    assert set(TABLE) == {(r.value, o.value) for r in Route for o in SetUpOrder}
    assert [set(row) for row in TABLE.values()] == [set(Stage.values)] * 4
    assert len(Stage.values) == 22


@pytest.mark.parametrize(("route", "order"), ORDERS)
@pytest.mark.parametrize("origin", Stage.values)
def test_a_case_can_go_where_the_table_says_and_nowhere_else(route, order, origin):
    allowed = TABLE[route, order][origin]

    assert {str(to) for to in stages.next_stages(case_like(route, order, origin))} == allowed


@pytest.mark.parametrize(("route", "order"), ORDERS)
@pytest.mark.parametrize("origin", Stage.values)
def test_every_other_move_is_refused_in_words(route, order, origin):
    case = case_like(route, order, origin)
    wrong = [to for to in Stage if to.value not in TABLE[route, order][origin]]

    for to in wrong:
        with pytest.raises(Refused) as refused:
            stages.move(case=case, to=to, by=None)
        assert str(refused.value) == (
            f"A case in {Stage(origin).label.lower()} cannot go to {to.label.lower()}."
        )
        assert case.stage == origin


def test_the_next_stages_come_in_the_order_of_the_work():
    found = stages.next_stages(case_like(CONVENTIONAL, ANTERIOR, "try-in"))

    assert found == [Stage.JAW_RECORDS, Stage.SET_UP, Stage.FINAL_WAX, Stage.CANCELLED]


@pytest.mark.parametrize(
    ("state", "stage_names"),
    [
        ("with us", ["draft", "jaw records", "try-in", "declined", "cancelled"]),
        ("on the way", ["sent"]),
        (
            "at the laboratory",
            [
                *("accepted", "tray", "master cast and rims", "mounting", "settings", "set-up"),
                *("final wax", "processing", "remount", "finishing", "released"),
            ],
        ),
        ("coming back", ["dispatched"]),
        ("here", ["received", "delivered", "in review", "closed"]),
    ],
)
def test_an_office_sees_five_plain_states(state, stage_names):
    found = [
        stage.value
        for stage in Stage
        if stages.plain_state(case_like(CONVENTIONAL, POSTERIOR, stage)) == state
    ]

    assert found == stage_names


# --- who may ---------------------------------------------------------------------------------

# Who moves a complete case into each stage. D dentist, O office desk, T technician,
# L laboratory desk, M laboratory manager.
MAY_MOVE = {
    Stage.SENT: "DO",
    Stage.ACCEPTED: "TM",
    Stage.MASTER_CAST: "TM",
    Stage.JAW_RECORDS: "TM",
    Stage.MOUNTING: "TM",
    Stage.SETTINGS: "TM",
    Stage.SET_UP: "TM",
    Stage.TRY_IN: "TM",
    Stage.FINAL_WAX: "TM",
    Stage.PROCESSING: "TM",
    Stage.REMOUNT: "TM",
    Stage.FINISHING: "TM",
    Stage.RELEASED: "M",
    Stage.DISPATCHED: "TLM",
    Stage.RECEIVED: "DO",
    Stage.DELIVERED: "D",
    Stage.IN_REVIEW: "D",
    Stage.CLOSED: "D",
}

# Moves that no walk along the main road makes: where they start, and who makes them.
SIDEWAYS = {
    (Stage.ACCEPTED, Stage.TRAY): "TM",
    (Stage.MOUNTING, Stage.JAW_RECORDS): "TM",
    (Stage.SETTINGS, Stage.MOUNTING): "TM",
    (Stage.SET_UP, Stage.SETTINGS): "TM",
    (Stage.FINAL_WAX, Stage.SET_UP): "TM",
    (Stage.SENT, Stage.DECLINED): "M",
    (Stage.DRAFT, Stage.CANCELLED): "DM",
    (Stage.SET_UP, Stage.CANCELLED): "DM",
    (Stage.DISPATCHED, Stage.CANCELLED): "DM",
}


def everybody(cast: World) -> dict[str, User]:
    return {
        "D": cast.dora,
        "O": cast.farah,
        "T": cast.tomas,
        "L": cast.lena,
        "M": cast.mona,
        "other office": cast.olga,
        "other laboratory": member("Otto Weir", cast.other_laboratory, "laboratory manager"),
        "nobody": member("Nemo Fox", OrganisationFactory(), "front desk"),
    }


def at(before, stage: Stage) -> Walk:
    """A case in a stage; the draft is the one that waits to be sent."""
    walk = before(Stage.SENT if stage == Stage.DRAFT else stage)
    if stage != Stage.DRAFT:
        walk.enter(stage)
    return walk


def moves(case: Case, to: Stage, person: User, reason: str) -> bool:
    """Whether a person can make a move; the case is left as it was."""
    try:
        with transaction.atomic():
            tried = Case.objects.get(pk=case.pk)
            if to == Stage.PROCESSING:
                values = {"base_material": "heat-cured resin", "base_product": "resin"}
                processing.hand_over(case=tried, by=person, values=values)
            else:
                stages.move(case=tried, to=to, by=person, reason=reason)
            moved = Case.objects.get(pk=case.pk).stage == to
            transaction.set_rollback(True)
            return moved
    except NotAllowed:
        return False


def movers(case: Case, to: Stage, people: dict[str, User], reason: str = "") -> str:
    """The letters of those who can make a move."""
    return "".join(letter for letter, who in people.items() if moves(case, to, who, reason))


@pytest.mark.parametrize("to", MAY_MOVE, ids=str)
def test_a_complete_case_is_moved_by_these_positions_and_by_nobody_else(before, cast, to):
    walk = before(to)

    assert movers(walk.case, to, everybody(cast)) == MAY_MOVE[to]


@pytest.mark.parametrize(("origin", "to"), SIDEWAYS, ids=lambda stage: str(stage).replace(" ", "-"))
def test_sideways_back_and_out_go_by_position_too(before, cast, origin, to):
    walk = at(before, origin)

    found = movers(walk.reload(), to, everybody(cast), reason="it cannot be helped")

    assert found == SIDEWAYS[origin, to]


def test_who_may_not_move_a_case_is_told_so_and_nothing_changes(before, cast):
    walk = before(Stage.SETTINGS)

    refused = refuse(walk.case, Stage.SETTINGS, cast.lena)

    assert isinstance(refused, NotAllowed)
    assert str(refused) == "Your role does not move a case to settings."


def test_every_move_of_the_table_is_tried_by_every_position():
    on_the_road = {
        (origin, to)
        for rows in TABLE.values()
        for origin, targets in rows.items()
        for to in targets
        if to != "cancelled"
    }
    tried = {to.value for to in MAY_MOVE} | {to.value for _, to in SIDEWAYS}

    assert {to for _, to in on_the_road} <= tried


# --- what keeps a case where it is ---------------------------------------------------------------


def refuse(case: Case, to: Stage, by, reason: str = "") -> Refused:
    entries = HistoryEntry.objects.count()
    with pytest.raises(Refused) as refused:
        stages.move(case=case, to=to, by=by, reason=reason)
    assert Case.objects.get(pk=case.pk).stage == case.stage
    assert HistoryEntry.objects.count() == entries
    return refused.value


def test_a_case_on_hold_goes_nowhere_until_it_is_taken_off(before, cast):
    walk = before(Stage.JAW_RECORDS)
    cases.hold(case=walk.reload(), reason="the patient is ill", by=cast.farah)

    refused = refuse(walk.reload(), Stage.JAW_RECORDS, cast.tomas)

    assert str(refused) == "Not ready for jaw records. Mend what is listed."
    assert [(i.text, i.part, i.field) for i in refused.items] == [
        ("The case is on hold. Take it off hold first.", "case", "hold")
    ]

    cases.resume(case=walk.reload(), by=cast.lena)
    stages.move(case=walk.reload(), to=Stage.JAW_RECORDS, by=cast.tomas)
    assert walk.reload().stage == Stage.JAW_RECORDS


@pytest.mark.parametrize(
    ("waits_for", "named"), [(Side.OFFICE, "office"), (Side.LABORATORY, "laboratory")]
)
def test_an_open_question_keeps_the_case_until_it_is_answered(before, cast, waits_for, named):
    walk = before(Stage.JAW_RECORDS)
    question = asking.ask(
        case=walk.case, about="shade", text="Darker?", waits_for=waits_for, by=cast.tomas
    )

    refused = refuse(walk.reload(), Stage.JAW_RECORDS, cast.tomas)

    assert [i.text for i in refused.items] == [
        f"The case waits for the {named}: a question about shade is open."
    ]
    assert stages.waiting_for(walk.case) == waits_for

    asking.answer(question=question, text="B2 all over.", by=cast.dora)
    stages.move(case=walk.reload(), to=Stage.JAW_RECORDS, by=cast.tomas)
    assert walk.reload().stage == Stage.JAW_RECORDS
    assert stages.waiting_for(walk.case) is None


def test_no_reason_carries_a_case_past_a_hold_or_a_question(before, cast):
    walk = before(Stage.SETTINGS)
    asking.ask(case=walk.case, about="cast", text="Crack?", waits_for=Side.OFFICE, by=cast.tomas)
    cases.hold(case=walk.reload(), reason="holiday", by=cast.mona)

    refused = refuse(walk.reload(), Stage.SETTINGS, cast.mona, reason="we are late")

    assert len(refused.items) == 2


@pytest.mark.parametrize(
    ("origin", "to", "text"),
    [
        (Stage.SENT, Stage.DECLINED, "Give the reason why the case is declined."),
        (Stage.SENT, Stage.CANCELLED, "Give the reason why the case is cancelled."),
    ],
)
@pytest.mark.parametrize("blank", ["", "   "])
def test_declining_and_cancelling_need_a_reason(before, cast, origin, to, text, blank):
    walk = before(origin)
    walk.enter(origin)
    by = cast.mona if to == Stage.DECLINED else cast.dora

    assert str(refuse(walk.reload(), to, by, reason=blank)) == text

    stages.move(case=walk.reload(), to=to, by=by, reason="  sent by mistake ")
    entry = walk.reload().history.last()
    assert walk.case.stage == to
    assert (entry.act, entry.reason) == ("moved", "sent by mistake")
    assert entry.changes == {"stage": ["Sent", to.label]}


def test_a_case_on_hold_with_a_question_can_still_be_cancelled(before, cast):
    walk = before(Stage.JAW_RECORDS)
    asking.ask(case=walk.case, about="cast", text="Crack?", waits_for=Side.OFFICE, by=cast.tomas)
    cases.hold(case=walk.reload(), reason="unclear", by=cast.mona)

    stages.move(case=walk.reload(), to=Stage.CANCELLED, by=cast.dora, reason="patient moved away")

    assert walk.reload().stage == Stage.CANCELLED
    assert not walk.case.is_open


# --- what goes with a move -----------------------------------------------------------------------


def test_a_move_stands_in_the_history_once_with_who_and_from_where(before, cast):
    walk = before(Stage.MASTER_CAST)
    entries = walk.case.history.count()

    moved = stages.move(case=walk.case, to=Stage.MASTER_CAST, by=cast.tomas)

    entry = walk.case.history.last()
    assert walk.case.history.count() == entries + 1
    assert (entry.act, entry.part, entry.by, entry.position) == (
        "moved",
        "stage",
        cast.tomas,
        "technician",
    )
    assert entry.changes == {"stage": ["Accepted", "Master cast and rims"]}
    assert timezone.now() - moved.stage_since < timedelta(minutes=1)


def test_sending_takes_the_packed_box_along(before, cast):
    walk = before(Stage.SENT)

    stages.move(case=walk.case, to=Stage.SENT, by=cast.farah)

    box = walk.case.boxes.get()
    assert (box.direction, box.sent_by) == (BoxDirection.TO_LABORATORY, cast.farah)
    assert box.sent_at is not None


def test_dispatching_takes_only_boxes_to_the_office_along(before, cast):
    walk = before(Stage.DISPATCHED)
    other = walk.pack(BoxDirection.TO_LABORATORY, BoxContent.PHOTOGRAPHS, by=cast.farah)

    stages.move(case=walk.reload(), to=Stage.DISPATCHED, by=cast.lena)

    other.refresh_from_db()
    assert other.sent_at is None
    assert walk.case.boxes.get(direction=BoxDirection.TO_OFFICE).sent_by == cast.lena


def test_each_try_in_is_numbered_and_bound_to_the_revision_in_force(before, cast):
    walk = before(Stage.TRY_IN)
    walk.enter(Stage.TRY_IN)
    walk.judge_try_in(TryInOutcome.APPROVED_WITH_CHANGES)
    walk.move(Stage.SET_UP, cast.tomas)
    walk.check_bench()
    walk.move(Stage.TRY_IN, cast.tomas)

    found = TryIn.objects.filter(case=walk.case).values_list("number", "revision", "outcome")

    assert list(found) == [(1, 1, "approved with changes"), (2, 1, "")]
