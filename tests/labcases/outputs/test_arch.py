"""The arch: geometry, marks and words, and the picture that the template makes of them."""

import re
from itertools import pairwise

import pytest
from django.template.loader import render_to_string

from labcases.enums import Arch, Notation, OpposingTooth, ToothStatus
from labcases.outputs.arch import (
    MARK_OF_STATUS,
    VIEW_BOXES,
    Mark,
    ToothMark,
    arch_drawing,
    arch_shapes,
)


def by_number(arch, **teeth):
    """Shapes of an arch by ISO number; teeth are given as _16=ToothMark(...)."""
    said = {name.removeprefix("_"): mark for name, mark in teeth.items()}
    return {shape.tooth: shape for shape in arch_shapes(arch=arch, teeth=said)}


@pytest.mark.parametrize(("arch", "first", "last"), [("upper", "18", "28"), ("lower", "48", "38")])
def test_the_patients_right_is_on_the_viewers_left(arch, first, last):
    shapes = arch_shapes(arch=Arch(arch), teeth={})

    assert (shapes[0].tooth, shapes[-1].tooth) == (first, last)
    assert [shape.x for shape in shapes] == sorted(shape.x for shape in shapes)
    assert shapes[0].x < 0 < shapes[-1].x


def test_the_upper_arch_opens_downwards_and_the_lower_one_upwards():
    upper, lower = by_number(Arch.UPPER), by_number(Arch.LOWER)

    assert upper["11"].y < upper["18"].y
    assert lower["41"].y > lower["48"].y


@pytest.mark.parametrize("arch", Arch)
def test_both_sides_are_mirror_pictures(arch):
    shapes = arch_shapes(arch=arch, teeth={})
    for right, left in zip(shapes[:8], reversed(shapes[8:]), strict=True):
        assert (right.x, right.y, right.number_y) == (-left.x, left.y, left.number_y)


@pytest.mark.parametrize("arch", Arch)
def test_numbers_stand_outside_the_crowns_and_states_inside(arch):
    for shape in arch_shapes(arch=arch, teeth={}):
        far = (shape.number_x**2 + shape.number_y**2) ** 0.5
        middle = (shape.x**2 + shape.y**2) ** 0.5
        near = (shape.state_x**2 + shape.state_y**2) ** 0.5
        assert far > middle > near, shape.tooth


@pytest.mark.parametrize("arch", Arch)
def test_everything_drawn_lies_inside_the_picture(arch):
    left, top, width, height = map(float, VIEW_BOXES[arch].split())
    everything = {
        shape.tooth: ToothMark(mark=Mark.EXTRACT_AT_SURGERY)
        for shape in arch_shapes(arch=arch, teeth={})
    }
    for shape in arch_shapes(arch=arch, teeth=everything):
        points = re.findall(r"(-?[\d.]+) (-?[\d.]+)", shape.outline + shape.arrow)
        for x, y in [*points, (shape.number_x - 3, shape.number_y - 3)]:
            assert left < float(x) < left + width, shape.tooth
            assert top < float(y) < top + height, shape.tooth


def test_every_mark_has_a_drawing_of_its_own():
    drawings = {}
    marks = (Mark.STAYS, Mark.EXTRACT_FIRST, Mark.EXTRACT_AT_SURGERY, Mark.STOP, Mark.LOST)
    for mark in (*marks, Mark.DENTURE):
        shape = by_number(Arch.UPPER, _14=ToothMark(mark=mark))["14"]
        drawings[mark] = (shape.dashed, shape.hatch, shape.dots, shape.arrow, shape.arrow_filled)

    assert len(set(drawings.values())) == len(drawings)


def test_an_extraction_is_an_arrow_out_of_the_socket_over_a_hatched_crown():
    shape = by_number(Arch.UPPER, _11=ToothMark(mark=Mark.EXTRACT_AT_SURGERY))["11"]
    start, end = re.findall(r"(-?[\d.]+) (-?[\d.]+)", shape.arrow)[:2]

    assert shape.hatch.count("M") >= 5
    # Lips are at the top of the upper picture: the arrow leads upwards, out of the crown.
    assert float(end[1]) < float(start[1]) < shape.y


def test_a_stop_is_a_bar_over_a_plain_crown_that_no_photocopy_makes_an_arrow():
    stop = by_number(Arch.UPPER, _14=ToothMark(mark=Mark.STOP))["14"]
    drawn = by_number(Arch.UPPER, _14=ToothMark(mark=Mark.EXTRACT_AT_SURGERY))["14"]

    def width(shape):
        head = re.findall(r"(-?[\d.]+) (-?[\d.]+)", shape.arrow.split("M")[2])
        points = [(float(x), float(y)) for x, y in head]
        return max(((x - u) ** 2 + (y - v) ** 2) ** 0.5 for x, y in points for u, v in points)

    assert (stop.hatch, stop.dots, stop.arrow_filled) == ("", "", True)
    assert width(stop) > 1.8 * width(drawn)
    legend = arch_drawing(arch=Arch.UPPER, teeth={"14": ToothMark(mark=Mark.STOP)}).legend
    assert [(one.word, one.arrow) for one in legend if one.arrow] == [
        ("stop until surgery", "M5 4.5V2.6M1.8 2.6V.8H8.2V2.6z")
    ]


def test_a_lost_tooth_is_dashed_and_neither_hatched_nor_dotted():
    shape = by_number(Arch.LOWER, _36=ToothMark(mark=Mark.LOST))["36"]

    assert (shape.dashed, shape.hatch, shape.dots, shape.arrow) == (True, "", "", "")


def test_dots_of_a_denture_tooth_stay_inside_its_outline():
    shape = by_number(Arch.UPPER, _16=ToothMark(mark=Mark.DENTURE))["16"]
    dots = [(float(x), float(y)) for x, y in re.findall(r"M(-?[\d.]+) (-?[\d.]+)h", shape.dots)]

    assert len(dots) > 15
    assert all(abs(x - shape.x) < 6.5 and abs(y - shape.y) < 6.5 for x, y in dots)


def test_a_tooth_is_named_in_words_with_what_was_said_of_it():
    shape = by_number(
        Arch.UPPER,
        _11=ToothMark(mark=Mark.DENTURE, state="interference", note="0.4 mm at 2 mm of travel"),
    )["11"]

    assert shape.words == (
        "11, upper right central incisor: denture tooth, interference, 0.4 mm at 2 mm of travel"
    )


def test_a_tooth_that_nobody_named_is_drawn_as_not_said():
    shape = by_number(Arch.LOWER)["45"]

    assert shape.words == "45, lower right second premolar: not said"


def test_one_mapping_may_hold_both_arches():
    both = {"16": ToothMark(mark=Mark.DENTURE), "46": ToothMark(mark=Mark.NATURAL)}

    assert [s.tooth for s in arch_shapes(arch=Arch.UPPER, teeth=both) if s.mark != "not said"] == [
        "16"
    ]


def test_the_second_notation_stands_inside_the_tooth():
    iso = arch_shapes(arch=Arch.UPPER, teeth={})[0]
    universal = arch_shapes(arch=Arch.UPPER, teeth={}, notation=Notation.UNIVERSAL)[0]

    assert (iso.number, iso.second) == ("18", "1")
    assert (universal.number, universal.second) == ("1", "18")
    assert universal.words == "1, upper right third molar: not said"


def test_every_status_that_a_record_can_hold_has_a_mark():
    assert set(MARK_OF_STATUS) == {*ToothStatus, *OpposingTooth}


def test_the_legend_names_only_what_is_drawn_and_each_thing_once():
    drawing = arch_drawing(
        arch=Arch.UPPER,
        teeth={
            **{f"1{n}": ToothMark(mark=Mark.DENTURE, state="contact") for n in range(1, 9)},
            **{f"2{n}": ToothMark(mark=Mark.LOST) for n in range(1, 9)},
        },
    )

    assert [swatch.word for swatch in drawing.legend] == ["already lost", "denture tooth"]
    assert drawing.states == ["contact"]


def picture(**kwargs):
    return render_to_string("case/_arch.html", {"drawing": arch_drawing(**kwargs)})


def test_the_picture_shows_state_by_word_and_shape_and_needs_no_inline_style():
    html = picture(
        arch=Arch.UPPER,
        teeth={"16": ToothMark(mark=Mark.DENTURE, state="none predicted")},
    )

    assert "style=" not in html
    assert 'class="glyph glyph-none-predicted"' in html
    assert "<span>None predicted</span>" in html
    assert "no interference" not in html.lower()
    assert " clear" not in html.lower()


def test_the_picture_is_drawn_by_attributes_because_paper_reads_no_classes_in_it():
    html = picture(arch=Arch.LOWER, teeth={"36": ToothMark(mark=Mark.MISSING)})

    assert 'class="outline" d="M' in html
    assert html.count('stroke-dasharray="1.4 1"') == 2
    assert html.count('fill="#fff"') >= 16


def test_teeth_are_links_only_where_an_address_is_given():
    plain = picture(arch=Arch.UPPER, teeth={"16": ToothMark(mark=Mark.DENTURE)})
    linked = picture(arch=Arch.UPPER, teeth={"16": ToothMark(mark=Mark.DENTURE, url="#tooth-16")})

    assert "<a " not in plain
    assert linked.count("<a ") == 1
    assert 'href="#tooth-16" aria-label="16, upper right first molar: denture tooth"' in linked


@pytest.mark.parametrize("arch", Arch)
def test_targets_of_neighbours_share_a_border_and_do_not_overlap(arch):
    shapes = arch_shapes(arch=arch, teeth={})
    taps = [
        [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", shape.tap)]
        for shape in shapes
    ]
    for one, other in pairwise(taps):
        assert len(set(one) & set(other)) == 2
