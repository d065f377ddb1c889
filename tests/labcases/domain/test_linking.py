"""Linking the cases of two arches: what is shared, what is refused, and going out together."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from labcases.domain import access, linking, pairs, queries, stages, ways_back
from labcases.domain import case as cases
from labcases.domain.acts import Way
from labcases.domain.linking import CannotLink
from labcases.domain.queries import Search
from labcases.domain.ways_back import CannotUndo
from labcases.enums import BoxContent, BoxDirection, Stage
from labcases.management.walk import Walk
from labcases.models import Case, CaseLink, Prescription
from tests.factories import World, world
from tests.labcases.domain.test_pairs import BEING_MADE, DENTURE

pytestmark = pytest.mark.django_db

DAY = timezone.localdate() + timedelta(days=120)


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def first(cast) -> Case:
    """The upper case, written and linked with nothing yet."""
    return cast.case_at(
        Stage.DRAFT, opposing=DENTURE["lower"], opponent=BEING_MADE, scheme="group", shade="A3"
    )


@pytest.fixture
def second(cast, first) -> Case:
    return linking.open_other(case=first, by=cast.dora)


def fresh(case: Case) -> Case:
    return Case.objects.get(pk=case.pk)


def test_the_other_arch_opens_for_the_same_patient_houses_and_day(cast, first, second):
    assert (second.patient, second.office, second.laboratory) == (
        first.patient,
        first.office,
        first.laboratory,
    )
    assert second.surgery_on == first.surgery_on == DAY
    assert pairs.other(fresh(first)) == second
    assert pairs.other(second) == first
    assert second.code != first.code


def test_what_was_said_once_of_the_mouth_is_carried_and_what_belongs_to_an_arch_is_not(second):
    row = second.prescription

    assert (row.arch, row.status) == ("lower", "draft")
    assert (row.scheme, row.shade, row.allergy) == ("group", "A3", "none known")
    assert (row.opponent, row.opposing) == (BEING_MADE, DENTURE["upper"])
    assert (row.teeth, row.mould, row.post_dam, row.lower_border) == ({}, "", "", "")
    assert row.over_eruption_mm == {}


def test_linking_stands_in_the_history_of_both(first, second):
    assert first.history.last().reason == f"with {pairs.named(second)}"
    entries = second.history.filter(act="linked")
    assert [entry.reason for entry in entries] == [f"with {pairs.named(first)}"]


def draft(cast: World, *, arch: str = "lower", code: str = "P-100", days: int | None = 120) -> Case:
    walk = cast.walk(patient_code=code, surgery_in_days=days)
    Prescription.objects.filter(case=walk.case).update(arch=arch)
    return walk.reload()


def test_an_open_case_of_the_patient_is_linked_and_takes_the_day(cast, first):
    other = draft(cast, days=None)
    assert linking.candidates(first, cast.farah) == [other]

    linking.link(case=first, other=other, by=cast.farah)

    assert fresh(other).surgery_on == DAY
    assert linking.candidates(first, cast.farah) == []


def refused(case: Case, other: Case, cast: World) -> str:
    with pytest.raises(CannotLink) as told:
        linking.link(case=case, other=other, by=cast.farah)
    assert not CaseLink.objects.filter(first=case, second=other).exists()
    return str(told.value)


def test_what_cannot_be_linked_is_refused_in_words(cast, first):
    assert refused(first, first, cast) == (
        "A case is not linked with itself. Choose the case of the other arch."
    )
    assert refused(first, draft(cast, code="P-101"), cast) == (
        "Only cases of one patient, at one office and one laboratory, are linked. Choose one of "
        "the list."
    )
    assert refused(first, draft(cast, arch="upper"), cast) == (
        "Both cases are for the upper arch. Linked cases make one denture each, upper and lower: "
        "correct the arch of the wrong one first."
    )
    later = draft(cast, days=121)
    assert refused(first, later, cast) == (
        f"The surgery day is {DAY:%d-%b-%Y} in case {pairs.named(first)} and "
        f"{DAY + timedelta(days=1):%d-%b-%Y} in case {pairs.named(later)}. Linked cases share one "
        "day: move one of them first."
    )
    ended = draft(cast)
    stages.move(case=ended, to=Stage.CANCELLED, by=cast.dora, reason="not wanted")
    assert refused(first, ended, cast) == (
        f"Case {pairs.named(fresh(ended))} has ended (cancelled). Only open cases are linked."
    )


def test_a_case_stands_in_one_link_at_a_time(cast, first, second):
    third = draft(cast)

    assert refused(fresh(first), third, cast) == (
        f"Case {pairs.named(first)} is linked with case {pairs.named(second)} already. Unlink them "
        "first, with a reason."
    )
    with pytest.raises(CannotLink) as told:
        linking.open_other(case=fresh(first), by=cast.dora)
    assert str(told.value) == (
        f"The other arch is open already: case {pairs.named(second)} is linked."
    )


def test_unlinking_asks_for_a_reason_and_stands_in_both_histories(cast, first, second):
    with pytest.raises(ValueError, match=r"^Give the reason why the cases are unlinked\.$"):
        linking.unlink(case=first, reason="  ", by=cast.farah)

    linking.unlink(case=second, reason="the lower is postponed", by=cast.farah)

    assert pairs.other(fresh(first)) is None
    assert pairs.other(fresh(second)) is None
    for one, other in ((first, second), (second, first)):
        entry = one.history.last()
        assert (entry.act, entry.reason) == ("unlinked", "the lower is postponed")
        assert entry.changes == {"linked with": [pairs.named(other), ""]}
    with pytest.raises(CannotLink) as told:
        linking.unlink(case=first, reason="again", by=cast.farah)
    assert str(told.value) == "This case is linked with no other any more."
    linking.link(case=first, other=second, by=cast.farah)
    assert CaseLink.objects.count() == 2


# --- one surgery day ---------------------------------------------------------------------------


def test_moving_the_day_of_one_moves_both_and_asks_the_dentist_for_both(cast, first, second):
    cases.confirm_surgery(case=fresh(second), version=fresh(second).version, by=cast.dora)
    assert fresh(first).surgery_confirmed_by == fresh(second).surgery_confirmed_by == cast.dora
    assert fresh(first).history.last().reason == f"confirmed with case {pairs.named(second)}"

    later = DAY + timedelta(days=7)
    cases.set_surgery(case=fresh(first), version=fresh(first).version, on=later, by=cast.farah)

    assert [fresh(one).surgery_on for one in (first, second)] == [later, later]
    assert [fresh(one).surgery_confirmed_at for one in (first, second)] == [None, None]
    entry = second.history.last()
    assert entry.reason == f"moved with case {pairs.named(first)}"
    assert entry.changes["surgery on"] == [f"{DAY}", f"{later}"]


@pytest.mark.parametrize("stage", [Stage.DELIVERED, Stage.CANCELLED, Stage.CLOSED])
def test_a_case_that_had_its_day_keeps_it(cast, first, second, stage):
    Case.objects.filter(pk=second.pk).update(stage=stage)
    later = DAY + timedelta(days=7)

    cases.set_surgery(case=fresh(first), version=fresh(first).version, on=later, by=cast.farah)

    assert fresh(first).surgery_on == later
    assert fresh(second).surgery_on == DAY


@pytest.mark.parametrize("act", ["moved", "confirmed"])
def test_a_shared_day_is_not_undone_on_one_case_alone(cast, first, second, act):
    if act == "moved":
        later = DAY + timedelta(days=7)
        cases.set_surgery(case=fresh(first), version=fresh(first).version, on=later, by=cast.dora)
    else:
        cases.confirm_surgery(case=fresh(first), version=fresh(first).version, by=cast.dora)

    for one, other in ((first, second), (second, first)):
        with pytest.raises(CannotUndo) as told:
            ways_back.take(Way.RESTORE, one.history.last(), cast.dora)
        assert str(told.value) == (
            f"Linked case {pairs.named(other)} has the same surgery day. Change the day itself: "
            "that does it for both."
        )


def test_a_day_saved_unchanged_moves_nothing(cast, first, second):
    lines = second.history.count()

    cases.set_surgery(case=fresh(first), version=fresh(first).version, on=DAY, by=cast.farah)

    assert second.history.count() == lines


# --- released and dispatched together ------------------------------------------------------------


@pytest.fixture
def ready(cast) -> tuple[Walk, Walk]:
    """Upper and lower, each with everything of its own that its release asks for."""
    upper = cast.walk()
    upper.ready(Stage.RELEASED, opposing=DENTURE["lower"])
    lower = Walk(draft(cast), cast.hands)
    lower.ready(Stage.RELEASED, arch="lower", opposing=DENTURE["upper"])
    linking.link(case=upper.reload(), other=lower.reload(), by=cast.farah)
    return upper, lower


def lacking(walk: Walk, to: Stage) -> list[tuple[str, str, Any]]:
    return [(one.text, one.part, one.passable) for one in stages.missing(walk.reload(), to)]


MANAGER = "pass a manager's gate"


def test_two_cases_that_are_ready_let_each_other_out(cast, ready):
    upper, lower = ready

    for walk in ready:
        assert lacking(walk, Stage.RELEASED) == []
        walk.move(Stage.RELEASED, cast.mona)
    assert lacking(upper, Stage.DISPATCHED)[-1] == (
        f"Linked case {pairs.named(lower.case)} lacks this: Pack a box with the denture.",
        "linked",
        MANAGER,
    )
    for walk in ready:
        walk.pack(BoxDirection.TO_OFFICE, BoxContent.DENTURE, by=cast.lena)
    for walk in ready:
        assert lacking(walk, Stage.DISPATCHED) == []
        walk.move(Stage.DISPATCHED, cast.lena)


def test_a_case_that_is_not_ready_holds_the_other_back_by_name(cast, ready):
    upper, lower = ready
    lower.case.release.delete()
    name = pairs.named(lower.reload())
    assert lacking(upper, Stage.RELEASED) == [
        (
            f"Linked case {name} lacks this: Enter the disinfection of the finished denture.",
            "linked",
            MANAGER,
        )
    ]

    cases.hold(case=lower.reload(), reason="the dentist is away", by=cast.mona)
    assert lacking(upper, Stage.RELEASED)[0][0] == (
        f"Linked case {name} lacks this: It is on hold."
    )

    Case.objects.filter(pk=lower.case.pk).update(stage=Stage.FINAL_WAX, on_hold=False)
    assert lacking(upper, Stage.RELEASED) == [
        (
            f"Linked case {name} stands at final wax, and both are released together.",
            "linked",
            MANAGER,
        )
    ]
    Case.objects.filter(pk=lower.case.pk).update(stage=Stage.CANCELLED)
    assert lacking(upper, Stage.RELEASED) == []


def test_the_manager_lets_one_go_ahead_with_a_reason_that_is_kept(cast, ready):
    upper, lower = ready
    lower.case.release.delete()
    with pytest.raises(stages.Refused):
        stages.move(case=upper.reload(), to=Stage.RELEASED, by=cast.mona)

    stages.move(
        case=upper.reload(), to=Stage.RELEASED, by=cast.mona, reason="the lower follows tomorrow"
    )

    passed = upper.reload().history.filter(act="passed a gate").last()
    assert passed.reason == (
        f"the lower follows tomorrow (open: Linked case {pairs.named(lower.reload())} lacks this: "
        "Enter the disinfection of the finished denture.)"
    )
    upper.pack(BoxDirection.TO_OFFICE, BoxContent.DENTURE, by=cast.lena)
    assert lacking(upper, Stage.DISPATCHED) == [
        (
            f"Linked case {pairs.named(lower.reload())} is not released yet, and both are "
            "dispatched together.",
            "linked",
            MANAGER,
        )
    ]


def test_teeth_are_set_when_both_prescriptions_say_the_same(cast):
    upper = cast.walk()
    upper.ready(Stage.SET_UP, opposing=DENTURE["lower"], opponent=BEING_MADE)
    other = linking.open_other(case=upper.reload(), by=cast.dora)
    assert lacking(upper, Stage.SET_UP) == []

    Prescription.objects.filter(case=other).update(scheme="group")
    assert lacking(upper, Stage.SET_UP) == [
        (
            f"The occlusal scheme is balanced in case {pairs.named(upper.case)}, group function "
            f"in case {pairs.named(other)}.",
            "linked",
            MANAGER,
        )
    ]


# --- who finds and sees both ---------------------------------------------------------------------


def test_who_finds_one_finds_both_and_lists_name_the_other(cast, first, second):
    for asked in (first.code, second.code[:5]):
        assert set(queries.search(cast.farah, Search(text=asked))) == {first, second}

    lines = {line.case: line.linked for line in queries.open_lines(cast.farah)}
    assert lines == {first: second, second: first}

    linking.unlink(case=first, reason="apart", by=cast.farah)
    assert list(queries.search(cast.farah, Search(text=first.code))) == [first]


def test_a_linked_case_is_seen_by_its_own_houses_only(cast, first, second):
    for person in (cast.dora, cast.farah, cast.tomas, cast.lena, cast.mona):
        assert set(access.visible_cases(person)) == {first, second}
    assert list(access.visible_cases(cast.olga)) == []
