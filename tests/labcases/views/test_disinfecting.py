"""Logging a disinfection on the page of the boxes, and where its lack is shown."""

import re

import pytest
from django.urls import reverse

from labcases.enums import Stage
from tests.factories import world

pytestmark = pytest.mark.django_db

WORDS = "Treat as contaminated: disinfect and log before handling."
TYPED = {
    **{"agent": "iodophor", "label_minutes": "10", "actual_minutes": "10"},
    **{"done_by": "Tomas Abelard", "done_at": "26-Mar-2026 14:05"},
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    """A case at the bench; its impression came with a disinfection that was too short."""
    case = here.walk().ready(Stage.ACCEPTED)
    case.boxes.get().items.filter(content="impression").update(actual_minutes=5)
    return case


@pytest.fixture
def item(case):
    return case.boxes.get().items.get(content="impression")


def text(client, user, name, *args):
    client.force_login(user)
    return client.get(reverse(name, args=args)).content.decode()


def log(client, user, item, **changed):
    client.force_login(user)
    address = reverse("box_disinfect", args=[item.box.case.code, item.pk])
    return client.post(address, TYPED | changed)


def strike(client, user, row, reason="another case"):
    client.force_login(user)
    address = reverse("disinfection_strike", args=[row.case.code, row.pk])
    return client.post(address, {"reason": reason})


def test_boxes_case_and_bench_say_it_until_it_is_logged(client, here, case, item):
    pages = (("boxes", case.code), ("case", case.code), ("bench",))
    for page in pages:
        words = text(client, here.tomas, *page)
        assert WORDS in words
        assert "Impression:" in words
    assert log(client, here.tomas, item).status_code == 302
    for page in pages:
        assert WORDS not in text(client, here.tomas, *page)


def test_the_page_of_taking_in_leads_to_the_log(client, here):
    case = here.case_at(Stage.SENT)
    row = case.boxes.get()
    row.items.filter(content="impression").update(agent="")
    words = text(client, here.lena, "box_receive", case.code, row.pk)
    assert WORDS in words
    assert f"{reverse('boxes', args=[case.code])}#box-{row.pk}" in words


def test_it_may_be_logged_before_the_box_is_counted(client, here):
    case = here.case_at(Stage.SENT)
    row = case.boxes.get()
    row.items.filter(content="impression").update(agent="")
    assert log(client, here.lena, row.items.get(content="impression")).status_code == 302
    assert WORDS not in text(client, here.lena, "box_receive", case.code, row.pk)


def test_only_the_name_of_the_reader_is_filled_in(client, here, case, item):
    words = text(client, here.tomas, "boxes", case.code)
    tags = re.findall(rf"<input[^>]*id_item{item.pk}_[^>]*>", words)
    typed = {re.search(r'name="(\w+)"', tag)[1]: re.search(r'value="([^"]*)"', tag) for tag in tags}
    assert {name: found and found[1] for name, found in typed.items()} == {
        "agent": None,
        "label_minutes": None,
        "actual_minutes": None,
        "done_by": "Tomas Abelard",
        "done_at": None,
    }


def test_a_line_reads_whole_on_both_sides(client, here, case, item):
    log(client, here.lena, item)
    for who in (here.farah, here.lena):
        words = text(client, who, "boxes", case.code)
        assert "Impression: iodophor, 10 of 10 min, by Tomas Abelard" in words
        assert "Long enough" in words
        assert "Lena Marsh" in words


def test_too_short_is_kept_and_stays_flagged(client, here, case, item):
    client.force_login(here.tomas)
    address = reverse("box_disinfect", args=[case.code, item.pk])
    answer = client.post(address, TYPED | {"actual_minutes": "4"}, follow=True)
    words = answer.content.decode()
    assert f"Logged, and too short: 4 of 10 min. {WORDS}" in words
    assert "Too short" in words
    assert "Impression: disinfection not declared or too short" in words


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"agent": ""}, "Enter the agent that it was disinfected with."),
        ({"label_minutes": ""}, "Enter the minutes that the label asks for."),
        ({"actual_minutes": ""}, "Enter the minutes that it was given."),
        ({"actual_minutes": "0"}, "Minutes given: enter 1 to 1440 minutes."),
        ({"label_minutes": "ten"}, "Minutes on the label: enter whole minutes."),
        ({"done_by": ""}, "Enter who disinfected it."),
        ({"done_at": ""}, "Enter when it was disinfected."),
        ({"done_at": "26-Mar-2099 10:00"}, "lies ahead. Enter when it was."),
    ],
)
def test_a_wrong_line_is_refused_and_keeps_what_was_typed(client, here, item, typed, sentence):
    answer = log(client, here.tomas, item, **typed)
    assert answer.status_code == 422
    words = answer.content.decode()
    assert sentence in words
    assert words.count("<title>Error: ") == 1
    kept = (TYPED | typed)["done_by" if "agent" in typed else "agent"]
    assert f'value="{kept}"' in words
    assert not item.disinfections.exists()


def test_a_line_is_struck_out_and_stays_readable(client, here, case, item):
    log(client, here.tomas, item)
    row = item.disinfections.get()
    assert strike(client, here.mona, row).status_code == 302
    words = text(client, here.farah, "boxes", case.code)
    assert "Struck out by Mona Ridley" in words
    assert "another case" in words
    assert WORDS in words
    assert strike(client, here.tomas, row).status_code == 409


def test_a_line_is_not_struck_out_without_a_reason(client, here, item):
    log(client, here.tomas, item)
    answer = strike(client, here.tomas, item.disinfections.get(), reason="")
    assert answer.status_code == 422
    assert "Give the reason why the line is struck out." in answer.content.decode()
    assert item.disinfections.get().struck_at is None


def test_the_house_that_sent_it_logs_nothing_there(client, here, item):
    assert log(client, here.farah, item).status_code == 403
    log(client, here.tomas, item)
    assert strike(client, here.dora, item.disinfections.get()).status_code == 403


def test_what_has_not_been_sent_is_not_logged(client, here):
    walk = here.walk()
    row = walk.pack("to the laboratory", "cast", by=here.farah)
    answer = log(client, here.tomas, row.items.get())
    assert answer.status_code == 409
    assert "This box has not been sent." in answer.content.decode()


def test_agents_are_listed_with_their_source_and_filled_in_nowhere(client, here, case):
    for page in (("boxes", case.code), ("box_new", case.code)):
        words = text(client, here.lena, *page)
        assert "Alginate impression" in words
        assert "from memory, not read" in words
        assert "The contact time is the one of the product's label." in words
        assert 'value="hypochlorite' not in words.lower()
