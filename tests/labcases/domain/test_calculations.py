"""From the record of a case to kept findings, and what a handoff freezes of them."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest

from labcases.domain import bench, calculations, checks, gates
from labcases.enums import CheckKind, Stage
from labcases.management.walk import Walk
from labcases.models import CheckRun, Handoff
from tests.factories import world

pytestmark = pytest.mark.django_db

CLEARANCE, HEIGHT = CheckKind.CLEARANCE, CheckKind.HEIGHT
D = Decimal


@pytest.fixture
def walk() -> Walk:
    """A case of which only the handoff is left."""
    walk = world().walk()
    walk.ready(Stage.PROCESSING)
    return walk


def turn_right_condyle(walk: Walk, degrees: str) -> None:
    bench.save_articulator(
        case=walk.reload(),
        version=walk.case.articulator.version,
        by=walk.hands.technician,
        values={"condylar_right_deg": D(degrees)},
    )


def gaps(run: CheckRun) -> dict[tuple[str, str], float]:
    return {
        (row["excursion"], tooth["tooth"]): tooth["gap_mm"]
        for row in run.findings["excursions"]
        for tooth in row["teeth"]
    }


def test_five_degrees_on_the_right_change_the_gaps_that_are_kept(walk):
    before = gaps(checks.latest(walk.reload(), CLEARANCE).run)
    turn_right_condyle(walk, "35")

    run = checks.compute(case=walk.reload(), kind=CLEARANCE, by=walk.hands.technician)

    after = gaps(CheckRun.objects.get(pk=run.pk))
    # The right condyle leads to the left and sinks in protrusion; to the right it only turns.
    opened = {key for key in before if after[key] > before[key] + 0.02}
    assert {("protrusive", "16"), ("protrusive", "17"), ("left", "16"), ("left", "17")} <= opened
    assert {excursion for excursion, _ in opened} == {"protrusive", "left"}


def test_the_height_budget_of_a_case_is_that_of_its_record(walk):
    found = calculations.height_budget(walk.reload())

    assert [row.tooth for row in found.rows] == ["17", "16", "15", "14", "24", "25", "26", "27"]
    assert {row.verdict for row in found.rows} == {"fits"}
    assert found.engine_version == calculations.ENGINE_VERSION


def test_the_gate_reads_the_case_as_it_is_not_the_kept_budget(walk):
    row = walk.case.sites.get(tooth="16")
    bench.save_site(
        case=walk.case,
        tooth="16",
        version=row.version,
        by=walk.hands.technician,
        values={"space_mm": D("6")},
    )

    assert [item.field for item in gates.height_known(walk.reload())] == ["16-space_mm"]


# --- what the handoff freezes ---------------------------------------------------------------------


def test_a_handoff_freezes_inputs_findings_and_engine_as_plain_values(walk):
    runs = {kind: checks.latest(walk.reload(), kind).run for kind in CheckKind}

    walk.hand_over()

    frozen = Handoff.objects.get(case=walk.case).frozen
    assert json.loads(json.dumps(frozen)) == frozen
    assert set(frozen) == {"engine_version", "prescription", "inputs", "findings"}
    for kind in CheckKind:
        assert frozen["inputs"][kind.value] == runs[kind].inputs
        assert frozen["findings"][kind.value] == runs[kind].findings
    assert frozen["engine_version"] == calculations.ENGINE_VERSION
    assert frozen["prescription"] == {
        "revision": 1,
        "digest": walk.case.prescription.digest,
    }


def test_later_changes_do_not_reach_what_was_frozen(walk, monkeypatch):
    walk.hand_over()
    before = Handoff.objects.get(case=walk.case).frozen

    turn_right_condyle(walk, "35")
    walk.case.prescriptions.update(scheme="group")
    walk.case.selection.cusp_angle_deg = D("30")
    walk.case.selection.save()
    walk.case.sites.update(space_mm=D("5"))
    monkeypatch.setattr(calculations, "ENGINE_VERSION", "99.0.0")
    walk.compute()

    handoff = Handoff.objects.get(case=walk.case)
    assert handoff.frozen == before
    assert handoff.engine_version == before["engine_version"] != "99.0.0"
    assert handoff.frozen["inputs"]["clearance"]["articulator"]["condylar_right_deg"] == 30.0
    assert handoff.frozen["inputs"]["clearance"]["scheme"] == "balanced"
    assert handoff.frozen["inputs"]["height budget"]["sites"]["16"]["space_mm"] == 9.0
    now = checks.latest(walk.reload(), CLEARANCE).run
    assert now.inputs["articulator"]["condylar_right_deg"] == 35.0
    assert now.engine_version == "99.0.0"


@pytest.mark.parametrize("lost", ["stale", "missing"])
def test_a_height_budget_is_made_current_before_it_is_frozen(walk, lost):
    row = walk.case.sites.get(tooth="16")
    bench.save_site(
        case=walk.case,
        tooth="16",
        version=row.version,
        by=walk.hands.technician,
        values={"space_mm": D("9.5")},
    )
    if lost == "missing":
        CheckRun.objects.filter(kind=HEIGHT).delete()

    walk.hand_over()

    frozen = Handoff.objects.get(case=walk.case).frozen
    assert frozen["inputs"]["height budget"]["sites"]["16"]["space_mm"] == 9.5
    (row,) = [r for r in frozen["findings"]["height budget"]["rows"] if r["tooth"] == "16"]
    assert row["space_mm"] == 9.5
