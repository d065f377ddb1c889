"""Rows of a bundle as tables, by literals."""

from __future__ import annotations

from labcases.outputs import bundle_tables

RUNS = [
    {
        "key": 7,
        "kind": "clearance",
        "findings": {
            "excursions": [
                {
                    "excursion": "protrusive",
                    "teeth": [{"tooth": "16", "state": "contact", "gap_mm": 0.05, "sd_mm": None}],
                }
            ]
        },
    },
    {
        "key": 8,
        "kind": "height budget",
        "findings": {"rows": [{"tooth": "14", "verdict": "fits", "space_mm": 8.5}]},
    },
]


def test_gaps_and_heights_stand_tooth_by_tooth():
    made = dict(bundle_tables.tables({"rows": {"CheckRun": RUNS}}))

    assert made["gaps"].decode().splitlines() == [
        "check_row,excursion,tooth,state,verdict,gap_mm,at_travel_mm,sd_mm,pin_lift_mm",
        "7,protrusive,16,contact,,0.05,,,",
    ]
    assert made["heights"].decode().splitlines()[1] == "8,14,fits,8.5,,,,"


def test_rows_keep_what_has_parts_as_json_and_say_yes_and_no():
    rows = [{"key": 1, "seats": True, "teeth": ["16"], "note": None}, {"key": 2, "more": "x"}]

    made = dict(bundle_tables.tables({"rows": {"Thing": rows}}))

    assert made["Thing"].decode().splitlines() == [
        "key,seats,teeth,note,more",
        '1,yes,"[""16""]",,',
        "2,,,,x",
    ]
