"""Marks for tests: one to start from, and whatever hypothesis draws."""

from hypothesis import strategies as st

from occlusion.reduction.marks import FoilMark

ROLES = ["centric", "working", "balancing", "protrusive"]
#: Pairs that can meet, front and back and across the two, right and left.
PAIRS = [
    *(("16", "46"), ("27", "37"), ("14", "44"), ("25", "35")),
    *(("13", "43"), ("11", "31"), ("22", "32"), ("13", "44"), ("14", "43")),
]


def mark(role="working", upper="16", lower="46", depth=0.2, **rest):
    """An upper denture tooth against a natural lower one, unless told otherwise."""
    given = {"upper_material": "denture", "lower_material": "natural", **rest}
    return FoilMark(role=role, upper=upper, lower=lower, depth_mm=depth, **given)


depths = st.one_of(st.just(0.0), st.floats(0.0, 0.6), st.floats(0.0, 5.0))
budgets = st.one_of(st.just(0.0), st.floats(0.0, 0.6), st.floats(0.0, 3.0))
materials = st.sampled_from(["denture", "natural"])
maybe = st.sampled_from([None, True, False])
made_of = st.sampled_from([None, "resin", "composite", "porcelain"])


@st.composite
def marks(draw):
    """Any mark that can be given."""
    upper, lower = draw(st.sampled_from(PAIRS))
    return FoilMark(
        role=draw(st.sampled_from(ROLES)),
        upper=upper,
        lower=lower,
        upper_material=draw(materials),
        lower_material=draw(materials),
        depth_mm=draw(depths),
        measured_by=draw(st.sampled_from(["gauge", "scans", "callipers"])),
        cusps=draw(st.sampled_from([None, "buccal", "lingual"])),
        also_in_excursions=draw(maybe),
        supporting=draw(maybe),
        crossbite=draw(st.booleans()),
        prefer=draw(st.sampled_from([None, "upper", "lower"])),
        upper_made_of=draw(made_of),
        lower_made_of=draw(made_of),
    )
