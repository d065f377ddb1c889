"""The page of the remount and its checklist, as people meet them."""

from __future__ import annotations

import html

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.models import RemountCheck, RemountEntry
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.case_at(Stage.REMOUNT)


def read(client, user, case, name="remount"):
    client.force_login(user)
    return html.unescape(client.get(reverse(name, args=[case.code])).content.decode())


def post(client, user, case, name="remount", **typed):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code]), typed)


def said(answer):
    return html.unescape(answer.content.decode())


def test_a_rise_is_read_marked_corrected_and_read_again(here, client, case):
    assert post(client, here.tomas, case, act="pin read", rise_mm="0,8").status_code == 302
    page = read(client, here.tomas, case)
    assert "Pin rise 0.8 mm. Correct the denture teeth with foil, centric first." in page
    assert "so no tooth is named" in page

    answer = post(
        client,
        here.tomas,
        case,
        **{"act": "pass", "movement": "centric", "teeth": "16 26", "heavy": "16"},
        **{"lingual": "16", "as_wanted": "no", "foil_um": "40"},
    )
    assert answer.status_code == 302
    assert RemountEntry.objects.get(act="pass").marks == {
        "16": {"strength": "heavy", "cusps": "lingual"}
    }
    page = read(client, here.tomas, case)
    assert "if it alone lifts the pin" in page
    assert "The pin alone does not tell where the teeth meet" in page
    assert "16 heavy (lingual), 26" in page

    post(client, here.tomas, case, act="reduction", teeth="16", depth_mm="0.4")
    assert "corrected since the pin was read. Read it again." in read(client, here.tomas, case)
    post(client, here.tomas, case, act="pin read", rise_mm="0")
    assert "Balanced" in read(client, here.tomas, case)


def test_a_small_rise_is_accepted_with_one_button(here, client, case):
    post(client, here.tomas, case, act="pin read", rise_mm="0.3")

    assert post(client, here.tomas, case, act="accepted").status_code == 302
    assert "accepted: pin 0.3\N{NO-BREAK SPACE}mm above" in read(client, here.dora, case)


def test_a_high_rise_shows_what_to_look_at_and_no_tooth(here, client, case):
    post(client, here.tomas, case, act="pin read", rise_mm="1.2")
    post(client, here.tomas, case, act="pass", movement="centric", teeth="16", as_wanted="no")

    page = read(client, here.tomas, case)

    assert "No reduction is proposed until the cause is recorded" in page
    assert "Flash between the halves of the flask" in page
    assert "Proposed at the teeth that marked" not in page
    answer = post(client, here.tomas, case, act="reduction", teeth="16", depth_mm="0.3")
    assert answer.status_code == 422
    assert "Record the cause before anything is corrected." in said(answer)
    assert 'value="0.3"' in said(answer)


def test_after_the_cause_the_page_says_which_line_logs_the_new_mounting(here, client, case):
    post(client, here.tomas, case, act="pin read", rise_mm="1.4")
    assert "Mount again and read the pin" not in read(client, here.tomas, case)
    post(client, here.tomas, case, act="cause", cause="teeth_moved")

    page = read(client, here.tomas, case)
    assert "Mount again and read the pin" in page
    assert 'Then log "Pin read after processing" with what the pin reads' in page
    assert 'href="#id_rise_mm"' in page


#: What was typed, and the sentence that answers it.
REFUSED = [
    ({"act": "guess"}, "Choose what was done, then fill its boxes."),
    ({"act": "pin read", "rise_mm": "11"}, "Pin rise is 11 mm. Enter -2 to 10 mm."),
    ({"act": "cause", "cause": "other"}, "Say in words what the cause was"),
    ({"act": "pass", "movement": "centric"}, 'Name the teeth that marked, or tick "No tooth'),
    (
        {"act": "pass", "movement": "centric", "none": "on"},
        "Say whether the contacts are as wanted.",
    ),
    ({"act": "pass", "movement": "centric", "teeth": "18"}, "No tooth stands at 18."),
    (
        {"act": "pass", "movement": "centric", "teeth": "16", "heavy": "17"},
        "17 did not mark. Name it among the teeth as well.",
    ),
    (
        {"act": "pass", "movement": "centric", "teeth": "16", "buccal": "16", "lingual": "16"},
        "16 stands in both boxes. Choose one.",
    ),
    ({"act": "reduction", "teeth": "46", "depth_mm": "0.1"}, "46 is no denture tooth"),
    ({"act": "reduction", "teeth": "16 17", "depth_mm": "0.1"}, "Name one denture tooth; log a"),
    ({"act": "index read", "rise_mm": "0"}, "Enter how many hours after the remount"),
    ({"act": "accepted"}, "Read the pin and log it; then say whether that is accepted."),
]


@pytest.mark.parametrize(("typed", "sentence"), REFUSED, ids=lambda one: str(one)[:50])
def test_what_cannot_be_is_refused_in_words_and_stays_typed(here, client, case, typed, sentence):
    answer = post(client, here.tomas, case, **typed)

    assert answer.status_code == 422
    assert sentence in said(answer)
    assert not RemountEntry.objects.exists()
    for name in {"rise_mm", "heavy", "depth_mm"} & set(typed):
        assert f'value="{typed[name]}"' in said(answer)


def test_a_line_is_struck_out_with_a_reason(here, client, case):
    post(client, here.tomas, case, act="pin read", rise_mm="0.4")
    url = reverse("remount_strike", args=[case.code, RemountEntry.objects.get().pk])

    assert client.post(url).status_code == 422
    assert client.post(url, {"reason": "another case"}).status_code == 302
    assert client.post(url, {"reason": "once more"}).status_code == 409

    page = read(client, here.tomas, case)
    assert "another case" in page
    assert "Not read" in page


def test_the_checklist_takes_yes_and_no_with_words(here, client, case):
    answer = post(client, here.tomas, case, "remount_check", version=0, answer_rm_front="no")
    assert "Say what is wrong: No front tooth meets heavily." in said(answer)

    typed = {"version": 0, "answer_rm_front": "no", "words_rm_front": "11 meets"}
    assert post(client, here.tomas, case, "remount_check", **typed).status_code == 302
    assert RemountCheck.objects.get().words == {"rm_front": "11 meets"}
    assert "No front tooth meets heavily: 11 meets" in read(
        client, here.dora, case, "remount_check"
    )


@pytest.mark.parametrize("name", ["dora", "farah", "lena"])
def test_only_the_bench_writes(here, client, case, name):
    user = getattr(here, name)

    assert post(client, user, case, act="pin read", rise_mm="0").status_code == 403
    assert post(client, user, case, "remount_check", version=0).status_code == 403
    assert "Nothing is logged yet." in read(client, user, case)


def test_fields_that_gates_point_to_are_on_the_page(here, client, case):
    page = read(client, here.tomas, case)

    for name in ("rise_mm", "cause", "movement", "accept"):
        assert page.count(f' id="id_{name}"') == 1, name
