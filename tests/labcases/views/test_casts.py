"""Casts and records of a case: the bench enters lines, everybody of the case reads them."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import casts
from labcases.models import Case, Cast, CastLook, Impression, Piece
from labcases.templatetags.units import long_time
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def case(here) -> Case:
    walk = here.walk()
    walk.prescribe()
    return walk.reload()


def url(case: Case) -> str:
    return reverse("casts", args=[case.code])


def clock(minutes_ago: int) -> str:
    return long_time(timezone.now() - timedelta(minutes=minutes_ago))


def impression(**more):
    """One moment for both times, so that a minute that ends between them says nothing."""
    now = timezone.now()
    return {
        "what": "impression",
        "arch": "upper",
        "material": "alginate",
        "tray": "dentate stock tray",
        "taken_at": long_time(now - timedelta(minutes=100)),
        "poured_at": long_time(now - timedelta(minutes=45)),
        **more,
    }


def cast(**more):
    return {"what": "cast", "kind": "master", "arch": "upper", **more}


def test_a_late_impression_is_kept_and_warned_of(here, case):
    answer = logged_in(here.tomas).post(url(case), impression(), follow=True)

    row = Impression.objects.get()
    words = text_of(answer)
    assert (row.material, row.tray, row.by) == ("alginate", "dentate stock tray", here.tomas)
    assert row.poured_at - row.taken_at == timedelta(minutes=55)
    assert "The impression is entered." in words
    assert "The upper impression was poured 55 min after it was taken" in words
    assert "Too late" in words
    assert "To mind" in text_of(logged_in(here.dora).get(reverse("case", args=[case.code])))


def test_an_impression_is_poured_later_from_its_own_line(here, case):
    client = logged_in(here.tomas)
    client.post(url(case), impression(taken_at=clock(12), poured_at=""))
    row = Impression.objects.get()
    before = text_of(client.get(url(case)))

    answer = client.post(
        reverse("cast_pour", args=[case.code, row.pk]),
        {"poured_at": long_time(row.taken_at + timedelta(minutes=10))},
        follow=True,
    )

    row.refresh_from_db()
    assert "Not poured yet" in before
    until = long_time(row.taken_at + timedelta(minutes=30)).replace("\N{NO-BREAK SPACE}", " ")
    assert f"Pour it by {until}." in before
    assert row.poured_at - row.taken_at == timedelta(minutes=10)
    assert "The pour is entered." in text_of(answer)
    assert "In time" in text_of(answer)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"arch": ""}, "Choose the arch."),
        ({"material": ""}, "Choose the material."),
        ({"taken_at": ""}, "Enter when the impression was taken."),
        ({"taken_at": "12-Mar-2026"}, "12-Mar-2026 has no time of day. Write day and time like"),
        ({"taken_at": "12-Mar-2026 25:10"}, "There is no time 25:10."),
        ({"taken_at": "03/04/2026 10:00"}, "can be read two ways"),
        ({"taken_at": "12-Mar-2099 10:00"}, "12-Mar-2099 10:00 lies ahead. Enter when it was."),
        ({"poured_at": "12-Mar-2020 10:00"}, "It was poured before it was taken."),
        ({"label_latest_minutes": "soon"}, "Pour within: enter whole minutes from 1 to 20160."),
        (
            {"label_earliest_minutes": "60", "label_latest_minutes": "30"},
            "The label cannot ask to wait 60 min and to pour within 30 min.",
        ),
    ],
)
def test_a_wrong_impression_is_refused_in_words_and_stays_typed(here, case, changed, sentence):
    answer = logged_in(here.tomas).post(url(case), impression(**changed))

    assert answer.status_code == 422
    assert sentence in text_of(answer).replace("\N{NO-BREAK SPACE}", " ")
    assert 'value="dentate stock tray"' in answer.content.decode()
    assert not Impression.objects.exists()


def test_a_time_alone_means_today(here, case):
    now = timezone.localtime()

    logged_in(here.tomas).post(url(case), impression(taken_at=f"{now:%H:%M}", poured_at=""))

    assert timezone.localtime(Impression.objects.get().taken_at).date() == now.date()


def test_a_cast_is_entered_with_its_mix_and_warned_of_too_much_water(here, case):
    client = logged_in(here.tomas)
    client.post(url(case), impression())
    told = cast(
        impression=Impression.objects.get().pk,
        gypsum="type 3",
        water_ml="60",
        powder_g="150",
        lot="G-7",
        poured_by="Tomas",
    )

    answer = client.post(url(case), told, follow=True)

    row = Cast.objects.get()
    assert (row.water_ml, row.powder_g, row.lot) == (Decimal(60), Decimal(150), "G-7")
    assert "Upper master cast, G-7: 40.0 ml of water to 100 g of powder" in text_of(answer)
    assert "Not inspected" in text_of(answer)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"kind": ""}, "Choose what kind of cast it is."),
        ({"kind": "duplicate"}, "Choose the cast that it was made from."),
        ({"kind": "trimmed"}, "Choose the cast that it was made from."),
        ({"water_ml": "60"}, "Enter both water and powder, or neither."),
        ({"powder_g": "60"}, "Enter both water and powder, or neither."),
        ({"water_ml": "0", "powder_g": "100"}, "Water is 0 ml. Enter 1 to 2000 ml."),
        ({"set_minutes": "900"}, "Set after is 900 min. Enter 0.5 to 240 min."),
        ({"made_from": "987654"}, "This line is struck out or belongs to another case."),
        ({"arch": "lower", "impression": "own"}, "This one is of the upper arch."),
    ],
)
def test_a_wrong_cast_is_refused_in_words(here, case, changed, sentence):
    client = logged_in(here.tomas)
    client.post(url(case), impression())
    if changed.get("impression"):
        changed = changed | {"impression": Impression.objects.get().pk}

    answer = client.post(url(case), cast(lot="G-7", **changed))

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert 'value="G-7"' in answer.content.decode()
    assert not Cast.objects.exists()


def test_an_inspection_says_the_state_of_a_cast(here, case):
    client = logged_in(here.tomas)
    client.post(url(case), cast(kind="opposing", arch="lower"))
    row = Cast.objects.get()
    address = reverse("cast_look", args=[case.code, row.pk])

    refused = client.post(address, {"bubbles": "on"})
    answer = client.post(address, {"state": "broken", "chipped": "on"}, follow=True)

    assert refused.status_code == 422
    assert "Say in which state the cast is." in text_of(refused)
    look = CastLook.objects.get()
    assert (look.bubbles, look.chipped, look.state) == (False, True, "broken")
    assert "Lower opposing cast is broken. Make a new one, and inspect it." in text_of(answer)


def test_a_struck_cast_is_not_inspected(here, case):
    row = casts.add_cast(case=case, by=here.tomas, values={"kind": "master", "arch": "upper"})
    casts.strike(row=row, reason="twice", by=here.tomas)

    answer = logged_in(here.tomas).post(
        reverse("cast_look", args=[case.code, row.pk]), {"state": "good"}
    )

    assert answer.status_code == 409
    assert not CastLook.objects.exists()


def test_trays_and_rims_are_entered(here, case):
    told = {"what": "piece", "kind": "custom tray", "arch": "upper", "design": "two parts"}

    answer = logged_in(here.tomas).post(url(case), told, follow=True)

    assert Piece.objects.get().design == "two parts"
    assert "Upper custom tray, two parts" in text_of(answer)


def test_a_line_is_struck_out_with_a_reason_and_stays_readable(here, case):
    client = logged_in(here.tomas)
    client.post(url(case), cast(lot="G-7"))
    address = reverse("casts_strike", args=[case.code, Cast.objects.get().pk, "cast"])

    without = client.post(address, {})
    answer = client.post(address, {"reason": "poured twice"}, follow=True)
    again = client.post(address, {"reason": "me too"})

    assert without.status_code == 422
    assert "Give the reason why the line is struck out." in text_of(without)
    assert "<s>Upper master cast, G-7</s>" in answer.content.decode()
    assert "Struck out by Tomas Abelard" in text_of(answer)
    assert again.status_code == 409


def test_a_form_of_no_kind_is_refused(here, case):
    answer = logged_in(here.tomas).post(url(case), {"what": "denture"})

    assert answer.status_code == 422
    assert "Open the form of what you enter, and fill it in." in text_of(answer)


def test_the_office_reads_without_forms_and_finds_what_was_not_read(here, case):
    casts.add_cast(case=case, by=here.tomas, values={"kind": "master", "arch": "upper"})

    answer = logged_in(here.dora).get(url(case))

    words = text_of(answer)
    assert "Upper master cast" in words
    assert "Polyether latest: not read, not checked" in words
    assert "a warning never stops the work" in words
    assert "<form" not in answer.content.decode().partition("<main")[2]


def test_disinfection_is_told_by_the_boxes(here, case):
    walk = here.walk(patient_code="P-7")
    walk.pack("to the laboratory", "impression", by=here.farah)

    words = text_of(logged_in(here.tomas).get(url(walk.case)))

    assert "hypochlorite spray, closed bag, 10 of 10 min" in words


@pytest.mark.parametrize("who", ["dora", "farah", "lena"])
def test_only_the_bench_enters_a_line(here, case, who):
    assert logged_in(getattr(here, who)).post(url(case), cast()).status_code == 403
    assert not Cast.objects.exists()


def test_the_second_pour_of_an_impression_is_entered_with_its_cast(here, case):
    client = logged_in(here.tomas)
    client.post(url(case), impression(material="polyether", label_latest_minutes="60"))
    row = Impression.objects.get()
    first = {"impression": row.pk}
    client.post(url(case), cast(**first))

    later = long_time(row.taken_at + timedelta(minutes=70))
    answer = client.post(url(case), cast(**first, kind="study", poured_at=later), follow=True)

    assert "Its own pour: too late." in text_of(answer)
    assert "Upper study cast: the upper impression was poured 70 min" in text_of(answer)
    earlier = long_time(row.taken_at - timedelta(minutes=1))
    refused = client.post(url(case), cast(**first, kind="study", poured_at=earlier))
    assert refused.status_code == 422
    assert "It was poured before it was taken. Check both times." in text_of(refused)
