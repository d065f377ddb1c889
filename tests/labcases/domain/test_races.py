"""Several people on one case at the same moment: one wins, the others are told."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from threading import Barrier

import pytest
from django.conf import settings
from django.db import connection, connections

from labcases.domain import box, prescription, processing, stages
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.domain.prescription import AlreadySigned, TooLateToRevise
from labcases.domain.stages import SomebodyWasFaster
from labcases.domain.versions import EditConflict
from labcases.enums import Route, Side, Stage
from labcases.management.walk import Walk
from labcases.models import Box, Case, Handoff, Prescription
from tests.factories import World, world

PEOPLE = 20

# --- one after the other, from a page that is no longer true ------------------------------------


@pytest.fixture
def cast(db) -> World:
    return world()


def ready(cast: World, stage: Stage) -> Walk:
    """A case of which only the move into a stage is left."""
    walk = cast.walk()
    walk.ready(stage)
    return walk


def test_of_two_people_who_press_at_once_the_second_is_told(cast):
    walk = ready(cast, Stage.JAW_RECORDS)
    seen_by_tomas, seen_by_mona = Case.objects.get(pk=walk.case.pk), walk.reload()
    entries = walk.case.history.count()

    stages.move(case=seen_by_tomas, to=Stage.JAW_RECORDS, by=cast.tomas)
    with pytest.raises(SomebodyWasFaster) as told:
        stages.move(case=seen_by_mona, to=Stage.JAW_RECORDS, by=cast.mona)

    assert str(told.value) == (
        "Somebody else was faster: the case now stands at jaw records. Look at it again before you "
        "go on."
    )
    assert walk.case.history.count() == entries + 1
    assert walk.case.history.last().by == cast.tomas


def test_who_takes_a_case_back_finds_that_it_has_gone_on(cast):
    walk = ready(cast, Stage.SET_UP)
    seen_by_mona = walk.reload()
    walk.enter(Stage.SET_UP)

    with pytest.raises(SomebodyWasFaster, match="the case now stands at set-up"):
        stages.move(case=seen_by_mona, to=Stage.MOUNTING, by=cast.mona)

    assert walk.reload().stage == Stage.SET_UP


def test_a_move_that_another_revision_took_off_the_table_is_refused(cast):
    """The page still offers a try-in; meanwhile the interim route is in force."""
    walk = ready(cast, Stage.TRY_IN)
    seen = Case.objects.prefetch_related("prescriptions").get(pk=walk.case.pk)
    walk.case.prescriptions.update(route=Route.INTERIM)

    with pytest.raises(SomebodyWasFaster) as told:
        stages.move(case=seen, to=Stage.TRY_IN, by=cast.tomas)

    assert str(told.value).startswith("Somebody else was faster: another revision")
    assert walk.reload().stage == Stage.SET_UP


def test_the_second_handoff_is_told_and_leaves_no_row(cast):
    walk = ready(cast, Stage.PROCESSING)
    seen = Case.objects.get(pk=walk.case.pk)
    walk.hand_over()

    with pytest.raises(SomebodyWasFaster, match="now stands at processing"):
        processing.hand_over(case=seen, by=cast.mona, values={"base_product": "another resin"})

    assert [row.base_product for row in Handoff.objects.filter(case=seen)] == [
        "heat-cured resin, pink, veined"
    ]


def test_a_revision_signed_from_an_old_page_does_not_pull_a_case_out_of_processing(cast):
    walk = ready(cast, Stage.PROCESSING)
    row = prescription.revise(case=walk.reload(), by=cast.dora)
    row = prescription.save(row=row, version=row.version, by=cast.dora, values={"shade": "A3"})
    assert row.case.stage == Stage.FINAL_WAX  # as the dentist's page has it
    walk.hand_over()

    with pytest.raises(TooLateToRevise):
        prescription.sign(
            row=row, version=row.version, by=cast.dora, signed_name="Dora", licence_number="D"
        )

    assert walk.reload().stage == Stage.PROCESSING
    assert walk.case.prescription.revision == 1


# --- at the same moment ------------------------------------------------------------------------

at_once = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


def together(act: Callable[[int], object], people: int = PEOPLE) -> Counter[str]:
    """Let that many people act at one moment; how many ended in which way."""
    start = Barrier(people)

    def one(number: int) -> str:
        start.wait(timeout=30)
        try:
            act(number)
        except (
            *(SomebodyWasFaster, AlreadySigned, EditConflict),
            *(asking.SaidMeanwhile, box.AlreadyMoved),
        ) as told:
            return type(told).__name__
        else:
            return "stored"
        finally:
            connections.close_all()

    with ThreadPoolExecutor(people) as pool:
        return Counter(pool.map(one, range(people)))


@pytest.fixture
def here(transactional_db) -> World:
    return world()


class TestAtOnce:
    pytestmark = at_once

    def test_twenty_people_move_one_case_and_one_move_is_stored(self, here):
        case = here.case_at(Stage.ACCEPTED)
        entries = case.history.count()
        seen = [Case.objects.get(pk=case.pk) for _ in range(PEOPLE)]
        people = (here.tomas, here.mona)

        ended = together(
            lambda n: stages.move(case=seen[n], to=Stage.MASTER_CAST, by=people[n % 2])
        )

        assert ended == {"stored": 1, "SomebodyWasFaster": 19}
        assert Case.objects.get(pk=case.pk).stage == Stage.MASTER_CAST
        assert case.history.count() == entries + 1

    def test_twenty_people_hand_over_and_one_handoff_is_stored(self, here):
        case = here.walk().ready(Stage.PROCESSING)
        seen = [Case.objects.get(pk=case.pk) for _ in range(PEOPLE)]

        ended = together(
            lambda n: processing.hand_over(
                case=seen[n],
                by=here.tomas,
                values={"base_material": "heat-cured resin", "base_product": f"resin {n}"},
            )
        )

        assert ended == {"stored": 1, "SomebodyWasFaster": 19}
        assert Handoff.objects.filter(case=case).count() == 1
        assert case.history.filter(act="handed over").count() == 1

    def test_twenty_people_take_in_one_box_and_one_count_is_stored(self, here):
        row = here.case_at(Stage.SENT).boxes.get()
        seen = [Box.objects.get(pk=row.pk) for _ in range(PEOPLE)]
        items = [item.pk for item in row.items.all()]
        people = (here.lena, here.tomas)

        ended = together(
            lambda n: box.receive(box=seen[n], counts=dict.fromkeys(items, n), by=people[n % 2])
        )

        assert ended == {"stored": 1, "AlreadyMoved": 19}
        assert len({item.received_count for item in row.items.all()}) == 1
        assert row.case.history.filter(act="taken in").count() == 1

    def test_twenty_signatures_leave_one(self, here):
        walk = here.walk()
        walk.prescribe()
        row = walk.reload().prescription
        seen = [Prescription.objects.get(pk=row.pk) for _ in range(PEOPLE)]

        ended = together(
            lambda n: prescription.sign(
                row=seen[n],
                version=row.version,
                by=here.dora,
                signed_name=f"Dora {n}",
                licence_number="D-1",
            )
        )

        assert (ended["stored"], ended["EditConflict"]) == (1, 19)
        assert walk.case.history.filter(act="signed").count() == 1

    def test_twenty_answers_leave_one(self, here):
        case = here.case_at(Stage.ACCEPTED)
        question = asking.ask(
            case=case, about="shade", text="B2?", waits_for=Side.OFFICE, by=here.tomas
        )
        seen = [type(question).objects.get(pk=question.pk) for _ in range(PEOPLE)]

        ended = together(lambda n: asking.answer(question=seen[n], text=f"A{n}", by=here.dora))

        assert ended == {"stored": 1, "SaidMeanwhile": 19}
        question.refresh_from_db()
        assert case.history.filter(act="answered").get().changes == {
            "shade": ["B2?", question.answer]
        }

    def test_eight_writers_lose_nothing(self, here):
        """Each writes six times and looks again whenever somebody was faster."""
        case = here.case_at(Stage.DRAFT)
        entries = case.history.count()

        def write(number: int) -> None:
            for time in range(6):
                while True:
                    fresh = Case.objects.get(pk=case.pk)
                    try:
                        cases.set_tray_number(
                            case=fresh,
                            version=fresh.version,
                            tray_number=f"{number}-{time}",
                            by=here.tomas,
                        )
                    except EditConflict:
                        continue
                    break

        version = case.version
        assert together(write, people=8) == {"stored": 8}

        assert case.history.count() == entries + 48
        assert Case.objects.get(pk=case.pk).version == version + 48
        lines = case.history.filter(part="case", act="changed")
        chain = [line.changes["tray number"] for line in lines]
        assert all(after == before for (_, after), (before, _) in pairwise(chain))

    def test_of_two_editors_one_is_always_shown_both_values(self, here):
        case = here.case_at(Stage.DRAFT)

        def write(number: int) -> None:
            cases.set_tray_number(
                case=seen[number], version=case.version, tray_number=f"T{number}", by=here.lena
            )

        for _ in range(20):
            case.refresh_from_db()
            Case.objects.filter(pk=case.pk).update(tray_number="")
            seen = [Case.objects.get(pk=case.pk) for _ in "ab"]
            assert together(write, people=2) == {"stored": 1, "EditConflict": 1}

    def test_three_processes_move_one_case_and_one_move_is_stored(self, here):
        case = here.case_at(Stage.ACCEPTED)
        entries = case.history.count()

        runs = [start_process(case, here.tomas.pk) for _ in range(3)]
        for run in runs:
            assert run.stdout.readline() == "ready\n"
        for run in runs:
            run.stdin.write("go\n")
            run.stdin.flush()
        said = Counter(run.communicate(timeout=60)[0].strip() for run in runs)

        assert [run.returncode for run in runs] == [0, 0, 0]
        assert said == {"stored": 1, "SomebodyWasFaster": 2}
        assert Case.objects.get(pk=case.pk).stage == Stage.MASTER_CAST
        assert case.history.count() == entries + 1


PROCESS = """
import sys
import django
django.setup()
from labcases.domain import stages
from labcases.enums import Stage
from labcases.models import Case, User
case, by = Case.objects.get(pk=sys.argv[1]), User.objects.get(pk=sys.argv[2])
print("ready", flush=True)
sys.stdin.readline()
try:
    stages.move(case=case, to=Stage.MASTER_CAST, by=by)
except stages.SomebodyWasFaster as told:
    print(type(told).__name__)
else:
    print("stored")
"""


def start_process(case: Case, by: int) -> subprocess.Popen[str]:
    """Another process with the case in hand, waiting for a line before it presses."""
    stored = connection.settings_dict
    if connection.vendor == "sqlite":
        url = f"sqlite:///{stored['NAME']}"
    else:
        url = f"postgresql://{stored['USER']}@{stored['HOST']}:{stored['PORT']}/{stored['NAME']}"
    return subprocess.Popen(
        [sys.executable, "-c", PROCESS, str(case.pk), str(by)],
        cwd=settings.BASE_DIR,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings", "DATABASE_URL": url},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
