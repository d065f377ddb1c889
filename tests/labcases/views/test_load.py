"""The pages of the load of the bench."""

from __future__ import annotations

import pytest
from django.urls import reverse

from labcases import codes
from labcases.domain import bench_plan, load_reading
from labcases.enums import Stage
from labcases.enums.load import BenchJob
from labcases.models import BenchMinutes, BenchTask
from labcases.templatetags.units import due_date, long_date
from tests.factories import world
from tests.walls_load import too_full

pytestmark = pytest.mark.django_db


def due(on) -> str:
    return due_date(on).replace("\N{NO-BREAK SPACE}", " ")


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.walk(surgery_in_days=60).to(Stage.FINAL_WAX)


def at(name: str, here) -> str:
    return reverse(name, args=[here.laboratory.pk])


def text(answer) -> str:
    """The page with every space and every hyphen alike."""
    shown = answer.content.decode().replace("\N{NON-BREAKING HYPHEN}", "-")
    return " ".join(shown.split())


def test_a_day_that_holds_too_much_says_so_in_words_beside_the_minutes(client, here, case):
    first = too_full(case, here.tomas, here.mona)
    client.force_login(here.tomas)
    shown = text(client.get(at("load", here)))

    assert "1 day is over, by 53 min together." in shown
    row = shown[shown.index(due(first)) :].partition("</tr>")[0]
    assert "53 / 0 min" in row
    assert "over by 53 min" in row
    assert "Propose a levelling" not in shown
    assert "90 / 400 min" in shown
    assert f'href="{reverse("case", args=[case.code])}"' in shown
    assert "Minutes: common practice, no source; each laboratory may enter its own." in shown
    client.force_login(here.mona)
    assert "Propose a levelling" in text(client.get(at("load", here)))


def test_without_minutes_nothing_is_called_too_full(client, here, case):
    client.force_login(here.mona)
    shown = text(client.get(at("load", here)))
    assert "Nobody&#x27;s minutes at the bench are entered yet" in shown
    assert "Propose a levelling" not in shown
    assert "over by" not in shown


def test_a_manager_enters_minutes_of_people_and_a_technician_reads_them(client, here):
    client.force_login(here.mona)
    address = at("load_people", here)
    key = here.tomas.pk
    client.post(address, {f"m_{key}_1": "300", f"m_{key}_5": "120"})
    assert BenchMinutes.objects.get().by_weekday == {"1": 300, "5": 120}

    wrong = client.post(address, {f"m_{key}_1": "721"})
    assert wrong.status_code == 422
    assert "Tomas Abelard, Monday: at most 720 minutes." in text(wrong)
    assert 'value="721"' in text(wrong)
    client.force_login(here.tomas)
    shown = text(client.get(address))
    assert "300 min" in shown
    assert "Save the minutes" not in shown
    assert client.post(address, {}).status_code == 403


def test_a_manager_enters_minutes_of_jobs(client, here):
    client.force_login(here.mona)
    address = at("load_jobs", here)
    wax = list(BenchJob).index(BenchJob.WAX_UP)
    client.post(address, {f"own_{wax}": "40"})
    here.laboratory.refresh_from_db()
    assert here.laboratory.job_minutes == {"wax-up": 40}

    shown = text(client.get(address))
    assert "45 to 60 min" in shown
    assert 'data-head="Planned with">40 min' in shown
    wrong = client.post(address, {f"own_{wax}": "soon"})
    assert wrong.status_code == 422
    assert "Own minutes of wax-up: write the minutes as a whole number." in text(wrong)


def test_a_levelling_is_shown_and_taken_over_by_one_act(client, here, case):
    first = too_full(case, here.tomas, here.mona)
    client.force_login(here.mona)
    address = at("load_levelling", here)
    shown = text(client.get(address))
    (move,) = bench_plan.propose(load_reading.read(here.laboratory)).moves

    assert "Before 53 min over, after 0 min." in shown
    assert f'data-head="From">{due(first)}' in shown
    assert f'data-head="To">{due(move.to)}' in shown
    assert BenchTask.objects.get(job="wax-up").planned_on == first

    sent = {"move": f"{case.code} wax-up {move.to.isoformat()}"}
    answer = client.post(address, sent, follow=True)
    assert "1 job stands on another day. The latest days of the plan are the same." in text(answer)
    assert "No day is over." in text(answer)
    assert BenchTask.objects.get(job="wax-up").planned_on == move.to
    assert "so there is nothing to level" in text(client.get(address))


def test_a_levelling_that_no_longer_fits_is_refused_and_says_why(client, here, case):
    first = too_full(case, here.tomas, here.mona)
    client.force_login(here.mona)
    code = codes.grouped(case.code)
    for sent, words in (
        ({}, "The proposal did not arrive whole."),
        ({"move": "x"}, "The proposal did not arrive whole."),
        (
            {"move": f"{case.code} tray {first}"},
            f"Tray of case {code} can no longer stand on {long_date(first)}.",
        ),
    ):
        answer = client.post(at("load_levelling", here), sent)
        assert answer.status_code == 422
        assert words in text(answer)
        assert "Nothing was taken over" in text(answer)


def test_what_does_not_fit_is_said_with_day_and_minutes(client, here, case):
    """Nobody has a minute but on Sundays, when the house is closed."""
    first = too_full(case, here.tomas, here.mona)
    BenchMinutes.objects.update(by_weekday={"7": 400})
    client.force_login(here.mona)
    shown = text(client.get(at("load_levelling", here)))
    assert "It does not fit" in shown
    assert f"{due(first)}, Tomas Abelard: 53 min remain over" in shown
    assert "No other days leave fewer minutes over." in shown
    assert "Take it over" not in shown


def test_a_technician_plans_a_job_and_what_is_wrong_stays_typed(client, here, case):
    client.force_login(here.tomas)
    address = reverse("bench_job", args=[case.code, "wax-up"])
    job = bench_plan.own(case, BenchJob.WAX_UP).job
    told = {"technician": here.tomas.pk, "planned_on": long_date(job.earliest), "minutes": "50"}

    wrong = client.post(address, {**told, "planned_on": "12-Mar-2001"})
    assert wrong.status_code == 422
    assert "Wax-up can stand from" in text(wrong)
    assert 'value="12-Mar-2001"' in text(wrong)
    assert not BenchTask.objects.exists()

    answer = client.post(address, told, follow=True)
    assert "Wax-up is planned." in text(answer)
    row = BenchTask.objects.get()
    assert (row.technician, row.planned_on, row.minutes) == (here.tomas, job.earliest, 50)

    late = client.post(address, {**told, "minutes": "70", "version": "0"})
    assert late.status_code == 409
    assert "Somebody saved this before you" in text(late)
    assert BenchTask.objects.get().minutes == 50


def test_a_job_that_is_behind_the_case_is_said_so(client, here, case):
    client.force_login(here.tomas)
    address = reverse("bench_job", args=[case.code, "tray"])
    assert "Tray is not ahead of this case" in text(client.get(address))
    answer = client.post(address, {"minutes": "30"})
    assert answer.status_code == 422
    assert client.get(reverse("bench_job", args=[case.code, "polish"])).status_code == 404


def test_a_late_job_says_its_latest_day_and_the_first_on_which_it_can_begin(client, here):
    late = here.walk(surgery_in_days=2).to(Stage.FINAL_WAX)
    first = load_reading.jobs_of_case(late)[0]
    assert first.due < first.earliest
    words = (
        f"its latest day was {long_date(first.due)}, it can begin on {long_date(first.earliest)}"
    ).replace("\N{NON-BREAKING HYPHEN}", "-")
    client.force_login(here.tomas)
    shown = text(client.get(at("load", here)))
    assert words in shown
    assert "cannot begin" not in shown
    own = text(client.get(reverse("bench_job", args=[late.code, "wax-up"])))
    assert f"Late: {words}." in own
