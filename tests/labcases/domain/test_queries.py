"""Lists of cases: the bench's order, lines, and finding a case by anything but a name."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from labcases.domain import access, desk, prescription, queries, stages
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.domain.queries import Search
from labcases.enums import Arch, Route, Side, Stage, ToothStatus, TryInOutcome, TryInWish
from labcases.enums.prescribing import LowerBorder
from labcases.management.walk import natural, teeth_of
from labcases.models import Case, Organisation, User
from tests.factories import World, world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here() -> World:
    return world()


def put(case: Case, stage: Stage, **more) -> Case:
    """A case at a stage without the work that leads there."""
    Case.objects.filter(pk=case.pk).update(stage=stage, **more)
    return Case.objects.get(pk=case.pk)


def open_one(
    here: World,
    code: str,
    *,
    stage: Stage = Stage.DRAFT,
    in_days: int | None = 120,
    office: Organisation | None = None,
    by: User | None = None,
    name: str = "",
    **prescribed,
) -> Case:
    today = timezone.localdate()
    case = cases.open_case(
        office=office or here.office,
        laboratory=here.laboratory,
        patient_code=code,
        patient_name=name,
        surgery_on=None if in_days is None else today + timedelta(days=in_days),
        by=by or here.dora,
    )
    if prescribed:
        row = case.prescription
        prescription.save(row=row, version=row.version, by=here.dora, values=prescribed)
    return put(case, stage)


def codes(lines) -> list[str]:
    return [line.case.patient.code for line in lines]


def found(user: User, text: str = "", **more) -> list[str]:
    rows = queries.search(user, Search(text=text, **more))
    return sorted(case.patient.code for case in rows)


# --- lines ---------------------------------------------------------------------------------------


def test_open_cases_come_by_surgery_day_and_those_without_a_day_last(here):
    open_one(here, "later", in_days=60)
    open_one(here, "no-day", in_days=None)
    open_one(here, "soon", in_days=5)
    open_one(here, "same-day", in_days=60)
    open_one(here, "closed", stage=Stage.CLOSED)
    open_one(here, "declined", stage=Stage.DECLINED)

    assert codes(queries.open_lines(here.mona)) == ["soon", "later", "same-day", "no-day"]


def test_the_bench_has_what_is_in_hand_the_latest_first(here):
    open_one(here, "in-time", stage=Stage.SET_UP, in_days=60)
    open_one(here, "late", stage=Stage.SET_UP, in_days=9)
    open_one(here, "later-still", stage=Stage.ACCEPTED, in_days=9)
    open_one(here, "no-day", stage=Stage.FINAL_WAX, in_days=None)
    open_one(here, "sooner", stage=Stage.RELEASED, in_days=40)
    for stage in (Stage.DRAFT, Stage.JAW_RECORDS, Stage.TRY_IN, Stage.DISPATCHED, Stage.CLOSED):
        open_one(here, f"away-{stage[:3]}", stage=stage, in_days=3)

    rows = queries.bench(here.tomas)

    assert codes(rows) == ["later-still", "late", "sooner", "in-time", "no-day"]
    assert [row.late_days > 0 for row in rows] == [True, True, False, False, False]


def test_the_bench_shows_only_what_a_person_sees(here):
    open_one(here, "ours", stage=Stage.SET_UP)
    open_one(here, "neighbour", stage=Stage.SET_UP, office=here.other_office, by=here.olga)

    assert codes(queries.bench(here.tomas)) == ["ours", "neighbour"]
    assert codes(queries.bench(here.olga)) == ["neighbour"]


@pytest.mark.parametrize(
    ("stage", "glyph"),
    [
        (Stage.DRAFT, "waiting"),
        (Stage.SET_UP, "on the bench"),
        (Stage.TRY_IN, "waiting"),
        (Stage.RELEASED, "on the bench"),
        (Stage.CLOSED, "done"),
    ],
)
def test_a_line_says_with_a_glyph_where_the_case_is(here, stage, glyph):
    assert queries.line(open_one(here, "one", stage=stage)).glyph == glyph


def test_a_question_and_a_hold_come_before_the_stage(here):
    case = open_one(here, "one", stage=Stage.SET_UP)
    asking.ask(case=case, about="shade", text="B2?", waits_for=Side.OFFICE, by=here.tomas)

    line = queries.line(case)
    (listed,) = queries.open_lines(here.tomas)
    assert (line.glyph, line.waits_for) == ("waiting", Side.OFFICE)
    assert (listed.glyph, listed.waits_for) == ("waiting", Side.OFFICE)

    cases.hold(case=Case.objects.get(), reason="ill", by=here.mona)
    assert queries.line(Case.objects.get()).glyph == "on hold"


# --- the plan of a case ----------------------------------------------------------------------


def test_a_case_without_a_surgery_day_or_at_its_end_has_no_plan(here):
    assert queries.plan_of(open_one(here, "no-day", in_days=None)) == []
    assert queries.plan_of(open_one(here, "over", stage=Stage.CANCELLED)) == []


def test_the_next_latest_day_is_the_nearest_that_is_ahead(here):
    case = open_one(here, "one", stage=Stage.FINAL_WAX, in_days=60)

    line = queries.line(case)

    assert line.next_latest is not None
    assert line.next_latest.step == Stage.PROCESSING
    assert [row.step for row in line.plan if not row.reached] == [
        *(Stage.PROCESSING, Stage.DISPATCHED, Stage.RECEIVED)
    ]


def ahead(case: Case) -> list[Stage]:
    return [row.step for row in queries.plan_of(Case.objects.get(pk=case.pk)) if not row.reached]


@pytest.mark.parametrize(
    ("outcome", "is_ahead"),
    [
        ("", True),
        (TryInOutcome.NEW_RECORD, True),
        (TryInOutcome.APPROVED, False),
        (TryInOutcome.APPROVED_WITH_CHANGES, False),
        (TryInOutcome.WAIVED, False),
    ],
)
def test_a_try_in_is_ahead_until_it_is_approved(here, outcome, is_ahead):
    case = open_one(here, "one", stage=Stage.SET_UP)
    case.try_ins.create(number=1, revision=1, outcome=TryInOutcome.APPROVED)
    case.try_ins.create(number=2, revision=1, outcome=outcome)

    assert (Stage.TRY_IN in ahead(case)) is is_ahead


@pytest.mark.parametrize("wish", [TryInWish.WAIVED, TryInWish.NOT_POSSIBLE])
def test_a_try_in_that_will_not_take_place_is_not_ahead(here, wish):
    case = open_one(here, "one", stage=Stage.SET_UP, try_in=wish)

    assert Stage.TRY_IN not in ahead(case)


def test_the_interim_route_has_its_own_plan(here):
    case = open_one(here, "one", stage=Stage.DRAFT, route=Route.INTERIM)

    assert Stage.TRY_IN not in [row.step for row in queries.plan_of(case)]


# --- finding a case ------------------------------------------------------------------------------


def test_a_name_finds_nothing_in_any_spelling(here):
    open_one(here, "FS-1", name="Agnes Dunmore")

    for text in ("Agnes", "agnes", "Dunmore", "Agnes Dunmore", "Dun", "more", "AGNES"):
        assert found(here.dora, text) == []


def test_a_patient_code_is_found_from_its_beginning(here):
    open_one(here, "FS-1031")
    open_one(here, "FS-1042")
    open_one(here, "XFS-10")

    assert found(here.dora, "fs-10") == ["FS-1031", "FS-1042"]
    assert found(here.dora, "FS-1042") == ["FS-1042"]
    assert found(here.dora, "1031") == []


def test_four_characters_of_a_code_find_it_anywhere_in_it(here):
    case = open_one(here, "one")
    Case.objects.filter(pk=case.pk).update(code="7Q2K9A3BC4DH")
    open_one(here, "two")
    Case.objects.exclude(pk=case.pk).update(code="000000000002")

    for text in ("7Q2K", "9A3B", "c4dh", "K9A3", "7Q2K-9A3B", "7q2k 9a3b c4dh", "7Q2K-9A3B-C4DH"):
        assert found(here.dora, text) == ["one"]
    for text in ("7Q2", "4DH", "7Q2K9A3BC4DJ", "Q7K2"):
        assert found(here.dora, text) == []


def test_a_tray_number_is_found_whole(here):
    case = open_one(here, "one")
    cases.set_tray_number(case=case, version=case.version, tray_number="T-12", by=here.tomas)

    assert found(here.mona, "t-12") == ["one"]
    assert found(here.mona, "T-1") == []


def test_ended_cases_are_found_only_when_asked_for(here):
    open_one(here, "open")
    open_one(here, "closed", stage=Stage.CLOSED)

    assert found(here.mona) == ["open"]
    assert found(here.mona, include_ended=True) == ["closed", "open"]
    assert found(here.mona, stage=Stage.CLOSED) == ["closed"]
    assert found(here.mona, stage=Stage.SET_UP) == []


def test_a_surgery_day_office_side_and_arch_find_a_case(here):
    today = timezone.localdate()
    open_one(here, "upper", in_days=30, arch=Arch.UPPER)
    open_one(here, "lower", in_days=30, arch=Arch.LOWER)
    open_one(here, "other-day", in_days=31, arch=Arch.LOWER)

    day = today + timedelta(days=30)
    assert found(here.mona, surgery_on=day) == ["lower", "upper"]
    assert found(here.mona, surgery_on=day, arch=Arch.LOWER) == ["lower"]
    assert found(here.mona, arch=Arch.LOWER) == ["lower", "other-day"]


@pytest.mark.both_databases
def test_only_the_arch_in_force_counts(here):
    walk = here.walk(patient_code="turned")
    walk.to(Stage.SENT)
    row = prescription.revise(case=walk.reload(), by=here.dora)
    lower = {
        "arch": Arch.LOWER,
        "teeth": teeth_of(Arch.LOWER, Route.CONVENTIONAL),
        "opposing": natural(Arch.UPPER),
        "lower_border": LowerBorder.AS_MARKED,
    }
    prescription.save(row=row, version=row.version, by=here.dora, values=lower)

    assert (found(here.mona, arch="upper"), found(here.mona, arch="lower")) == (["turned"], [])

    walk.sign()
    assert (found(here.mona, arch="upper"), found(here.mona, arch="lower")) == ([], ["turned"])


def test_a_tooth_finds_the_cases_that_replace_it(here):
    all_upper = teeth_of(Arch.UPPER, Route.CONVENTIONAL)
    open_one(here, "all", teeth=all_upper)
    open_one(here, "but-16", teeth=all_upper | {"16": ToothStatus.STAYS.value})
    open_one(here, "lower", arch=Arch.LOWER, teeth=teeth_of(Arch.LOWER, Route.CONVENTIONAL))

    def replace(tooth: str) -> list[str]:
        rows = queries.search(here.mona, Search(tooth=tooth))
        return sorted(case.patient.code for case in queries.with_tooth(rows, tooth))

    assert replace("16") == ["all"]
    assert replace("11") == ["all", "but-16"]
    assert replace("46") == ["lower"]
    assert replace("18") == []


def test_what_a_person_may_not_see_is_not_found(here):
    open_one(here, "ours")
    open_one(here, "neighbour", office=here.other_office, by=here.olga)

    assert found(here.olga, "ours") == []
    assert found(here.dora) == ["ours"]
    assert found(here.mona) == ["neighbour", "ours"]


# --- the number of questions asked of the database -----------------------------------------------


def asked_of_the_database(act) -> int:
    with CaptureQueriesContext(connection) as context, access.read_once():
        act()
    return len(context)


@pytest.mark.parametrize("name", ["tomas", "farah"])
def test_lists_ask_the_database_the_same_few_questions_whatever_their_length(here, name):
    user = getattr(here, name)
    today = timezone.localdate()

    def week() -> None:
        lines = queries.open_lines(user)
        desk.days_of(lines, today, 7)
        desk.waits(lines)
        desk.boxes_under_way(lines, "to the laboratory")

    def searched() -> None:
        found = queries.with_tooth(queries.search(user, Search(tooth="16")), "16")
        rows = queries.fetch(found, user)
        assert rows
        assert all(queries.line(row).plan for row in rows)

    def bench() -> None:
        lines = queries.bench(user)
        queries.fetch_bench(lines)
        assert all(stages.ways(line.case, user) for line in lines)

    acts = {"bench": bench, "week": week, "search": searched}
    walk = here.walk(patient_code="first")
    walk.to(Stage.SET_UP)
    asking.ask(case=walk.case, about="a", text="b", waits_for=Side.OFFICE, by=here.tomas)

    def one_more_at_each_stage(name: str) -> dict[str, int]:
        for number in range(12):
            case = open_one(
                here, f"{name}-{number}", stage=list(Stage)[number], teeth={"16": "lost"}
            )
            asking.ask(case=case, about="a", text="b", waits_for=Side.OFFICE, by=here.tomas)
        return {what: asked_of_the_database(act) for what, act in acts.items()}

    few, many = one_more_at_each_stage("some"), one_more_at_each_stage("more")

    assert len(access.visible_cases(user)) == 25
    assert many == few
    assert many == {"bench": 19, "week": 10, "search": 8}
