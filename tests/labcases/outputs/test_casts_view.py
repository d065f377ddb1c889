"""The logs of casts as the page shows them: newest first, state in shape and word."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import bench, box, casts, differences, jaw_records
from labcases.enums import Stage
from labcases.outputs import casts_view
from labcases.templatetags.units import long_time
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    walk = here.walk()
    walk.prescribe()
    return walk.reload()


def impression(here, case, material, waited, ago=60):
    taken = timezone.now() - timedelta(minutes=ago)
    poured = None if waited is None else taken + timedelta(minutes=waited)
    values = {"arch": "upper", "material": material, "taken_at": taken, "poured_at": poured}
    return casts.add_impression(case=case, by=here.tomas, values=values)


def test_impressions_show_their_pour_newest_first(here, case):
    impression(here, case, "alginate", 10)
    impression(here, case, "alginate", 20)
    impression(here, case, "alginate", 55)
    impression(here, case, "polyether", 55)
    waiting = impression(here, case, "alginate", None, ago=5)

    rows = casts_view.impressions(case)

    assert [(row.glyph, row.word) for row in rows] == [
        ("waiting", "Not poured yet"),
        ("not asked", "Not checked"),
        ("warning", "Too late"),
        ("warning", "Later than is taught"),
        ("done", "In time"),
    ]
    assert [row.can_pour for row in rows] == [True, False, False, False, False]
    until = long_time(waiting.taken_at + timedelta(minutes=30))
    assert rows[0].why == f"Pour it by {until}."
    assert rows[1].why == "How long polyether may wait was not read. Enter what its label says."


def test_a_cast_is_followed_by_its_inspections(here, case):
    values = {"kind": "opposing", "arch": "lower"}
    cast = casts.add_cast(case=case, by=here.tomas, values=values)
    casts.look_at(cast=cast, by=here.tomas, values={"state": "good"})
    casts.look_at(cast=cast, by=here.mona, values={"state": "broken"})
    casts.add_cast(case=case, by=here.tomas, values={"kind": "study", "arch": "upper"})

    rows = casts_view.cast_rows(case)

    assert [(row.what, row.glyph, row.word) for row in rows] == [
        ("cast", "not yet", "Not inspected"),
        ("cast", "warning", "Broken: a new one is needed"),
        ("look", "", ""),
        ("look", "", ""),
    ]
    assert rows[2].said == "Lower opposing cast: broken"
    assert rows[3].said == (
        "Lower opposing cast: good, no bubbles, no chipped tooth, does not rock"
    )


def test_what_was_not_read_says_so_in_the_list_of_pour_times():
    listed = {row.label: row for row in casts_view.listed_times()}

    assert listed["Alginate"].known == "best within 12 min; within 30 min at the latest"
    assert listed["Alginate"].cited.count("27-Nov-2026") == 2
    assert listed["Extended-pour alginate"].known == "as long as its label says"
    assert listed["Polyether"].known == "latest: not read, not checked"
    assert listed["Polyether"].cited == "not read"
    assert listed["Addition silicone"].note == (
        "Wait before pouring only when the label asks for it."
    )


def test_boxes_say_how_impressions_were_disinfected(here, case):
    walk = here.walk(patient_code="P-7")
    walk.pack("to the laboratory", "impression", "photographs", by=here.farah)

    assert casts_view.disinfected(walk.case) == [
        "1 in the box to the laboratory: hypochlorite spray, closed bag, 10 of 10 min."
    ]
    assert casts_view.disinfected(case) == []


def test_a_settled_difference_stands_beside_the_impressions(here, case):
    row = here.case_at(Stage.SENT).boxes.get()
    row.items.filter(content="impression").update(count=2)
    box.receive(box=row, counts={item.pk: 1 for item in row.items.all()}, by=here.lena)
    impression = row.items.get(content="impression")
    differences.settle(item=impression, outcome="never packed", note="Here.", by=here.farah)

    assert casts_view.disinfected(row.case) == [
        "1 in the box to the laboratory (1 never packed: the sender still has it): hypochlorite "
        "spray, closed bag, 10 of 10 min."
    ]


def test_a_jaw_record_says_which_mounting_it_was_used_for(here, case):
    told = {"kind": "maximum intercuspation", "taken_at": timezone.now(), "taken_by": "Dora"}
    used, _other = (jaw_records.add(case=case, by=here.tomas, values=told) for _ in range(2))
    upper = casts.add_cast(case=case, by=here.tomas, values={"kind": "master", "arch": "upper"})
    bench.save_mounting(
        case=case, version=0, by=here.tomas, values={"record": used, "upper_cast": upper}
    )

    rows = casts_view.jaw_record_rows(type(case).objects.get(pk=case.pk))

    assert [(row.glyph, row.word, row.why) for row in rows] == [
        ("not yet", "Not used", ""),
        ("done", "Used", "mounting 1: upper master cast"),
    ]
