"""Articulators for tests: the named ones, random legal ones, and the engine's view of each."""

import math
from dataclasses import replace

import numpy as np

from occlusion import articulator, motion
from tests.occlusion.second_opinion import Bench, Move

#: Test geometry G1, declared and not anatomical: points of the lower teeth in articulator axes,
#: intercondylar distance 110, incisal point = pin point = (80, 0, -32).
INCISAL = (80.0, 0.0, -32.0)
CANINE, PM1, M1, M2 = (70.0, -17.0), (63.0, -21.0), (50.0, -25.0), (35.0, -28.0)


def tooth(place, side="right"):
    """A point of G1 on one side."""
    x, y = place
    return (x, y if side == "right" else -y, -32.0)


def symmetric(
    inclination, table, *, bennett=0.0, shift=0.0, wing=0.0, table_on="upper", opening=0.0, **rest
):
    """A bench on G1 with the same settings on both sides."""
    return Bench(
        inclination_right=inclination,
        inclination_left=inclination,
        bennett_right=bennett,
        bennett_left=bennett,
        shift_right=shift,
        shift_left=shift,
        table=table,
        wing_right=wing,
        wing_left=wing,
        table_on=table_on,
        opening=opening,
        **rest,
    )


def mirrored(bench):
    """The bench as a mirror in the median plane shows it."""
    return replace(
        bench,
        inclination_right=bench.inclination_left,
        inclination_left=bench.inclination_right,
        bennett_right=bench.bennett_left,
        bennett_left=bench.bennett_right,
        shift_right=bench.shift_left,
        shift_left=bench.shift_right,
        wing_right=bench.wing_left,
        wing_left=bench.wing_right,
        pin=(bench.pin[0], -bench.pin[1], bench.pin[2]),
    )


def mirrored_move(move):
    """The move to the other side."""
    kind = {"right": "left", "left": "right", "protrusive": "protrusive"}[move.kind]
    return replace(move, kind=kind)


def settings_of(bench, incisal=INCISAL):
    """The engine's settings of a bench."""
    right = articulator.CondylarSide(
        inclination_deg=bench.inclination_right,
        bennett_deg=bench.bennett_right,
        immediate_side_shift_mm=bench.shift_right,
    )
    left = articulator.CondylarSide(
        inclination_deg=bench.inclination_left,
        bennett_deg=bench.bennett_left,
        immediate_side_shift_mm=bench.shift_left,
    )
    table = articulator.IncisalTable(
        sagittal_deg=bench.table,
        wing_right_excursion_deg=bench.wing_right,
        wing_left_excursion_deg=bench.wing_left,
        mounted_on=bench.table_on,
    )
    return articulator.ArticulatorSettings(
        intercondylar_mm=bench.intercondylar,
        right=right,
        left=left,
        table=table,
        incisal_point_mm=incisal,
        pin_point_mm=bench.pin,
        pin_opening_mm=bench.opening,
        reference_plane=articulator.ReferencePlane(tilt_deg=bench.tilt),
    )


def excursion_of(move):
    """The engine's excursion of a move; it always has its side shift done."""
    return articulator.Excursion(
        kind=move.kind, blend=move.blend, travel_mm=move.travel, travel_along=move.along
    )


def random_bench(draw):
    """An articulator within the usual limits of every setting, sides unlike each other."""
    return Bench(
        intercondylar=draw.uniform(90.0, 130.0),
        inclination_right=draw.uniform(10.0, 60.0),
        inclination_left=draw.uniform(10.0, 60.0),
        bennett_right=draw.uniform(0.0, 25.0),
        bennett_left=draw.uniform(0.0, 25.0),
        shift_right=draw.choice([0.0, draw.uniform(0.0, 1.5)]),
        shift_left=draw.choice([0.0, draw.uniform(0.0, 1.5)]),
        table=draw.uniform(0.0, 35.0),
        wing_right=draw.uniform(0.0, 30.0),
        wing_left=draw.uniform(0.0, 30.0),
        table_on=draw.choice(["upper", "lower"]),
        pin=(draw.uniform(75.0, 130.0), draw.uniform(-3.0, 3.0), draw.uniform(-55.0, -10.0)),
        opening=draw.choice([0.0, draw.uniform(-1.0, 6.0)]),
        tilt=draw.choice([0.0, draw.uniform(-12.0, 12.0)]),
    )


def extreme_bench(draw):
    """An articulator anywhere within the hard limits of every setting."""
    return Bench(
        intercondylar=draw.uniform(80.0, 140.0),
        inclination_right=draw.uniform(0.0, 75.0),
        inclination_left=draw.uniform(0.0, 75.0),
        bennett_right=draw.uniform(0.0, 40.0),
        bennett_left=draw.uniform(0.0, 40.0),
        shift_right=draw.uniform(0.0, 4.0),
        shift_left=draw.uniform(0.0, 4.0),
        table=draw.uniform(0.0, 60.0),
        wing_right=draw.uniform(0.0, 45.0),
        wing_left=draw.uniform(0.0, 45.0),
        table_on=draw.choice(["upper", "lower"]),
        pin=(draw.uniform(40.0, 200.0), draw.uniform(-10.0, 10.0), draw.uniform(-120.0, 20.0)),
        opening=draw.uniform(-2.0, 10.0),
        tilt=draw.uniform(-30.0, 30.0),
    )


def random_move(draw, longest=8.0):
    """A movement of any kind, with both meanings of travel and blends among them."""
    kind = draw.choice(["protrusive", "right", "left"])
    blend = 0.0 if kind == "protrusive" else draw.choice([0.0, 0.0, draw.random(), 1.0])
    along = draw.choice(["horizontal", "path"])
    return Move(kind, draw.uniform(0.0, longest), along, blend)


def at(bench, move):
    """Where the engine has the lower member at the end of a move."""
    return motion.lower_position(settings=settings_of(bench), excursion=excursion_of(move))


def along(bench, move, steps=12):
    """The engine's positions on the way there."""
    return motion.lower_positions(
        settings=settings_of(bench), excursion=excursion_of(move), steps=steps
    )


def moved(position, points, member="lower"):
    """How far the engine moves points."""
    return motion.landmark_movement(position, points, member=member)


def fall_forward(vector, tilt_deg):
    """A vector turned so that its front end goes down."""
    cos, sin = math.cos(math.radians(tilt_deg)), math.sin(math.radians(tilt_deg))
    x, y, z = vector
    return np.array([cos * x + sin * z, y, cos * z - sin * x])
