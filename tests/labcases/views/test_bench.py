"""The technician's day, as it is read at the bench."""

import re

import pytest

from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.enums import OrganisationKind, Role, Side, Stage
from labcases.models import Case
from labcases.views import bench
from tests.factories import MembershipFactory, OrganisationFactory, last_weekday, world

pytestmark = pytest.mark.django_db


def read(client, user, **asked):
    client.force_login(user)
    return client.get("/bench/", asked)


def text(answer):
    return answer.content.decode()


def codes_of(answer):
    return [job.line.case.code for job in answer.context["jobs"]]


def test_a_job_says_what_is_next_and_what_is_missing(client):
    here = world()
    here.case_at(Stage.MOUNTING)
    page = text(read(client, here.tomas))
    assert "Begin the settings" in page
    assert "Next job" in page
    missing = read(client, here.tomas).context["jobs"][0].steps[0].lacks
    assert missing
    assert missing[0].text in page


def test_a_long_list_of_missing_things_is_cut_short(client):
    here = world()
    case = here.case_at(Stage.SET_UP)
    case.setup_entries.all().delete()
    page = text(read(client, here.tomas))
    assert page.count('<div class="job-step">') == 2
    assert " more</span>" in page


def test_the_late_case_comes_first_then_the_nearest_surgery(client):
    here = world()
    far = here.walk(patient_code="P-1", surgery_in_days=150).to(Stage.ACCEPTED)
    near = here.walk(patient_code="P-2", surgery_in_days=90).to(Stage.ACCEPTED)
    late = here.walk(patient_code="P-3", surgery_in_days=120).to(Stage.ACCEPTED)
    Case.objects.filter(pk=late.pk).update(surgery_on=last_weekday())
    answer = read(client, here.tomas)
    assert codes_of(answer) == [late.code, near.code, far.code]
    assert "late by 18 working days" in text(answer)


def test_a_case_that_waits_or_is_on_hold_stands_below_and_is_no_job(client):
    here = world()
    asked = here.walk(patient_code="P-1").to(Stage.MOUNTING)
    asking.ask(case=asked, about="shade", text="B1?", waits_for=Side.OFFICE, by=here.tomas)
    held = here.walk(patient_code="P-2").to(Stage.MOUNTING)
    cases.hold(case=held, reason="patient is away", by=here.mona)
    answer = read(client, here.tomas)
    assert codes_of(answer) == []
    assert re.search(r"Waits for the office since .{10,25}: a question is open", text(answer))
    assert "On hold: patient is away" in text(answer)
    assert "No case is at the bench that can go on now." in text(answer)


def test_what_is_new_says_what_it_is(client):
    here = world()
    case = here.walk(patient_code="P-1").to(Stage.MOUNTING)
    for blocking in (False, False, True):
        asking.ask(
            case=case,
            about="shade",
            text="B1?",
            waits_for=Side.LABORATORY,
            by=here.farah,
            blocking=blocking,
        )
    assert "3 new entries" in text(read(client, here.tomas))
    asking.ask(case=case, about="rim", text="Why?", waits_for=Side.OFFICE, by=here.tomas)
    assert "3 new entries in questions" in text(read(client, here.tomas))


def test_what_lies_at_the_office_is_not_at_the_bench(client):
    here = world()
    for number, stage in enumerate((Stage.DRAFT, Stage.JAW_RECORDS, Stage.TRY_IN)):
        here.walk(patient_code=f"P-{number}0").to(stage)
    assert codes_of(read(client, here.tomas)) == []


def test_a_patients_name_never_stands_on_it(client):
    here = world()
    here.walk(patient_name="Agatha Quill").to(Stage.MOUNTING)
    assert "Agatha" not in text(read(client, here.tomas))


@pytest.mark.parametrize("name", ["dora", "farah", "olga"])
def test_people_of_an_office_have_no_bench(client, name):
    assert read(client, getattr(world(), name)).status_code == 403


def test_the_laboratorys_desk_reads_it(client):
    here = world()
    case = here.case_at(Stage.MOUNTING)
    assert codes_of(read(client, here.lena)) == [case.code]


def test_a_case_of_ones_office_at_another_laboratory_is_not_ones_job(client):
    here = world()
    here.case_at(Stage.MOUNTING)
    house = OrganisationFactory(kind=OrganisationKind.LABORATORY)
    MembershipFactory(user=here.dora, organisation=house, role=Role.TECHNICIAN)
    assert codes_of(read(client, here.dora)) == []


def test_a_long_day_has_pages(client, monkeypatch):
    monkeypatch.setattr(bench, "JOBS_A_PAGE", 2)
    here = world()
    for number in range(3):
        here.walk(patient_code=f"P-{number}0").to(Stage.SENT)
    first, second = read(client, here.tomas), read(client, here.tomas, page=2)
    assert "1 to 2 of 3" in text(first)
    assert 'href="?page=2"' in text(first)
    assert len(codes_of(second)) == 1
    assert "Next job" not in text(second)
