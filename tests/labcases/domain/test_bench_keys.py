"""PIN and badge: what is taken, what is stored, and who is told."""

import pytest

from labcases.domain import bench_devices, bench_keys
from labcases.domain.bench_keys import PinRefused
from labcases.models import BenchKey, HouseEntry
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def device(here, called="Tablet 2"):
    return bench_devices.register(
        laboratory=here.laboratory, called=called, place="by the window", by=here.mona
    ).device


@pytest.mark.parametrize(
    ("pin", "words"),
    [
        ("123", "4 to 8 digits"),
        ("123456789", "4 to 8 digits"),
        ("12a4", "4 to 8 digits"),
        ("١٢٣٤", "4 to 8 digits"),
        ("1234\n", "4 to 8 digits"),
        ("7777", "the same"),
    ],
)
def test_what_is_no_pin_is_refused_in_words(pin, words):
    with pytest.raises(ValueError, match=words):
        bench_keys.check_pin(pin)


def test_neither_pin_nor_badge_is_stored_as_it_is(here):
    bench_keys.set_pin(user=here.tomas, pin="2749")
    badge = bench_keys.make_badge(user=here.tomas)
    assert len(badge) == 40
    assert badge.isdecimal()
    kept = " ".join(BenchKey.objects.values_list("secret_digest", flat=True))
    assert "2749" not in kept.split("$")
    assert badge not in kept
    assert BenchKey.objects.get(kind="pin").secret_digest.startswith("md5$")


def test_another_pin_ends_the_one_before(here):
    tablet = device(here)
    bench_keys.set_pin(user=here.tomas, pin="2749")
    bench_keys.set_pin(user=here.tomas, pin="8053")
    with pytest.raises(PinRefused, match="not the PIN of Tomas Abelard"):
        bench_keys.try_pin(user=here.tomas, device=tablet, pin="2749")
    assert bench_keys.try_pin(user=here.tomas, device=tablet, pin="8053").user == here.tomas


def test_tries_are_counted_for_each_device_and_a_right_one_begins_anew(here):
    first, second = device(here), device(here, "Tablet 3")
    bench_keys.set_pin(user=here.tomas, pin="2749")

    def wrong(where, times):
        for _ in range(times):
            with pytest.raises(PinRefused):
                bench_keys.try_pin(user=here.tomas, device=where, pin="1111")

    wrong(first, 4)
    bench_keys.try_pin(user=here.tomas, device=first, pin="2749")
    wrong(first, 5)
    with pytest.raises(PinRefused, match="locked on this device"):
        bench_keys.try_pin(user=here.tomas, device=first, pin="2749")
    assert bench_keys.try_pin(user=here.tomas, device=second, pin="2749")
    bench_keys.password_used(here.tomas)
    assert bench_keys.try_pin(user=here.tomas, device=first, pin="2749")


def test_setting_and_ending_stand_in_the_history_of_the_house(here):
    bench_keys.set_pin(user=here.tomas, pin="2749")
    bench_keys.make_badge(user=here.tomas)
    assert bench_keys.end(person=here.tomas, laboratory=here.laboratory, by=here.mona)
    assert not bench_keys.end(person=here.tomas, laboratory=here.laboratory, by=here.mona)

    assert [
        (str(row.by), row.act, row.part, row.changes)
        for row in HouseEntry.objects.filter(organisation=here.laboratory)
    ] == [
        (
            "Mona Ridley",
            "ended",
            "PIN and badge",
            {"Tomas Abelard": ["PIN and badge", ""]},
        ),
        ("Tomas Abelard", "set", "PIN and badge", {"Tomas Abelard": ["", "badge"]}),
        ("Tomas Abelard", "set", "PIN and badge", {"Tomas Abelard": ["", "PIN"]}),
    ]


def test_people_of_the_bench_may_have_them(here):
    assert bench_keys.may_have(here.tomas)
    assert bench_keys.may_have(here.mona)
    assert not bench_keys.may_have(here.lena)
    assert not bench_keys.may_have(here.dora)
