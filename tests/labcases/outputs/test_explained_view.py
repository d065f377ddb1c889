"""Prediction against marks in words: teeth as the reader numbers them, and what a button does."""

import pytest

from labcases.domain import bench
from labcases.enums import Movement, SettingsOrigin, Stage
from labcases.outputs import explained_view
from labcases.outputs.explained_view import in_numbers
from tests.factories import world
from tests.labcases import compared

pytestmark = pytest.mark.django_db

UNIVERSAL = "Universal"


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    bench.save_articulator(
        case=walk.reload(),
        version=0,
        by=walk.hands.technician,
        values={**walk.settings, "origin": SettingsOrigin.AVERAGE},
    )
    walk.foil(Movement.RIGHT, "16")
    return walk


def view(walk, best=None, notation="ISO 3950", **more):
    compared.keep(walk.reload(), walk.hands.technician, best, **more)
    return explained_view.build_context(walk.reload(), notation)


def test_where_nothing_was_compared_there_is_nothing(walk):
    assert explained_view.build_context(walk.reload(), "ISO 3950") is None


def test_teeth_stand_by_movement_as_the_reader_numbers_them(walk):
    iso, universal = view(walk), view(walk, notation=UNIVERSAL)

    (row,) = iso.rows
    assert (row.movement, row.seen, row.not_seen) == ("Right lateral", "16", "25")
    assert (row.unpredicted, row.seen_contact, row.lifted) == ("17", "14", "25")
    assert (universal.rows[0].seen, universal.rows[0].not_seen) == ("3", "13")


@pytest.mark.parametrize(
    ("best", "name", "what", "deviation", "button"),
    [
        (
            compared.setting(),
            "right condylar inclination",
            "38.2°",
            "2.1°",
            "Adopt it in the articulator record",
        ),
        (
            compared.of_tooth("16"),
            "Tooth 16",
            "0.23 mm too high",
            "0.03 mm",
            "It is set again: log it",
        ),
        (
            compared.of_tooth("46", "natural tooth", -0.4),
            "Tooth 46",
            "0.4 mm lower than measured",
            "0.03 mm",
            "Adopt the height",
        ),
        (
            compared.setting("pin_opening_mm", name="pin opening", unit="mm", change=0.3, sd=0.03),
            "pin opening",
            "0.3 mm higher",
            "0.03 mm",
            "",
        ),
    ],
)
def test_each_kind_of_change_says_what_it_is_and_what_adopting_does(
    walk, best, name, what, deviation, button
):
    found = view(walk, best).change

    def plain(text):
        return text.replace("\xa0", " ").replace(" deg", "°").replace(" °", "°")

    assert (found.name, plain(found.what), plain(found.deviation)) == (name, what, deviation)
    assert (found.button, found.explains) == (button, "30 of 32 readings")
    assert found.follows.endswith(".")


def test_a_setting_that_the_dentist_gave_is_proposed(walk):
    bench.save_articulator(
        case=walk.reload(),
        version=walk.case.articulator.version,
        by=walk.hands.technician,
        values={"origin": SettingsOrigin.PRESCRIBED},
    )

    assert view(walk, compared.setting()).change.button == "Propose it to the dentist"


def test_the_runner_up_is_shown_only_where_it_cannot_be_told_apart(walk):
    other = compared.setting("bennett_right_deg", name="right Bennett angle", value=3.0)

    apart = view(walk, compared.setting(), runner_up=other)
    alike = view(walk, compared.setting(), runner_up=other, told_apart=False)

    assert [one.name for one in apart.changes] == ["right condylar inclination"]
    assert [one.name for one in alike.changes] == [
        "right condylar inclination",
        "right Bennett angle",
    ]


def test_numbers_that_are_no_teeth_are_left_as_they_are():
    text = "16 stands 0.16 mm too high. It explains 16 of the 32 readings, 16 deg. Look at 16."

    assert in_numbers(text, ["16"], UNIVERSAL) == (
        "3 stands 0.16 mm too high. It explains 16 of the 32 readings, 16 deg. Look at 3."
    )
    assert in_numbers(text, [], UNIVERSAL) == text
