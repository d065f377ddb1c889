"""What a revision or a new jaw record undoes is asked for again on the way forward."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import gates, ledger, records, stages, teeth_needed, undoing
from labcases.domain.stages import Refused
from labcases.enums import BoxContent, BoxDirection, SetUpAct, Stage, TryInOutcome
from labcases.management.sample import GAP_RECORD
from labcases.management.walk import Walk, natural
from labcases.models import Case, Prescription
from tests.labcases.domain.gaps import revise

LAB = BoxDirection.TO_LABORATORY


@pytest.fixture
def walk(before) -> Walk:
    """A case in final wax, its posterior teeth tried in and approved."""
    return before(Stage.PROCESSING)


def standing(case: Case) -> set[str]:
    return {str(entry.act) for entry in ledger.standing(case)}


ALL_ACTS = {"base adapted", "pin opened", "tooth set", "pass", "pin reading", "part done"}

# What is revised -> stage, then: casts inspected, mounting verified, teeth in hand, lines struck.
UNDONE = {
    "opposing": (
        *({"opposing": natural("lower") | {"46": "missing"}}, Stage.MASTER_CAST),
        *(False, False, True, {"pass", "part done", "pin opened", "pin reading"}),
    ),
    "heights beyond the plane": (
        *(
            {"over_eruption_mm": {"37": "1.6"}, "over_eruption_by": "mounted cast"},
            Stage.MOUNTING,
        ),
        *(True, False, True, {"pass", "part done", "pin opened", "pin reading"}),
    ),
    "teeth": (
        *(None, Stage.MASTER_CAST),
        *(False, False, False, {"pass", "part done", "pin opened", "pin reading"}),
    ),
    "jaw record": (
        *({"jaw_record": "centric relation"}, Stage.MOUNTING),
        *(True, False, True, {"pass", "part done", "pin opened", "pin reading"}),
    ),
    "overjet": (
        *({"overjet_mm": Decimal("3")}, Stage.MOUNTING),
        *(True, False, True, {"pass", "part done", "pin opened", "pin reading"}),
    ),
    "scheme": (
        *({"scheme": "group"}, Stage.SET_UP),
        *(True, True, True, {"pass", "part done"}),
    ),
    "shade": (
        *({"shade": "A3"}, Stage.SET_UP),
        *(True, True, False, {"pass", "part done"}),
    ),
    "set-up order": (
        *({"set_up_order": "anterior first"}, Stage.SET_UP),
        *(True, True, True, set()),
    ),
    "waiver": ({"try_in": "waived"}, Stage.SET_UP, True, True, True, set()),
    "flange": ({"flange": "partial flange"}, Stage.FINAL_WAX, True, True, True, set()),
    "instructions": ({"instructions": "Narrow."}, Stage.FINAL_WAX, True, True, True, set()),
}


@pytest.mark.parametrize("name", UNDONE)
def test_a_revision_takes_back_exactly_what_it_undoes(walk, name):
    changes, stage, inspected, verified, in_hand, struck = UNDONE[name]
    if changes is None:
        changes = {"teeth": walk.case.prescription.teeth | {"17": "stays"}}

    revise(**changes)(walk)

    case = walk.reload()
    assert case.stage == stage
    assert case.mounting.casts_inspected is inspected
    assert bool(case.mounting.verified_by_method) is verified
    assert teeth_needed.in_hand(case) is in_hand
    assert ALL_ACTS - standing(case) == struck


def test_what_was_taken_back_stands_in_the_history_with_its_reason(walk):
    revise(jaw_record="centric relation")(walk)

    taken = walk.case.history.filter(reason="revision 2 of the prescription")
    assert {(entry.part, entry.act) for entry in taken} == {
        ("mounting", "taken back"),
        ("set-up log", "struck out"),
        ("stage", "brought back"),
    }
    mounting = taken.get(part="mounting")
    assert mounting.changes["foil pairs"] == ["13/43, 23/33, 11/41", ""]
    assert mounting.changes["foil points"] == [3, None]
    entry = walk.case.setup_entries.filter(act=SetUpAct.PASS).first()
    assert entry.struck_reason == "revision 2 of the prescription"


@pytest.mark.parametrize(
    ("changes", "stands"), [({"jaw_record": "centric relation"}, False), ({"shade": "A3"}, True)]
)
def test_check_records_stand_only_as_long_as_the_casts_stay_mounted(walk, changes, stands):
    read_in = records.add(case=walk.case, by=walk.hands.technician, values=GAP_RECORD)

    revise(**changes)(walk)

    read_in.refresh_from_db()
    assert (read_in.struck_at is None) is stands
    assert read_in.struck_reason == ("" if stands else "revision 2 of the prescription")


def test_after_a_revision_the_gate_asks_again_for_what_was_taken_back(walk):
    revise(jaw_record="centric relation")(walk)

    with pytest.raises(Refused) as refused:
        walk.move(Stage.SETTINGS, walk.hands.technician)

    assert [item.field for item in refused.value.items] == ["foil_points"]
    assert walk.case.stage == Stage.MOUNTING


def test_a_case_that_holds_nothing_of_this_yet_is_left_alone(before):
    walk = before(Stage.MASTER_CAST)

    revise(jaw_record="centric relation")(walk)

    assert walk.reload().stage == Stage.ACCEPTED
    assert not walk.case.history.filter(act="taken back").exists()


# --- the new jaw record ------------------------------------------------------------------------


@pytest.fixture
def back_at_the_office(before) -> Walk:
    """The try-in asked for a new record, and the case went back for it."""
    walk = before(Stage.TRY_IN)
    walk.enter(Stage.TRY_IN)
    walk.judge_try_in(TryInOutcome.NEW_RECORD)
    return walk


def test_a_new_record_undoes_the_mounting_and_what_was_set_on_it(back_at_the_office):
    case = back_at_the_office.reload()

    assert case.mounting.verified_by_method == ""
    assert case.mounting.casts_inspected is True
    assert teeth_needed.in_hand(case)
    assert standing(case) == {"base adapted", "tooth set"}
    assert ledger.balance(case).reading_mm is None
    assert ledger.parts_done(case) == ledger.last_passes(case) == {}
    struck = case.history.filter(act="struck out").last()
    assert struck.reason == ("try-in 1: a new jaw record is taken, and the casts are mounted by it")


def test_the_way_forward_asks_for_record_mounting_passes_and_another_try_in(back_at_the_office):
    walk = back_at_the_office
    technician = walk.hands.technician

    def missing(stage: Stage) -> list[str]:
        return [item.text for item in stages.missing(walk.reload(), stage)]

    assert missing(Stage.MOUNTING) == [
        "No jaw record has been counted in since the try-in asked for a new one."
    ]
    walk.pack(LAB, BoxContent.JAW_RECORD, by=walk.hands.office_desk)
    walk.case.boxes.filter(sent_at=None).update(sent_at=walk.case.stage_since)
    walk.take_in(LAB, by=walk.hands.lab_desk)
    walk.move(Stage.MOUNTING, technician)
    assert len(missing(Stage.SETTINGS)) == 3
    walk.case.mounting.delete()
    walk.reload()
    walk.mount()
    walk.move(Stage.SETTINGS, technician)
    walk.move(Stage.SET_UP, technician)
    assert len(missing(Stage.TRY_IN)) == 7
    walk.set_posterior()
    walk.check_bench()
    walk.move(Stage.TRY_IN, technician)

    assert walk.reload().try_ins.last().number == 2


def test_going_back_to_jaw_records_from_the_mounting_undoes_the_verification(before):
    walk = before(Stage.SETTINGS)

    walk.move(Stage.JAW_RECORDS, walk.hands.technician)

    assert walk.reload().mounting.foil_points is None
    assert walk.case.history.get(act="taken back").reason == "a new jaw record"


def test_the_first_way_to_jaw_records_undoes_nothing(before):
    walk = before(Stage.JAW_RECORDS)
    walk.enter(Stage.JAW_RECORDS)

    assert not walk.case.history.filter(act__in=("taken back", "struck out")).exists()


# --- the approved try-in -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "void"),
    [
        ({"instructions": "Narrow premolars."}, False),
        ({"flange": "partial flange"}, False),
        ({"base_material": "milled resin"}, False),
        ({"allergy": "listed", "allergy_text": "acrylate"}, False),
        ({"midline_offset_mm": Decimal("1")}, False),
        ({"shade": "A3"}, True),
        ({"scheme": "group"}, True),
        ({"overbite_mm": Decimal("2")}, True),
        ({"jaw_record": "centric relation"}, True),
    ],
)
def test_a_try_in_stays_approved_unless_the_revision_reaches_it(walk, changes, void):
    revise(**changes)(walk)
    first, second = Prescription.objects.filter(case=walk.case)

    assert undoing.reaches_the_try_in(first, second) is void
    asked = [item.text for item in gates.try_in_answered(walk.reload())]
    assert asked == (
        ["The try-in was approved for revision 1; revision 2 is in force."] if void else []
    )


def test_the_earliest_stage_counts():
    assert undoing.earliest(["flange", "shade", "jaw_record"]) == Stage.MOUNTING
    assert undoing.earliest(["instructions"]) is None
    assert undoing.earliest([]) is None
