"""The offer to undo: kept for the page that follows, for the person who acted, once."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpResponse, HttpResponseRedirect
from django.test import RequestFactory

from labcases.domain import history
from labcases.enums import Stage
from labcases.offers import KEY, OfferUndo, undo_offer
from tests.factories import world
from tests.labcases.domain.undone import tray

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.ACCEPTED)
    return walk


def answered(walk, response, *, method="post", user=None, act=tray):
    """A request during which something is done, and its session afterwards."""
    request = getattr(RequestFactory(), method)("/there/")
    request.user, request.session = user or walk.hands.technician, {}

    def view(_request):
        if act:
            act(walk)
        return response

    assert OfferUndo(view)(request) is response
    return request


def test_a_post_that_leads_on_leaves_an_offer_of_numbers_and_a_code(walk):
    request = answered(walk, HttpResponseRedirect("/here/"))
    assert request.session == {
        KEY: {
            "code": walk.case.code,
            "numbers": [walk.case.history.last().sequence],
            "next": "/here/",
        }
    }
    offer = undo_offer(request)[KEY]
    assert request.session  # nothing was asked for yet
    assert offer["next"] == "/here/"
    assert request.session == {}
    assert not undo_offer(request)[KEY]


@pytest.mark.parametrize(
    "case",
    [
        {"response": HttpResponse("refused", status=422)},
        {"response": HttpResponseRedirect("/here/"), "act": None},
        {"response": HttpResponseRedirect("/here/"), "method": "get"},
        {"response": HttpResponseRedirect("/here/"), "user": AnonymousUser()},
    ],
    ids=["refused", "nothing done", "a page", "nobody"],
)
def test_nothing_else_leaves_one(walk, case):
    assert answered(walk, **case).session == {}


def test_an_act_that_is_not_undone_takes_an_older_offer_away(walk):
    request = RequestFactory().post("/there/")
    request.user, request.session = walk.hands.technician, {KEY: {"numbers": [1]}}

    def view(_request):
        history.write(case=walk.case, by=walk.hands.technician, act="sent", part="box")
        return HttpResponseRedirect("/here/")

    OfferUndo(view)(request)
    assert request.session == {}


def test_a_page_without_a_session_has_none():
    assert not undo_offer(RequestFactory().get("/"))[KEY]
