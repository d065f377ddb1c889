"""The page of a signed paper: attach, hand over, compare, confirm or send back, and ask."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.enums import Allergy, Stage
from labcases.management import paper_walk
from labcases.models import Case, SignedPaper
from tests.factories import PASSWORD, world
from tests.labcases import sent_files
from tests.labcases.views.pages import logged_in, text_of
from tests.labcases.views.prescribing import posted, step_url

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return paper_walk.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="MR-207", by=here.lena
    )


@pytest.fixture
def paper(case):
    return case.signed_papers.get()


def url(paper: SignedPaper, act: str = "") -> str:
    name = f"signed_paper_{act}" if act else "signed_paper"
    return reverse(name, args=[paper.case.code, paper.pk])


def attach(browser, paper, side=60):
    upload = sent_files.sent(sent_files.jpeg((side, side)))
    return browser.post(url(paper, "page"), {"upload": upload}, follow=True)


def handed(paper: SignedPaper, **more):
    paper.refresh_from_db()
    return {
        "version": paper.version,
        "signed_name": "Ilse Rowan",
        "licence_number": "D-6120",
        "signed_on": "12-Mar-2026",
    } | more


def ready(here, paper) -> SignedPaper:
    """Typed, with its page, and handed over by the desk."""
    paper_walk.type_in(paper, by=here.lena)
    browser = logged_in(here.lena)
    attach(browser, paper)
    assert browser.post(url(paper, "hand_over"), handed(paper)).status_code == 302
    paper.refresh_from_db()
    return paper


def test_the_page_of_the_paper_says_what_is_open_and_where_it_is_typed(here, case, paper):
    paper_walk.type_in(paper, by=here.lena, shade="", allergy=Allergy.NOT_ASKED)

    answer = logged_in(here.lena).get(url(paper))

    page = text_of(answer)
    assert "Enter the shade." in page
    assert "Ask about allergies and enter the answer." in page
    assert "Attach a picture of the signed page." in page
    assert f"{step_url(case, 'materials')}#id_shade".encode() in answer.content
    assert "No page is attached yet. Nothing is confirmed without one." in page
    assert "Cover the patient's name before you take the picture" in page


def test_one_tap_asks_the_office_about_an_open_field(here, case, paper):
    browser = logged_in(here.lena)

    answer = browser.post(url(paper, "ask"), {"field": "post_dam"}, follow=True)

    asked = case.questions.get()
    assert asked.about == "the post-dam"
    assert asked.text == (
        "The signed paper leaves this open. Say who finds the place of the post-dam. Send the "
        "answer signed, please."
    )
    assert asked.waits_for == "office"
    assert "The office is asked." in text_of(answer)
    again = browser.post(url(paper, "ask"), {"field": "post_dam"})
    assert again.status_code == 409
    assert "is asked about the post-dam already" in text_of(again)


def test_nothing_is_asked_about_what_is_not_open(here, paper):
    paper_walk.type_in(paper, by=here.lena)

    answer = logged_in(here.lena).post(url(paper, "ask"), {"field": "shade"})

    assert answer.status_code == 422
    assert "Choose one of the things that are open." in text_of(answer)


def test_a_page_is_attached_and_a_file_that_is_no_picture_refused(here, paper):
    browser = logged_in(here.lena)

    refused = browser.post(url(paper, "page"), {"upload": sent_files.sent(b"%PDF-1.7", "a.pdf")})
    shown = attach(browser, paper)

    assert refused.status_code == 422
    assert "JPEG or PNG" in text_of(refused)
    assert "The page is attached." in text_of(shown)
    page = paper.pages.get()
    assert f'src="/cases/{paper.case.code}/files/{page.pk}/"'.encode() in shown.content


def test_without_its_page_nothing_is_handed_over_and_what_was_typed_survives(here, paper):
    paper_walk.type_in(paper, by=here.lena)

    answer = logged_in(here.lena).post(url(paper, "hand_over"), handed(paper))

    assert answer.status_code == 422
    assert "Not handed over: see what is open." in text_of(answer)
    assert b'value="Ilse Rowan"' in answer.content
    paper.refresh_from_db()
    assert paper.state == "being typed"


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("signed_name", "", "Type the name that stands under the signature."),
        ("licence_number", "", "Type the licence number that stands on the paper."),
        ("signed_on", "", "Type the day that stands on the paper."),
    ],
)
def test_name_licence_and_day_are_asked_as_the_paper_says_them(here, paper, field, value, said):
    answer = logged_in(here.lena).post(url(paper, "hand_over"), handed(paper, **{field: value}))

    assert answer.status_code == 422
    assert said in text_of(answer)


def test_a_day_still_to_come_stands_on_no_paper(here, paper):
    tomorrow = timezone.localdate() + timedelta(days=1)

    answer = logged_in(here.lena).post(
        url(paper, "hand_over"), handed(paper, signed_on=str(tomorrow))
    )

    assert answer.status_code == 422
    assert "is still to come. Type the day that stands on the paper" in text_of(answer)


def test_who_typed_it_sees_that_another_member_confirms(here, paper):
    ready(here, paper)

    page = text_of(logged_in(here.lena).get(url(paper)))

    assert "You typed this paper. A second member of the laboratory confirms it." in page
    assert "Confirm the paper" not in page


def test_the_second_member_sees_page_and_words_side_by_side_and_confirms(here, case, paper):
    ready(here, paper)
    browser = logged_in(here.tomas)
    shown = browser.get(url(paper))
    page = text_of(shown)
    assert "21 (Universal 9), upper left central incisor" in page
    assert "Under the signature stands Ilse Rowan , licence D-6120 , day 12-Mar-2026" in page
    assert b"<img src=" in shown.content
    assert "to be compared" not in page

    answer = browser.post(
        url(paper, "confirm"),
        {"version": paper.version, "compared": "on", "password": PASSWORD},
        follow=True,
    )

    assert "Revision 1 is signed on paper and in force." in text_of(answer)
    row = Case.objects.get(pk=case.pk).prescription
    assert (row.status, row.signed_by, row.signed_name) == ("signed", None, "Ilse Rowan")


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"password": PASSWORD}, "Compare every line with the page, then tick this."),
        ({"compared": "on", "password": "wrong"}, "That is not your password. Nothing was signed"),
    ],
)
def test_confirming_asks_for_the_comparison_and_the_password(here, paper, sent, said):
    ready(here, paper)

    answer = logged_in(here.tomas).post(url(paper, "confirm"), {"version": paper.version, **sent})

    assert answer.status_code == 422
    assert said in text_of(answer)
    paper.refresh_from_db()
    assert paper.state == "to be confirmed"


def test_the_typist_who_posts_all_the_same_is_refused_in_words(here, paper):
    ready(here, paper)

    answer = logged_in(here.lena).post(
        url(paper, "confirm"),
        {"version": paper.version, "compared": "on", "password": PASSWORD},
    )

    assert answer.status_code == 422
    assert "You typed this paper." in text_of(answer)


def test_sent_back_with_a_reason_it_is_typed_again(here, case, paper):
    ready(here, paper)
    held = logged_in(here.lena).post(
        step_url(case, "materials"), posted(case, "materials", shade="A1"), follow=True
    )
    assert "waits to be confirmed" in text_of(held)
    browser = logged_in(here.tomas)
    empty = browser.post(url(paper, "back"), {"version": paper.version, "reason": ""})
    assert empty.status_code == 422
    assert "Say what does not agree." in text_of(empty)

    browser.post(url(paper, "back"), {"version": paper.version, "reason": "21 is to stay"})

    page = text_of(logged_in(here.lena).get(url(paper)))
    assert "Sent back by Tomas Abelard" in page
    assert "21 is to stay" in page
    again = logged_in(here.lena).post(
        step_url(case, "materials"), posted(case, "materials", shade="A1")
    )
    assert again.status_code == 302


def test_of_two_open_pages_the_second_is_told(here, paper):
    ready(here, paper)
    told = {"version": paper.version, "compared": "on", "password": PASSWORD}
    logged_in(here.tomas).post(url(paper, "confirm"), told)

    late = logged_in(here.mona).post(url(paper, "confirm"), told)

    assert late.status_code == 409
    assert "Tomas Abelard has confirmed this paper already." in text_of(late)


def test_a_paper_is_given_up_with_a_reason(here, paper):
    browser = logged_in(here.lena)
    empty = browser.post(url(paper, "give_up"), {"version": 1, "reason": ""})
    assert "Give the reason why the paper is not typed any further." in text_of(empty)

    answer = browser.post(
        url(paper, "give_up"), {"version": 1, "reason": "it bears no signature"}, follow=True
    )

    assert "Given up it bears no signature" in text_of(answer)


def test_an_office_that_logs_in_sees_it_and_may_object(here, case, paper):
    ready(here, paper)
    browser = logged_in(here.dora)

    case_page = text_of(browser.get(f"/cases/{case.code}/"))
    shown = browser.get(url(paper))

    assert "To be confirmed: prescription, typed by Lena Marsh from a signed paper." in case_page
    assert "Object with a question" in text_of(shown)
    assert "Confirm the paper" not in text_of(shown)
    assert b"/questions/?about=the%20case&amp;text=We%20object" in shown.content


def test_everywhere_it_reads_on_paper_page_on_file(here, case, paper):
    paper_walk.type_in(paper, by=here.lena)
    paper_walk.sign_on_paper(case, typed_by=here.lena, confirmed_by=here.tomas)
    browser = logged_in(here.dora)

    overview = text_of(browser.get(f"/cases/{case.code}/prescription/"))
    history = text_of(browser.get(f"/cases/{case.code}/history/"))
    folded = text_of(browser.get(f"/cases/{case.code}/"))
    listed = text_of(browser.get(f"/cases/{case.code}/signed-papers/"))

    assert "on paper, page on file: Ilse Rowan" in overview
    assert "Typed by Lena Marsh" in overview
    assert "Confirmed by Tomas Abelard" in overview
    assert (
        "put revision 1 of the prescription in force, signed on paper, page on file: Ilse Rowan, "
        "licence D-6120" in history
    )
    assert "typed revision 1 from a signed paper and handed it over" in history
    assert "compared revision 1 with the signed page and confirmed it" in history
    assert "Revision 1, signed on paper, page on file: Ilse Rowan" in folded
    assert "R01, signed on paper, page on file" in folded
    assert "On paper, page on file: Ilse Rowan, licence D-6120" in listed


def test_the_case_offers_the_laboratory_to_enter_it_as_sent(here, case):
    paper_walk.sign_on_paper(case, typed_by=here.lena, confirmed_by=here.tomas)
    browser = logged_in(here.lena)
    browser.post(
        f"/cases/{case.code}/boxes/arrived/",
        {
            "courier": "",
            "items-TOTAL_FORMS": "2",
            "items-INITIAL_FORMS": "0",
            "items-0-content": "impression",
            "items-0-count": "1",
            "items-1-content": "photographs",
            "items-1-count": "1",
        },
    )
    assert "Enter the case as sent" in text_of(browser.get(f"/cases/{case.code}/"))

    browser.post(f"/cases/{case.code}/move/", {"to": "sent", "seen": "draft", "reason": ""})

    assert Case.objects.get(pk=case.pk).stage == Stage.SENT


def test_no_paper_of_another_case_is_reached(here, case, paper):
    other = paper_walk.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="MR-208", by=here.lena
    )

    answer = logged_in(here.lena).get(reverse("signed_paper", args=[other.code, paper.pk]))

    assert answer.status_code == 404
