"""Usual minutes of the jobs at the bench."""

from labcases.enums.load import BenchJob
from labcases.reference import load


def test_minutes_are_planned_with_the_middle_of_their_span():
    told = {job.value: (one.middle, one.span_words) for job, one in load.usual_minutes().items()}

    assert told == {
        "tray": (30, "30"),
        "cast": (75, "75"),
        "mounting": (45, "45"),
        "posterior": (120, "90 to 150"),
        "anterior": (75, "60 to 90"),
        "wax-up": (53, "45 to 60"),
        "flasking": (90, "90"),
        "remount": (45, "45"),
        "finishing": (75, "60 to 90"),
    }
    assert set(load.usual_minutes()) == set(BenchJob)


def test_the_source_and_the_three_weeks_stand_in_the_data():
    assert load.source().startswith("common practice, no source")
    assert load.look_ahead_days() == 21
