"""The pages on which an approval is typed from a signed paper, and how it reads afterwards."""

from __future__ import annotations

import pytest

from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind
from labcases.management import paper_walk
from labcases.management.walk import Walk
from labcases.models import Case
from tests.factories import PASSWORD, world
from tests.labcases import sent_files
from tests.labcases.domain.test_proposal_answer import propose
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here) -> Case:
    return here.case_at(Stage.SENT)


def new(case, kind):
    return f"/cases/{case.code}/signed-papers/new/{kind}/"


def test_a_surgery_day_goes_all_the_way_and_reads_on_paper_page_on_file(here, case):
    desk = logged_in(here.lena)
    shown = desk.post(new(case, "surgery-day"), {"surgery_on": "12-Mar-2035"}, follow=True)
    assert "Typed. Attach the signed page and hand it over." in text_of(shown)
    assert "Surgery and delivery Mon 12-Mar-2035" in text_of(shown)
    paper = case.signed_papers.get()
    here_url = f"/cases/{case.code}/signed-papers/{paper.pk}/"
    desk.post(f"{here_url}page/", {"upload": sent_files.sent(sent_files.jpeg((50, 50)))})
    told = {"signed_name": "Ilse Rowan", "licence_number": "D-6120", "signed_on": "2-Mar-2026"}
    desk.post(f"{here_url}hand-over/", {"version": paper.version, **told})
    paper.refresh_from_db()

    answer = logged_in(here.mona).post(
        f"{here_url}confirm/",
        {"version": paper.version, "compared": "on", "password": PASSWORD},
        follow=True,
    )

    assert "Confirmed, and entered as the paper says it." in text_of(answer)
    dates = text_of(logged_in(here.dora).get(f"/cases/{case.code}/dates/"))
    assert "Confirmed on paper, page on file: Ilse Rowan, licence D-6120" in dates
    assert "confirmed on paper" in text_of(answer)
    history = text_of(desk.get(f"/cases/{case.code}/history/"))
    assert "entered the surgery day as confirmed, signed on paper, page on file" in history


def test_the_list_says_what_can_be_typed_and_why_the_rest_cannot(here, case):
    page = text_of(logged_in(here.lena).get(f"/cases/{case.code}/signed-papers/"))

    assert "Type another signed paper" in page
    assert "What was only said on the telephone is no paper." in page
    assert "Outcome of the try-in: No try-in is out for this case" in page
    assert "Type another" not in text_of(
        logged_in(here.dora).get(f"/cases/{case.code}/signed-papers/")
    )


def test_what_cannot_be_approved_is_refused_in_words(here, case):
    answer = logged_in(here.lena).get(new(case, "final-wax"))

    assert answer.status_code == 409
    assert "Enter the final wax first; the paper approves what is entered." in text_of(answer)


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("surgery-day", "Type the surgery day that stands on the paper."),
        ("waiver", "Give the reason why the try-in is waived."),
    ],
)
def test_an_empty_form_says_what_to_type(here, case, kind, said):
    answer = logged_in(here.lena).post(new(case, kind), {})

    assert answer.status_code == 422
    assert said in text_of(answer)
    assert not case.signed_papers.exists()


def test_there_is_no_way_by_telephone(here, case):
    assert logged_in(here.lena).get(new(case, "by-telephone")).status_code == 404


def test_it_is_typed_again_as_long_as_it_is_typed(here, case):
    desk = logged_in(here.lena)
    desk.post(new(case, "waiver"), {"reason": "no time"})
    paper = case.signed_papers.get()
    said = f"/cases/{case.code}/signed-papers/{paper.pk}/said/"
    assert b'value="no time"' in desk.get(said).content

    desk.post(said, {"reason": "the patient is travelling", "paper_version": paper.version})
    stale = desk.post(said, {"reason": "another", "paper_version": paper.version})

    paper.refresh_from_db()
    assert paper.said["reason"] == "the patient is travelling"
    assert stale.status_code == 409
    assert "Lena Marsh typed it meanwhile. Look at it and save again." in text_of(stale)
    no_version = desk.post(said, {"reason": "another", "paper_version": "9" * 5000})
    assert no_version.status_code == 409
    signed = paper_walk.drawn_page()
    assert signed.content_type == "image/jpeg"


def test_the_checklist_of_a_try_in_is_typed_as_it_is_by_log_in(here):
    walk = here.walk()
    walk.to(Stage.TRY_IN)
    desk = logged_in(here.lena)
    page = desk.get(new(walk.case, "try-in"))
    assert "What it comes to" in text_of(page)
    assert page.content.decode().count('type="radio"') == 3 * 18 + 4
    for name in ("vertical_rest_mm", "closing_1", "patient_word", "words_plane"):
        assert f'name="{name}"' in page.content.decode(), name

    answer = desk.post(
        new(walk.case, "try-in"),
        {"outcome": "new record", "changes": "", "version": "1"},
        follow=True,
    )

    assert "Outcome New record" in text_of(answer)
    assert "Not answered" in text_of(answer)
    assert walk.case.try_ins.last().outcome == ""


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, "Choose what is ticked, yes, no, or yes with a change, of each proposal that the"),
        (
            {"answer_first": "yes", "text_second": "it stays"},
            "Words on proposal 2 are typed and no answer. Choose what is ticked, or empty the",
        ),
        (
            {"answer_first": "change", "number_first": "11"},
            "Type the number of the change: -2 to 10 mm.",
        ),
        (
            {"answer_second": "change"},
            "Type what is to be changed, as it stands on the paper.",
        ),
        ({"answer_first": "perhaps"}, "perhaps is not one of the available choices."),
    ],
)
def test_an_answer_on_paper_that_is_not_whole_is_refused(here, case, typed, words):
    walk = Walk(case, here.hands)
    keys = {
        "first": propose(walk, ProposalKind.VERTICAL).pk,
        "second": propose(walk, ProposalKind.NATURAL).pk,
    }
    data = {}
    for name, value in typed.items():
        what, which = name.split("_")
        data[f"{what}_{keys[which]}"] = value

    answer = logged_in(here.lena).post(new(case, "proposal"), data)

    assert answer.status_code == 422
    assert words in text_of(answer)


def test_answers_on_paper_read_as_typed_before_they_are_confirmed(here, case):
    walk = Walk(case, here.hands)
    first = propose(walk, ProposalKind.VERTICAL).pk
    second = propose(walk, ProposalKind.NATURAL).pk
    propose(walk, ProposalKind.ARRANGEMENT)
    desk = logged_in(here.lena)
    data = {
        f"answer_{first}": "change",
        f"number_{first}": "1,5",
        f"text_{first}": "no more",
        f"answer_{second}": "no",
    }

    shown = " ".join(text_of(desk.post(new(case, "proposal"), data, follow=True)).split())

    shown = shown.replace("&#x27;", "'")
    assert "Answer Yes, with a change The number of the change 1.5 mm" in shown
    assert "The dentist's words no more Proposal 2. Natural tooth 46" in shown
    assert "Answer It stays as it is" in shown
    assert "Proposal 3." not in shown
    paper = case.signed_papers.get()
    page = desk.get(f"/cases/{case.code}/signed-papers/{paper.pk}/said/").content.decode()
    assert f'name="number_{first}" value="1.5"' in page
    assert f'name="number_{second}"' not in page
    assert page.count("Not on this paper") == 3
