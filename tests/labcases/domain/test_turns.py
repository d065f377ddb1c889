"""Many people write history of one laboratory at once: one order, no gaps, nobody stuck."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection, connections
from django.test.utils import CaptureQueriesContext

from labcases.domain import bench, chain, history, remounting, stages
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.domain.remounting import NotSentBack
from labcases.domain.stages import Refused
from labcases.domain.versions import EditConflict
from labcases.enums import ReturnTo, Side, Stage
from labcases.models import Case, HistoryEntry, Mounting
from tests.factories import OfficeLinkFactory, World, world

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]
TOLD = (EditConflict, Refused, NotSentBack)


def at_once(acts) -> None:
    """Every act in a thread of its own, begun at one moment; what they raise is raised here."""
    start = Barrier(len(acts))

    def one(act) -> None:
        start.wait(timeout=30)
        try:
            act()
        finally:
            connections.close_all()

    with ThreadPoolExecutor(len(acts)) as pool:
        for done in [pool.submit(one, act) for act in acts]:
            done.result()


@pytest.fixture
def here(transactional_db) -> World:
    return world()


def numbers(laboratory) -> list[int]:
    rows = HistoryEntry.objects.filter(laboratory=laboratory).order_by("pk")
    return list(rows.values_list("sequence", flat=True))


def test_entries_of_two_laboratories_written_at_once_have_one_order_each(here):
    OfficeLinkFactory(office=here.office, laboratory=here.other_laboratory)
    ours = [here.walk(patient_code=f"P-{number}").case for number in range(4)]
    theirs = cases.open_case(
        office=here.office, laboratory=here.other_laboratory, patient_code="P-9", by=here.dora
    )

    def write(case) -> None:
        for number in range(8):
            history.write(case=case, by=here.dora, act="noted", part=f"part {number}")

    at_once([lambda case=case: write(case) for case in (*ours, *ours, theirs, theirs)])

    assert numbers(here.laboratory) == list(range(1, 4 + 8 * 8 + 1))
    assert numbers(here.other_laboratory) == list(range(1, 1 + 2 * 8 + 1))
    assert chain.walk(here.laboratory).broken is None
    assert chain.walk(here.other_laboratory).broken is None


def test_the_first_entries_of_a_laboratory_may_come_at_once(here):
    at_once([lambda n=n: here.walk(patient_code=f"P-{n}") for n in range(6)])

    assert numbers(here.laboratory) == [1, 2, 3, 4, 5, 6]
    assert chain.walk(here.laboratory).broken is None


def test_verbs_that_lock_the_same_rows_do_not_wait_for_each_other_for_ever(here):
    """A mounting that is sent back locks case and mounting; a save locks the mounting alone."""
    walk = here.walk()
    walk.to(Stage.SETTINGS)
    case = walk.case

    def back() -> None:
        for _ in range(4):
            row = Mounting.objects.get(case=case)
            told = Case.objects.get(pk=case.pk)
            try:
                remounting.send_back(
                    case=told,
                    to=ReturnTo.NEW_MOUNTING,
                    reason="it rocks",
                    version=row.version,
                    by=here.tomas,
                )
            except TOLD:
                continue

    def mount() -> None:
        for number in range(8):
            row = Mounting.objects.get(case=case)
            try:
                bench.save_mounting(
                    case=Case.objects.get(pk=case.pk),
                    version=row.version,
                    by=here.mona,
                    values={"record_medium": f"wax {number}", "pin_zero_mm": number},
                )
            except TOLD:
                continue

    def talk() -> None:
        for number in range(6):
            asked = asking.ask(
                case=Case.objects.get(pk=case.pk),
                about="the shade",
                text=f"{number}?",
                waits_for=Side.OFFICE,
                blocking=False,
                by=here.tomas,
            )
            asking.answer(question=asked, text="A2", by=here.dora)

    def move() -> None:
        for _ in range(4):
            told = Case.objects.get(pk=case.pk)
            to = Stage.MOUNTING if told.stage == Stage.SETTINGS else Stage.JAW_RECORDS
            try:
                stages.move(case=told, to=to, by=here.tomas)
            except TOLD:
                continue

    def log() -> None:
        for number in range(4):
            bench.log(case=case, by=here.tomas, values={"act": "note", "note": f"{number}"})

    at_once([back, mount, mount, talk, move, log])

    found = numbers(here.laboratory)
    assert found == list(range(1, len(found) + 1))
    assert chain.walk(here.laboratory).broken is None


def test_the_turn_is_taken_before_any_other_row_is_locked(here):
    """Otherwise two people could each hold what the other waits for."""
    case = here.case_at(Stage.ACCEPTED)
    with CaptureQueriesContext(
        connection,
    ) as told:
        stages.move(case=case, to=Stage.MASTER_CAST, by=here.tomas)
    writing = [
        query["sql"]
        for query in told
        if "FOR UPDATE" in query["sql"] or query["sql"].startswith(("UPDATE", "INSERT"))
        # What the desk keeps of the case is made again at the end of the turn.
        if "labcases_deskrow" not in query["sql"]
    ]
    if connection.vendor == "postgresql":
        assert "labcases_chainhead" in writing[0]
    assert "labcases_chainhead" in writing[-1]
