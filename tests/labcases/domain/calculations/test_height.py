"""The height budget of every posterior site, with ways out where it is short."""

from __future__ import annotations

from typing import Any

import pytest

from labcases.domain import calculations
from labcases.domain.calculations import height
from labcases.enums import CheckKind

READ: dict[str, Any] = {
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


def row(material: str = "resin", **values: Any) -> height.HeightRow:
    (found,) = height.budget({"material": material, "sites": {"26": {**READ, **values}}}).rows
    return found


def test_a_site_that_fits_says_what_is_ground_and_what_is_left():
    """9 mm of space, 2 mm of base: 7 mm for a tooth of 8, so 1 mm is hollow-ground."""
    found = row()

    assert (found.tooth, found.verdict, found.antagonist) == ("26", "fits", "natural")
    assert found.hollow_mm == pytest.approx(1.0)
    assert found.shell_left_mm == pytest.approx(1.8)
    assert found.occlusal_budget_mm == pytest.approx(0.3)
    assert found.short_by_mm == 0.0
    assert found.ways_out == ()


def test_a_site_that_is_short_says_by_how_much_and_names_ways_out():
    found = row(space_mm=6.0)

    assert found.verdict == "short"
    assert found.short_by_mm == pytest.approx(2.7)
    assert len(found.ways_out) >= 3
    assert any("only if the dentist raises the vertical" in way.lower() for way in found.ways_out)


def test_no_antagonist_gives_no_budget_and_says_so():
    found = row(antagonist=None, ample=True)

    assert (found.verdict, found.text) == ("no antagonist", "No opposing tooth, so no budget.")


def test_a_prescribed_height_opposite_is_a_finding_and_no_way_out():
    opposite = {"opposite": "36", "opposite_stands_mm": 1.6, "opposite_read": "by eye"}
    found = row(space_mm=6.0, **opposite)

    assert found.finding == (
        "36 stands 1.6 mm above the plane: the dentist decides. As prescribed (by eye); the space "
        "is read to this tooth, so the height is in it."
    )
    assert found.short_by_mm == pytest.approx(2.7)
    assert not [way for way in found.ways_out if "36" in way]


def test_an_opposing_denture_that_is_being_made_is_assumed_where_it_is_planned():
    told = {"material": "resin", "opponent_being_made": True, "sites": {"26": READ}}

    assert height.budget(told).assumptions[-1] == (
        "The opposing denture is being made: its teeth stand where they are planned, and the "
        "space is read again when they are set."
    )


@pytest.mark.parametrize("space_mm", [None, 10.0, 14.5])
def test_a_ticked_site_is_ample(space_mm):
    found = row(ample=True, space_mm=space_mm, tooth_height_mm=None)

    assert (found.verdict, found.text) == (
        "ample",
        "Ticked as ample: 10 mm or more at this site.",
    )


def test_a_tick_does_not_hide_a_reading_below_ten_millimetres():
    assert row(ample=True, space_mm=6.0).verdict == "short"
    assert row(ample=True, space_mm=9.9).verdict == "fits"
    found = row(ample=True, space_mm=9.9, tooth_height_mm=None)
    assert (found.verdict, found.text) == (
        "not measured",
        "Ticked as ample, but 9.9 mm is less than 10 mm. Enter tooth height.",
    )


@pytest.mark.parametrize(
    ("absent", "text"),
    [
        (("space_mm",), "Enter space, or tick the site as ample."),
        (
            ("base_min_mm", "shell_min_mm"),
            "Enter least base thickness, least shell, or tick the site as ample.",
        ),
        (
            ("tooth_height_mm", "shell_over_fossa_mm"),
            "Enter tooth height, shell over the fossa, or tick the site as ample.",
        ),
    ],
)
def test_what_is_not_measured_is_named(absent, text):
    found = row(**dict.fromkeys(absent))

    assert (found.verdict, found.text, found.short_by_mm) == ("not measured", text, None)


def test_a_site_that_nobody_touched_is_not_measured():
    (found,) = height.budget({"material": "", "sites": {"16": {"antagonist": "denture"}}}).rows

    assert found.verdict == "not measured"


def test_what_the_engine_refuses_is_said_at_the_site():
    found = row(space_mm=41.0)

    assert (found.verdict, found.text) == ("not measured", "Space is 41 mm. Enter 0 to 40 mm.")


def test_an_opened_pin_is_named_as_no_room_and_porcelain_as_a_caution():
    sites = {"sites": {"26": READ}}

    told = height.budget({"material": "resin", **sites}).assumptions
    porcelain = height.budget({"material": "porcelain", **sites}).assumptions

    assert "An opened pin is a temporary aid and is never counted as room." in told
    assert [text for text in porcelain if text not in told] == [
        "Porcelain teeth: hollow-grinding takes away their hold in the base; ask the dentist "
        "before any."
    ]


def test_findings_keep_every_site_in_mouth_order():
    told = {"material": "resin", "sites": {"17": READ, "26": {**READ, "antagonist": None}}}

    found = calculations.answer(CheckKind.HEIGHT, told)

    assert [(one["tooth"], one["verdict"]) for one in found["rows"]] == [
        ("17", "fits"),
        ("26", "no antagonist"),
    ]
    assert found["rows"][0]["ways_out"] == []
    assert len(found["assumptions"]) == 2
    assert calculations.answer(CheckKind.HEIGHT, told) == found
