"""Facet sites as they are read."""

import pytest

from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.facets import FacetSite, role_of

GOOD = {
    "tooth": "26",
    "landmark_mm": [50, 25, -32],
    "protrusive_facet_deg": 20,
    "working_facet_deg": 15,
    "balancing_facet_deg": 25,
    "antagonist": "natural",
}


def test_each_role_gives_its_facet_as_a_number():
    site = FacetSite(**GOOD)

    assert [site.facet_deg(role) for role in ("protrusive", "working", "balancing")] == [20, 15, 25]
    assert site.landmark_mm == (50.0, 25.0, -32.0)


@pytest.mark.parametrize(
    ("change", "error", "said"),
    [
        ({"working_facet_deg": 61}, OutOfRange, "Working facet of tooth 26 is 61 deg"),
        ({"balancing_facet_deg": None}, NotANumber, "Balancing facet of tooth 26"),
        ({"landmark_mm": (50, 25)}, NotANumber, "x, y and z"),
        ({"antagonist": "gold"}, BadRequest, "natural, denture"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(change, error, said):
    with pytest.raises(error, match=said):
        FacetSite(**{**GOOD, **change})


def test_the_side_that_the_jaw_moves_to_works():
    assert role_of("16", "right") == "working"
    assert role_of("16", "left") == "balancing"
    assert role_of("16", "protrusive") == "protrusive"
