"""The page of a processing: its record by technique, steps by one tap, lots, refusals."""

from __future__ import annotations

from datetime import time, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import processing_runs
from labcases.domain import processing_state as states
from labcases.enums import Stage
from labcases.management import walk_curing
from labcases.models import Organisation
from labcases.templatetags.units import long_time
from tests.factories import world

pytestmark = [pytest.mark.django_db]


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.walk().to(Stage.PROCESSING)


@pytest.fixture
def bench(here, client):
    client.force_login(here.tomas)
    return client


def url(name, case, *rest):
    return reverse(name, args=[case.code, *rest])


def page(client, case, query=""):
    return client.get(url("processing", case) + query).content.decode()


def begin(here, case):
    walk_curing.begin(case, here.tomas)
    return states.run_of(case)


def test_the_form_asks_what_the_technique_needs_and_nothing_else(bench, case):
    flask = page(bench, case)
    milled = page(bench, case, "?technique=milled")

    assert "Trial closures" in flask
    assert 'name="flask"' in flask
    assert 'name="cycle"' in flask
    assert "Job or file" not in flask
    assert "Job or file" in milled
    assert 'name="flask"' not in milled
    assert 'name="cycle"' not in milled


def test_the_record_is_saved_and_shown_with_the_source_of_its_cycle(bench, case):
    answer = bench.post(
        url("processing", case),
        {
            **{"technique": "flask and bath", "flask": "3", "place": "1", "cycle": "short"},
            **{"asked_closures": "0", "asked_water": "boiling", "note": ""},
        },
    )

    assert answer.status_code == 302
    text = page(bench, case)
    assert "Short, 2 hours and 1 hour" in text
    assert "module 6 (quoted)" in text
    assert "The flask goes straight into boiling water." in text
    assert "The flask was closed on trial not once." in text


def test_a_cycle_that_nobody_offers_is_refused_and_what_was_typed_stays(bench, case):
    answer = bench.post(
        url("processing", case),
        {"technique": "flask and bath", "flask": "33", "cycle": "poured", "note": ""},
    )

    assert answer.status_code == 422
    assert 'value="33"' in answer.content.decode()
    assert states.run_of(case) is None


def test_the_next_step_is_entered_with_one_tap(here, bench, case):
    begin(here, case)

    assert "Next: invested" in page(bench, case)
    bench.post(url("processing_step", case), {"step": "packed", "now": "1"})
    text = page(bench, case)
    assert "Next: closed in the press" in text
    assert f"Packed, {long_time(timezone.now())[:11]}" in text


def test_opened_too_early_is_refused_until_it_says_why(here, bench, case):
    run = begin(here, case)
    now = timezone.now()
    for step, minutes in (("in bath", 190), ("out", 10)):
        at = now - timedelta(minutes=minutes)
        processing_runs.log_step(run=run, step=step, at=at, by=here.tomas)

    tapped = bench.post(url("processing_step", case), {"step": "deflasked", "now": "1"})
    assert tapped.status_code == 422
    assert "A denture that is opened warm warps. Wait, or say why it was done then." in (
        tapped.content.decode()
    )
    assert not run.steps.filter(step="deflasked").exists()

    typed = {"step": "deflasked", "happened_at": f"{timezone.localtime(now):%H:%M}"}
    assert bench.post(url("processing_step", case), typed).status_code == 422
    bench.post(url("processing_step", case), {**typed, "words": "flask cracked"})
    assert run.steps.get(step="deflasked").words == "flask cracked"
    assert "Why: flask cracked." in page(bench, case)


def test_a_step_out_of_order_keeps_what_was_typed(here, bench, case):
    run = begin(here, case)
    at = timezone.now() - timedelta(hours=1)
    processing_runs.log_step(run=run, step="in bath", at=at, by=here.tomas)

    answer = bench.post(
        url("processing_step", case),
        {"step": "closed", "happened_at": f"{timezone.localtime():%Y-%m-%d %H:%M}", "note": "n-7"},
    )
    assert answer.status_code == 422
    assert "does not go with put in the bath" in answer.content.decode()
    assert 'value="n-7"' in answer.content.decode()


def test_a_material_wants_its_lot(here, bench, case):
    begin(here, case)
    told = {"use": "separator", "product": "separator, red", "lot": ""}

    refused = bench.post(url("processing_material", case), told)
    assert refused.status_code == 422
    assert "Enter the lot from the label; where it has none, write so." in refused.content.decode()
    bench.post(url("processing_material", case), {**told, "lot": "S-7"})
    assert "Separator: separator, red, lot S-7" in page(bench, case)


def test_a_line_is_struck_out_with_its_reason_beside_it(here, bench, case):
    line = begin(here, case).materials.first()
    where = url("processing_strike", case, line.pk, "material")

    assert bench.post(where, {"reason": ""}).status_code == 422
    bench.post(where, {"reason": "wrong bottle"})
    assert ": wrong bottle" in page(bench, case)
    assert bench.post(where, {"reason": "again"}).status_code == 409


def test_given_up_it_stays_readable_and_another_begins(here, bench, case):
    run = begin(here, case)
    bench.post(url("processing_give_up", case), {"version": run.version, "reason": "porous"})

    text = page(bench, case)
    assert "given up by Tomas Abelard" in text
    assert ": porous" in text
    assert "Nothing is entered yet." in text
    stale = bench.post(url("processing_give_up", case), {"version": 1, "reason": "porous"})
    assert stale.status_code == 409


def test_of_two_who_change_the_record_the_second_sees_both_values(here, bench, case):
    run = begin(here, case)
    told = {"technique": "flask and bath", "place": "1", "cycle": "short", "note": ""}
    processing_runs.save(
        case=case, version=run.version, by=here.mona, values={**walk_curing.RECORD, "flask": "8"}
    )

    answer = bench.post(url("processing", case), {**told, "flask": "9", "version": run.version})

    assert answer.status_code == 409
    text = answer.content.decode()
    assert "Keep yours: </span>9" in text
    assert "Keep stored: </span>8" in text


def test_hours_of_the_laboratory_give_the_latest_start(here, bench, case):
    begin(here, case)
    assert "The hours of the laboratory are not entered" in page(bench, case)
    Organisation.objects.filter(pk=here.laboratory.pk).update(
        opens_at=time(8), closes_at=time(16), open_weekdays="1234567"
    )
    text = page(bench, case)
    assert "The whole takes 4 h 9 min to 4 h 39 min. Packed by 11:21 it is deflasked" in text


def test_who_reads_it_in_the_office_sees_no_other_case(here, client, case):
    walk_curing.process(here.walk(patient_code="P-2").to(Stage.PROCESSING), here.tomas)
    run = begin(here, case)
    at = timezone.now() - timedelta(minutes=30)
    processing_runs.log_step(run=run, step="packed", at=at, by=here.tomas)

    client.force_login(here.dora)
    assert "is in use" not in page(client, case)
    client.force_login(here.tomas)
    assert "Flask 3 is in use: case" in page(client, case)


def test_before_the_handoff_there_is_nothing_to_enter(here, bench):
    early = here.walk(patient_code="P-3").to(Stage.ACCEPTED)

    assert "once it is handed over" in page(bench, early)
    answer = bench.post(url("processing", early), {"technique": "flask and bath", "note": ""})
    assert answer.status_code == 422
    assert "Hand the case over to processing first." in answer.content.decode()


def test_the_case_says_how_far_it_is(here, bench, case):
    assert "Nothing entered" in bench.get(url("case", case)).content.decode()
    begin(here, case)
    assert "Flask and water bath; flask 3; no step entered" in (
        bench.get(url("case", case)).content.decode()
    )


def test_at_the_next_step_it_says_what_to_mind_for_oneself(here, bench, case):
    run = begin(here, case)
    at = timezone.now() - timedelta(hours=1)
    processing_runs.log_step(run=run, step="wax out", at=at, by=here.tomas)

    text = page(bench, case)
    assert "Next: packed" in text
    assert "Monomer: mix under extraction" in text
    assert "its safety sheet and local codes go before everything here." in text


def test_the_first_material_starts_from_what_the_handoff_named(here, bench, case):
    processing_runs.save(case=case, version=0, by=here.tomas, values=walk_curing.RECORD)

    text = page(bench, case)
    assert '<option value="resin powder" selected>' in text
    assert 'value="L-2291"' in text
    processing_runs.use_material(
        run=states.run_of(case),
        by=here.tomas,
        values={"use": "resin powder", "product": "resin, pink", "lot": "L-2291"},
    )
    text = page(bench, case)
    assert '<option value="resin liquid" selected>' in text
    assert 'value="L-2291"' not in text
