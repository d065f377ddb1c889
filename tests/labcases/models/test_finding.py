"""A kept answer of the engine."""

from __future__ import annotations

import pytest

from labcases.models import CheckRun

pytestmark = pytest.mark.django_db


def test_answers_are_kept_in_the_order_in_which_they_were_given(cast, case):
    for number in (1, 2, 3):
        CheckRun.objects.create(
            case=case,
            kind="clearance",
            inputs={"number": number, "deg": 12.5},
            inputs_digest="0" * 64,
            findings={"excursions": []},
            engine_version="0.1.0",
            by=cast.tomas,
        )

    assert [run.inputs["number"] for run in case.check_runs.all()] == [1, 2, 3]
    last = case.check_runs.last()
    assert last is not None
    assert (last.inputs, last.findings) == ({"number": 3, "deg": 12.5}, {"excursions": []})
    assert str(last) == f"clearance of {case.code}"
