"""The page of the bench check, and where the base is."""

import pytest
from django.urls import reverse

from labcases.domain import box
from labcases.enums import BoxContent, BoxDirection, Stage
from labcases.management.sample_tryin import bench_checked
from labcases.models import BenchCheck
from tests.factories import world

pytestmark = pytest.mark.django_db

YES = {f"answer_{key}": "yes" for key in bench_checked("upper")["answers"]}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.SET_UP)
    return walk


def get(client, user, case, name="bench_check"):
    client.force_login(user)
    return client.get(reverse(name, args=[case.code])).content.decode()


def post(client, user, case, **typed):
    client.force_login(user)
    url = reverse("bench_check", args=[case.code])
    return client.post(url, {"version": 0, **typed})


def test_the_technician_answers_yes_or_no(here, client, walk):
    text = get(client, here.tomas, walk.case)
    assert "The mounting rings are tight" in text
    assert "Redo: The casts are mounted again by the same record" in text
    assert text.count('type="radio"') == 2 * 7

    assert post(client, here.tomas, walk.case, **YES).status_code == 302
    row = BenchCheck.objects.get()
    assert (row.done_by, row.answers["rings"]) == (here.tomas, "yes")
    assert "Checked by Tomas Abelard" in get(client, here.tomas, walk.case)


def test_a_no_is_said_in_words(here, client, walk):
    answer = post(client, here.tomas, walk.case, **{**YES, "answer_seat": "no"})
    assert answer.status_code == 422
    assert "Say what is wrong: The bases seat fully on the casts." in answer.content.decode()
    assert not BenchCheck.objects.exists()


def test_the_office_reads_it_and_writes_nothing(here, client, walk):
    walk.check_bench()
    text = get(client, here.dora, walk.case)
    assert "The casts are undamaged" in text
    assert 'type="radio"' not in text
    assert post(client, here.dora, walk.case, **YES).status_code == 403


def test_an_old_check_is_called_old_on_its_page_and_on_the_case(here, client, walk):
    walk.check_bench()
    walk.set_posterior()
    assert "The set-up log has changed since, on" in get(client, here.tomas, walk.case)
    text = get(client, here.tomas, walk.case, "case")
    assert "The set-up log has changed since the bench check." in text


def test_two_technicians_see_both_answers(here, client, walk):
    walk.check_bench()
    answer = post(
        client, here.mona, walk.case, **{**YES, "answer_pin": "no", "words_pin": "stands off"}
    )
    text = answer.content.decode()
    assert answer.status_code == 409
    assert "The pin is flush and touches the table: No" in text
    assert "The pin is flush and touches the table: stands off" in text


def test_the_case_says_where_the_base_is(here, client, walk):
    walk.prepare(Stage.TRY_IN)
    walk.enter(Stage.TRY_IN)
    packed = walk.pack(BoxDirection.TO_OFFICE, BoxContent.WAX_SET_UP, by=here.lena)
    box.send(box=packed, by=here.lena)
    text = get(client, here.dora, walk.case, "case")
    assert "The posterior base is on its way to the office since" in text
    assert "Base out" in text
    page = get(client, here.dora, walk.case, "try_in")
    assert "The posterior base is on its way to the office since" in page
    assert "Checked on the bench before try-in 1" in page
