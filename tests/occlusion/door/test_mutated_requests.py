"""Whatever is sent, only answers and refusals come out (`python -m tests.fuzz_requests`)."""

import pytest

from tests import fuzz_requests


def test_mutated_requests_give_answers_and_refusals_only():
    outcomes = fuzz_requests.run(400, seed=7)

    assert outcomes.total() == 400
    verbs = {outcome.split(":")[0] for outcome in outcomes}
    assert verbs == {"clearance", "motion", "pin", "records", "space"}
    assert any(outcome.endswith(": answer") for outcome in outcomes)
    assert outcomes["clearance: BadRequest"] > 10


def test_anything_else_that_comes_out_is_found(monkeypatch):
    def broken(verb, request):
        raise KeyError("tooth")

    monkeypatch.setattr(fuzz_requests.door, "answer", broken)

    with pytest.raises(KeyError):
        fuzz_requests.run(1, seed=1)


def test_a_refusal_without_a_sentence_is_found(monkeypatch):
    def curt(verb, request):
        raise fuzz_requests.OcclusionError("no")

    monkeypatch.setattr(fuzz_requests.door, "answer", curt)

    with pytest.raises(AssertionError, match="no sentence"):
        fuzz_requests.run(1, seed=1)
