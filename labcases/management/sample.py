"""A complete order, settings and calliper readings: what a walk enters where nothing is said."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from labcases.domain.opponent import of_chart
from labcases.domain.teeth import other_arch, positions
from labcases.enums import (
    Allergy,
    Arch,
    BaseMaterial,
    CheckRecordKind,
    Flange,
    JawRecord,
    OpposingTooth,
    PhotographView,
    Route,
    Scheme,
    SetUpOrder,
    SpaceFrom,
    ToothMaterial,
    ToothStatus,
    TransferMethod,
    TryInWish,
    Verification,
)
from labcases.enums.opponent import Opponent
from labcases.enums.prescribing import (
    LowerBorder,
    NaturalChanges,
    PostDam,
    RelinePlan,
    SettingsWish,
    VerticalWish,
)
from labcases.enums.wax import Insertion, Undercut
from labcases.notation import LOWER, UPPER

D = Decimal


def teeth_of(arch: str, route: str) -> dict[str, str]:
    """Six front teeth still stand; behind them teeth are lost, or stand until surgery."""
    behind = (
        ToothStatus.EXTRACT_FIRST if route == Route.CONVENTIONAL else ToothStatus.EXTRACT_AT_SURGERY
    )
    found = {}
    for tooth in positions(arch):
        if tooth[1] == "8":
            found[tooth] = ToothStatus.LOST.value
        elif tooth[1] in "123":
            found[tooth] = ToothStatus.EXTRACT_AT_SURGERY.value
        else:
            found[tooth] = behind.value if tooth[1] in "45" else ToothStatus.LOST.value
    return found


def natural(arch: str) -> dict[str, str]:
    """A natural opposing arch without third molars."""
    return {
        tooth: (OpposingTooth.MISSING if tooth[1] == "8" else OpposingTooth.NATURAL).value
        for tooth in positions(arch)
    }


def opponent_of(chart: dict[str, str]) -> str:
    """The kind of a chart, what is open in it taken as missing; its denture teeth are worn."""
    if OpposingTooth.DENTURE in chart.values():
        partial = OpposingTooth.NATURAL in chart.values()
        return (Opponent.PARTIAL_WORN if partial else Opponent.COMPLETE_WORN).value
    kind = of_chart(dict.fromkeys((*UPPER, *LOWER), OpposingTooth.MISSING.value) | chart)
    return kind.value if kind else ""


def order(
    *, arch: str = Arch.UPPER, route: str = Route.CONVENTIONAL, **more: Any
) -> dict[str, Any]:
    """A complete clinical part; ``more`` overrides single fields.

    The kind of the opposing arch follows the chart; denture teeth there are worn.
    """
    opposing = more.get("opposing", natural(other_arch(arch)))
    return {
        "arch": arch,
        "route": route,
        "set_up_order": SetUpOrder.POSTERIOR_FIRST,
        "teeth": teeth_of(arch, route),
        "opponent": opponent_of(opposing),
        "opposing": opposing,
        "base_material": BaseMaterial.HEAT_CURED,
        "tooth_material": ToothMaterial.RESIN,
        "shade_system": "office tabs, set of 16",
        "shade": "B2",
        "mould": "copy the natural teeth",
        "scheme": Scheme.BALANCED,
        "jaw_record": JawRecord.MAXIMUM_INTERCUSPATION,
        "vertical_wish": VerticalWish.AS_TEETH,
        "flange": Flange.FULL,
        "post_dam": PostDam.BY_MARK if arch == Arch.UPPER else "",
        "lower_border": LowerBorder.AS_IMPRESSION if arch == Arch.LOWER else "",
        "allergy": Allergy.NONE_KNOWN,
        "allergy_text": "",
        "try_in": TryInWish.WANTED if route == Route.CONVENTIONAL else TryInWish.NOT_POSSIBLE,
        "overjet_mm": D("2"),
        "overbite_mm": D("1"),
        "incisal_display_mm": D("2.5"),
        "midline_offset_mm": D("0"),
        "natural_changes": NaturalChanges.NONE,
        "photographs": [PhotographView.FRONT.value],
        "settings_wish": SettingsWish.WRITTEN,
        "settings_text": "condylar inclination 30 deg, Bennett angle 15 deg, incisal table 20 deg",
        "reline_plan": RelinePlan.RELINE if route == Route.CONVENTIONAL else RelinePlan.NEW,
        "instructions": "",
        **more,
    }


SETTINGS: dict[str, Any] = {
    "condylar_right_deg": D("30"),
    "condylar_left_deg": D("30"),
    "bennett_right_deg": D("15"),
    "bennett_left_deg": D("15"),
    "incisal_table_deg": D("20"),
    "wing_right_deg": D("20"),
    "wing_left_deg": D("20"),
    "overjet_mm": D("2"),
    "overbite_mm": D("0.5"),
}

SELECTION: dict[str, Any] = {
    "anterior_mould": "copied from the natural teeth",
    "posterior_mould": "20 degree, small",
    "cusp_angle_deg": D("20"),
}

# What the teeth may be chosen by, on the cast from before the extraction and on the face.
MEASURES: dict[str, Any] = {
    "natural_central_mm": D("8.6"),
    "natural_six_mm": D("46.2"),
    "opposing_six_mm": D("35.8"),
    "inner_canthal_mm": D("28"),
    "bizygomatic_mm": D("136"),
    "interalar_mm": D("35"),
    "hamular_notch_mm": D("43"),
    "room_right_mm": D("33"),
    "room_left_mm": D("30.5"),
}

# Three points of a lower cast on an articulator set to 34/37 deg, Bennett angle 12/15 deg, in
# records of 5.5 mm: computed once, and rounded as a point gauge reads.
POINT_RECORDS: tuple[dict[str, Any], ...] = (
    {
        "kind": CheckRecordKind.CLOSED,
        "points": {"A": [80.0, 0.0, -32.0], "B": [45.0, -24.0, -30.0], "C": [45.0, 24.0, -30.0]},
        "note": "A in front, B and C at the first molars",
    },
    {
        "kind": CheckRecordKind.PROTRUSIVE,
        "points": {"A": [86.2, -0.1, -34.1], "B": [51.2, -24.1, -32.8], "C": [51.2, 23.9, -33.0]},
    },
    {
        "kind": CheckRecordKind.RIGHT,
        "points": {"A": [82.2, -6.6, -35.0], "B": [46.1, -28.7, -31.7], "C": [48.5, 19.2, -33.5]},
    },
    {
        "kind": CheckRecordKind.LEFT,
        "points": {"A": [82.2, 6.2, -34.9], "B": [48.4, -19.6, -33.2], "C": [46.0, 28.3, -31.6]},
    },
)

GAP_RECORD: dict[str, Any] = {
    "kind": CheckRecordKind.GAP,
    "advance_mm": D("5.5"),
    "right_tooth": "16",
    "right_gap_mm": D("1.6"),
    "left_tooth": "26",
    "left_gap_mm": D("1.8"),
    "note": "hard wax, made at the office",
}

SITE: dict[str, Any] = {
    "ample": False,
    "space_mm": D("9"),
    "space_from": SpaceFrom.HEALED_RIDGE,
    "base_min_mm": D("2"),
    "relief_mm": D("0"),
    "tooth_height_mm": D("8"),
    "shell_over_fossa_mm": D("2.8"),
    "shell_min_mm": D("1.5"),
}

MOUNTING: dict[str, Any] = {
    "casts_inspected": True,
    "transfer": TransferMethod.ARBITRARY,
    "jaw_record": JawRecord.MAXIMUM_INTERCUSPATION,
    "record_medium": "hard wax",
    "pin_zero_mm": D("0"),
    "verified_by_method": Verification.FOIL,
    "foil_points": 3,
    "foil_pairs": "13/43, 23/33, 11/41",
}


WAX: dict[str, Any] = {
    "duplicate_made": True,
    "bone_change_planned": False,
    "flange_kind": Flange.FULL,
    "flange_right_mm": D("2.5"),
    "flange_front_mm": D("2"),
    "flange_left_mm": D("2.5"),
    "flange_decision": "",
    "undercut_kind": Undercut.RELIEVED,
    "undercut_decision": "relieved at 13 and 23",
    "insertion": Insertion.STRAIGHT,
    "template_wanted": True,
    "template_decision": "",
    "overjet_mm": D("2"),
    "overbite_mm": D("1"),
    "incisal_display_mm": D("2.5"),
    "midline_offset_mm": D("0"),
    "central_length_mm": D("9.5"),
    "as_prescribed": {},
}
