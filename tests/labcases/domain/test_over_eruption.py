"""Natural teeth beyond the occlusal plane: said as findings, and never as advice."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from labcases.domain import over_eruption
from labcases.domain.advice import of_prescription
from labcases.management.sample import natural, order
from labcases.models import Case, Prescription

D = Decimal


def row(arch: str = "upper", **said: Any) -> Prescription:
    return Prescription(case=Case(code="7Q2K9A3BC4DH"), **order(arch=arch, **said))


def test_heights_are_those_of_natural_teeth_above_nought_in_mouth_order():
    told = {"37": "1.6", "46": "0.5", "36": "0", "47": "2"}
    chart = natural("lower") | {"47": "missing"}

    assert over_eruption.heights(row(opposing=chart, over_eruption_mm=told)) == {
        "46": D("0.5"),
        "37": D("1.6"),
    }


@pytest.mark.parametrize(
    ("tooth", "words", "tips_mm"),
    [
        ("37", "37 stands 1.6 mm above the plane: the dentist decides.", D("1.6")),
        ("27", "27 stands 1.6 mm below the plane: the dentist decides.", D("-1.6")),
    ],
)
def test_an_upper_tooth_stands_below_the_plane_and_callipers_count_it_down(tooth, words, tips_mm):
    assert over_eruption.finding(tooth, D("1.60")) == words
    assert over_eruption.as_tip_height(tooth, D("1.6")) == tips_mm


WRONG: dict[str, tuple[dict[str, Any], list[tuple[str, str]]]] = {
    "all said": (
        {"over_eruption_mm": {"37": "1.6"}, "over_eruption_by": "mounted cast"},
        [],
    ),
    "not how": (
        {"over_eruption_mm": {"37": "1.6"}},
        [("over_eruption_by", "Say how the heights beyond the occlusal plane were read.")],
    ),
    "of a missing tooth": (
        {"over_eruption_mm": {"38": "1.6"}, "over_eruption_by": "by eye"},
        [
            (
                "over_eruption_mm",
                "38 has a height of 1.6 mm, but is marked as 'missing'. Heights are read on "
                "natural teeth only: take it out, or mark the tooth as natural.",
            )
        ],
    ),
    "of an open position": (
        {
            "opposing": {t: mark for t, mark in natural("lower").items() if t != "37"},
            "over_eruption_mm": {"37": "1.6"},
            "over_eruption_by": "by eye",
        },
        [
            (
                "over_eruption_mm",
                "37 has a height of 1.6 mm, but is open. Heights are read on natural teeth only: "
                "take it out, or mark the tooth as natural.",
            )
        ],
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_heights_ask_for_a_natural_tooth_and_for_how_they_were_read(name):
    said, wanted = WRONG[name]

    assert list(over_eruption.wrong_heights(row(**said))) == wanted


def test_every_height_is_a_line_of_what_is_weighed_and_an_unusual_one_says_so():
    told = row(over_eruption_mm={"37": "1.6", "46": "2.5"}, over_eruption_by="by eye")
    found = [one for one in of_prescription(told, date(2026, 3, 2)) if "plane" in one.text]

    assert [(one.field, one.text) for one in found] == [
        (
            "over_eruption_mm",
            "46 stands 2.5 mm above the plane: the dentist decides. Usual is 0 to 2 mm: read it "
            "again.",
        ),
        ("over_eruption_mm", "37 stands 1.6 mm above the plane: the dentist decides."),
    ]
    assert found[0].source == (
        "Bruce, Complete dentures opposing natural teeth, J Prosthet Dent, first page read: "
        "published practice is split between grinding the natural teeth and fitting the denture"
    )


def test_how_they_were_read_stands_in_words():
    assert over_eruption.read_by(row(over_eruption_by="mounted cast")) == (
        "on the mounted cast, against the plane of the articulator"
    )
    assert over_eruption.read_by(row()) == "how it was read is not said"


def test_no_sentence_proposes_to_change_a_natural_tooth():
    told = row(over_eruption_mm={"37": "7"}, over_eruption_by="by eye")
    said = " ".join(
        [over_eruption.REQUEST, *(text for _, text, _ in over_eruption.weighed(told))]
    ).lower()

    assert not [word for word in ("grind", "reduce", "shorten", "take off", "cut") if word in said]
