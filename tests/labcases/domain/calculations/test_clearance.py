"""The clearance check of a case: plain inputs in, findings that can be kept out."""

from __future__ import annotations

import json

import pytest

from labcases.domain import calculations
from labcases.domain.calculations import CannotCompute, clearance
from labcases.enums import CheckKind
from tests.labcases.domain.calculations.told import Plain, told, words

POSTERIOR = ["17", "16", "15", "14", "24", "25", "26", "27"]


def test_every_posterior_tooth_is_judged_in_every_excursion():
    found = clearance.findings(told())

    assert [row["excursion"] for row in found["excursions"]] == ["protrusive", "right", "left"]
    for row in found["excursions"]:
        assert [tooth["tooth"] for tooth in row["teeth"]] == POSTERIOR
    assert (found["scheme"], found["band_mm"], found["left_out"]) == ("balanced", 0.1, [])


def test_findings_hold_what_screens_and_papers_read():
    found = clearance.findings(told())

    assert set(found) == {
        *("scheme", "band_mm", "excursions", "assumptions", "warnings", "left_out")
    }
    for row in found["excursions"]:
        assert set(row) == {"excursion", "travel_mm", "pin_lift_mm", "pin_lift_at_mm", "teeth"}
        for tooth in row["teeth"]:
            assert set(tooth) == {
                *("tooth", "role", "state", "verdict", "gap_mm", "at_travel_mm", "sd_mm"),
                *("p_interference", "conditional", "series"),
            }
            assert all(len(pair) == 2 for pair in tooth["series"])


def test_findings_survive_being_kept():
    found = clearance.findings(told())

    assert json.loads(json.dumps(found)) == found


def test_the_same_inputs_give_the_same_findings_through_the_one_door():
    assert calculations.answer(CheckKind.CLEARANCE, told()) == clearance.findings(told())


def test_sides_work_and_balance_by_the_excursion():
    found = clearance.findings(told())
    roles = {
        row["excursion"]: {tooth["tooth"]: tooth["role"] for tooth in row["teeth"]}
        for row in found["excursions"]
    }

    assert set(roles["protrusive"].values()) == {"protrusive"}
    assert [roles["right"][t] for t in ("16", "26")] == ["working", "balancing"]
    assert [roles["left"][t] for t in ("16", "26")] == ["balancing", "working"]


def test_five_degrees_on_the_right_change_the_word_of_these_teeth_only():
    before = words(clearance.findings(told()))
    after = words(clearance.findings(told({"condylar_right_deg": 35.0})))

    assert {key: (before[key], after[key]) for key in before if before[key] != after[key]} == {
        ("protrusive", "17"): ("interference possible", "none predicted"),
        ("protrusive", "16"): ("interference possible", "none predicted"),
        ("protrusive", "15"): ("interference possible", "none predicted"),
        ("left", "26"): ("interference possible", "interference"),
    }


def gaps(found: Plain) -> dict[tuple[str, str], float]:
    return {
        (row["excursion"], tooth["tooth"]): tooth["gap_mm"]
        for row in found["excursions"]
        for tooth in row["teeth"]
    }


def test_the_right_condyle_does_not_move_the_right_excursion():
    before, after = (
        gaps(clearance.findings(told({"condylar_right_deg": deg}))) for deg in (30.0, 35.0)
    )

    for tooth in POSTERIOR:
        assert after["right", tooth] == pytest.approx(before["right", tooth], abs=1e-9)
        assert after["left", tooth] != pytest.approx(before["left", tooth], abs=0.01)


# --- mirroring -----------------------------------------------------------------------------------

LOPSIDED = {
    "articulator": {
        "condylar_right_deg": 24.0,
        "condylar_left_deg": 41.0,
        "bennett_right_deg": 8.0,
        "bennett_left_deg": 17.5,
        "side_shift_right_mm": 0.3,
        "side_shift_left_mm": 0.0,
        "wing_right_deg": 12.0,
        "wing_left_deg": 19.0,
        "plane_tilt_deg": 6.0,
        "pin_opening_mm": 0.5,
    },
    "teeth": {
        "16": {
            "protrusive_facet_deg": 22.0,
            "working_facet_deg": 18.0,
            "balancing_facet_deg": 26.0,
            "behind_incisal_mm": 33.5,
            "from_midline_mm": 24.0,
        },
        "24": {"antagonist": "denture", "working_facet_deg": 31.0},
        "27": {"antagonist": None},
    },
}
OTHER_SIDE = {"1": "2", "2": "1", "3": "4", "4": "3"}
OTHER_WORD = {"right": "left", "left": "right", "protrusive": "protrusive"}


def across(tooth: str) -> str:
    return OTHER_SIDE[tooth[0]] + tooth[1]


def mirrored(values: Plain) -> Plain:
    """The same mouth in a mirror."""
    swapped = {
        name: values["articulator"][
            name.replace("_right_", "_@_").replace("_left_", "_right_").replace("_@_", "_left_")
        ]
        for name in values["articulator"]
    }
    teeth = {across(tooth): readings for tooth, readings in values["teeth"].items()}
    return {**values, "articulator": swapped, "teeth": teeth}


@pytest.mark.parametrize("guide", ["table", "stone teeth", "denture teeth"])
def test_a_mirrored_case_swaps_left_and_right_in_every_number(guide):
    values = told(**LOPSIDED, front={"front_guide": guide, "overjet_mm": 1.5, "overbite_mm": 2.0})
    found = clearance.findings(values)
    mirror = clearance.findings(mirrored(values))

    rows = {row["excursion"]: row for row in mirror["excursions"]}
    for row in found["excursions"]:
        other = rows[OTHER_WORD[row["excursion"]]]
        for name in ("travel_mm", "pin_lift_mm", "pin_lift_at_mm"):
            assert other[name] == pytest.approx(row[name], abs=1e-9)
        teeth = {tooth["tooth"]: tooth for tooth in other["teeth"]}
        assert len(teeth) == len(row["teeth"]) == 7
        for tooth in row["teeth"]:
            same = teeth[across(tooth["tooth"])]
            for name in ("role", "state", "verdict", "conditional"):
                assert same[name] == tooth[name]
            for name in ("gap_mm", "at_travel_mm", "sd_mm", "p_interference"):
                assert same[name] == pytest.approx(tooth[name], abs=1e-9)
            for (travel, gap), (other_travel, other_gap) in zip(
                tooth["series"], same["series"], strict=True
            ):
                assert (other_travel, other_gap) == pytest.approx((travel, gap), abs=1e-9)
    assert [row["tooth"] for row in mirror["left_out"]] == ["17"]


# --- what is left out, assumed, unusual ----------------------------------------------------------


def test_a_tooth_without_antagonist_is_left_out_and_says_why():
    found = clearance.findings(told(teeth={"26": {"antagonist": None}}))

    assert found["left_out"] == [
        {"tooth": "26", "text": "No opposing tooth, so there is nothing to check."}
    ]
    assert all("26" not in [t["tooth"] for t in row["teeth"]] for row in found["excursions"])


def test_what_callipers_did_not_read_is_assumed_and_named():
    found = clearance.findings(told(**LOPSIDED))

    assert (
        "Facets without a calliper reading slope by the cusp angle of the selection (20°): "
        "17, 15, 14, 24, 25, 26." in found["assumptions"]
    )
    assert (
        "Teeth without a measured place stand where textbook crown widths put them: "
        "17, 15, 14, 24, 25, 26." in found["assumptions"]
    )


def test_nothing_is_assumed_where_everything_was_read():
    readings = {
        "protrusive_facet_deg": 20.0,
        "working_facet_deg": 20.0,
        "balancing_facet_deg": 20.0,
        "behind_incisal_mm": 30.0,
        "from_midline_mm": 20.0,
    }
    found = clearance.findings(told(teeth=dict.fromkeys(POSTERIOR, readings)))

    assert not [text for text in found["assumptions"] if "calliper" in text or "crown" in text]


def test_a_measured_place_counts_from_the_incisal_point_and_the_midline():
    """Further back, a steeper condylar path lowers the lower jaw more."""
    near, far = (
        gaps(
            clearance.findings(
                told(teeth={"16": {"behind_incisal_mm": behind, "from_midline_mm": 22.0}})
            )
        )
        for behind in (15.0, 45.0)
    )

    assert far["protrusive", "16"] > near["protrusive", "16"] + 0.1
    assert far["protrusive", "26"] == near["protrusive", "26"]


def test_steeper_calliper_facets_bring_teeth_nearer():
    flat, steep = (
        gaps(clearance.findings(told(teeth={"16": {"protrusive_facet_deg": deg}})))
        for deg in (15.0, 30.0)
    )

    assert steep["protrusive", "16"] < 0 < flat["protrusive", "16"]
    assert steep["right", "16"] == flat["right", "16"]


def test_an_unusual_setting_is_a_warning_with_its_source():
    found = clearance.findings(told({"condylar_right_deg": 62.0, "condylar_left_deg": 58.0}))

    (warning,) = [w for w in found["warnings"] if w["code"].startswith("condylar_inclination")]
    assert warning["text"] == (
        "Condylar inclination, right, is 62 deg; usual is 10 to 60 deg. Confirm it with the record."
    )
    assert warning["source"]


def test_steep_front_teeth_lift_the_pin_and_make_the_rest_conditional():
    found = clearance.findings(
        told(front={"front_guide": "denture teeth", "overjet_mm": 2.0, "overbite_mm": 3.0})
    )

    for row in found["excursions"]:
        assert row["pin_lift_mm"] > 0.3
        assert all(tooth["conditional"] for tooth in row["teeth"])


def test_an_opened_pin_is_never_room():
    """1 mm at the pin is about half of that at the molars; the gaps count from there."""
    shut, opened = (gaps(clearance.findings(told({"pin_opening_mm": mm}))) for mm in (0.0, 1.0))

    assert max(abs(opened[key] - shut[key]) for key in shut) < 0.05


# --- refusals ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "text", "part", "field"),
    [
        ({"articulator": None}, "Enter the articulator record first.", "settings", ""),
        ({"cusp_angle_deg": None}, "Enter the tooth selection first.", "teeth", ""),
        (
            {"scheme": None},
            "The prescription names no occlusal scheme.",
            *("prescription", "scheme"),
        ),
        (
            {"teeth": {"16": {"antagonist": None}, "26": {"antagonist": None}}},
            "No posterior tooth of this case has an opposing tooth, so nothing can be checked.",
            *("prescription", "opposing"),
        ),
    ],
)
def test_what_is_not_entered_is_named_with_the_page_that_mends_it(changes, text, part, field):
    with pytest.raises(CannotCompute) as refused:
        clearance.findings({**told(), **changes})

    assert (str(refused.value), refused.value.part, refused.value.field) == (text, part, field)


@pytest.mark.parametrize(
    ("values", "start", "field"),
    [
        (
            {"incisal_table_deg": 60.0, "plane_tilt_deg": 30.0},
            "The incisal table stands at 90 deg, where the guided point swings along",
            "incisal_table_deg",
        ),
        (
            {"condylar_left_deg": 75.0, "plane_tilt_deg": 30.0},
            "A condylar path stands at 105 deg once its reference plane is turned",
            "plane_tilt_deg",
        ),
        (
            {"condylar_left_deg": 94.0},
            "Left condylar inclination is 94 deg. Enter 0 to 75 deg",
            "condylar_left_deg",
        ),
    ],
)
def test_what_the_engine_refuses_is_said_in_its_words_at_the_field(values, start, field):
    with pytest.raises(CannotCompute) as refused:
        clearance.findings(told(values))

    assert str(refused.value).startswith(start)
    assert str(refused.value).endswith(".")
    assert (refused.value.part, refused.value.field) == ("settings", field)
