"""A laboratory's own materials: entered, changed, used no more, and found by their names."""

from __future__ import annotations

import pytest

from labcases.domain import curing_cycles, own_materials, processing_runs
from labcases.domain import processing_state as states
from labcases.domain.versions import EditConflict
from labcases.enums import Stage
from labcases.management import walk_curing
from labcases.models import HouseEntry, UsedMaterial
from tests.factories import world

pytestmark = [pytest.mark.django_db]

RESIN = {
    "called": "resin,  pink",
    "kind": "base",
    "technique": "flask and bath",
    "monomer": "yes",
    "note": "cabinet 2",
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def row(here):
    return own_materials.add(laboratory=here.laboratory, by=here.mona, values=RESIN)


def changed(row, by, *, in_use=True, why="", version=None, **more):
    names = ("kind", "technique", "monomer", "note")
    return own_materials.change(
        row=row,
        version=row.version if version is None else version,
        by=by,
        values={**{name: getattr(row, name) for name in names}, **more},
        in_use=in_use,
        why=why,
    )


def entries(here):
    return [
        (one.act, one.changes, one.reason)
        for one in HouseEntry.objects.filter(organisation=here.laboratory, part="own materials")
    ]


def test_it_is_entered_changed_and_stopped_with_its_history(here, row):
    later = changed(row, here.mona, note="cabinet 3")
    changed(later, here.mona, in_use=False, why="no more made")

    assert sorted(entries(here), key=str) == sorted(
        [
            (
                "entered",
                {
                    "resin, pink": [
                        "",
                        "Denture base, flask and water bath, contains monomer, cabinet 2",
                    ]
                },
                "",
            ),
            ("changed", {"resin, pink: note": ["cabinet 2", "cabinet 3"]}, ""),
            ("changed", {"resin, pink": ["used", "used no more"]}, "no more made"),
        ],
        key=str,
    )


def test_a_save_that_changes_nothing_writes_nothing(here, row):
    assert changed(row, here.mona).version == 1
    assert len(entries(here)) == 1


def test_it_is_stopped_with_a_reason_and_used_again(here, row):
    with pytest.raises(ValueError, match="Give the reason why resin, pink is used no more"):
        changed(row, here.mona, in_use=False)
    stopped = changed(row, here.mona, in_use=False, why="no more made")

    assert own_materials.to_choose(here.laboratory) == []
    assert "no more made" in own_materials.in_words(stopped)
    with pytest.raises(own_materials.SameName, match="It is used no more: use it again there"):
        own_materials.add(laboratory=here.laboratory, by=here.mona, values=RESIN)
    again = changed(stopped, here.mona)
    assert (again.stopped_at, again.stopped_why) == (None, "")
    assert own_materials.to_choose(here.laboratory) == ["resin, pink"]


def test_of_two_people_the_second_is_told(here, row):
    changed(row, here.mona, note="cabinet 3")
    with pytest.raises(EditConflict, match="Mona Ridley saved this part"):
        changed(row, here.mona, note="cabinet 4", version=1)


def test_names_are_found_however_they_are_written_and_offered_by_kind_and_technique(here, row):
    own_materials.add(
        laboratory=here.laboratory,
        by=here.mona,
        values={"called": "soft liner", "kind": "liner", "technique": "", "monomer": "no"},
    )

    assert own_materials.spelled(here.laboratory, "RESIN, Pink") == "resin, pink"
    assert own_materials.spelled(here.laboratory, "another") == "another"
    assert own_materials.spelled(here.other_laboratory, "RESIN, Pink") == "RESIN, Pink"
    assert own_materials.to_choose(here.laboratory, technique="pour") == ["soft liner"]
    assert own_materials.to_choose(here.laboratory, kinds=("base",)) == ["resin, pink"]
    assert own_materials.to_choose(here.other_laboratory) == []


def test_its_cycles_are_those_that_are_entered_for_its_name(here, row):
    cycle = curing_cycles.add(
        laboratory=here.laboratory,
        by=here.tomas,
        values={
            **{"material": "Resin, pink", "name": "short", "technique": "flask and bath"},
            **{"phases": [[90, 74.0]], "instructions": "leaflet of 2026"},
        },
    )
    assert own_materials.cycles_of(row) == [cycle]


def test_a_case_of_before_the_stop_has_nothing_to_mind_and_one_after_it_has(here, row):
    case = here.walk().to(Stage.PROCESSING)
    walk_curing.begin(case, here.tomas, flask="5", place="2")
    run = states.run_of(case)

    def used(lot):
        line = {"use": "resin powder", "product": "resin, pink", "lot": lot}
        processing_runs.use_material(run=run, by=here.tomas, values=line)

    def minded():
        said = states.of(states.run_of(case)).cautions()
        return [one.text for one in said if one.code == "used-no-more"]

    used("R-1")
    changed(row, here.mona, in_use=False, why="no more made.")
    assert minded() == []
    assert UsedMaterial.objects.filter(product="resin, pink", lot="R-1").exists()
    used("R-2")
    (text,) = minded()
    assert text.startswith("resin, pink is used no more since ")
    assert text.endswith(
        "no more made. Say in a note why it was used, or process anew with another."
    )


def test_a_manager_keeps_the_list(here):
    assert [
        own_materials.may_keep(one, here.laboratory) for one in (here.mona, here.tomas, here.dora)
    ] == [True, False, False]
