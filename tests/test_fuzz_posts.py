"""A short run of generated posts, and that none of what they look for would be missed."""

from __future__ import annotations

import random

import pytest
from django.db import transaction
from django.http import HttpResponse

from labcases.models import Case
from tests.fuzz_posts import Fuzz, mass_assignment, unhurried
from tests.posts import finding, judging, stored, values
from tests.posts.reading import Page
from tests.walls_world import build, undone

PEOPLE = ("anonymous", "own D", "own M")
POSTS = 100

#: Addresses whose form stands only on pages of a case at another stage than those of the short
#: run. `python -m tests.fuzz_posts` opens these as well, and has no exemptions.
EXEMPT = {
    "box_disinfect": "once a box is taken in that says nothing of how it was disinfected",
    "erasure": "once no case of the patient is open",
    "load_levelling": "where jobs at the bench can be moved to days that hold less",
    **dict.fromkeys(("bench_person", "bench_scan"), "on a registered bench device"),
    "bench_access_end": "where somebody has a PIN or a badge",
    "incidents_read": "for people to whom an incident is new",
    "statement": "where a chosen place asks for one",
    "mark_text": "where the prescription wants a text of the office",
    "mounting_back": "before the set-up is finished",
    "prescription_revise": "while no revision is being written",
    **dict.fromkeys(
        ("reviews", "review_seen", "review_decide", "remake"), "once the denture is delivered"
    ),
    "delivery_settle": "two weeks after a surgery that nobody reported",
    "release_look": "after the remount, for a second person",
    "settings_acknowledge": "while unusual settings are not acknowledged",
}


@pytest.fixture(scope="module")
def found(django_db_setup, django_db_blocker, tmp_path_factory):
    """One world with its forms for the whole file; every test takes back what it did."""
    media = str(tmp_path_factory.mktemp("media"))
    with django_db_blocker.unblock(), transaction.atomic(), unhurried(media):
        wall = build()
        yield (
            wall,
            finding.find(
                wall,
                finding.more_cases(wall, far=False),
                PEOPLE,
                rows=1,
                writers=("own M",),
            ),
        )
        transaction.set_rollback(True)


@pytest.fixture
def wall(found, db):
    return found[0]


@pytest.fixture
def forms(found, db):
    return found[1]


def test_every_address_that_takes_a_post_is_reached_by_a_form_of_some_page(wall, forms):
    assert finding.addresses_that_take_posts(wall) - forms.targets() == set(EXEMPT)


def test_generated_posts_break_no_page_and_store_nothing_outside_of_its_range(wall, forms):
    told = Fuzz(wall, forms, seed=1).run(POSTS)

    assert told.wrong == {}
    assert told.posts >= POSTS
    taken = sum(told.statuses[name][status] for name in told.statuses for status in judging.TAKEN)
    assert taken >= POSTS // 5


def test_no_form_listens_to_a_column_that_it_does_not_ask_for(wall, forms):
    wrong, taken = mass_assignment(wall, forms, values.Learned(), seed=1, every=2)

    assert wrong == []
    assert taken >= 10


# What the run looks for


PAGE = """
<form method="post" action="/there/" enctype="multipart/form-data">
<input type="hidden" name="version" value="3">
<p id="id_gap_helptext">For example 1.5</p><p id="id_gap_error">Gap is 9 mm. Enter 0 to 6 mm.</p>
<input name="gap" value="1" inputmode="decimal" data-unit="mm"
  aria-describedby="id_gap_helptext id_gap_error">
<select name="kind"><option value="a">A</option><option value="b" selected>B</option></select>
<input type="checkbox" name="seen" value="x" checked><input type="checkbox" name="seen" value="y">
<input type="radio" name="way" value="up"><input type="radio" name="way" value="down">
<textarea name="note">
first &amp; last</textarea><input type="file" name="upload"><input name="off" disabled>
<button name="go" value="on">Save</button><button type="button" name="no">No</button>
</form><input name="outside" form="elsewhere"><form action="?q=1"></form>
"""


def test_a_form_is_read_as_a_browser_reads_it():
    first, second = Page("/here/", PAGE).forms

    assert (first.action, first.method, first.multipart) == ("/there/", "post", True)
    assert (second.action, second.method) == ("?q=1", "get")
    assert first.sent() == {
        "version": ["3"],
        "gap": ["1"],
        "kind": ["b"],
        "seen": ["x"],
        "note": ["first & last"],
    }
    assert first.fields["kind"].choices == ["a", "b"]
    assert first.fields["seen"].choices == ["x", "y"]
    assert set(first.fields) - set(first.sent()) == {"way", "upload"}
    assert first.buttons == [("go", "on", "")]


def test_limits_that_a_refusal_names_are_learned():
    learned = values.Learned()
    form = Page("/here/", PAGE).forms[0]

    learned.listen(form)

    assert learned == {"gap": (0.0, 6.0)}
    typed = [float(values.likely(form.fields["gap"], random.Random(n), learned)[0]) for n in (1, 2)]
    assert all(0 <= one <= 6 for one in typed)


def refusal(body: str, status: int = 422) -> HttpResponse:
    return HttpResponse(body, status=status)


@pytest.mark.parametrize(
    ("answer", "complaint"),
    [
        (refusal("<p>no</p>"), "422 without a sentence on top"),
        (refusal("<div data-refusals></div>", 409), "409 without a sentence on top"),
        (
            refusal('<div data-refusals><a href="#id_x">Enter the day.</a></div>'),
            "the refusal leads nowhere: #id_x",
        ),
        (
            refusal('<div data-refusals>Enter it.</div><i class="field-error">Enter it.</i>'),
            "a field is refused and the summary does not lead to it",
        ),
        (refusal(f"<p>{values.ALIVE[0]}</p>", 200), "shows what was typed as a part of the page"),
        (refusal(f"<p>{values.PRODUCT}</p>", 200), "ran what was typed as a template"),
        (refusal("", 500), "500: "),
        (refusal("", 201), "answered with 201"),
    ],
)
def test_an_answer_that_helps_nobody_is_complained_of(answer, complaint):
    assert [
        said.startswith(complaint) for said in judging.complaints("/here/", "there", answer)
    ] == [True]


def test_a_refusal_that_leads_to_its_field_is_fine():
    body = '<div data-refusals><a href="#id_x">Enter the day.</a></div><input id="id_x">'

    assert list(judging.complaints("/here/", "there", refusal(body))) == []


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"tray_number": "x" * 21}, "tray_number: 21 characters, at most 20"),
        ({"tray_number": "a\x00"}, "tray_number: holds a NUL"),
        ({"version": 2_147_483_648}, "version: 2147483648 is outside 0 to 2147483647"),
        ({"surgery_on": "9999-12-31"}, "surgery_on: 9999-12-31 is no day of our time"),
    ],
)
def test_a_stored_value_outside_of_what_is_declared_is_found(wall, change, fault):
    with undone():
        before = stored.every_row()
        Case.objects.filter(pk=wall.mixed.pk).update(**change)
        touched = stored.changed(before, stored.every_row())

        assert touched == [(Case, wall.mixed.pk)]
        assert f"Case {wall.mixed.pk}: {fault}" in stored.faults(*touched[0])


def test_the_same_seed_sends_the_same_posts(wall, forms):
    def sent(seed: int) -> list[object]:
        draw, learned = random.Random(seed), values.Learned()
        form = forms.read["own D", wall.address("dates")][1]
        data = values.filled(form, draw, learned)
        return [data, values.spoiled(form, data, draw, values.every_field_name())]

    assert sent(3) == sent(3)
    assert sent(3) != sent(4)
