"""A reduction beyond its budget: what it leaves, and that only a denture tooth has one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labcases import notation
from labcases.domain.calculations import Beyond, CannotCompute, HeightRow, beyond
from labcases.enums import OpposingTooth

ROW = HeightRow("15", "fits", "natural", occlusal_budget_mm=0.3, shell_left_mm=1.8)


def asked(**other) -> Beyond:
    told = {
        "tooth": "15",
        "kind": OpposingTooth.DENTURE,
        "depth_mm": 0.5,
        "row": ROW,
        "shell_min_mm": 1.5,
        "taken_mm": 0.1,
        **other,
    }
    return beyond(**told)


def test_the_shell_is_what_the_budget_leaves_less_what_was_taken_and_is_to_be_taken():
    found = asked()

    # 1.8 left over the fossa, 0.1 off already, 0.5 more; 0.3 of budget less 0.1.
    assert (found.left_mm, found.shell_now_mm, found.shell_after_mm, found.most_mm) == (
        0.2,
        1.7,
        1.2,
        1.69,
    )
    assert found.tooth.material == "denture"


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ({"row": None}, "15 has no height budget, so nothing can be beyond it."),
        ({"shell_min_mm": None}, "15 has no height budget"),
        ({"depth_mm": 0.0}, "The depth at 15 is 0 mm. Enter 0.01 mm or more."),
        ({"depth_mm": 1.7}, "1.7 mm off 15 would grind it through: the shell over the fossa is"),
        ({"taken_mm": 1.8}, "No shell is left over the fossa of 15. Set the tooth again"),
    ],
)
def test_what_would_leave_nothing_is_refused(other, words):
    with pytest.raises(CannotCompute) as told:
        asked(**other)

    assert str(told.value).startswith(words)


@given(
    tooth=st.sampled_from((*notation.UPPER, *notation.LOWER)),
    kind=st.sampled_from([kind for kind in OpposingTooth if kind != OpposingTooth.DENTURE]),
    depth=st.floats(-1, 10),
    taken=st.floats(0, 10),
    budget=st.none() | st.floats(0, 10),
)
def test_a_tooth_that_is_no_denture_tooth_never_gets_a_depth(tooth, kind, depth, taken, budget):
    row = HeightRow(tooth, "fits", "denture", occlusal_budget_mm=budget, shell_left_mm=9.0)
    with pytest.raises(CannotCompute, match=r"not a denture tooth\. No reduction is proposed"):
        asked(tooth=tooth, kind=kind, depth_mm=depth, taken_mm=taken, row=row)
