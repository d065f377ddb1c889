"""The clearance check of a case: plain inputs in, findings that can be kept out."""

from __future__ import annotations

import json

import pytest

from labcases.domain import calculations
from labcases.domain.calculations import CannotCompute, clearance
from labcases.enums import CheckKind
from tests.labcases.domain.calculations.told import Plain, told

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
        *("scheme", "band_mm", "excursions", "assumptions", "warnings", "left_out"),
        "reduction",
    }
    for row in found["excursions"]:
        assert set(row) == {"excursion", "travel_mm", "pin_lift_mm", "pin_lift_at_mm", "teeth"}
        for tooth in row["teeth"]:
            assert set(tooth) == {
                *("tooth", "role", "state", "verdict", "gap_mm", "at_travel_mm", "sd_mm"),
                *("p_interference", "conditional", "series", "place", "pin_lift_mm"),
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


def test_five_degrees_on_the_right_change_no_gap_of_the_right_excursion_and_all_of_the_others():
    before, after = (
        gaps(clearance.findings(told({"condylar_right_deg": deg}))) for deg in (30.0, 35.0)
    )

    for tooth in POSTERIOR:
        assert after["right", tooth] == pytest.approx(before["right", tooth], abs=1e-6)
        assert after["left", tooth] != pytest.approx(before["left", tooth], abs=0.01)
    # A steeper path lowers its own side in protrusion, the further back the more.
    gained = [after["protrusive", t] - before["protrusive", t] for t in ("14", "16", "17")]
    assert 0.03 < gained[0] < gained[2]


def gaps(found: Plain) -> dict[tuple[str, str], float]:
    return {
        (row["excursion"], tooth["tooth"]): tooth["gap_mm"]
        for row in found["excursions"]
        for tooth in row["teeth"]
    }


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
        "16": {"cusp_angle_deg": 26.0, "behind_incisal_mm": 28.0, "from_midline_mm": 25.0},
        "24": {"cusp_angle_deg": 31.0, "tilt_deg": 4.0},
        "27": {"antagonist": None},
    },
    "opposing": {"46": {"tip_height_mm": 0.6}, "34": {"material": "denture"}, "37": None},
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
    other = {
        arch: {across(tooth): readings for tooth, readings in values[arch].items()}
        for arch in ("teeth", "opposing")
    }
    return {**values, "articulator": swapped, **other}


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
            for name in ("role", "conditional"):
                assert same[name] == tooth[name]
            # Cells stand on multiples of the pitch, which a mirror keeps; surfaces are kept in
            # single precision. Draws are named by the tooth, so that their chances differ a bit.
            assert same["gap_mm"] == pytest.approx(tooth["gap_mm"], abs=1e-3)
            assert same["sd_mm"] == pytest.approx(tooth["sd_mm"], rel=0.2, abs=0.01)
            # This near to the edge of the band a chance hangs on hundredths of the spread, and
            # those were not compared.
            edge = abs(tooth["gap_mm"] + found["band_mm"]) < 0.02
            assert same["p_interference"] == pytest.approx(
                tooth["p_interference"], abs=0.2 if edge else 0.06
            )
            for (travel, gap), (other_travel, other_gap) in zip(
                tooth["series"], same["series"], strict=True
            ):
                assert (other_travel, other_gap) == pytest.approx((travel, gap), abs=1e-3)
    assert [row["tooth"] for row in mirror["left_out"]] == ["17"]


# --- what is left out, assumed, unusual ----------------------------------------------------------


def test_a_tooth_without_antagonist_is_left_out_and_says_why():
    found = clearance.findings(told(teeth={"26": {"antagonist": None}}))

    assert found["left_out"] == [
        {"tooth": "26", "text": "No opposing tooth, so there is nothing to check."}
    ]
    assert all("26" not in [t["tooth"] for t in row["teeth"]] for row in found["excursions"])


def test_what_callipers_did_not_read_is_assumed_and_named():
    found = " ".join(clearance.findings(told(**LOPSIDED))["assumptions"])

    assert "Mesiodistal widths are the textbook's" in found
    assert "The arches are laid out from the incisal point and the crown widths" in found
    assert "16 stand where they were measured" in found


def test_what_was_read_is_not_assumed():
    read = {"mesiodistal_mm": 9.0, "buccolingual_mm": 10.0}
    teeth = dict.fromkeys(POSTERIOR, read)
    opposing = dict.fromkeys(told()["opposing"], read)
    found = " ".join(clearance.findings(told(teeth=teeth, opposing=opposing))["assumptions"])

    assert "widths are the textbook's" not in found


def test_a_tooth_that_was_measured_elsewhere_meets_its_antagonist_there():
    """Half a tooth further back 16 stands over 47."""
    found = clearance.findings(
        told(teeth={"16": {"behind_incisal_mm": 34.0, "from_midline_mm": 25.5}})
    )
    (place,) = [t["place"] for t in found["excursions"][0]["teeth"] if t["tooth"] == "16"]

    assert place == "47"


def test_a_natural_tooth_out_of_its_row_brings_what_passes_it_nearer():
    level, high = (
        gaps(clearance.findings(told(opposing={"47": {"tip_height_mm": mm}}))) for mm in (0.0, 1.5)
    )

    # 17 is set to touch it, and 16 has to pass its mesial side.
    assert high["protrusive", "16"] < level["protrusive", "16"] - 0.04
    assert high["protrusive", "26"] == pytest.approx(level["protrusive", "26"], abs=1e-6)


def test_steeper_cusps_stand_in_the_way_and_what_could_yield_is_a_denture_tooth():
    flat = {"incisal_table_deg": 0.0, "condylar_left_deg": 15.0, "condylar_right_deg": 15.0}
    flat |= {"wing_left_deg": 0.0, "wing_right_deg": 0.0}
    steep = {tooth: {"cusp_angle_deg": 33.0} for tooth in POSTERIOR}
    found = clearance.findings(told(flat, teeth=steep))

    assert found["reduction"]
    for row in found["reduction"]:
        assert row["object"] == row["tooth"]
        assert row["incline"].split()[0] in ("buccal", "lingual")
        assert row["vertical_mm"] >= row["normal_mm"] > 0.0
        assert row["place"] in told()["opposing"]


def test_a_deviation_from_check_records_goes_before_the_usual_error():
    """Known to half a degree, the paths leave less doubt than read to five degrees."""
    sides = ("condylar_right_sd_deg", "condylar_left_sd_deg")
    usual, known = (
        clearance.findings(told(deviations=deviations))
        for deviations in ({}, dict.fromkeys(sides, 0.5))
    )

    for tooth, other in zip(
        usual["excursions"][0]["teeth"], known["excursions"][0]["teeth"], strict=True
    ):
        assert other["sd_mm"] < tooth["sd_mm"]
    assert "condylar inclination 30 ± 0.5 deg (standard deviation)" in " ".join(
        known["assumptions"]
    )


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
    shut, opened = (clearance.findings(told({"pin_opening_mm": mm})) for mm in (0.0, 1.0))

    assert gaps(shut) == gaps(opened)
    assert any("an opened pin makes no room" in text for text in opened["assumptions"])


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
