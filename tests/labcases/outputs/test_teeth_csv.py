"""The teeth of a prescription as a table."""

from __future__ import annotations

import csv
import io

import pytest

from labcases import codes
from labcases.domain import prescription
from labcases.enums import ToothStatus
from labcases.enums.opponent import HeightReading
from labcases.models import Case, Prescription
from labcases.outputs import teeth_csv
from tests.factories import World, world


@pytest.fixture
def cast(db) -> World:
    return world()


def table(case: Case) -> dict[str, dict[str, str]]:
    rows = csv.DictReader(io.StringIO(teeth_csv.content(case).decode(), newline=""))
    return {row["ISO 3950 number"]: row for row in rows}


def prescribed(cast: World, **values) -> Case:
    walk = cast.walk(patient_name="Agnes Dunmore")
    walk.prescribe(**values)
    return walk.reload()


def test_a_line_says_what_is_asked_of_its_tooth(cast):
    case = prescribed(cast, probing_mm={"13": "4.5"})

    found = table(case)

    first = {"Case": codes.grouped(case.code), "Revision": "R01, draft"}
    assert found["13"] == {
        **first,
        "ISO 3950 number": "13",
        "Universal number": "6",
        "Tooth": "upper right canine",
        "Prescribed": "To be extracted at surgery",
        "Denture tooth": "yes",
        "Deepest labial pocket mm": "4.5",
        "Beyond the occlusal plane mm": "",
        "Read by": "",
    }
    assert found["46"] == {
        **first,
        "ISO 3950 number": "46",
        "Universal number": "30",
        "Tooth": "lower right first molar",
        "Prescribed": "Natural tooth",
        "Denture tooth": "",
        "Deepest labial pocket mm": "",
        "Beyond the occlusal plane mm": "",
        "Read by": "",
    }


def test_a_natural_tooth_beyond_the_plane_is_told_with_its_height_and_how_it_was_read(cast):
    case = prescribed(
        cast,
        over_eruption_mm={"46": "1.60", "36": "0"},
        over_eruption_by=HeightReading.MOUNTED,
    )

    found = table(case)

    told = {iso: row for iso, row in found.items() if row["Beyond the occlusal plane mm"]}
    assert list(told) == ["46"]
    assert told["46"]["Beyond the occlusal plane mm"] == "1.6"
    assert told["46"]["Read by"] == "on the mounted cast, against the plane of the articulator"


def test_third_molars_and_teeth_that_stay_get_no_denture_tooth(cast):
    teeth = dict(table(prescribed(cast)))
    case = Case.objects.get()
    stays = {**case.prescription.teeth, "17": ToothStatus.STAYS.value}
    Prescription.objects.update(teeth=stays)

    assert (teeth["18"]["Prescribed"], teeth["18"]["Denture tooth"]) == ("Already lost", "no")
    after = table(Case.objects.get())
    assert (after["17"]["Prescribed"], after["17"]["Denture tooth"]) == ("Stays", "no")


def test_the_arch_of_a_lower_denture_is_the_lower_one(cast):
    found = table(prescribed(cast, arch="lower"))

    assert [found["33"]["Denture tooth"], found["13"]["Denture tooth"]] == ["yes", ""]


def test_what_nobody_marked_is_said_to_be_so(cast):
    found = table(cast.walk().case)

    assert {row["Prescribed"] for row in found.values()} == {"not said"}


def test_the_lines_stand_in_mouth_order_the_upper_arch_first(cast):
    order = list(table(prescribed(cast)))

    assert order[:3] == ["18", "17", "16"]
    assert order[15:18] == ["28", "48", "47"]
    assert order[-1] == "38"


def test_the_file_is_named_by_case_and_revision_and_never_by_the_patient(cast):
    walk = cast.walk(patient_name="Agnes Dunmore")
    walk.prescribe()
    walk.sign()
    assert teeth_csv.file_name(walk.reload()) == f"{walk.case.code}-R01-teeth.csv"
    assert table(walk.case)["11"]["Revision"] == "R01, signed"

    prescription.revise(case=walk.case, by=cast.dora)

    # The revision in force is the signed one, until the next is signed.
    assert teeth_csv.file_name(walk.reload()) == f"{walk.case.code}-R01-teeth.csv"
    assert b"Agnes" not in teeth_csv.content(walk.case)
    assert b"Dunmore" not in teeth_csv.content(walk.case)
