"""The history of a house: what is written, and that nobody takes it back."""

from datetime import date

import pytest
from django.db import DatabaseError, connection, transaction

from labcases.domain import calendars, house_history, people
from labcases.enums import Role, Side
from labcases.models import AppendOnly, HouseEntry
from tests.factories import world

pytestmark = pytest.mark.django_db


def told(house):
    return [
        (row.act, row.part, row.changes) for row in HouseEntry.objects.filter(organisation=house)
    ]


def test_inviting_joining_and_withdrawing_are_told():
    here = world()
    made = people.invite(
        organisation=here.laboratory, role=Role.TECHNICIAN, invited_name="Nils", by=here.mona
    )
    people.withdraw(invitation=made.invitation, by=here.mona)
    people.withdraw(invitation=made.invitation, by=here.mona)  # nothing is withdrawn twice
    second = people.invite(
        organisation=here.laboratory, role=Role.MANAGER, invited_name="Tomas", by=here.mona
    )
    people.accept(secret=second.secret, user=here.tomas)

    assert told(here.laboratory) == [
        ("joined", "people", {"Tomas Abelard": ["", "laboratory manager"]}),
        ("invited", "people", {"Tomas": ["", "laboratory manager"]}),
        ("withdrew the invitation of", "people", {"Nils": ["technician", ""]}),
        ("invited", "people", {"Nils": ["", "technician"]}),
    ]


def test_both_houses_read_that_a_link_ended():
    here = world()
    people.end_link(link=here.office.laboratory_links.get(laboratory=here.laboratory), by=here.mona)

    assert told(here.laboratory) == [
        ("unlinked", "offices", {"Ferry Street Office": ["linked", ""]})
    ]
    assert told(here.office) == [
        ("unlinked", "laboratories", {"Tarn Lane Laboratory": ["linked", ""]})
    ]


def test_the_calendar_and_the_road_are_told_with_what_they_were():
    here = world()
    house = here.laboratory
    calendars.set_week(organisation=house, weekdays=[1, 2, 3], by=here.mona)
    first, last = date(2027, 12, 24), date(2027, 12, 25)
    calendars.close(organisation=house, first=first, last=last, reason="feast", by=here.mona)
    calendars.reopen(row=house.days.first(), by=here.mona)
    link = here.office.laboratory_links.get(laboratory=house)
    calendars.set_road(link=link, days=3, side=Side.OFFICE, by=here.dora)
    calendars.set_road(link=link, days=3, side=Side.OFFICE, by=here.dora)  # says nothing new

    assert [changes for _act, _part, changes in told(house)] == [
        {"days on the road to Ferry Street Office": ["1", "3"]},
        {"closed, feast": ["2027-12-24", ""]},
        {"closed, feast": ["", "2027-12-24 to 2027-12-25"]},
        {"open": ["Monday to Friday", "Monday to Wednesday"]},
    ]


def test_a_value_is_told_with_the_one_before_and_only_where_it_differs():
    here = world()
    house = here.laboratory
    assert house_history.save(row=house, after={"foil_um": 12}, part="entries", by=here.mona)
    assert not house_history.save(row=house, after={"foil_um": 12}, part="entries", by=here.mona)

    assert told(house) == [("changed", "entries", {"foil um": [8, 12]})]
    assert HouseEntry.objects.get().position == "Laboratory manager"


def test_an_entry_is_neither_changed_nor_erased():
    here = world()
    row = house_history.enter(
        organisation=here.laboratory, by=here.mona, act="changed", part="people"
    )

    for attempt in (row.save, row.delete, HouseEntry.objects.all().delete):
        with pytest.raises(AppendOnly):
            attempt()
    with pytest.raises(AppendOnly):
        HouseEntry.objects.update(act="nothing")
    for statement in (
        "UPDATE labcases_houseentry SET act = 'x'",
        "DELETE FROM labcases_houseentry",
        "INSERT OR REPLACE INTO labcases_houseentry SELECT * FROM labcases_houseentry",
    ):
        with (
            pytest.raises(DatabaseError, match="append-only"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(statement)
