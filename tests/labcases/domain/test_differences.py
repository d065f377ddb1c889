"""A count that differs stays open on both sides until somebody says what it turned out to be."""

import pytest

from labcases.domain import box, differences
from labcases.domain.inventory import inventory
from labcases.enums import Stage
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def here():
    return world()


def counted(here, listed, found):
    """An impression of which another number was counted than was listed."""
    row = here.case_at(Stage.SENT).boxes.get()
    row.items.filter(content="impression").update(count=listed)
    counts = {item.pk: item.count for item in row.items.all()}
    item = row.items.get(content="impression")
    box.receive(box=row, counts=counts | {item.pk: found}, by=here.lena)
    return row.items.get(pk=item.pk)


def settle(here, item, outcome, note="It lay under the tray."):
    return differences.settle(item=item, outcome=outcome, note=note, by=here.farah)


def where(case):
    held = inventory(case.boxes.all())[0]
    return held.laboratory, held.office, held.missing


#: listed, counted, outcome | laboratory, office, missing
SETTLED = [
    (2, 1, "found", (2, 0, 0)),
    (2, 1, "miscounted", (2, 0, 0)),
    (2, 1, "never packed", (1, 1, 0)),
    (2, 1, "lost", (1, 0, 1)),
    (1, 3, "not listed", (3, 0, 0)),
    (1, 3, "miscounted", (1, 0, 0)),
]


@pytest.mark.parametrize(("listed", "found", "outcome", "held"), SETTLED)
def test_what_it_turned_out_to_be_says_where_the_pieces_are(here, listed, found, outcome, held):
    item = counted(here, listed, found)
    assert differences.of_box(item.box) == [item]
    settle(here, item, outcome)
    assert differences.of_box(item.box) == []
    assert where(item.box.case) == held


@pytest.mark.parametrize(
    ("listed", "found", "outcome", "words", "pieces"),
    [
        (2, 1, "found", "1 found after all", 2),
        (2, 1, "never packed", "1 never packed: the sender still has it", 1),
        (1, 3, "not listed", "2 packed, and not written on the list", 3),
    ],
)
def test_it_is_said_beside_the_numbers(here, listed, found, outcome, words, pieces):
    item = counted(here, listed, found)
    off = "1 missing, not settled" if listed > found else "2 not on the list, not settled"
    assert differences.arrival_words(item) == off
    settle(here, item, outcome)
    assert (differences.arrival_words(item), differences.pieces(item)) == (words, pieces)


def test_what_came_as_listed_needs_no_word_and_what_is_lost_says_so(here):
    row = here.case_at(Stage.SENT).boxes.get()
    assert {differences.arrival_words(item) for item in row.items.all()} == {""}
    box.report_lost(box=row, note="no trace", by=here.farah)
    assert {differences.arrival_words(item) for item in row.items.all()} == {"reported as lost"}


def test_settling_is_history(here):
    item = counted(here, 2, 1)
    settle(here, item, "never packed", "The second one is still with us.")
    entry = item.box.case.history.last()
    assert (entry.act, entry.part, entry.by) == ("settled", "difference", here.farah)
    assert entry.changes == {
        "line": [
            None,
            "Impression: 2 on the list, 1 counted, so 1 is missing. Never packed: the sender "
            "still has it. The second one is still with us.",
        ]
    }


def test_it_is_settled_once_and_open_again_when_struck_out(here):
    item = counted(here, 2, 1)
    row = settle(here, item, "lost")
    with pytest.raises(differences.NothingToSettle, match="settled already"):
        settle(here, item, "found")
    differences.strike(row=row, reason="It is here after all.", by=here.lena)
    assert differences.of_box(item.box) == [item]
    settle(here, item, "found")
    assert where(item.box.case) == (2, 0, 0)


@pytest.mark.parametrize(
    ("listed", "found", "outcome"), [(2, 1, "not listed"), (1, 2, "lost"), (1, 2, "never packed")]
)
def test_what_does_not_fit_the_count_is_refused(here, listed, found, outcome):
    item = counted(here, listed, found)
    with pytest.raises(ValueError, match="does not fit"):
        settle(here, item, outcome)
    assert differences.of_box(item.box) == [item]


def test_what_was_counted_as_listed_is_nothing_to_settle(here):
    with pytest.raises(differences.NothingToSettle):
        settle(here, counted(here, 1, 1), "found")
