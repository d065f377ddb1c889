"""The permission table as the design has it, and the one rule of who sees a case."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import AnonymousUser

from labcases.domain import access, gates, stages
from labcases.domain import case as cases
from labcases.enums import OrganisationKind, Position, Role, Stage
from labcases.models import Case, Membership
from tests.factories import (
    MembershipFactory,
    OfficeLinkFactory,
    OrganisationFactory,
    UserFactory,
    World,
    member,
    world,
)

pytestmark = pytest.mark.django_db

# act: dentist, office desk, technician, laboratory desk, laboratory manager
YES, NO = True, False
TABLE = {
    "see a case": (YES, YES, YES, YES, YES),
    "see the patient's name": (YES, YES, NO, NO, NO),
    "open a case": (YES, YES, NO, NO, NO),
    "link cases": (YES, YES, NO, YES, YES),
    "write a prescription": (YES, YES, NO, NO, NO),
    "sign": (YES, NO, NO, NO, NO),
    "approve": (YES, NO, NO, NO, NO),
    "raise a proposal": (NO, NO, YES, NO, YES),
    "record a try-in": (YES, NO, NO, NO, NO),
    "record a delivery": (YES, NO, NO, NO, NO),
    "record a review": (YES, NO, NO, NO, NO),
    "remount after delivery": (YES, NO, YES, NO, YES),
    "record a reline": (YES, NO, YES, NO, YES),
    "settle an unreported delivery": (YES, YES, NO, YES, YES),
    "send the case": (YES, YES, NO, NO, NO),
    "pack a box": (YES, YES, YES, YES, YES),
    "take in a box": (YES, YES, YES, YES, YES),
    "book dates": (YES, YES, NO, NO, NO),
    "see a moved date": (YES, YES, YES, YES, YES),
    "propose dates": (NO, NO, NO, YES, YES),
    "confirm surgery": (YES, NO, NO, NO, NO),
    "ask a question": (YES, YES, YES, YES, YES),
    "answer a question": (YES, YES, YES, YES, YES),
    # Clinical questions wait for the office, and there for the dentist.
    "answer a clinical question": (YES, NO, NO, NO, NO),
    "bench work": (NO, NO, YES, NO, YES),
    "order teeth": (NO, NO, YES, YES, YES),
    "release": (NO, NO, NO, NO, YES),
    "dispatch": (NO, NO, YES, YES, YES),
    "receive": (YES, YES, NO, NO, NO),
    "pass a manager's gate": (NO, NO, NO, NO, YES),
    "pass a dentist's gate": (YES, NO, NO, NO, NO),
    "hold a case": (YES, YES, YES, YES, YES),
    "decline a case": (NO, NO, NO, NO, YES),
    "cancel a case": (YES, NO, NO, NO, YES),
    "print": (YES, YES, YES, YES, YES),
    "export a case": (YES, YES, NO, NO, YES),
    "ask for erasure": (YES, NO, NO, NO, NO),
    "ask for erasure on paper": (NO, NO, NO, NO, YES),
    "trace a lot": (NO, NO, YES, YES, YES),
    "add a photograph or paper": (YES, YES, YES, YES, YES),
    "confirm the patient's agreement": (YES, YES, NO, NO, NO),
    "take out any picture": (YES, NO, NO, NO, YES),
    "transcribe a signed paper": (NO, NO, NO, YES, YES),
    "confirm a signed paper": (NO, NO, YES, YES, YES),
    "send a case signed on paper": (YES, YES, NO, YES, YES),
    "report an incident": (YES, YES, YES, YES, YES),
    "close an incident": (YES, YES, YES, YES, YES),
    "strike out any incident": (YES, NO, NO, NO, YES),
    "enter a complaint": (YES, YES, YES, YES, YES),
    "look into a complaint": (YES, NO, YES, NO, YES),
    "close a complaint": (YES, NO, NO, NO, YES),
    "strike out any complaint": (YES, NO, NO, NO, YES),
    "confirm the patient": (YES, YES, YES, YES, YES),
}
COLUMNS = ("dora", "farah", "tomas", "lena", "mona")
POSITIONS = (
    Position.DENTIST,
    Position.OFFICE_DESK,
    Position.TECHNICIAN,
    Position.LAB_DESK,
    Position.LAB_MANAGER,
)


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def case(here) -> Case:
    return here.walk(patient_name="Ada Quill").case


def test_every_act_stands_in_the_table_and_no_other():
    assert set(access.MAY) == set(TABLE)
    assert set(Position) == set(POSITIONS)


@pytest.mark.parametrize("act", TABLE)
def test_each_position_may_what_the_table_says(here, case, act):
    people_here = [getattr(here, name) for name in COLUMNS]

    assert tuple(access.may(person, act, case) for person in people_here) == TABLE[act]
    assert tuple(position in access.MAY[act] for position in POSITIONS) == TABLE[act]


def test_nobody_from_elsewhere_may_anything(here, case):
    strangers = [
        here.olga,
        member("Otto Weir", here.other_laboratory, Role.MANAGER),
        UserFactory(is_superuser=True, is_staff=True),
        AnonymousUser(),
    ]

    for person in strangers:
        assert access.acts(person, case) == frozenset()
        assert access.positions(person, case) == frozenset()
        assert list(access.visible_cases(person)) == []


def test_acts_are_the_rows_with_a_yes(here, case):
    assert access.acts(here.lena, case) == {
        *(
            "see a case",
            "pack a box",
            "take in a box",
            "propose dates",
            "see a moved date",
            "ask a question",
        ),
        *("answer a question", "dispatch", "hold a case", "print"),
        *("add a photograph or paper", "transcribe a signed paper", "confirm a signed paper"),
        *("send a case signed on paper", "order teeth", "link cases"),
        *("settle an unreported delivery", "trace a lot"),
        *("report an incident", "close an incident", "confirm the patient"),
        "enter a complaint",
    }


def test_several_roles_add_up_and_go_no_further(here, case):
    MembershipFactory(user=here.lena, organisation=here.laboratory, role=Role.TECHNICIAN)

    assert access.positions(here.lena, case) == {Position.LAB_DESK, Position.TECHNICIAN}
    assert access.may(here.lena, "bench work", case)
    assert access.may(here.lena, "propose dates", case)
    assert not access.may(here.lena, "release", case)


# --- who sees a case ---------------------------------------------------------------------------


def seen_by(person) -> set[str]:
    return {case.patient.code for case in access.visible_cases(person)}


@pytest.fixture
def three_cases(here) -> World:
    """One of each office at the laboratory, and one of the first office at another one."""
    OfficeLinkFactory(office=here.office, laboratory=here.other_laboratory)
    for office, laboratory, code, by in (
        (here.office, here.laboratory, "ours", here.dora),
        (here.other_office, here.laboratory, "neighbour", here.olga),
        (here.office, here.other_laboratory, "elsewhere", here.dora),
    ):
        cases.open_case(office=office, laboratory=laboratory, patient_code=code, by=by)
    return here


@pytest.mark.parametrize(
    ("name", "codes"),
    [
        ("dora", {"ours", "elsewhere"}),
        ("farah", {"ours", "elsewhere"}),
        ("tomas", {"ours", "neighbour"}),
        ("lena", {"ours", "neighbour"}),
        ("mona", {"ours", "neighbour"}),
        ("olga", {"neighbour"}),
    ],
)
def test_a_person_sees_the_cases_of_their_house(three_cases, name, codes):
    assert seen_by(getattr(three_cases, name)) == codes


def test_a_case_is_seen_once_however_many_roles_a_person_holds(three_cases):
    here = three_cases
    MembershipFactory(user=here.dora, organisation=here.office, role=Role.FRONT_DESK)
    MembershipFactory(user=here.dora, organisation=here.laboratory, role=Role.MANAGER)

    found = [case.patient.code for case in access.visible_cases(here.dora)]

    assert sorted(found) == ["elsewhere", "neighbour", "ours"]


def test_an_ended_membership_counts_from_the_next_call(three_cases):
    here = three_cases
    row = Membership.objects.get(user=here.tomas)
    assert seen_by(here.tomas) == {"ours", "neighbour"}

    Membership.objects.filter(pk=row.pk).update(active=False)

    assert seen_by(here.tomas) == set()
    assert not access.may(here.tomas, "see a case", Case.objects.first())

    row.active = True
    row.save()
    assert seen_by(here.tomas) == {"ours", "neighbour"}


def test_a_page_reads_memberships_once_and_the_next_one_afresh(
    three_cases, django_assert_num_queries
):
    here, case = three_cases, Case.objects.first()
    with django_assert_num_queries(2), access.read_once():
        assert access.may(here.tomas, "bench work", case)
        assert access.organisations(here.tomas) == [here.laboratory]
        assert not access.may(here.olga, "bench work", case)
        access.memberships(here.tomas).clear()
        assert access.may(here.tomas, "bench work", case)

    Membership.objects.filter(user=here.tomas).update(active=False)

    assert not access.may(here.tomas, "bench work", case)
    with access.read_once():
        assert not access.may(here.tomas, "bench work", case)


def test_an_ended_role_leaves_the_others(here, case):
    MembershipFactory(user=here.mona, organisation=here.laboratory, role=Role.TECHNICIAN)
    Membership.objects.filter(user=here.mona, role=Role.MANAGER).update(active=False)

    assert access.positions(here.mona, case) == {Position.TECHNICIAN}
    assert not access.may(here.mona, "release", case)


def test_a_person_who_is_switched_off_sees_nothing(here, case):
    here.dora.is_active = False
    here.dora.save()

    assert list(access.visible_cases(here.dora)) == []
    assert access.acts(here.dora, case) == frozenset()
    assert not access.may_in(here.dora, "invite into an office", here.office)


def test_an_ended_link_leaves_cases_under_way_where_they_are(here, case):
    here.laboratory.office_links.update(active=False)

    assert case in access.visible_cases(here.tomas)
    assert case in access.visible_cases(here.dora)


# --- one organisation that is office and laboratory ----------------------------------------------


@pytest.fixture
def house(here):
    """Both in one: it makes its own cases, sends one away and works for another office."""
    both = OrganisationFactory(name="Weaver House", kind=OrganisationKind.BOTH)
    OfficeLinkFactory(office=both, laboratory=both)
    OfficeLinkFactory(office=both, laboratory=here.laboratory)
    OfficeLinkFactory(office=here.office, laboratory=both)
    staff = {
        role: member(f"{name} Vane", both, role)
        for name, role in (
            ("Dirk", Role.DENTIST),
            ("Fay", Role.FRONT_DESK),
            ("Tilda", Role.TECHNICIAN),
            ("Max", Role.MANAGER),
        )
    }
    for office, laboratory, code in (
        (both, both, "own"),
        (both, here.laboratory, "sent away"),
        (here.office, both, "taken in"),
    ):
        cases.open_case(
            office=office, laboratory=laboratory, patient_code=code, by=staff[Role.DENTIST]
        )
    return staff


@pytest.mark.parametrize(
    ("role", "codes"),
    [
        (Role.DENTIST, {"own", "sent away"}),
        (Role.FRONT_DESK, {"own", "sent away", "taken in"}),
        (Role.TECHNICIAN, {"own", "taken in"}),
        (Role.MANAGER, {"own", "taken in"}),
    ],
)
def test_in_a_house_that_is_both_a_role_sees_its_own_side(house, role, codes):
    assert seen_by(house[role]) == codes


def test_the_desk_of_a_house_that_is_both_stands_on_both_sides_of_its_own_case(house):
    own = Case.objects.get(patient__code="own")
    away = Case.objects.get(patient__code="sent away")
    taken = Case.objects.get(patient__code="taken in")

    assert access.positions(house[Role.FRONT_DESK], own) == {
        Position.OFFICE_DESK,
        Position.LAB_DESK,
    }
    assert access.positions(house[Role.FRONT_DESK], away) == {Position.OFFICE_DESK}
    assert access.positions(house[Role.FRONT_DESK], taken) == {Position.LAB_DESK}
    assert access.positions(house[Role.TECHNICIAN], away) == frozenset()
    assert not access.may(house[Role.FRONT_DESK], "see the patient's name", taken)


def test_a_role_that_has_no_place_on_a_side_gives_nothing_there(here, case):
    """A dentist in a laboratory, a technician in an office: rows that should not be."""
    odd = UserFactory()
    MembershipFactory(user=odd, organisation=here.laboratory, role=Role.DENTIST)
    MembershipFactory(user=odd, organisation=here.office, role=Role.TECHNICIAN)
    MembershipFactory(user=odd, organisation=here.office, role=Role.MANAGER)

    assert access.positions(odd, case) == frozenset()
    assert seen_by(odd) == set()


# --- inside an organisation --------------------------------------------------------------------

IN_ORGANISATION = {
    "invite into a laboratory": {Role.MANAGER},
    "link an office": {Role.MANAGER},
    "invite into an office": {Role.DENTIST},
    "keep the calendar": {Role.MANAGER, Role.DENTIST},
    "open a case from a paper": {Role.FRONT_DESK, Role.MANAGER},
    "keep the stock": {Role.TECHNICIAN, Role.FRONT_DESK, Role.MANAGER},
    "keep the stage plan": {Role.MANAGER},
    "keep the own materials": {Role.MANAGER},
    "keep bench devices": {Role.MANAGER},
    "trace lots": {Role.TECHNICIAN, Role.FRONT_DESK, Role.MANAGER},
    "keep the curing cycles": {Role.TECHNICIAN, Role.MANAGER},
    "read the quality": {Role.TECHNICIAN, Role.MANAGER},
    "read the bench load": {Role.TECHNICIAN, Role.MANAGER},
    "keep the bench load": {Role.MANAGER},
    "list devices": {Role.FRONT_DESK, Role.MANAGER},
}


@pytest.mark.parametrize("act", IN_ORGANISATION)
@pytest.mark.parametrize("role", Role)
def test_who_may_act_inside_an_organisation(here, act, role):
    house = OrganisationFactory(kind=OrganisationKind.BOTH)
    person = member("Ira Bell", house, role)

    assert access.may_in(person, act, house) == (role in IN_ORGANISATION[act])
    assert not access.may_in(person, act, here.laboratory)


def test_acts_inside_an_organisation_are_these():
    assert set(access.MAY_IN_ORGANISATION) == set(IN_ORGANISATION)


def test_roles_are_offered_where_they_make_sense():
    kinds = {kind: OrganisationFactory(kind=kind) for kind in OrganisationKind}

    assert access.roles_of(kinds["office"]) == (Role.DENTIST, Role.FRONT_DESK)
    assert access.roles_of(kinds["laboratory"]) == (Role.TECHNICIAN, Role.FRONT_DESK, Role.MANAGER)
    assert set(access.roles_of(kinds["both"])) == set(Role)


def test_organisations_are_named_once_and_in_order(here):
    MembershipFactory(user=here.mona, organisation=here.laboratory, role=Role.TECHNICIAN)
    MembershipFactory(user=here.mona, organisation=here.other_laboratory, role=Role.TECHNICIAN)

    assert access.organisations(here.mona) == [here.other_laboratory, here.laboratory]
    assert access.organisations(here.mona, (Role.MANAGER,)) == [here.laboratory]


# --- the verbs and the table agree ---------------------------------------------------------------


def test_moves_ask_only_acts_of_the_table():
    assert set(stages.MOVED_BY.values()) | gates.PASSES <= set(TABLE)
    assert set(stages.MOVED_BY) == set(Stage) - {Stage.DRAFT}
