"""Surgery and delivery of an office that works on paper: typed, confirmed, and then delivered."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import box, delivered, paper_delivery
from labcases.enums import Stage
from labcases.management import paper_walk
from labcases.models import Case
from labcases.reference.checklists import lines_of
from labcases.reference.delivery import arrival_checklist, delivery_checklist
from labcases.templatetags.units import long_date
from tests.factories import world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here) -> Case:
    return here.case_at(Stage.DISPATCHED)


def sheet(case, **other):
    """What stands on the sheet, as the boxes of the page are called."""
    today = long_date(timezone.localdate())
    told = {
        **{f"arrival-answer_{one.key}": "yes" for one in lines_of(arrival_checklist())},
        **{f"delivery-answer_{one.key}": "yes" for one in lines_of(delivery_checklist())},
        "surgery-held_on": today,
        "surgery-teeth_out": " ".join(delivered.planned(case)),
        "surgery-template_use": "used",
        "surgery-bone_changed": "no",
        "delivery-delivered_on": today,
        "delivery-vertical_rest_mm": "71",
        "delivery-vertical_mm": "68",
        "delivery-closing_1": "same",
        "delivery-liner_kind": "tissue conditioner",
        "delivery-liner_product": "conditioner, powder",
        "delivery-liner_lot": "TC-77",
        "delivery-relieved": "labial, at 13",
    }
    return {**told, **other}


def new(case):
    return f"/cases/{case.code}/signed-papers/new/delivery/"


def fresh(case):
    return Case.objects.get(pk=case.pk)


def typed(here, case, **other):
    """The sheet typed by the desk, its page attached and handed over."""
    answer = logged_in(here.lena).post(new(case), sheet(case, **other), follow=True)
    assert answer.status_code == 200, text_of(answer)
    paper = case.signed_papers.get(says="delivery")
    page = paper_walk.drawn_page(str(paper.pk).encode())
    paper_walk.signed_papers.add_page(paper=paper, picture=page, by=here.lena)
    return paper_walk.hand_over(paper, by=here.lena), answer


def test_the_second_member_compares_everything_that_was_typed(here, case):
    _paper, answer = typed(here, case)

    shown = text_of(answer)
    today = long_date(timezone.localdate())
    for said in (
        "What is in the box agrees with its list Yes",
        f"Day of the surgery {timezone.localdate():%a} {today}",
        "Teeth out 13 12 11 21 22 23",
        "Vertical 68 mm",
        "Liner lot TC-77",
        "Relieved on the fitting surface labial, at 13",
    ):
        assert said in shown, shown
    assert fresh(case).stage == "dispatched"


def test_a_confirmed_sheet_takes_the_box_in_and_brings_the_case_to_delivered(here, case):
    paper, _answer = typed(here, case)

    paper_walk.confirm(paper, by=here.mona)

    case = fresh(case)
    assert case.stage == "delivered"
    assert [one.received_by for one in delivered.came(case)] == [here.mona]
    assert (case.arrival.paper, case.surgery.paper, case.delivery.paper) == (paper,) * 3
    assert case.surgery.teeth_out == ["13", "12", "11", "21", "22", "23"]
    assert str(case.delivery.vertical_mm) == "68.00"
    assert case.delivery.liner_until > timezone.localdate()
    reviews = text_of(logged_in(here.lena).get(f"/cases/{case.code}/reviews/"))
    assert f"Delivered {long_date(timezone.localdate())}" in reviews


def test_it_is_typed_again_with_what_was_typed_before(here, case):
    logged_in(here.lena).post(new(case), sheet(case, **{"surgery-teeth_out": "11 12", **WHY}))
    paper = case.signed_papers.get(says="delivery")
    address = f"/cases/{case.code}/signed-papers/{paper.pk}/said/"

    page = logged_in(here.lena).get(address).content.decode()

    assert 'value="12 11"' in page
    assert 'value="TC-77"' in page
    assert 'value="68' in page


WHY = {"surgery-why_otherwise": "The others stay for now."}


def test_other_teeth_than_planned_wait_until_they_are_reported(here, case):
    paper, _answer = typed(here, case, **{"surgery-teeth_out": "11 12", **WHY})

    with pytest.raises(paper_walk.signed_papers.NotNow) as refused:
        paper_walk.confirm(paper, by=here.mona)

    assert "The teeth that came out are not those of the plan. Report it" in str(refused.value)
    assert fresh(case).stage == "dispatched"
    assert not hasattr(fresh(case), "surgery")


def test_a_box_that_was_taken_in_meanwhile_is_not_overrun(here, case):
    paper, _answer = typed(here, case)
    (sent,) = paper_delivery.on_its_way(case)
    box.receive(box=sent, counts={item.pk: item.count for item in sent.items.all()}, by=here.farah)

    with pytest.raises(paper_walk.signed_papers.NotNow, match="has changed since it was typed"):
        paper_walk.confirm(paper, by=here.mona)


@pytest.mark.parametrize(
    ("other", "said"),
    [
        (
            {"arrival-answer_ar_counted": "no", "arrival-words_ar_counted": "no template"},
            "The paper says that the count differs. Report what is missing",
        ),
        (
            {"surgery-held_on": long_date(timezone.localdate() + timedelta(days=1))},
            "The day of the surgery lies ahead",
        ),
        (
            {"delivery-answer_dl_seats": "no"},
            "Say what is wrong: The denture seats without force.",
        ),
        ({"delivery-adjusted": "41"}, "41"),
    ],
    ids=["count differs", "a day ahead", "no without words", "a natural tooth"],
)
def test_what_cannot_be_is_refused_and_nothing_typed_is_lost(here, case, other, said):
    answer = logged_in(here.lena).post(new(case), sheet(case, **other))

    assert answer.status_code == 422
    assert said in text_of(answer)
    assert b'value="TC-77"' in answer.content
    assert not case.signed_papers.filter(says="delivery").exists()


def test_before_the_denture_has_left_no_sheet_is_typed(here):
    answer = logged_in(here.lena).get(new(here.case_at(Stage.RELEASED)))

    assert answer.status_code == 409
    assert "The case stands at released. The sheet is typed once the denture has left" in text_of(
        answer
    )
