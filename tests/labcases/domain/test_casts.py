"""Impressions and casts: entered once, struck out when wrong, and what to mind of them."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.utils import timezone

from labcases.domain import casts
from labcases.domain.striking import AlreadyStruck
from labcases.enums import Stage
from labcases.models import Cast, CastLook, Impression, Piece
from labcases.views._sentences import sentence
from tests.factories import world
from tests.labcases.domain.gaps import revise
from tests.labcases.models.limits import assert_held, measured

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    walk = here.walk()
    walk.prescribe()
    return walk.reload()


@pytest.fixture
def enter(here, case):
    """Enter one line of a kind, with whatever is not given filled in."""

    def impression(minutes=10, **more):
        taken = timezone.now() - timedelta(hours=5)
        values = {"arch": "upper", "material": "alginate", "taken_at": taken}
        if minutes is not None:
            values["poured_at"] = taken + timedelta(minutes=minutes)
        return casts.add_impression(case=case, by=here.tomas, values=values | more)

    def cast(kind="master", arch="upper", **more):
        return casts.add_cast(case=case, by=here.tomas, values={"kind": kind, "arch": arch, **more})

    def look(row, state="good", **more):
        return casts.look_at(cast=row, by=here.mona, values={"state": state, **more})

    return SimpleNamespace(impression=impression, cast=cast, look=look)


def codes(case):
    return [one.code for one in casts.cautions(case)]


def test_a_line_stands_in_the_history_as_a_sentence(here, case, enter):
    row = enter.impression(minutes=None, tray="stock tray")
    casts.pour(row=row, at=row.taken_at + timedelta(minutes=8), by=here.tomas)
    cast = enter.cast(gypsum="type 3", water_ml=Decimal("60"), powder_g=Decimal("200"), lot="G-7")
    enter.look(cast, "mended", chipped=True, note="33, glued")
    casts.strike(row=cast, reason="wrong case", by=here.mona)

    said = [sentence(entry) for entry in case.history.order_by("id")][-5:]

    assert said[0].startswith(
        'Tomas Abelard (technician) entered an impression, "Upper impression, alginate, tray: '
        "stock tray, taken "
    )
    assert said[0].endswith('not poured yet".')
    assert "said when an impression was poured: it now reads," in said[1]
    assert 'entered a cast, "Upper master cast, G-7, type 3 stone, 60 ml to 200 g"' in said[2]
    assert (
        'entered an inspection of a cast, "Upper master cast, G-7: mended, a chipped tooth, 33, '
        'glued"' in said[3]
    )
    assert 'struck out a cast, "Upper master cast, G-7' in said[4]
    assert said[4].endswith("Reason: wrong case.")


def test_a_pour_is_said_once_and_not_before_the_impression(here, enter):
    row = enter.impression(minutes=None)

    with pytest.raises(ValueError, match="poured before it was taken"):
        casts.pour(row=row, at=row.taken_at - timedelta(minutes=1), by=here.tomas)
    casts.pour(row=row, at=row.taken_at, by=here.tomas)
    with pytest.raises(casts.AlreadyPoured, match="poured or struck out already"):
        casts.pour(row=row, at=row.taken_at + timedelta(minutes=5), by=here.mona)

    assert Impression.objects.get().poured_at == row.taken_at


def test_a_struck_impression_is_not_poured_and_counts_no_longer(here, case, enter):
    row = enter.impression(minutes=None)
    assert codes(case) == ["not-poured"]

    casts.strike(row=row, reason="of another patient", by=here.tomas)

    with pytest.raises(casts.AlreadyPoured):
        casts.pour(row=row, at=timezone.now(), by=here.tomas)
    with pytest.raises(AlreadyStruck):
        casts.strike(row=row, reason="again", by=here.mona)
    assert codes(case) == []
    assert case.impressions.count() == 1


def test_cautions_come_from_pour_mix_and_state_and_stop_nothing(here, case, enter):
    late = enter.impression(minutes=55)
    wet = enter.cast(
        impression=late, gypsum="type 4", water_ml=Decimal("60"), powder_g=Decimal("200")
    )
    enter.cast("duplicate", made_from=wet)

    assert codes(case) == ["poured-late", "too-much-water"]
    assert casts.cautions(case)[1].text.startswith("Upper master cast: 30.0 ml of water")


def test_a_cast_from_a_struck_impression_is_pointed_out(here, case, enter):
    row = enter.impression()
    enter.cast("opposing", arch="lower", impression=row)

    casts.strike(row=row, reason="wrong line", by=here.tomas)

    assert codes(case) == ["impression-struck-out"]


def at(row, minutes):
    return row.taken_at + timedelta(minutes=minutes)


def test_a_second_pour_is_held_to_the_same_window(here, case, enter):
    row = enter.impression(10, material="addition silicone", label_latest_minutes=60)
    enter.cast(impression=row)
    enter.cast("study", impression=row, poured_at=at(row, 60))
    assert codes(case) == ["no-duplicate"]

    enter.cast("working", impression=row, poured_at=at(row, 61))

    assert codes(case) == ["poured-late", "no-duplicate"]
    assert casts.cautions(case)[0].text.startswith(
        "Upper working cast: the upper impression was poured 61 min after it was taken; addition "
        "silicone is poured within 60 min as the label says."
    )


def test_a_second_pour_of_alginate_is_told_to_dry(here, case, enter):
    row = enter.impression(8)
    enter.cast(impression=row)
    enter.cast("study", impression=row, poured_at=at(row, 12))

    assert codes(case) == ["poured-twice", "no-duplicate"]
    assert casts.cautions(case)[0].text == (
        "Upper study cast: this is a second pour of alginate, which dries and tears when the "
        "first cast comes off. Compare both casts, or make a duplicate of the first one."
    )


def test_two_casts_of_one_impression_want_the_time_of_the_second(here, case, enter):
    row = enter.impression(8)
    enter.cast(impression=row)
    second = enter.cast("study", impression=row)
    assert codes(case) == ["second-pour-untimed", "no-duplicate"]
    assert casts.cautions(case)[0].text == (
        "2 upper casts come from one impression, and one pour is timed. Enter the cast of the "
        "second pour with its own time; strike the other line out."
    )

    casts.strike(row=second, reason="its pour is missing", by=here.tomas)

    assert codes(case) == ["no-duplicate"]


def test_the_pour_of_a_cast_is_that_of_an_impression_that_has_none(here, case, enter):
    row = enter.impression(None)
    cast = enter.cast(impression=row, poured_at=at(row, 9))

    row.refresh_from_db()
    assert row.poured_at == at(row, 9)
    assert codes(case) == ["no-duplicate"]
    assert "poured" in casts.in_words(cast)


def test_a_broken_cast_asks_for_a_new_one_until_one_stands(here, case, enter):
    first = enter.cast("opposing", arch="lower")
    assert casts.state_of(first) == "Not inspected"
    enter.look(first)
    assert codes(case) == []
    enter.look(first, "broken", note="dropped")
    assert codes(case) == ["cast-broken"]
    assert casts.cautions(case)[0].text == (
        "Lower opposing cast is broken. Make a new one, and inspect it."
    )

    enter.cast("opposing", arch="upper")
    assert codes(case) == ["cast-broken"]
    enter.cast("opposing", arch="lower")
    assert codes(case) == []


def test_the_last_inspection_that_stands_says_the_state(here, case, enter):
    cast = enter.cast("opposing", arch="lower")
    enter.look(cast)
    wrong = enter.look(cast, "broken")

    casts.strike(row=wrong, reason="the other cast", by=here.mona)

    assert casts.state_of(Cast.objects.get()) == "Good"


# What is entered, in this order -> the caution about duplicates.
DUPLICATES = [
    ((), None),
    (("opposing",), None),
    (("study",), None),
    (("master",), "before it is trimmed"),
    (("working",), "before it is trimmed"),
    (("master", "duplicate"), None),
    (("master", "trimmed"), "no duplicate from before the trimming"),
    (("master", "duplicate", "trimmed"), None),
    (("master", "trimmed", "duplicate of the trimmed"), "no duplicate from before the trimming"),
    (("master", "trimmed", "duplicate"), "no duplicate from before the trimming"),
]


@pytest.mark.parametrize(("entered", "said"), DUPLICATES)
def test_a_duplicate_is_made_before_the_cast_is_trimmed(case, enter, entered, said):
    made = {}
    for kind in entered:
        of = "trimmed" if kind == "duplicate of the trimmed" else "master"
        copied = {"made_from": made[of]} if kind.startswith(("duplicate", "trimmed")) else {}
        made[kind] = enter.cast(kind.split()[0], **copied)

    found = casts.cautions(case)

    assert [one.code for one in found] == (["no-duplicate"] if said else [])
    assert said is None or said in found[0].text


def test_a_piece_says_what_it_is_and_on_which_cast(here, case, enter):
    cast = enter.cast(lot="G-7")

    row = casts.add_piece(
        case=case,
        by=here.tomas,
        values={
            **{"kind": "rim", "arch": "upper", "cast": cast, "material": "resin base, wax rim"},
            **{"front_mm": Decimal("22"), "back_mm": Decimal("18.5")},
        },
    )

    assert casts.in_words(row).replace("\N{NO-BREAK SPACE}", " ") == (
        "Upper record base with rim, on the upper master cast, G-7, resin base, wax rim, "
        "22 mm high in front, 18.5 mm behind"
    )


def test_a_revision_of_the_casts_asks_for_their_inspection_again(here):
    walk = here.walk()
    walk.to(Stage.MOUNTING)
    made = [
        casts.add_cast(case=walk.case, by=here.tomas, values={"kind": kind, "arch": "upper"})
        for kind in ("master", "working")
    ]
    for cast, state in zip(made, ("good", "broken"), strict=True):
        casts.look_at(cast=cast, by=here.tomas, values={"state": state})

    revise(teeth=walk.case.prescription.teeth | {"17": "stays"})(walk)

    sound, broken = CastLook.objects.order_by("pk")
    assert sound.struck_reason == "revision 2 of the prescription"
    assert broken.struck_at is None


LIMITS = {
    Cast: {
        "water_ml": ("1", "2000"),
        "powder_g": ("1", "5000"),
        "set_minutes": ("0.5", "240"),
    },
    Piece: {"front_mm": ("0", "40"), "back_mm": ("0", "40")},
}


@pytest.mark.parametrize("model", LIMITS)
def test_no_number_is_stored_that_no_bench_shows(here, case, model):
    assert set(measured(model)) == set(LIMITS[model])
    row = model.objects.create(case=case, arch="upper", kind="master", by=here.tomas)
    for field, (low, high) in LIMITS[model].items():
        assert_held(row, field, low, high)


def test_the_database_takes_no_pour_before_the_impression(enter):
    row = enter.impression()

    with pytest.raises(Exception, match="impression_poured_after_taken"):
        Impression.objects.filter(pk=row.pk).update(poured_at=row.taken_at - timedelta(minutes=1))
