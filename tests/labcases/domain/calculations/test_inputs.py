"""What the engine is told about a case: the same values, a digest, and changes in words."""

from __future__ import annotations

import json
import re
from decimal import Decimal

import pytest

from labcases.domain import bench, checks, prescription
from labcases.domain.calculations import inputs
from labcases.enums import CheckKind, Stage
from labcases.management.walk import Walk, natural
from labcases.models import Case, CheckRun
from tests.factories import world
from tests.labcases.domain.calculations.told import told

pytestmark = pytest.mark.django_db

CLEARANCE, HEIGHT = CheckKind.CLEARANCE, CheckKind.HEIGHT


@pytest.fixture
def walk() -> Walk:
    """A draft with everything entered that the engine is told."""
    walk = world().walk()
    walk.to(Stage.DRAFT)
    walk.enter_settings()
    walk.choose_teeth()
    walk.measure()
    walk.compute()
    return walk


def fresh(walk: Walk) -> Case:
    return Case.objects.get(pk=walk.case.pk)


def test_the_clearance_check_is_told_this(walk):
    found = inputs.clearance(fresh(walk))

    assert found == told()
    assert list(found["teeth"]) == ["17", "16", "15", "14", "24", "25", "26", "27"]
    assert list(found["opposing"]) == [
        *("47", "46", "45", "44", "43"),
        *("33", "34", "35", "36", "37"),
    ]


def test_readings_stand_with_their_tooth_in_whichever_arch_it_is(walk):
    teeth = walk.case.prescription.teeth | {"14": "stays"}
    order(teeth=teeth, opposing=natural("lower") | {"46": "denture"})(walk)
    site("16", cusp_angle_deg=D("30"), behind_incisal_mm=D("31.5"))(walk)
    site("14", mesiodistal_mm=D("7.25"))(walk)
    site("46", buccolingual_mm=D("10"), tilt_deg=D("-4.5"))(walk)
    site("47", tip_height_mm=D("1.2"))(walk)

    found = inputs.clearance(fresh(walk))

    assert found["teeth"]["16"] == {
        "antagonist": "denture",
        "cusp_angle_deg": 30.0,
        "behind_incisal_mm": 31.5,
    }
    assert found["neighbours"] == {"14": {"mesiodistal_mm": 7.25}}
    assert "14" not in found["teeth"]
    assert found["opposing"]["46"] == {
        "material": "denture",
        "buccolingual_mm": 10.0,
        "tilt_deg": -4.5,
    }
    assert found["opposing"]["47"] == {"material": "natural", "tip_height_mm": 1.2}
    assert found["opposing"]["45"] == {"material": "natural"}


def test_what_is_read_of_a_tooth_that_is_not_there_is_not_told(walk):
    site("48", cusp_angle_deg=D("30"))(walk)

    assert inputs.clearance(fresh(walk)) == told()


def test_the_height_budget_is_told_this_at_each_site(walk):
    found = inputs.height(fresh(walk))

    assert found["material"] == "resin"
    assert found["sites"]["26"] == {
        "antagonist": "natural",
        "ample": False,
        "space_mm": 9.0,
        "space_from": "healed ridge",
        "base_min_mm": 2.0,
        "relief_mm": 0.0,
        "tooth_height_mm": 8.0,
        "shell_over_fossa_mm": 2.8,
        "shell_min_mm": 1.5,
    }


def test_every_number_is_a_float_that_json_gives_back(walk):
    for kind in CheckKind:
        found = inputs.of(fresh(walk), kind)
        assert json.loads(json.dumps(found)) == found


def test_a_bare_draft_is_told_as_far_as_it_goes():
    case = world().walk().case

    found = inputs.clearance(case)

    assert (found["articulator"], found["front"], found["cusp_angle_deg"]) == (None, None, None)
    assert found["scheme"] is None


# --- the digest --------------------------------------------------------------------------------


def test_the_digest_is_the_same_for_the_same_case_and_in_any_order(walk):
    found = inputs.clearance(fresh(walk))

    assert re.fullmatch("[0-9a-f]{64}", inputs.digest(found))
    assert inputs.digest(found) == inputs.digest(inputs.clearance(fresh(walk)))
    assert inputs.digest(dict(reversed(found.items()))) == inputs.digest(found)


def test_the_digest_is_the_sha_256_of_sorted_json():
    """Checked outside of Python, with ``printf ... | sha256sum``."""
    assert inputs.digest({"scheme": "balanced", "condylar_right_deg": 30.0}) == (
        "cc2272ed34fba89ec0cf7ffebf8df0e28a056b4405124fb214117453a7c3e52a"
    )


# --- a change in every input ---------------------------------------------------------------------


def record(**values):
    return lambda walk: bench.save_articulator(
        case=walk.case,
        version=walk.case.articulator.version,
        by=walk.hands.technician,
        values=values,
    )


def selection(**values):
    return lambda walk: bench.save_selection(
        case=walk.case, version=walk.case.selection.version, by=walk.hands.technician, values=values
    )


def site(tooth="16", **values):
    def save(walk: Walk) -> None:
        row = walk.case.sites.filter(tooth=tooth).first()
        bench.save_site(
            case=walk.case,
            tooth=tooth,
            version=row.version if row else 0,
            by=walk.hands.technician,
            values=values,
        )

    return save


def order(**values):
    def save(walk: Walk) -> None:
        row = walk.case.prescription
        prescription.save(row=row, version=row.version, by=walk.hands.dentist, values=values)

    return save


D = Decimal
LOWER_RIGHT_GONE = natural("lower") | {"46": "missing"}

# What is done, which check it makes stale, and how that is said.
CHANGES = [
    (record(intercondylar_mm=D("112")), CLEARANCE, "intercondylar: 110 → 112"),
    (record(condylar_right_deg=D("35")), CLEARANCE, "condylar right: 30 → 35"),
    (record(condylar_left_deg=D("35.5")), CLEARANCE, "condylar left: 30 → 35.5"),
    (record(bennett_right_deg=D("12")), CLEARANCE, "bennett right: 15 → 12"),
    (record(bennett_left_deg=D("12")), CLEARANCE, "bennett left: 15 → 12"),
    (record(side_shift_right_mm=D("0.3")), CLEARANCE, "side shift right: 0 → 0.3"),
    (record(side_shift_left_mm=D("0.3")), CLEARANCE, "side shift left: 0 → 0.3"),
    (record(incisal_table_deg=D("10")), CLEARANCE, "incisal table: 20 → 10"),
    (record(wing_right_deg=D("10")), CLEARANCE, "wing right: 20 → 10"),
    (record(wing_left_deg=D("10")), CLEARANCE, "wing left: 20 → 10"),
    (record(table_on="upper"), CLEARANCE, "table on: lower → upper"),
    (
        record(reference_plane="occlusal plane"),
        CLEARANCE,
        "reference plane: axis plane → occlusal plane",
    ),
    (record(plane_tilt_deg=D("8")), CLEARANCE, "plane tilt: 0 → 8"),
    (record(incisal_x_mm=D("82")), CLEARANCE, "incisal x: 80 → 82"),
    (record(incisal_z_mm=D("-30")), CLEARANCE, "incisal z: -32 → -30"),
    (record(pin_x_mm=D("110")), CLEARANCE, "pin x: empty → 110"),
    (record(pin_z_mm=D("-50")), CLEARANCE, "pin z: empty → -50"),
    (record(pin_opening_mm=D("0.5")), CLEARANCE, "pin opening: 0 → 0.5"),
    (record(front_guide="stone teeth"), CLEARANCE, "front guide: table → stone teeth"),
    (record(overjet_mm=D("3")), CLEARANCE, "overjet: 2 → 3"),
    (record(overbite_mm=D("1.25")), CLEARANCE, "overbite: 0.5 → 1.25"),
    (selection(cusp_angle_deg=D("30")), CLEARANCE, "cusp angle: 20 → 30"),
    (order(scheme="group"), CLEARANCE, "scheme: balanced → group"),
    (
        order(opposing=LOWER_RIGHT_GONE),
        CLEARANCE,
        "46: taken out; 16 antagonist: natural → empty",
    ),
    (
        order(opposing=natural("lower") | {"46": "denture"}),
        CLEARANCE,
        "46 material: natural → denture; 16 antagonist: natural → denture",
    ),
    (site(cusp_angle_deg=D("25")), CLEARANCE, "16 cusp angle: empty → 25"),
    (site(tip_separation_mm=D("5.5")), CLEARANCE, "16 tip separation: empty → 5.5"),
    (site(mesiodistal_mm=D("9.8")), CLEARANCE, "16 mesiodistal: empty → 9.8"),
    (site(buccolingual_mm=D("10.4")), CLEARANCE, "16 buccolingual: empty → 10.4"),
    (site(tip_height_mm=D("-0.5")), CLEARANCE, "16 tip height: empty → -0.5"),
    (site(tilt_deg=D("4")), CLEARANCE, "16 tilt: empty → 4"),
    (site(behind_incisal_mm=D("31")), CLEARANCE, "16 behind incisal: empty → 31"),
    (site(from_midline_mm=D("24")), CLEARANCE, "16 from midline: empty → 24"),
    (site("47", tip_height_mm=D("1.2")), CLEARANCE, "47 tip height: empty → 1.2"),
    (site(ample=True), HEIGHT, "16 ample: no → yes"),
    (site(space_mm=D("8.5")), HEIGHT, "16 space: 9 → 8.5"),
    (site(space_from="tuberosity"), HEIGHT, "16 space from: healed ridge → tuberosity"),
    (site(base_min_mm=D("1.5")), HEIGHT, "16 base min: 2 → 1.5"),
    (site(relief_mm=D("0.2")), HEIGHT, "16 relief: 0 → 0.2"),
    (site(tooth_height_mm=D("7")), HEIGHT, "16 tooth height: 8 → 7"),
    (site(shell_over_fossa_mm=D("3")), HEIGHT, "16 shell over fossa: 2.8 → 3"),
    (site(shell_min_mm=D("1")), HEIGHT, "16 shell min: 1.5 → 1"),
    (selection(material="porcelain"), HEIGHT, "material: resin → porcelain"),
]


@pytest.mark.parametrize(("change", "kind", "words"), CHANGES, ids=[row[2] for row in CHANGES])
def test_a_changed_input_makes_its_check_stale_and_computing_clears_it(walk, change, kind, words):
    before = inputs.digest(inputs.of(walk.reload(), kind))
    other = HEIGHT if kind == CLEARANCE else CLEARANCE

    change(walk)

    assert inputs.digest(inputs.of(fresh(walk), kind)) != before
    assert checks.latest(fresh(walk), kind).changed == words.split("; ")
    if "antagonist" not in words:
        assert checks.latest(fresh(walk), other).changed == []

    checks.compute(case=fresh(walk), kind=kind, by=walk.hands.technician)
    assert checks.latest(fresh(walk), kind).changed == []


def test_every_input_is_changed_above(walk):
    found = inputs.clearance(fresh(walk))
    sites = inputs.height(fresh(walk))["sites"]["16"]
    names = {
        *(inputs._words(name) for name in (*found["articulator"], *found["front"])),
        *(f"16 {inputs._words(name)}" for name in (*inputs.CALLIPER, *sites)),
        *("46", "46 material", "47 tip height"),
        *("cusp angle", "scheme", "material"),
    }

    told_of = [part.partition(":")[0] for _, _, words in CHANGES for part in words.split("; ")]
    assert set(told_of) == names


@pytest.mark.parametrize(
    "change",
    [
        record(pin_agreed_mm=D("0.5")),
        record(origin="average"),
        selection(posterior_mould="another"),
        order(shade="A3", instructions="More space."),
    ],
)
def test_what_no_check_asks_for_makes_nothing_stale(walk, change):
    walk.reload()

    change(walk)

    for kind in CheckKind:
        assert not checks.latest(fresh(walk), kind).stale


def test_another_arch_names_the_teeth_that_come_and_go(walk):
    teeth = dict.fromkeys(natural("lower"), "stays") | {"46": "lost"}
    order(arch="lower", teeth=teeth, opposing=natural("upper"))(walk)

    beside = ("34", "35", "36", "37", "38", "44", "45", "47", "48")
    came = ("13", "14", "15", "16", "17", "23", "24", "25", "26", "27")
    went = ("33", "34", "35", "36", "37", "43", "44", "45", "46", "47")
    assert checks.latest(fresh(walk), CLEARANCE).changed == [
        "arch: upper → lower",
        *(f"staying {tooth}: entered" for tooth in beside),
        *(f"{tooth}: entered" for tooth in came),
        *(f"{tooth}: taken out" for tooth in went),
        *(f"{tooth}: taken out" for tooth in ("14", "15", "16", "17", "24", "25", "26", "27")),
        "46: entered",
    ]


def test_a_tooth_that_is_to_stay_goes_from_the_sites_to_its_neighbours(walk):
    order(teeth=walk.case.prescription.teeth | {"14": "stays"})(walk)

    assert checks.latest(fresh(walk), CLEARANCE).changed == [
        "staying 14: entered",
        "14: taken out",
    ]


def test_a_record_that_comes_or_goes_is_named_once():
    nothing = {**told(), "articulator": None, "front": None}

    assert inputs.changes(nothing, told()) == [
        "articulator record: entered",
        "front teeth: entered",
    ]
    assert inputs.changes(told(), nothing) == [
        "articulator record: taken out",
        "front teeth: taken out",
    ]


def test_several_changes_are_told_one_by_one():
    after = told(
        {"condylar_right_deg": 35.0, "wing_left_deg": 15.0}, {"26": {"antagonist": "denture"}}
    )

    assert inputs.changes(told(), after) == [
        "condylar right: 30 → 35",
        "wing left: 20 → 15",
        "26 antagonist: natural → denture",
    ]


def test_a_stale_answer_stays_as_it_was_given(walk):
    given = CheckRun.objects.get(kind=CLEARANCE)

    record(condylar_right_deg=D("35"))(walk)

    kept = checks.latest(fresh(walk), CLEARANCE).run
    assert kept.pk == given.pk
    assert kept.inputs["articulator"]["condylar_right_deg"] == 30.0
    assert kept.findings == given.findings
