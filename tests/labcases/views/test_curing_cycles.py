"""The pages of a laboratory's own curing cycles: entering one, and writing its next edition."""

from __future__ import annotations

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.models import CuringCycle
from tests.factories import world

pytestmark = [pytest.mark.django_db]

TYPED = {
    "material": "resin, pink",
    "name": "short",
    "technique": "flask and bath",
    "dwell_minutes": "",
    "minutes_0": "1 h 30 min",
    "celsius_0": "74",
    "minutes_1": "30",
    "celsius_1": "100",
    "bench_minutes": "30 min",
    "water_minutes": "",
    "instructions": "leaflet of March 2026",
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def bench(here, client):
    client.force_login(here.tomas)
    return client


def listed(here):
    return reverse("curing_cycles", args=[here.laboratory.pk])


def entered(bench, here):
    assert bench.post(listed(here), TYPED).status_code == 302
    return CuringCycle.objects.get()


def test_a_cycle_is_entered_as_its_instructions_say_and_a_record_may_choose_it(here, bench):
    row = entered(bench, here)

    assert row.phases == [[90, 74.0], [30, 100.0]]
    assert (row.dwell_minutes, row.bench_minutes, row.water_minutes) == (0, 30, 0)
    text = bench.get(listed(here)).content.decode()
    assert "90 min at 74 C (165.2 F), then 30 min at 100 C (212 F)" in text
    assert "2 h 30 min" in text
    assert "leaflet of March 2026" in text
    case = here.walk().to(Stage.PROCESSING)
    page = bench.get(reverse("processing", args=[case.code])).content.decode()
    assert f'<option value="own-{row.pk}">resin, pink, short, edition 1</option>' in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"minutes_0": "", "minutes_1": ""}, "Part 1 has a temperature and no time."),
        (
            {"minutes_0": "", "minutes_1": "", "celsius_0": "", "celsius_1": ""},
            "Enter at least one part of the cycle with its time.",
        ),
        ({"minutes_0": "soon"}, "Part 1, time: write the time like 90 min or 1 h 30 min."),
        ({"minutes_0": "80 h"}, "Part 1, time: enter whole minutes, at most 4320 (three days)."),
        ({"celsius_0": "301"}, "Part 1, temperature"),
        ({"instructions": ""}, "Say which instructions it follows."),
    ],
)
def test_what_no_cycle_can_be_is_refused_in_words_and_nothing_typed_is_lost(
    here, bench, typed, said
):
    answer = bench.post(listed(here), {**TYPED, **typed})

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert 'value="resin, pink"' in answer.content.decode()
    assert not CuringCycle.objects.exists()


def test_a_second_of_the_same_name_is_refused(here, bench):
    entered(bench, here)
    answer = bench.post(listed(here), TYPED)

    assert answer.status_code == 409
    assert "Tomas Abelard wrote resin, pink, short, edition 1 already." in answer.content.decode()


def test_a_change_is_an_edition_with_its_reason_and_the_first_stays_readable(here, bench):
    row = entered(bench, here)
    where = reverse("curing_cycle", args=[row.pk])
    typed = {**TYPED, "edition": "1", "in_use": "on", "minutes_0": "2 h"}

    refused = bench.post(where, typed)
    assert refused.status_code == 422
    assert "Give the reason why the cycle changes." in refused.content.decode()
    assert bench.post(where, {**typed, "why": "new leaflet"}).status_code == 302
    text = bench.get(where).content.decode()
    assert "2 h at 74 C (165.2 F), then" in text
    assert "90 min at 74 C (165.2 F), then" in text
    assert "new leaflet" in text

    late = bench.post(where, {**typed, "why": "again"})
    assert late.status_code == 409
    assert "wrote edition 2 while you had the cycle open" in late.content.decode()
    assert CuringCycle.objects.count() == 2


def test_out_of_use_it_is_offered_no_more(here, bench):
    row = entered(bench, here)
    bench.post(
        reverse("curing_cycle", args=[row.pk]), {**TYPED, "edition": "1", "why": "resin is gone"}
    )

    assert "out of use" in bench.get(listed(here)).content.decode()
    case = here.walk().to(Stage.PROCESSING)
    assert "resin, pink, short" not in (
        bench.get(reverse("processing", args=[case.code])).content.decode()
    )
