"""All 32 teeth in both notations, as they stand on pages, on papers and in the table to take."""

from __future__ import annotations

import csv
import io
import re

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from labcases.forms.choices import TeethField
from labcases.models import Case, Organisation
from labcases.notation import name
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


@pytest.mark.parametrize("notation", NOTATIONS)
def test_every_tooth_is_drawn_on_the_paper_with_both_numbers_its_own_large(cast, case, notation):
    read_in(cast, notation)

    page = logged_in(cast.tomas).get(reverse("paper", args=[case.code, "lab-slip"]))

    drawn = re.findall(
        r'<title>([^<]*)</title>.*?class="number"[^>]*>(\d+)<.*?class="second"[^>]*>(\d+)<',
        page.content.decode().partition("<main")[2],
        re.S,
    )
    words = {name(iso): iso for iso in TEETH}
    found = {
        iso: (large, small)
        for title, large, small in drawn
        for tooth, iso in words.items()
        if tooth in title
    }
    iso_first = notation == "ISO 3950"
    assert found == {
        iso: (iso, number) if iso_first else (number, iso) for iso, number in TEETH.items()
    }


#: What is prescribed of the teeth of `case`, in both notations.
ON_PAPER = {
    "ISO 3950": {
        "Upper: to be extracted at surgery": "13 12 11 21 22 23",
        "Upper: to be extracted before records": "15 14 24 25",
        "Upper: already lost": "18 17 16 26 27 28",
        "Lower: missing": "48 38",
        "Denture teeth at": "17 16 15 14 13 12 11 21 22 23 24 25 26 27",
    },
    "Universal": {
        "Upper: to be extracted at surgery": "6 7 8 9 10 11",
        "Upper: to be extracted before records": "4 5 12 13",
        "Upper: already lost": "1 2 3 14 15 16",
        "Lower: missing": "32 17",
        "Denture teeth at": "2 3 4 5 6 7 8 9 10 11 12 13 14 15",
    },
}


@pytest.mark.parametrize("notation", NOTATIONS)
def test_the_paper_lists_the_same_teeth_in_the_notation_of_its_reader(cast, case, notation):
    listed = dict(lab_slip.build_context(case, by=cast.tomas, notation=notation)["teeth"])

    assert {label: listed[label] for label in ON_PAPER[notation]} == ON_PAPER[notation]


@pytest.mark.parametrize("notation", NOTATIONS)
def test_every_tooth_stands_in_the_table_to_take_by_both_numbers(cast, case, notation):
    read_in(cast, notation)

    answer = logged_in(cast.tomas).get(reverse("prescription_teeth", args=[case.code]))

    rows = list(csv.DictReader(io.StringIO(answer.content.decode())))
    assert {row["ISO 3950 number"]: row["Universal number"] for row in rows} == TEETH
    assert len(rows) == 32


COLLIDE = [*map(str, range(11, 19)), *map(str, range(21, 29)), "31", "32"]
#: A number that both systems know: the tooth in ISO 3950, and the one in Universal numbering.
COLLISIONS = """
11 upper right central incisor  | upper left canine
12 upper right lateral incisor  | upper left first premolar
13 upper right canine           | upper left second premolar
14 upper right first premolar   | upper left first molar
15 upper right second premolar  | upper left second molar
16 upper right first molar      | upper left third molar
17 upper right second molar     | lower left third molar
18 upper right third molar      | lower left second molar
21 upper left central incisor   | lower left first premolar
22 upper left lateral incisor   | lower left canine
23 upper left canine            | lower left lateral incisor
24 upper left first premolar    | lower left central incisor
25 upper left second premolar   | lower right central incisor
26 upper left first molar       | lower right lateral incisor
27 upper left second molar      | lower right canine
28 upper left third molar       | lower right first premolar
31 lower left central incisor   | lower right second molar
32 lower left lateral incisor   | lower right third molar
"""


def collisions() -> list[tuple[str, str, str]]:
    found = []
    for line in COLLISIONS.strip().splitlines():
        number, words = line.split(maxsplit=1)
        iso, universal = (part.strip() for part in words.split("|"))
        found.append((number, iso, universal))
    return found


def test_the_eighteen_numbers_that_both_systems_know_are_these():
    assert [number for number, _iso, _universal in collisions()] == COLLIDE
    assert set(TEETH) & set(TEETH.values()) == set(COLLIDE)


@pytest.mark.parametrize(("number", "in_iso", "in_universal"), collisions())
def test_a_number_that_both_systems_know_is_read_in_the_one_that_was_named(
    number, in_iso, in_universal
):
    iso = TeethField(notation="ISO 3950").clean(number)
    universal = TeethField(notation="Universal").clean(number)

    assert [name(tooth) for tooth in iso] == [in_iso]
    assert [name(tooth) for tooth in universal] == [in_universal]
    assert iso != universal


#: 51 to 85 are primary teeth in ISO 3950; 51 to 82 are supernumerary teeth in Universal numbering.
NO_PERMANENT = [
    *("51", "55", "61", "65", "71", "75", "81", "82", "85"),
    *("56", "60", "70", "A", "T", "0", "00", "33", "49", "99", "-1", "1.5"),
    "\u0661\u0661",
    "\u00b2",
    "9" * 5000,
]


@pytest.mark.parametrize("notation", NOTATIONS)
@pytest.mark.parametrize("typed", NO_PERMANENT, ids=lambda typed: ascii(typed)[:12])
def test_primary_and_supernumerary_teeth_are_refused_in_words(notation, typed):
    if notation == "ISO 3950" and typed == "33":
        assert TeethField(notation=notation).clean(typed) == ["33"]
        return
    with pytest.raises(ValidationError) as refused:
        TeethField(notation=notation).clean(typed)

    said = refused.value.messages[0]
    allowed = {
        "ISO 3950": "is not a permanent tooth in ISO 3950. Enter 11 to 18, 21 to 28, 31 to 38 or",
        "Universal": "is not a permanent tooth in Universal numbering. Enter 1 to 32.",
    }
    assert allowed[notation] in said
    assert len(said) < 200
