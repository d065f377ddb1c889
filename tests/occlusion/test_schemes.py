"""Verdicts of the schemes."""

from typing import get_args

import pytest

from occlusion import schemes
from occlusion.sources import SOURCES


def verdict(scheme, role, predicted, tooth="16", *, possible=False):
    return schemes.judge(scheme, role, tooth=tooth, predicted=predicted, possible=possible)


@pytest.mark.parametrize(
    ("scheme", "role", "contact", "apart"),
    [
        ("balanced", "protrusive", "as wanted", "not as wanted"),
        ("balanced", "working", "as wanted", "not as wanted"),
        ("balanced", "balancing", "as wanted", "not as wanted"),
        ("lingualised", "balancing", "as wanted", "not as wanted"),
        ("group", "protrusive", "scheme silent", "scheme silent"),
        ("group", "working", "as wanted", "not as wanted"),
        ("group", "balancing", "not as wanted", "as wanted"),
        ("canine", "protrusive", "not as wanted", "as wanted"),
        ("canine", "working", "not as wanted", "as wanted"),
        ("canine", "balancing", "not as wanted", "as wanted"),
        ("flat", "working", "scheme silent", "scheme silent"),
    ],
)
def test_a_posterior_tooth_is_judged_by_its_scheme_and_role(scheme, role, contact, apart):
    assert verdict(scheme, role, "contact") == contact
    assert verdict(scheme, role, "none predicted") == apart


@pytest.mark.parametrize("scheme", get_args(schemes.Scheme))
@pytest.mark.parametrize("role", get_args(schemes.Role))
@pytest.mark.parametrize("tooth", ["11", "13", "16"])
def test_an_interference_is_never_as_wanted(scheme, role, tooth):
    assert verdict(scheme, role, "interference", tooth) == "not as wanted"
    assert schemes.wanted(scheme, role, tooth=tooth).source in SOURCES


def test_the_working_canine_guides_where_the_scheme_says_so():
    assert verdict("canine", "working", "contact", "13") == "as wanted"
    assert verdict("canine", "working", "none predicted", "13") == "not as wanted"
    assert verdict("balanced", "working", "contact", "13") == "scheme silent"
    assert verdict("canine", "working", "contact", "12") == "scheme silent"


def test_a_possible_interference_counts_against_a_tooth_that_should_stay_free():
    assert verdict("canine", "working", "none predicted", possible=True) == "not as wanted"
    assert verdict("flat", "working", "none predicted", possible=True) == "scheme silent"


def test_a_wanted_contact_stays_wanted_when_an_interference_is_possible():
    assert verdict("balanced", "working", "contact", possible=True) == "as wanted"
    assert verdict("balanced", "working", "none predicted", possible=True) == "not as wanted"
