"""The checklist of the remount, the causes of a rise and the cautions, each with its source."""

import pytest

from labcases.reference.checklists import LINE_LENGTH, PAUSE_LINES, line_texts, lines_of
from labcases.reference.remount import causes, remount_checklist, to_mind

#: Every item of the laboratory remount as the trade lists it (workflow page, 3.3), the line that
#: asks it, and how it is known: R read, R2 quoted, CP common practice without a source.
ITEMS = {
    "casts undamaged": ("rm_undamaged", "CP"),
    "casts seat in the mounting, foil held": ("rm_seated", "CP"),
    "cast still attached to its mounting": ("rm_on_cast", "CP"),
    "pin reading first": ("rm_read_first", "R2"),
    "centric with thick then thin foil": ("rm_foils", "CP"),
    "pin at the approved value and even contact": ("rm_pin_even", "R2"),
    "eccentrics in order working, balancing, protrusive": ("rm_order", "R2"),
    "no anterior heavy contact": ("rm_front", "CP"),
    "final foil": ("rm_last_foil", "CP"),
    "record before and after, only then decast": ("rm_on_record", "R"),
}
LINES = {line.key: line for line in lines_of(remount_checklist())}


@pytest.mark.parametrize("item", ITEMS, ids=[key for key, _mark in ITEMS.values()])
def test_every_item_of_the_remount_is_asked_with_its_mark(item):
    key, mark = ITEMS[item]

    assert LINES[key].mark == mark


def test_nothing_else_is_asked_and_each_line_can_be_read_aloud():
    assert set(LINES) == {key for key, _mark in ITEMS.values()}
    assert all(len(pause.lines) in PAUSE_LINES for pause in remount_checklist())
    assert all(len(line.text) <= LINE_LENGTH for line in LINES.values())
    assert all(line_texts()[key] == line.text for key, line in LINES.items())


#: What can raise the pin, and how it is known.
CAUSES = {
    "overpacked": "R2",
    "compression": "R",
    "fast_cycle": "R",
    "teeth_moved": "CP",
    "cast_not_seated": "CP",
    "cast_broken": "CP",
    "opened_hot": "CP",
    "mounting_moved": "CP",
    "other": "CP",
}


def test_each_cause_says_what_to_look_at_and_where_it_is_from():
    assert {key: one.mark for key, one in causes().items()} == CAUSES
    assert all(one.look.endswith(".") and one.source for one in causes().values())


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("remount", ("outer layer of a denture tooth", "48 hours")),
        ("finishing", ("base get hot", "moist")),
    ],
)
def test_each_step_is_cautioned(step, words):
    told = " ".join(one.text for one in to_mind(step))

    assert [word for word in words if word not in told] == []
    assert all(one.source for one in to_mind(step))
