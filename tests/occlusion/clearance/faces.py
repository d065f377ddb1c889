"""Surfaces that face each other, for tests of the check: a sphere under a facet, and rims."""

import numpy as np

from occlusion.clearance import AskedExcursion, Facing, Opposed
from occlusion.surfaces.heightfield import field_of
from occlusion.surfaces.samples import Region, samples_of
from tests.occlusion.bench import settings_of, symmetric
from tests.occlusion.surfaces import shapes

#: Lower sphere of radius 1 with its middle at (50, -25, -33); 30 deg paths, Bennett 15, table 10,
#: wings 20, three millimetres forward: a worked example with closed forms.
MIDDLE = np.array([50.0, -25.0, -33.0])
BENCH = symmetric(30, 10, bennett=15, wing=20)
THREE = tuple(AskedExcursion(kind=kind, travel_mm=3.0) for kind in ("protrusive", "right", "left"))


def slope(deg):
    return np.tan(np.radians(deg))


def sphere_under_facet(along_x, along_y, *, name="all", raised_mm=0.0, pitch=0.1, mirrored=False):
    """A facet that touches the sphere in centric, or stands so much above that."""
    normal = np.array([-along_x, -along_y, 1.0])
    touch = MIDDLE + normal / np.linalg.norm(normal) + [0.0, 0.0, raised_mm]
    side = -1.0 if mirrored else 1.0

    def lower(x, y):
        return shapes.cap(tuple(MIDDLE), 1.0)(x, side * y)

    def upper(x, y):
        return shapes.plane(tuple(touch), along_x, along_y)(x, side * y)

    bounds = [(48.0, 52.0, -27.0, -23.0), (44.0, 56.0, -31.0, -19.0)]
    if mirrored:
        bounds = [(low, high, -right, -left) for low, high, left, right in bounds]
    below = field_of(lower, member="lower", bounds_mm=bounds[0], pitch_mm=pitch)
    above = field_of(upper, member="upper", bounds_mm=bounds[1], pitch_mm=pitch)
    region = Region(name, (50.0, side * -25.0), 30.0)
    samples = samples_of(above, regions=[region])
    return Opposed(facings=(Facing(below, samples),), material={name: "denture"})


def settings(bench=BENCH):
    return settings_of(bench)


def one(found, kind, name=None):
    """The only region of an excursion, or the named one."""
    (excursion,) = [row for row in found.excursions if row.excursion == kind]
    (row,) = [row for row in excursion.regions if name is None or row.name == name]
    return row


#: Paths and table at 20 deg: every point goes straight down 20 deg, so the sphere just slides.
MATCHED = symmetric(20, 20)


def where(member, x, y):
    """Stands for teeth: the place itself, to a tenth of a millimetre."""
    return f"{member} {x:.1f} {y:.1f}"


def facing_of(below, above, regions):
    """A lower and an upper function over the surroundings of the sphere."""
    lower = field_of(below, member="lower", bounds_mm=(48.0, 52.0, -27.0, -23.0))
    upper = field_of(above, member="upper", bounds_mm=(44.0, 58.0, -31.0, -19.0))
    return Facing(lower, samples_of(upper, regions=regions))


def sphere_under_ridge(*, name="all", lower_mm=0.0):
    """A ridge hangs where the sphere comes by: free at first and at last, 0.198 mm between.

    At the travel s the middle stands at (50 + s, -25, -33 - s tan 20); its top over x = 51.5 is
    highest at s = 1.5 - sin 20 = 1.158, -32.482. The ridge ends at -32.68 and is 60 deg steep.
    """

    def above(x, y):
        return -32.68 - lower_mm + slope(60) * np.abs(x - 51.5) + 0.0 * y

    facing = facing_of(shapes.cap(tuple(MIDDLE), 1.0), above, [Region(name, (51.5, -25.0), 30.0)])
    return Opposed(facings=(facing,), material={name: "denture"}, place_at=where)
