"""The sample try-in is whole: the form takes it as it is."""

import pytest

from labcases.management.sample_tryin import bench_checked, judged
from labcases.reference.checklists import bench_pauses, lines_of, mouth_pauses


@pytest.mark.parametrize("arch", ["upper", "lower"])
def test_every_line_of_the_arch_is_answered(arch):
    assert list(judged(arch, "approved")["answers"]) == [
        line.key for line in lines_of(mouth_pauses(arch))
    ]
    assert set(bench_checked(arch)["answers"]) == {
        line.key for line in lines_of(bench_pauses(arch))
    }


@pytest.mark.parametrize(
    ("outcome", "line", "answer"),
    [
        ("redo", "plane", "redo"),
        ("new record", "centric_mouth", "redo"),
        ("approved with changes", "width", "change"),
    ],
)
def test_an_outcome_has_the_line_that_asks_for_it(outcome, line, answer):
    told = judged("upper", outcome)
    assert told["answers"][line] == answer
    assert {key for key, given in told["answers"].items() if given != "ok"} == {line}
