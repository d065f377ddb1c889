"""Which positions get a denture tooth, and what stands everywhere else."""

import pytest

from labcases.domain import teeth
from labcases.enums import OpposingTooth, ToothStatus
from labcases.management.walk import natural, teeth_of
from labcases.models import Prescription

ROW = Prescription(
    arch="upper",
    teeth={**teeth_of("upper", "conventional"), "15": ToothStatus.STAYS.value},
    opposing={
        **natural("lower"),
        "36": OpposingTooth.MISSING.value,
        "37": OpposingTooth.DENTURE.value,
    },
)


def test_every_position_but_third_molars_and_teeth_that_stay_is_replaced():
    assert teeth.replaced(ROW) == [
        *("17", "16", "14", "13", "12", "11"),
        *("21", "22", "23", "24", "25", "26", "27"),
    ]


def test_posterior_sites_are_premolars_and_molars():
    assert teeth.posterior_sites(ROW) == ["17", "16", "14", "24", "25", "26", "27"]


@pytest.mark.parametrize(("tooth", "against"), [("16", "natural"), ("26", None), ("27", "denture")])
def test_the_antagonist_is_the_tooth_of_the_same_name(tooth, against):
    assert teeth.antagonist(ROW, tooth) == against


@pytest.mark.parametrize(
    ("tooth", "kind"),
    [
        ("16", OpposingTooth.DENTURE),
        ("13", OpposingTooth.DENTURE),
        ("15", OpposingTooth.NATURAL),
        ("18", OpposingTooth.MISSING),
        ("46", OpposingTooth.NATURAL),
        ("37", OpposingTooth.DENTURE),
        ("36", OpposingTooth.MISSING),
        ("48", OpposingTooth.MISSING),
    ],
)
def test_denture_or_natural_is_a_property_of_each_tooth_of_either_arch(tooth, kind):
    assert teeth.kind(ROW, tooth) == kind


def test_a_position_that_nobody_marked_is_missing_when_opposing():
    assert teeth.kind(Prescription(arch="lower"), "16") == OpposingTooth.MISSING


def test_the_other_arch_of_each():
    assert (teeth.other_arch("upper"), teeth.other_arch("lower")) == ("lower", "upper")
