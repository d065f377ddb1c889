"""Second opinion on everything that turns about the hinge axis, to forty digits.

A point of the sagittal plane is the complex number x + iz, opening by an angle a is a
product with exp(-ia), and every angle is found by
closing in on it from two sides. This file imports
nothing of the engine and shares no formula with it.
"""

import mpmath
from mpmath import mpc, mpf

mpmath.mp.dps = 40
WIDEST = mpf("0.4")


def turned(point, angle):
    return mpc(*point) * mpmath.expj(-angle)


def angle_where(condition, low=-WIDEST, high=WIDEST):
    """The angle at which a falling condition passes zero, between widely closed and open."""
    if condition(low) < 0 or condition(high) > 0:
        raise ValueError("The condition does not pass zero between the ends.")
    return mpmath.findroot(condition, (low, high), solver="anderson", tol=mpf(10) ** -60)


def opened(point, by):
    """Angle that lowers a point by so much."""
    return angle_where(lambda angle: turned(point, angle).imag - mpf(point[1]) + mpf(by))


def movement(point, angle):
    """(down, back) of a point."""
    moved = turned(point, angle) - mpc(*point)
    return -moved.imag, -moved.real


def angle_of_a_tip_on_the_rim(tip, rim):
    """Angle at which the opened rim lets an upper tip just touch it."""
    return angle_where(lambda angle: mpf(rim) - (mpc(*tip) * mpmath.expj(angle)).imag)


def straight_pin(pin, slope_deg, reading, bench):
    """Angle at which a straight pin, set to a reading, meets its table."""
    slope = mpmath.tan(mpmath.radians(slope_deg))
    here, set_to = mpc(*pin), mpc(0, reading)

    def above(place):
        return place.imag - here.imag + slope * (place.real - here.real)

    conditions = {
        "table lowered": lambda a: above(here * mpmath.expj(-a) + set_to),
        "lower pin": lambda a: above((here + set_to) * mpmath.expj(-a)),
        "upper pin": lambda a: -above((here - set_to) * mpmath.expj(a)),
    }
    return angle_where(conditions[bench])


def left_by_a_wrong_axis(record_at, record, error, watched):
    """(shift in x, in z, forward shift once closed to contact) of a watched point."""
    angle, axis = opened(record_at, record), mpc(*error)
    lower = turned(watched, angle)
    closed = axis + (lower - axis) * mpmath.expj(angle)
    height = mpf(watched[1])
    more = angle_where(lambda a: (axis + (closed - axis) * mpmath.expj(-a)).imag - height)
    contact = axis + (closed - axis) * mpmath.expj(-more)
    shift = closed - mpc(*watched)
    return shift.real, shift.imag, contact.real - mpf(watched[0])
