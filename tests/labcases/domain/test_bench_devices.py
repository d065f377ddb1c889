"""Registering and stopping the devices of a bench, and what is done on them."""

import pytest

from labcases.domain import access, bench_devices
from labcases.domain import question as asking
from labcases.enums import Role, Side
from labcases.models import HistoryEntry, HouseEntry
from tests.factories import MembershipFactory, world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def register(here, called="Tablet 2"):
    return bench_devices.register(
        laboratory=here.laboratory, called=called, place="by the window", by=here.mona
    )


def test_a_device_is_found_by_its_token_until_it_is_stopped(here):
    made = register(here)
    assert bench_devices.find(made.token) == made.device
    assert made.device.token_digest != made.token
    bench_devices.stop(device=made.device, by=here.mona)
    bench_devices.stop(device=made.device, by=here.mona)  # says nothing new
    assert bench_devices.find(made.token) is None

    assert [
        (row.act, row.part, row.changes)
        for row in HouseEntry.objects.filter(organisation=here.laboratory)
    ] == [
        ("stopped", "bench devices", {"Tablet 2": ["by the window", ""]}),
        ("registered", "bench devices", {"Tablet 2": ["", "by the window"]}),
    ]


def test_a_manager_of_a_laboratory_keeps_its_devices(here):
    assert bench_devices.may_keep(here.mona, here.laboratory)
    assert not bench_devices.may_keep(here.tomas, here.laboratory)
    assert not bench_devices.may_keep(here.mona, here.other_laboratory)


def test_on_a_device_a_manager_is_a_technician_of_that_laboratory_and_nothing_else(here):
    MembershipFactory(user=here.mona, organisation=here.office, role=Role.DENTIST)
    MembershipFactory(user=here.mona, organisation=here.laboratory, role=Role.TECHNICIAN)
    case = here.walk().case
    assert access.may(here.mona, "release", case)
    assert access.may(here.mona, "see the patient's name", case)
    with access.at_device(access.AtDevice(here.mona.pk, here.laboratory.pk, "Tablet 2")):
        assert access.acts(here.mona, case) >= {"bench work", "see a case"}
        assert not access.may(here.mona, "release", case)
        assert not access.may(here.mona, "see the patient's name", case)
        assert not access.may_in(here.mona, "keep bench devices", here.laboratory)
        assert access.may(here.dora, "see the patient's name", case)
    assert access.may(here.mona, "release", case)


def test_the_history_says_on_which_device(here):
    case = here.walk().case
    with access.at_device(access.AtDevice(here.tomas.pk, here.laboratory.pk, "Tablet 2")):
        asking.ask(
            case=case,
            about="shade",
            text="Are the canines to be darker?",
            waits_for=Side.OFFICE,
            clinical=True,
            by=here.tomas,
        )
    entry = HistoryEntry.objects.filter(by=here.tomas).latest("pk")
    assert entry.position == "technician at Tablet 2"
