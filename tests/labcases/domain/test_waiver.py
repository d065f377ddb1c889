"""Going on without a try-in: the dentist's word, with a reason."""

import pytest

from labcases.domain import gates, tryin
from labcases.enums import Stage
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast():
    return world()


def open_gate(case):
    return [item.text for item in gates.try_in_answered(case)]


def test_waiver_answers_the_try_in_and_stands_in_the_history(cast):
    case = cast.case_at(Stage.SET_UP)
    assert open_gate(case) == [
        "The try-in is not approved. The dentist may waive it with a reason."
    ]

    tryin.waive(case=case, by=cast.dora, reason="the patient cannot come")

    assert open_gate(case) == []
    entry = case.history.last()
    assert (entry.act, entry.part, entry.reason) == (
        "waived",
        "try-in",
        "the patient cannot come",
    )


def test_waiver_closes_a_try_in_that_is_out(cast):
    case = cast.case_at(Stage.TRY_IN)

    tryin.waive(case=case, by=cast.dora, reason="the patient cannot come")

    assert list(case.try_ins.values_list("number", "outcome")) == [(1, "waived")]


def test_waiver_needs_a_reason(cast):
    with pytest.raises(ValueError, match="Give the reason why the try-in is waived"):
        tryin.waive(case=cast.case_at(Stage.SET_UP), by=cast.dora, reason=" ")


def test_nothing_is_waived_twice(cast):
    case = cast.case_at(Stage.SET_UP)
    tryin.waive(case=case, by=cast.dora, reason="the patient cannot come")

    with pytest.raises(tryin.NothingToWaive, match="No try-in is open"):
        tryin.waive(case=case, by=cast.dora, reason="once more")


def test_dentist_waives_on_the_page_and_nobody_else(cast, client):
    case = cast.case_at(Stage.SET_UP)
    address = f"/cases/{case.code}/try-in/waive/"
    client.force_login(cast.tomas)
    assert client.post(address, {"reason": "no time"}).status_code == 403
    client.force_login(cast.dora)
    assert client.post(address, {"reason": ""}).status_code == 422
    assert open_gate(case) != []

    answer = client.post(address, {"reason": "the patient cannot come"}, follow=True)

    assert "The try-in is waived" in answer.text
    assert open_gate(case) == []
    assert "Waive the try-in" not in client.get(f"/cases/{case.code}/try-in/").text
