"""The second opinion first proves itself on worked examples, then is asked about the engine."""

import ast
import random
from pathlib import Path

import numpy as np
import pytest

from occlusion import motion
from occlusion.errors import OcclusionError
from tests.occlusion import second_opinion
from tests.occlusion.bench import (
    INCISAL,
    M1,
    M2,
    excursion_of,
    extreme_bench,
    random_bench,
    random_move,
    settings_of,
    symmetric,
    tooth,
)
from tests.occlusion.second_opinion import Bench, Move, NotFound, solve

UNEQUAL = {
    "inclination_right": 35.0,
    "inclination_left": 25.0,
    "bennett_right": 8.0,
    "bennett_left": 12.0,
    "table": 15.0,
    "wing_right": 20.0,
    "wing_left": 10.0,
}

#: Computed by two unrelated methods; printed to four places. What differs from UNEQUAL, the
#: move, hinge angle, and the movement of incisal point, right and left first molar.
WORKED = {
    "protrusive": (
        *({}, Move("protrusive", 3.0), -0.5884),
        *((3.3244, 0.1989, -0.9258), (3.3260, 0.2014, -1.3934), (3.3260, 0.2003, -1.0745)),
    ),
    "right": (
        *({}, Move("right", 3.0), 0.5565),
        *((1.1444, -3.2028, -1.4724), (0.4752, -2.3696, -0.8631), (1.8389, -2.3923, -1.4989)),
    ),
    "left": (
        *({}, Move("left", 3.0), -0.0606),
        *((1.4874, 3.1835, -0.9599), (2.1804, 2.3797, -1.4690), (0.8167, 2.3519, -0.5142)),
    ),
    "right along the path": (
        *({}, Move("right", 3.0, "path"), 0.4963),
        *((1.0222, -2.8527, -1.3122), (0.4255, -2.1126, -0.7694), (1.6391, -2.1305, -1.3353)),
    ),
    "right blended": (
        *({}, Move("right", 3.0, blend=0.5), -0.0484),
        *((2.2682, -1.5086, -1.1568), (1.9301, -1.0972, -1.1030), (2.6119, -1.1021, -1.2614)),
    ),
    "right, pin opened": (
        *({"opening": 1.0}, Move("right", 3.0), 1.2758),
        *((0.7265, -3.2041, -2.4700), (0.0635, -2.3663, -1.4842), (1.4271, -2.3889, -2.1200)),
    ),
    "right, side shift of the left condyle": (
        *({"shift_left": 0.5}, Move("right", 3.0), 0.6745),
        *((1.0767, -3.7031, -1.6363), (0.4083, -2.8691, -0.9653), (1.7719, -2.8917, -1.6011)),
    ),
    "right, table on the lower member": (
        *({"table_on": "lower"}, Move("right", 3.0), 0.5436),
        *((1.1518, -3.2028, -1.4544), (0.4826, -2.3697, -0.8518), (1.8462, -2.3923, -1.4877)),
    ),
    "protrusive, pin in front": (
        *({"pin": (95.0, 0.0, -38.0)}, Move("protrusive", 3.0), -0.4918),
        *((3.2717, 0.1997, -1.0612), (3.2728, 0.2019, -1.4782), (3.2728, 0.2009, -1.1593)),
    ),
    "closed, pin opened": (
        *({"opening": 1.0}, Move("protrusive", 0.0), 0.7180),
        *((-0.4073, 0.0, -1.0), (-0.4049, 0.0, -0.6241), (-0.4049, 0.0, -0.6241)),
    ),
}
PRINTED = 1e-4


def engine_and_solver(bench, move):
    engine = motion.lower_position(settings=settings_of(bench), excursion=excursion_of(move))
    return engine, solve(bench, move)


def worst_difference_mm(engine, solver, places=None):
    """Over lower points, and upper points seen from the lower member."""
    points = places or [INCISAL, tooth(M1), tooth(M2, "left"), (0.0, 60.0, 20.0)]
    found = []
    for point in points:
        lower = motion.landmark_movement(engine, point)
        upper = motion.landmark_movement(engine, point, member="upper")
        found += [
            np.abs(lower - solver.moves(point)).max(),
            np.abs(upper - solver.seen_from_lower(point)).max(),
        ]
    return max(found)


# The second opinion itself


def test_the_second_opinion_imports_nothing_of_the_engine():
    tree = ast.parse(Path(second_opinion.__file__).read_text(encoding="utf-8"))
    imported = [
        name
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in [getattr(node, "module", None), *(alias.name for alias in node.names)]
        if name
    ]

    assert sorted(set(imported)) == ["dataclass", "dataclasses", "math", "numpy"]


@pytest.mark.parametrize("name", WORKED)
def test_the_second_opinion_gives_the_worked_examples(name):
    changes, move, hinge, incisal, right, left = WORKED[name]
    found = solve(Bench(**{**UNEQUAL, **changes}), move)

    assert found.hinge == pytest.approx(hinge, abs=PRINTED)
    assert found.moves(INCISAL) == pytest.approx(incisal, abs=PRINTED)
    assert found.moves(tooth(M1)) == pytest.approx(right, abs=PRINTED)
    assert found.moves(tooth(M1, "left")) == pytest.approx(left, abs=PRINTED)


def test_the_second_opinion_sees_an_upper_point_from_the_lower_member():
    found = solve(Bench(**UNEQUAL), Move("right", 3.0))

    assert found.seen_from_lower(tooth(M1)) == pytest.approx((-0.5483, 2.3446, 0.8877), abs=PRINTED)


def test_the_second_opinion_carries_the_table_on_the_lower_member_to_the_right():
    found = solve(symmetric(20, 20, bennett=15, wing=20, table_on="lower"), Move("right", 3.0))

    assert found.moves(INCISAL) == pytest.approx((1.0402, -3.2789, -1.5780), abs=PRINTED)
    assert found.moves(tooth(M1)) == pytest.approx((0.3721, -2.4464, -0.9412), abs=PRINTED)


def test_the_second_opinion_carries_the_table_on_the_lower_member_forward():
    found = solve(symmetric(30, 10, table_on="lower"), Move("protrusive", 3.0))

    assert found.hinge == pytest.approx(-0.8385, abs=PRINTED)
    assert found.moves(INCISAL) == pytest.approx((3.4597, 0.0, -0.5580), abs=PRINTED)
    assert found.moves(tooth(M2)) == pytest.approx((3.4645, 0.0, -1.2165), abs=PRINTED)


def test_the_second_opinion_says_when_it_finds_no_position():
    with pytest.raises(NotFound):
        solve(symmetric(70, 0, pin=(60.0, 0.0, -60.0)), Move("protrusive", 60.0))


# The engine against it


def test_the_engine_agrees_on_200_random_articulators():
    draw = random.Random(1)
    differences = []
    for _ in range(200):
        engine, solver = engine_and_solver(random_bench(draw), random_move(draw))
        differences.append(worst_difference_mm(engine, solver))
        assert engine.hinge_deg == pytest.approx(solver.hinge, abs=1e-9)

    assert len(differences) == 200
    assert max(differences) < 1e-9


def test_at_the_edges_of_what_is_allowed_the_engine_agrees_or_refuses():
    draw = random.Random(6)
    differences, refusals = [], []
    while len(differences) < 100:
        bench, move = extreme_bench(draw), random_move(draw, longest=15.0)
        try:
            settings, excursion = settings_of(bench), excursion_of(move)
            engine = motion.lower_position(settings=settings, excursion=excursion)
        except OcclusionError as refusal:
            refusals.append(type(refusal).__name__)
            continue
        differences.append(worst_difference_mm(engine, solve(bench, move)))

    assert max(differences) < 1e-9
    # Tables along the arc of the pin, paths on end in a tilted plane, travels out of the path.
    assert set(refusals) <= {
        *("PinLeavesTable", "ImpossibleGeometry", "CondyleOutOfPath", "PinUnreachable")
    }
    assert len(refusals) < 100


def test_the_engine_agrees_all_the_way_through_side_shift_and_travel():
    draw = random.Random(2)
    differences, shifting = [], 0
    for _ in range(25):
        bench, move = random_bench(draw), random_move(draw)
        whole = motion.lower_positions(
            settings=settings_of(bench), excursion=excursion_of(move), steps=4
        )
        shift = bench.shift_left if move.kind == "right" else bench.shift_right
        for index in range(len(whole)):
            engine = whole.at(index)
            done = engine.side_shift_mm / shift if shift and move.kind != "protrusive" else 1.0
            shifting += done < 1.0
            part = Move(move.kind, engine.advance_mm, "horizontal", move.blend, done)
            differences.append(worst_difference_mm(engine, solve(bench, part)))

    assert shifting > 10
    assert max(differences) < 1e-9


def test_condyles_and_pin_stand_where_the_second_opinion_puts_them():
    draw = random.Random(3)
    for _ in range(40):
        bench, move = random_bench(draw), random_move(draw)
        engine, solver = engine_and_solver(bench, move)
        half = bench.intercondylar / 2.0
        for found, start in (
            (engine.condyle_right_mm, (0.0, -half, 0.0)),
            (engine.condyle_left_mm, (0.0, half, 0.0)),
            (engine.pin_point_mm, bench.pin),
        ):
            assert found == pytest.approx(solver.moves(start) + start, abs=1e-9)
