"""What hypothesis draws for the engine: articulators, movements and points within usual limits."""

from dataclasses import replace

from hypothesis import strategies as st

from tests.occlusion.second_opinion import Bench, Move

inclinations = st.floats(10.0, 60.0)
bennetts = st.floats(0.0, 25.0)
shifts = st.one_of(st.just(0.0), st.floats(0.0, 1.5))
tables = st.floats(0.0, 35.0)
wings = st.floats(0.0, 30.0)
members = st.sampled_from(["upper", "lower"])
openings = st.one_of(st.just(0.0), st.floats(0.1, 6.0))
travels = st.floats(0.2, 6.0)
blends = st.one_of(st.just(0.0), st.floats(0.0, 1.0))
along = st.sampled_from(["horizontal", "path"])

#: Where the pin may stand; every table of ``tables`` is then far from the arc of the pin.
pins = st.tuples(st.floats(75.0, 130.0), st.floats(-3.0, 3.0), st.floats(-55.0, -10.0))

#: Points of the lower teeth.
teeth = st.tuples(st.floats(30.0, 90.0), st.floats(-32.0, 32.0), st.floats(-45.0, -20.0))


@st.composite
def benches(draw, **fixed):
    """An articulator whose sides differ; what is named is fixed."""
    bench = draw(
        st.builds(
            Bench,
            intercondylar=st.floats(90.0, 130.0),
            inclination_right=inclinations,
            inclination_left=inclinations,
            bennett_right=bennetts,
            bennett_left=bennetts,
            shift_right=shifts,
            shift_left=shifts,
            table=tables,
            wing_right=wings,
            wing_left=wings,
            table_on=members,
            pin=pins,
            opening=openings,
        )
    )
    return replace(bench, **fixed)


def level(bench):
    """The same articulator with its left condylar path as steep as its right one."""
    return replace(bench, inclination_left=bench.inclination_right)


laterals = st.builds(
    Move, kind=st.sampled_from(["right", "left"]), travel=travels, along=along, blend=blends
)
protrusions = st.builds(Move, kind=st.just("protrusive"), travel=travels, along=along)
moves = st.one_of(laterals, protrusions)
