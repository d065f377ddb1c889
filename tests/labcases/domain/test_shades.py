"""The office's own shade systems: reading its lines, and holding a prescription to them."""

import pytest

from labcases.domain import advice, gates, people, prescription, shades
from labcases.enums import Notation, PaperSize
from labcases.models import Organisation
from tests.factories import world

LISTED_NAME = ("office tabs, set of 16",)
LISTED = "office tabs, set of 16: B2, B3, A3\n\nGreen box : 1, 2 ;3, 2\n"


def test_a_line_is_a_system_and_its_codes_each_once():
    assert shades.read(LISTED) == {
        "office tabs, set of 16": ("B2", "B3", "A3"),
        "Green box": ("1", "2", "3"),
    }
    assert shades.read("") == {}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Green box", 'Line 1, "Green box", has no name or no codes. Write the name of'),
        ("\nGreen box: , ;", 'Line 2, "Green box: , ;", has no name or no codes.'),
        (": 1, 2", 'Line 1, ": 1, 2", has no name or no codes.'),
        ("Box: 1\nbox : 2", "Line 2: box stands twice. Write all codes of a system on one line."),
        ("Box: " + "9" * 31, "is too long. A name has up to 60 characters, a code up to 30."),
        ("B" * 61 + ": 1", "is too long. A name has up to 60 characters"),
    ],
)
def test_a_line_that_says_no_system_is_refused_with_how_to_write_it(text, words):
    with pytest.raises(shades.NotRead) as refused:
        shades.read(text)
    assert words in str(refused.value)


@pytest.fixture
def here(db):
    return world()


def order(here, listed, **more):
    Organisation.objects.filter(pk=here.office.pk).update(shade_systems=listed)
    walk = here.walk()
    walk.prescribe(**more)
    return walk.reload().prescription


def test_a_code_that_its_system_has_not_stops_the_signature(here):
    row = order(here, LISTED, shade="C4")

    assert [(item.field, item.text) for item in gates.to_sign(row)] == [
        (
            "shade",
            "Shade C4 is not among the codes of office tabs, set of 16 that the office lists: "
            "B2, B3, A3. Choose one of them, name another system, or have the list of the office "
            "changed.",
        )
    ]


@pytest.mark.parametrize(
    ("listed", "said"),
    [
        (LISTED, {"shade": "b2"}),
        (LISTED, {"shade_system": "Office tabs,  set of 16", "shade": "A3"}),
        ("", {"shade": "C4"}),
    ],
)
def test_a_code_of_its_system_or_of_no_list_is_signed(here, listed, said):
    row = order(here, listed, **said)

    assert gates.to_sign(row) == []


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        ({"shade": "b2"}, ("office tabs, set of 16", "B2")),
        ({"shade_system": "OFFICE  tabs, set of 16", "shade": " a3 "}, (*LISTED_NAME, "A3")),
        ({"shade": "c4"}, (*LISTED_NAME, "c4")),
        ({"shade_system": "green BOX"}, ("Green box", "B3")),
        ({"shade_system": "Blue box", "shade": "x1"}, ("Blue box", "x1")),
    ],
)
def test_a_code_is_stored_as_the_list_writes_it(here, typed, stored):
    row = order(here, LISTED, shade="B3")
    row.case.prescriptions.update(shade="B3", shade_system=LISTED_NAME[0])
    row = row.case.prescriptions.get()

    saved = prescription.save(row=row, version=row.version, by=here.dora, values=typed)

    assert (saved.shade_system, saved.shade.strip()) == stored


def test_a_system_that_is_not_listed_is_told_and_not_refused(here):
    row = order(here, LISTED, shade_system="Blue box", shade="9")

    assert gates.to_sign(row) == []
    told = [one.text for one in advice.of_prescription(row, row.changed_at.date())]
    assert (
        "The office lists no shade system called Blue box, so nothing checks the code. It lists: "
        "office tabs, set of 16, Green box."
    ) in told


def test_without_a_list_nothing_is_told_of_the_system(here):
    row = order(here, "")

    told = " ".join(one.text for one in advice.of_prescription(row, row.changed_at.date()))
    assert "shade system" not in told


def change(here, **more):
    return people.change_organisation(
        organisation=here.office,
        name="Ferry Street Office",
        address="1 Test Street",
        notation=Notation.ISO_3950,
        paper_size=PaperSize.A4,
        by=here.dora,
        **more,
    )


def test_an_office_keeps_its_list_until_another_one_is_given(here):
    change(here, shade_systems=LISTED)
    change(here)

    assert list(shades.systems(Organisation.objects.get(pk=here.office.pk))) == [
        "office tabs, set of 16",
        "Green box",
    ]
    with pytest.raises(shades.NotRead):
        change(here, shade_systems="nothing")
