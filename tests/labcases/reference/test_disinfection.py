"""The list of agents: every content has a row, and every row says how it is known."""

import pytest

from labcases.enums import BoxContent
from labcases.reference.disinfection import Agent, listed_agents


def agents_for(content: str) -> tuple[Agent, ...]:
    return tuple(row for row in listed_agents() if content in row.contents)


@pytest.mark.parametrize("content", [one for one in BoxContent if one != BoxContent.PHOTOGRAPHS])
def test_everything_that_was_near_a_mouth_has_a_row_of_its_own(content):
    assert len(agents_for(content)) >= 2


def test_photographs_have_none():
    assert agents_for(BoxContent.PHOTOGRAPHS) == ()


def test_only_contents_that_travel_are_named():
    named = {content for row in listed_agents() for content in row.contents}
    assert named <= set(BoxContent.values)


@pytest.mark.parametrize(
    ("of", "cited"),
    [
        (
            "Alginate impression",
            "CDA Journal 37(7), trial of hypochlorite spray on impressions (source or its abstract "
            "read); Rueggeberg et al., Journal of Prosthetic Dentistry 1992;67(5):628-31 (source "
            "or its abstract read)",
        ),
        ("Zinc oxide-eugenol paste", "from memory, not read"),
        ("Stone cast", "from memory, not read"),
        ("Denture or template of acrylic resin", "from memory, not read"),
    ],
)
def test_a_row_says_how_far_its_source_was_read(of, cited):
    (row,) = [one for one in listed_agents() if one.of == of]
    assert row.cited == cited
