"""Undoing: by whom, until when, all together or not at all."""

from __future__ import annotations

import pytest

from labcases.domain import bench, chain, history, prescription, remounting, stages, undo
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.domain.acts import ACTS, key_of
from labcases.domain.undo import CannotUndo, NotYours
from labcases.enums import ReturnTo, Stage
from labcases.models import Membership
from tests.factories import World, world
from tests.labcases.domain.standing import standing
from tests.labcases.domain.undone import DOINGS, ask, confirm, hold, mounted, note, tray

pytestmark = pytest.mark.django_db


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.ACCEPTED)
    return walk


def last(walk):
    return walk.reload().history.last()


def refusal(walk, entry, by) -> str:
    """Why it is not undone; and nothing was written meanwhile."""
    count, before = walk.case.history.count(), standing(walk.case)
    with pytest.raises(CannotUndo) as told:
        undo.undo(case=walk.reload(), numbers=[entry.sequence], by=by)
    assert walk.case.history.count() == count
    assert standing(walk.case) == before
    return str(told.value)


def test_every_act_that_can_be_undone_is_done_and_undone_here():
    """A new act that can be undone: add how it is done to DOINGS of undone.py beside this."""
    assert {key for key, row in ACTS.items() if row.way} - set(DOINGS) == set()


@pytest.mark.parametrize("key", DOINGS, ids=": ".join)
def test_what_is_undone_stands_as_it_did_before(here, key):
    stage, prepare, act = DOINGS[key]
    walk = here.walk()
    if stage == Stage.DRAFT:
        walk.prescribe()
    else:
        walk.to(stage)
    prepare(walk)
    before, number = standing(walk.case), last(walk).sequence

    act(walk)

    done = [row for row in walk.case.history.filter(sequence__gt=number) if row.row]
    assert [key_of(row.part, row.act) for row in done] == [key]
    assert standing(walk.case) != before

    [undid] = undo.undo(case=walk.reload(), numbers=[done[0].sequence], by=done[0].by)

    assert standing(walk.case) == before
    assert (undid.act, undid.part, undid.by) == ("undid", done[0].part, done[0].by)
    assert undid.row == {"undid": done[0].sequence, "act": done[0].act}
    assert undid.changes
    assert walk.case.history.filter(pk=done[0].pk).exists()
    assert chain.walk(here.laboratory).broken is None
    assert refusal(walk, done[0], done[0].by) == "It is undone already."
    assert refusal(walk, undid, undid.by) == "An undo is not undone. Do it anew."


# --- by whom ------------------------------------------------------------


def test_a_person_undoes_an_own_act_and_a_manager_any_of_the_laboratory(here, walk):
    tray(walk)
    entry = last(walk)
    for person in (here.dora, here.farah, here.lena):
        with pytest.raises(NotYours) as told:
            undo.undo(case=walk.case, numbers=[entry.sequence], by=person)
        assert str(told.value) == (
            f"Entry {entry.sequence} is an act of Tomas Abelard. It is undone by the person, or by "
            "the manager of a laboratory where it is the laboratory's own."
        )
    assert walk.reload().tray_number == "T-7"

    undo.undo(case=walk.case, numbers=[entry.sequence], by=here.mona)

    assert walk.reload().tray_number == ""
    assert last(walk).by == here.mona


def test_a_manager_undoes_nothing_of_the_office(here, walk):
    cases.hold(case=walk.reload(), reason="the patient is ill", by=here.farah)
    with pytest.raises(NotYours):
        undo.undo(case=walk.case, numbers=[last(walk).sequence], by=here.mona)


def test_another_technician_undoes_nothing_of_this_one(here, walk):
    other = here.walk(patient_code="P-7").hands.manager
    Membership.objects.filter(user=other).update(role="technician")
    tray(walk)
    with pytest.raises(NotYours):
        undo.undo(case=walk.case, numbers=[last(walk).sequence], by=other)


def test_whose_role_ended_undoes_nothing_any_more(here, walk):
    tray(walk)
    Membership.objects.filter(user=here.tomas).update(active=False)
    with pytest.raises(NotYours) as told:
        undo.undo(case=walk.case, numbers=[last(walk).sequence], by=here.tomas)
    assert str(told.value) == "Your role no longer has this act. Ask somebody whose role has it."


# --- until when ------------------------------------------------------------


def test_work_is_not_undone_once_the_case_has_gone_on(here, walk):
    note(walk)
    entry = last(walk)
    walk.move(Stage.MASTER_CAST, here.tomas)
    assert refusal(walk, entry, here.tomas) == (
        "The case has gone on since. Take it back first, or change it by hand."
    )
    undo.undo(case=walk.case, numbers=[last(walk).sequence], by=here.tomas)
    undo.undo(case=walk.case, numbers=[entry.sequence], by=here.tomas)
    assert walk.case.setup_entries.get().struck_reason == "entered by mistake, undone"


def test_a_move_is_not_undone_once_work_was_recorded_in_the_new_stage(here, walk):
    walk.move(Stage.MASTER_CAST, here.tomas)
    moved = last(walk)
    ask(walk)  # stands beside the work
    note(walk)
    assert refusal(walk, moved, here.tomas) == (
        "Work was recorded in this stage since (set-up log). Take the case back by its own ways."
    )


def test_a_move_that_sends_boxes_or_asks_the_dentist_is_not_undone(here):
    walk = here.walk()
    walk.to(Stage.SENT)
    moved = walk.case.history.filter(part="stage").last()
    assert refusal(walk, moved, here.farah) == (
        "More than the stage changed with this move. Take the case on or back by its own ways."
    )


def test_a_move_back_that_took_work_back_is_not_undone(here):
    walk = here.walk()
    walk.to(Stage.MOUNTING)
    mounted(walk, record_medium="hard wax", verified_by_method="foil", foil_points=3)
    stages.move(case=walk.reload(), to=Stage.JAW_RECORDS, by=here.tomas)
    moved = walk.case.history.filter(part="stage").last()
    assert refusal(walk, moved, here.tomas) == (
        "Work was recorded in this stage since (mounting). Take the case back by its own ways."
    )


def test_what_followed_from_another_act_goes_with_that(here):
    walk = here.walk()
    walk.to(Stage.SETTINGS)
    note(walk)
    bench.log(case=walk.case, by=here.tomas, values={"act": "pin reading", "after_mm": 0})
    row = walk.reload().mounting
    remounting.send_back(
        case=walk.case,
        to=ReturnTo.NEW_MOUNTING,
        reason="it rocks",
        version=row.version,
        by=here.tomas,
    )
    entry = walk.case.history.filter(part="set-up log", act="struck out").last()
    assert refusal(walk, entry, here.tomas) == (
        "It followed from another act, or was done before undoing was kept. Change it by hand."
    )


def test_an_act_from_before_undoing_was_kept_says_so(here, walk):
    entry = history.write(case=walk.case, by=here.tomas, act="changed", part="case")
    assert refusal(walk, entry, here.tomas).startswith("It followed from another act, or was done")


# --- somebody else since ------------------------------------------------------------


def test_a_row_that_somebody_changed_since_is_shown_and_left(here):
    walk = here.walk()
    walk.to(Stage.MOUNTING)
    mounted(walk, record_medium="hard wax")
    mounted(walk, record_medium="silicone")
    entry = last(walk)
    bench.save_mounting(
        case=walk.reload(),
        version=walk.case.mounting.version,
        by=here.mona,
        values={"record_medium": "plaster"},
    )
    assert refusal(walk, entry, here.tomas) == (
        "Mona Ridley changed it since: record medium is now plaster. Look at it, and change it by "
        "hand."
    )


def test_another_field_of_the_same_row_counts_as_well(here):
    walk = here.walk()
    walk.to(Stage.MOUNTING)
    mounted(walk, record_medium="hard wax")
    entry = last(walk)
    mounted(walk, cast_note="chipped")
    assert refusal(walk, entry, here.tomas) == (
        "Tomas Abelard changed it since. Look at it, and change it by hand."
    )


def test_tray_hold_and_dates_of_a_case_do_not_stand_in_each_other_s_way(here, walk):
    tray(walk)
    entry = last(walk)
    hold(walk)
    undo.undo(case=walk.reload(), numbers=[entry.sequence], by=here.tomas)
    assert (walk.reload().tray_number, walk.case.on_hold) == ("", True)


def test_a_surgery_day_that_is_moved_back_is_confirmed_by_the_dentist_again(here, walk):
    """What another person said of the day is not said again in their name."""
    confirm(walk)
    day = walk.reload().surgery_on
    cases.set_surgery(
        case=walk.case, version=walk.case.version, on=day.replace(year=2031), by=here.farah
    )
    undo.undo(case=walk.reload(), numbers=[last(walk).sequence], by=here.farah)
    assert (walk.reload().surgery_on, walk.case.surgery_confirmed_by) == (day, None)

    confirm(walk)
    said_at = walk.reload().surgery_confirmed_at
    cases.set_surgery(
        case=walk.case, version=walk.case.version, on=day.replace(year=2031), by=here.dora
    )
    undo.undo(case=walk.reload(), numbers=[last(walk).sequence], by=here.dora)
    walk.reload()
    assert (walk.case.surgery_on, walk.case.surgery_confirmed_by) == (day, here.dora)
    assert walk.case.surgery_confirmed_at == said_at


# --- several, and none ------------------------------------------------------------------------


def test_several_are_undone_together_or_not_at_all(here, walk):
    tray(walk)
    first = last(walk)
    hold(walk)
    second = last(walk)
    signed = walk.case.history.get(act="signed")
    with pytest.raises(NotYours):
        undo.undo(case=walk.reload(), numbers=[first.sequence, signed.sequence], by=here.tomas)
    assert walk.reload().tray_number == "T-7"

    rows = undo.undo(case=walk.case, numbers=[first.sequence, second.sequence], by=here.tomas)

    assert [row.row["undid"] for row in rows] == [second.sequence, first.sequence]
    assert (walk.reload().tray_number, walk.case.on_hold) == ("", False)


@pytest.mark.parametrize(
    ("numbers", "told"),
    [
        ([], "No entry is named. Choose one in the history of the case."),
        ([999], "This case has no entry 999. Choose one in its history."),
    ],
)
def test_no_entry_and_one_that_is_not_there(here, walk, numbers, told):
    with pytest.raises(CannotUndo) as refused:
        undo.undo(case=walk.case, numbers=numbers, by=here.tomas)
    assert str(refused.value) == told


def test_an_entry_of_another_case_is_not_found(here, walk):
    other = here.walk(patient_code="P-2").case
    with pytest.raises(CannotUndo, match="This case has no entry"):
        undo.undo(case=walk.case, numbers=[other.history.get().sequence], by=here.dora)


def test_a_draft_that_is_signed_since_does_not_change(here):
    walk = here.walk()
    walk.prescribe()
    entry = last(walk)
    walk.sign()
    assert refusal(walk, entry, here.dora).startswith("Revision 1 is signed and does not change.")


def test_a_question_that_somebody_remarked_on_goes_on(here, walk):
    asked = ask(walk)
    entry = last(walk)
    asking.remark(question=asked, text="tomorrow", by=here.farah)
    assert refusal(walk, entry, here.tomas) == (
        "Something was said about this question since. Go on in its thread."
    )


def test_what_a_person_has_just_done_is_offered_when_all_of_it_can_be_undone(here, walk):
    with history.noting() as noted:
        tray(walk)
        hold(walk)
    assert undo.offered(noted, here.tomas) == noted
    assert undo.offered(noted, here.dora) == []
    with history.noting() as noted:
        walk.case = prescription.revise(case=walk.reload(), by=here.dora).case
    assert undo.offered(noted, here.dora) == []
    assert undo.offered([], here.dora) == []
