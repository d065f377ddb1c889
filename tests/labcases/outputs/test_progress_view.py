"""How far the set-up is: the drawing, its legend and the table say the same, for either arch."""

import re

import pytest
from django.template.loader import render_to_string

from labcases.enums import Arch, Movement, SetUpAct, Stage
from labcases.outputs import progress_view
from labcases.outputs.progress_view import VIEW_BOXES
from tests.factories import world

pytestmark = pytest.mark.django_db

CENTRIC, RIGHT, LEFT, PROTRUSIVE = Movement


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    walk.log(SetUpAct.TOOTH_SET, teeth=["16", "26"])
    walk.foil(CENTRIC, "16", as_wanted=False)
    return walk


def glance(walk, notation="ISO 3950"):
    return progress_view.glance(walk.reload(), notation)


def test_each_tooth_has_a_sign_for_each_step(walk):
    told = {tooth.number: tooth for tooth in glance(walk).teeth}
    assert [cell.glyph for cell in told["16"].cells] == ["done", "warning", *["not yet"] * 3]
    assert [cell.glyph for cell in told["26"].cells] == ["done", "waiting", *["not yet"] * 3]
    assert [cell.step for cell in told["16"].cells] == [
        "set",
        "centric",
        "working",
        "balancing",
        "protrusive",
    ]
    assert "3" in {tooth.number for tooth in glance(walk, "Universal").teeth}


def test_the_legend_names_the_signs_that_are_there(walk):
    assert glance(walk).legend == [
        ("not yet", "Not yet"),
        ("waiting", "Last pass not as wanted, or not judged"),
        ("warning", "Marks in that pass"),
        ("done", "Done, as wanted"),
    ]


def test_both_parts_say_how_many_teeth_are_set(walk):
    assert [(row.part, row.teeth) for row in glance(walk).parts] == [
        (
            "Posterior teeth",
            "2 of 8 teeth logged as set; not yet: 17 15 14 24 25 27",
        ),
        ("Anterior teeth", "0 of 6 teeth logged as set; not yet: 13 12 11 21 22 23"),
    ]


@pytest.mark.parametrize("arch", Arch)
def test_signs_stand_outside_their_tooth_inside_the_picture_and_apart(walk, arch):
    walk.case.prescriptions.update(
        arch=arch, teeth={}, opposing=dict.fromkeys((f"1{n}" for n in range(1, 9)), "natural")
    )
    told = glance(walk)
    left, top, width, height = map(float, VIEW_BOXES[arch].split())
    places = [(cell.x, cell.y) for tooth in told.teeth for cell in tooth.cells]
    places += [(letter.x, letter.y) for letter in told.letters]
    assert len(places) == 14 * 5 + 10
    for x, y in places:
        assert left + 2 < x < left + width - 2
        assert top + 2 < y < top + height - 2
    # Signs are 16 x 0.23 = 3.7 mm across.
    for number, (x, y) in enumerate(places):
        assert all(
            (x - other_x) ** 2 + (y - other_y) ** 2 > 3.7**2 for other_x, other_y in places[:number]
        )
    for tooth in told.teeth:
        far = [(cell.x**2 + cell.y**2) ** 0.5 for cell in tooth.cells]
        assert far == sorted(far)
        assert far[0] > (tooth.x**2 + (tooth.y - 1.3) ** 2) ** 0.5


def test_the_table_says_in_words_what_the_drawing_shows_in_signs(walk):
    html = render_to_string("passes/_glance.html", {"glance": glance(walk)})
    table = html.split("<table")[1]
    rows = dict(re.findall(r'<th scope="row">(\d\d)(.*?)</tr>', table, re.DOTALL))
    assert len(rows) == 14
    words = re.findall(r'</svg><span class="unseen">(.*?)</span>', rows["16"])
    assert words == ["Done, as wanted", "Marks in that pass", *["Not yet"] * 3]
    assert html.count('class="glyph glyph-warning"') == 3  # picture, legend and table


def test_the_small_arch_tells_begun_from_done_and_is_left_out_before(walk):
    drawing = progress_view.small(walk.reload(), "ISO 3950")
    assert {shape.tooth: shape.state for shape in drawing.shapes if shape.state} == {
        **dict.fromkeys(
            ["17", "15", "14", "13", "12", "11", "21", "22", "23", "24", "25", "27"], "not yet"
        ),
        **dict.fromkeys(("16", "26"), "on the bench"),
    }
    for movement in Movement:
        walk.foil(movement, "16", "26")
    drawing = progress_view.small(walk.reload(), "ISO 3950")
    assert {shape.tooth for shape in drawing.shapes if shape.state == "done"} == {"16", "26"}
    walk.case.setup_entries.update(struck_at=walk.case.setup_entries.first().at)
    assert progress_view.small(walk.reload(), "ISO 3950") is None
