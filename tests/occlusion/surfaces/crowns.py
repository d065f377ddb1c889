"""Teeth for the tests of the calliper model: one by itself, and whole arches."""

from dataclasses import replace

from occlusion.surfaces.calliper import CalliperTooth
from occlusion.surfaces.cusps import CuspForm, ToothForm

INCISAL = (80.0, 0.0, -32.0)


def cusp(name="B", side="buccal", u=0.0, v=0.0, z=-32.0, deg=20.0, **other):
    """A cusp with one angle all around, unless told otherwise."""
    angles = {f"{which}_deg": deg for which in ("inner", "outer", "mesial", "distal")}
    form = CuspForm(name=name, side=side, u_mm=u, v_mm=v, tip_z_mm=z, roundness_mm=0.5, **angles)
    return replace(form, **other)


def form(*cusps, tooth="36", axis=(0.0, 0.0, 1.0), mesial=(1.0, 0.0), **other):
    """A tooth of 10 by 10 mm at (50, 25), or on the right at (50, -25)."""
    first = ToothForm(
        tooth=tooth,
        member="upper" if tooth[0] in "12" else "lower",
        material="natural",
        centre_mm=(50.0, 25.0 if tooth[0] in "23" else -25.0),
        mesial=mesial,
        axis=axis,
        md_mm=10.0,
        bl_mm=10.0,
        rim_v_mm=0.0,
        cusps=cusps,
    )
    return replace(first, **other)


def two_cusps(separation=5.2, deg=20.0, **other):
    """A buccal and a lingual cusp."""
    half = separation / 2.0
    return form(
        cusp("B", "buccal", v=half, deg=deg), cusp("L", "lingual", v=-half, deg=deg), **other
    )


def arch(member, material, *, last=7, missing=(), **measures):
    """The teeth of one arch back to the last; ``t36={...}`` gives measures of one tooth."""
    quadrants = "12" if member == "upper" else "34"
    numbers = [f"{q}{n}" for q in quadrants for n in range(1, last + 1)]
    return [
        CalliperTooth(tooth=t, **{"material": material, **measures.get(f"t{t}", {})})
        for t in numbers
        if t not in missing
    ]
