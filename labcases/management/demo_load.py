"""Minutes that the people of the demonstration have for the bench."""

from __future__ import annotations

from labcases.domain import bench_minutes, load_reading
from labcases.models import Organisation, User

#: Five hours from Monday to Thursday, half of them on Friday; invented.
MINUTES = {1: 300, 2: 300, 3: 300, 4: 300, 5: 150}


def give_minutes(laboratory: Organisation, by: User) -> None:
    """Give the technicians their minutes; who enters them has none."""
    people = [one for one in load_reading.bench_people(laboratory) if one != by]
    bench_minutes.save_people_minutes(
        laboratory=laboratory, minutes={one.pk: MINUTES for one in people}, by=by
    )
