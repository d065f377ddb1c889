"""Every clinical field with everything that a signed change of it undoes, in one table."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from django.db import transaction

from labcases.domain import gates, records
from labcases.domain.undoing import CLINICAL
from labcases.enums import Allergy, SetUpAct, Stage
from labcases.management.sample import GAP_RECORD, natural
from labcases.management.walk import Walk, teeth_of
from tests.labcases.domain.gaps import revise

D = Decimal

# A case in final wax, tried in and approved, one revision at a time. The columns: the stage that
# the case is in afterwards, and an x for what is taken back: inspection of the casts,
# verification of the mounting, teeth in hand, passes and parts done, pin readings, check records;
# what was approved and is asked for again: try-in, final wax.
TABLE = """
field                 stage                 casts mount teeth parts pin  recs tryin wax
route                 master cast and rims  x     x     x     x     x    x    -     x
arch                  master cast and rims  x     x     x     x     x    x    x     x
teeth                 master cast and rims  x     x     x     x     x    x    x     x
opponent              master cast and rims  x     x     -     x     x    x     x     x
opposing              master cast and rims  x     x     -     x     x    x    x     x
over_eruption_mm      mounting              -     x     -     x     x    x     x     x
jaw_record            mounting              -     x     -     x     x    x    x     x
vertical_wish         mounting              -     x     -     x     x    x    x     x
vertical_rest_mm      mounting              -     x     -     x     x    x    x     x
vertical_occlusion_mm mounting              -     x     -     x     x    x    x     x
vertical_read_at      mounting              -     x     -     x     x    x    x     x
overjet_mm            mounting              -     x     -     x     x    x    x     x
overbite_mm           mounting              -     x     -     x     x    x    x     x
settings_wish         settings              -     -     -     x     -    -    x     x
settings_text         settings              -     -     -     x     -    -    x     x
shade_system          set-up                -     -     x     x     -    -    x     x
shade                 set-up                -     -     x     x     -    -    x     x
mould                 set-up                -     -     x     x     -    -    x     x
mould_form            set-up                -     -     x     x     -    -    x     x
central_width_mm      set-up                -     -     x     x     -    -    x     x
central_length_mm     set-up                -     -     x     x     -    -    x     x
tooth_material        set-up                -     -     x     x     -    -    x     x
scheme                set-up                -     -     -     x     -    -    x     x
set_up_order          set-up                -     -     -     -     -    -    x     x
try_in                set-up                -     -     -     -     -    -    -     x
flange                final wax             -     -     -     -     -    -    -     x
post_dam              final wax             -     -     -     -     -    -    -     x
lower_border          final wax             -     -     -     -     -    -    -     x
base_material         final wax             -     -     -     -     -    -    -     x
allergy               final wax             -     -     -     -     -    -    -     x
allergy_text          final wax             -     -     -     -     -    -    -     x
incisal_display_mm    final wax             -     -     -     -     -    -    -     x
smile_display_mm      final wax             -     -     -     -     -    -    -     x
midline_offset_mm     final wax             -     -     -     -     -    -    -     x
probing_mm            final wax             -     -     -     -     -    -    -     x
characterisation      final wax             -     -     -     -     -    -    -     x
instructions          final wax             -     -     -     -     -    -    -     x
over_eruption_by      final wax             -     -     -     -     -    -     -     -
first_extraction_on   final wax             -     -     -     -     -    -    -     -
healing_reason        final wax             -     -     -     -     -    -    -     -
shade_light           final wax             -     -     -     -     -    -    -     -
interalar_mm          final wax             -     -     -     -     -    -    -     -
canine_lines_mm       final wax             -     -     -     -     -    -    -     -
photographs           final wax             -     -     -     -     -    -    -     -
natural_changes       final wax             -     -     -     -     -    -    -     -
natural_changes_text  final wax             -     -     -     -     -    -    -     -
identification        final wax             -     -     -     -     -    -    -     -
template_wanted       final wax             -     -     -     -     -    -    -     -
return_casts          final wax             -     -     -     -     -    -    -     -
reline_plan           final wax             -     -     -     -     -    -    -     -
"""

# Another route marks the teeth otherwise, so the chart changes along. The interim route has no
# try-in, and a waived one is not asked for again.
LOWER = {"arch": "lower", "teeth": teeth_of("lower", "conventional"), "opposing": natural("upper")}
CHANGES: dict[str, Any] = {
    "route": {
        "route": "interim",
        "teeth": teeth_of("upper", "interim"),
        "try_in": "not possible",
    },
    "arch": {**LOWER, "lower_border": "ask"},
    "teeth": {"teeth": teeth_of("upper", "conventional") | {"17": "stays"}},
    "opponent": {
        "opponent": "complete denture worn",
        "opposing": dict.fromkeys(natural("lower"), "denture"),
    },
    "over_eruption_mm": {"over_eruption_mm": {"37": "1.6"}, "over_eruption_by": "by eye"},
    "over_eruption_by": {"over_eruption_by": "by eye"},
    "opposing": {"opposing": natural("lower") | {"46": "missing"}},
    "jaw_record": "centric relation",
    "vertical_wish": "as the record",
    "vertical_rest_mm": D("68"),
    "vertical_occlusion_mm": D("65"),
    "vertical_read_at": "tip of the nose and chin",
    "overjet_mm": D("3"),
    "overbite_mm": D("2"),
    "shade_system": "tabs of the laboratory",
    "shade": "A3",
    "mould": "square, large",
    "mould_form": "ovoid",
    "central_width_mm": D("8.5"),
    "central_length_mm": D("10.5"),
    "tooth_material": "composite",
    "scheme": "group",
    "set_up_order": "anterior first",
    "try_in": "waived",
    "flange": "partial flange",
    "post_dam": "drawn by the dentist",
    "lower_border": "as marked",
    "base_material": "milled resin",
    "allergy": {"allergy": "listed", "allergy_text": "nickel"},
    "allergy_text": {"allergy_text": "asked again: none"},
    "incisal_display_mm": D("3"),
    "smile_display_mm": D("9"),
    "midline_offset_mm": D("1"),
    "probing_mm": {"probing_mm": {"13": "3.5"}},
    "instructions": "Narrow premolars.",
    "first_extraction_on": date(2026, 1, 5),
    "healing_reason": "Pain; seen every week",
    "shade_light": "daylight",
    "interalar_mm": D("35"),
    "canine_lines_mm": D("42"),
    "photographs": ["smile"],
    "natural_changes": {"natural_changes": "as listed", "natural_changes_text": "37, as told"},
    "natural_changes_text": {"natural_changes_text": "37, as told"},
    "identification": "patient code",
    "template_wanted": True,
    "settings_wish": "average values",
    "settings_text": "condylar inclination 35 deg",
    "return_casts": True,
    "reline_plan": "at the reviews",
    "characterisation": "12 turned, a brown line at 21",
}
PIN = {SetUpAct.PIN_OPENED, SetUpAct.PIN_READING}
PARTS = {SetUpAct.PASS, SetUpAct.PART_DONE}


def rows() -> dict[str, list[str]]:
    """What the table says, field by field; a stage may be several words."""
    head, *lines = TABLE.strip().splitlines()
    assert head.split()[0] == "field"
    found = {}
    for line in lines:
        field, *words = line.split()
        found[field] = [" ".join(words[:-8]), *words[-8:]]
    return found


def undone(walk: Walk) -> list[str]:
    """The same of a stored case."""
    case = walk.reload()
    struck = set(case.setup_entries.filter(struck_at__isnull=False).values_list("act", flat=True))
    wax = [item.text for item in gates.wax_approved(case)]
    signs = (
        not case.mounting.casts_inspected,
        not case.mounting.verified_by_method,
        case.tooth_supplies.filter(state="set aside").count() == 2,
        struck >= PARTS,
        struck >= PIN,
        case.check_records.filter(struck_at__isnull=False).exists(),
        bool(list(gates.try_in_answered(case))),
        "The final wax was approved for an earlier prescription. Ask the dentist again." in wax,
    )
    return [str(case.stage), *("x" if sign else "-" for sign in signs)]


def test_the_table_names_every_clinical_field_once():
    named = [line.split()[0] for line in TABLE.strip().splitlines()[1:]]

    assert sorted(named) == sorted(CLINICAL)
    assert set(CHANGES) == set(CLINICAL)


def test_a_signed_change_of_each_field_undoes_exactly_what_the_table_says(before):
    walk = before(Stage.PROCESSING)
    assert walk.reload().prescription.allergy == Allergy.NONE_KNOWN
    records.add(case=walk.case, by=walk.hands.technician, values=GAP_RECORD)
    assert undone(walk) == ["final wax", *"--------"]

    found = {}
    for field, change in CHANGES.items():
        with transaction.atomic():
            revise(**(change if isinstance(change, dict) else {field: change}))(walk)
            found[field] = undone(walk)
            transaction.set_rollback(True)

    wanted = rows()
    assert {field: row for field, row in found.items() if row != wanted[field]} == {}
