"""All 32 teeth in both notations, as they stand on the pages and on the paper."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from labcases.models import Case, Organisation
from labcases.outputs import lab_slip
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

# ISO 3950 and Universal, written out: nothing here is worked out by the program.
PAIRS = """
18 1   17 2   16 3   15 4   14 5   13 6   12 7   11 8
21 9   22 10  23 11  24 12  25 13  26 14  27 15  28 16
38 17  37 18  36 19  35 20  34 21  33 22  32 23  31 24
41 25  42 26  43 27  44 28  45 29  46 30  47 31  48 32
"""
TEETH = dict(zip(PAIRS.split()[::2], PAIRS.split()[1::2], strict=True))
NOTATIONS = ("ISO 3950", "Universal")


@pytest.fixture
def cast(db) -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    """Every position of both arches is marked, and so named somewhere."""
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


def read_in(cast: World, notation: str) -> None:
    Organisation.objects.update(notation=notation)


def numbers(notation: str) -> dict[str, tuple[str, str]]:
    """Tooth -> the number that stands first, and the one beside it."""
    if notation == "ISO 3950":
        return {iso: (iso, f"(Universal {number})") for iso, number in TEETH.items()}
    return {iso: (number, f"(ISO {iso})") for iso, number in TEETH.items()}


def test_the_table_holds_each_of_32_teeth_once():
    assert len(TEETH) == len(set(TEETH.values())) == 32


def test_a_bare_number_that_both_systems_know_is_never_the_same_tooth():
    shared = set(TEETH) & set(TEETH.values())

    assert len(shared) == 18
    assert [iso for iso in shared if TEETH[iso] == iso] == []


@pytest.mark.parametrize("notation", NOTATIONS)
@pytest.mark.parametrize("page", ["prescription", "prescription_check"])
def test_every_tooth_stands_on_the_page_with_both_numbers_its_own_first(cast, case, notation, page):
    read_in(cast, notation)

    words = text_of(logged_in(cast.dora).get(reverse(page, args=[case.code])))

    lost = [
        iso for iso, (own, beside) in numbers(notation).items() if f"{own} {beside}," not in words
    ]
    assert lost == []


@pytest.mark.parametrize("notation", NOTATIONS)
@pytest.mark.parametrize(("step", "arch"), [("teeth", "12"), ("opposing", "34")])
def test_every_line_of_a_chart_names_its_tooth_by_both_numbers(cast, case, notation, step, arch):
    read_in(cast, notation)

    page = logged_in(cast.dora).get(reverse("prescription_step", args=[case.code, step]))

    rows = dict(
        re.findall(
            r'<tr id="row_(\d\d)".*?<th scope="row">(.*?) <span',
            page.content.decode().replace("\xa0", " "),
            re.S,
        )
    )
    assert rows == {
        iso: f"{own} {beside}" for iso, (own, beside) in numbers(notation).items() if iso[0] in arch
    }


@pytest.mark.parametrize("notation", NOTATIONS)
def test_every_tooth_stands_on_the_lab_slip_by_both_numbers(cast, case, notation):
    paper = lab_slip.build_context(case, by=cast.tomas, notation=notation)

    drawn = {
        shape.tooth: (shape.number, shape.second)
        for drawing in paper["drawings"]
        for shape in drawing.shapes
    }
    own = {iso: (pair[0]) for iso, pair in numbers(notation).items()}
    assert drawn == {
        iso: (iso, TEETH[iso]) if notation == "ISO 3950" else (TEETH[iso], iso) for iso in TEETH
    }
    listed = " ".join(text for label, text in paper["teeth"] if label != "Denture teeth at")
    assert sorted(listed.split()) == sorted(own.values())
