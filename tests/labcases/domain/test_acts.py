"""The list of acts: whole, each classed, and by whom each is undone."""

from __future__ import annotations

import pytest

from labcases.domain import access
from labcases.domain.acts import ACTS, Way, act_of, key_of
from labcases.enums import CheckKind, SetUpAct
from labcases.enums.complaints import ComplaintAct
from labcases.enums.teeth import TeethState
from tests.acts_written import written

#: Words that are made of choices: (file, argument of the entry) -> what they can be.
FROM_CHOICES = {
    ("checks.py", "part"): [kind.label.lower() for kind in CheckKind],
    ("complaints.py", "act"): [act.label.lower() for act in ComplaintAct],
    ("bench.py", "act"): [act.label.lower() for act in SetUpAct],
    ("tooth_orders.py", "act"): [state.label.lower() for state in TeethState],
}
#: Rows that another act makes, so that saving one never enters it.
MADE_ELSEWHERE = {("box", "entered"), ("case", "entered"), ("prescription", "entered")}


def test_every_act_that_the_code_writes_has_a_row():
    """A new act: add one row to ACTS in labcases/domain/acts.py (DEVELOPERS.md, "An act")."""
    found, lost = written(FROM_CHOICES)

    assert lost == [], "name the words of these in FROM_CHOICES of this file"
    assert {
        f"{part}: {act}": f"{module}, needs a row in labcases/domain/acts.py"
        for (part, act), module in found.items()
        if key_of(part, act) is None and (part, act) not in MADE_ELSEWHERE
    } == {}


def test_every_row_is_of_an_act_that_the_code_writes():
    found, _lost = written(FROM_CHOICES)

    assert set(ACTS) - {key_of(*pair) for pair in found} == set()


def test_the_code_is_read_where_words_pass_through_functions_and_tables():
    found, _lost = written(FROM_CHOICES)

    for pair in (
        ("case", "put on hold"),  # either of two words
        ("question", "withdrawn"),  # given to a function
        ("trays, bases and rims", "struck out"),  # from a table
        ("site *", "entered"),  # made with a number
        ("set-up log", "pin read"),  # from choices
        ("box", "packed again"),  # from a variable
    ):
        assert pair in found
    assert ("casts", "poured") not in found


@pytest.mark.parametrize("key", ACTS, ids=": ".join)
def test_each_act_is_undone_in_one_way_or_says_why_not(key):
    row = ACTS[key]

    assert (row.way is None) == bool(row.why_not)
    if row.way:
        assert row.may
        assert set(row.may) <= set(access.MAY)
    else:
        assert row.why_not.endswith(".")
        assert len(row.why_not) < 100


def test_of_signing_sending_releasing_and_approving_nothing_is_undone():
    for part, act, told in (
        ("prescription", "signed", "A signature stands. Make a revision."),
        (
            "box",
            "sent",
            "A box that has left is on the road. Tell the house that it goes to.",
        ),
        ("release", "looked at again", "A second look stands. A change asks for it anew."),
        ("final wax", "approved", "An approval stands. A change of the wax asks for it anew."),
        (
            "processing handoff",
            "handed over",
            "What was handed over to processing is frozen.",
        ),
        ("case", "opened", "A case stays. Cancel it, with a reason."),
        ("question", "answered", "What was said in a thread stays. Say the next thing there."),
        ("case", "undid", "An undo is not undone. Do it anew."),
        ("case", "unheard of", "Nobody has said how this act is undone."),
    ):
        assert (act_of(part, act).way, act_of(part, act).why_not) == (None, told)


def test_a_star_stands_for_a_number_or_for_any_line_of_a_log():
    assert act_of("site 16", "changed").way == Way.RESTORE
    assert act_of("set-up log", "pin read").way == Way.STRIKE
    assert act_of("set-up log", "struck out").way == Way.REINSTATE


#: Who undoes an act of their own, by the columns of the access table:
#: dentist, office desk, technician, laboratory desk, laboratory manager.
BY_WHOM = """
case: changed                           . . T . M
case: put on hold                       D O T L M
case: taken off hold                    D O T L M
stage: moved                            D O T L M
dates: entered                          D O . L M
dates: changed                          D O . L M
dates: confirmed                        D . . . .
prescription: changed                   D O . . .
question: asked                         D O T L M
proposal: raised                        . . T . M
box: packed                             D O T L M
disinfection: entered                   D O T L M
photographs and papers: added           D O T L M
photographs and papers: taken out       D O T L M
impressions: entered                    . . T . M
impressions: struck out                 . . T . M
casts: entered                          . . T . M
casts: struck out                       . . T . M
inspections of casts: entered           . . T . M
inspections of casts: struck out        . . T . M
trays, bases and rims: entered          . . T . M
trays, bases and rims: struck out       . . T . M
jaw records: entered                    . . T . M
jaw records: struck out                 . . T . M
mounting: entered                       . . T . M
mounting: changed                       . . T . M
articulator record: entered             . . T . M
articulator record: changed             . . T . M
articulator record: adopted             . . T . M
articulator record: followed the marks  . . T . M
articulator record: acknowledged        . . T . M
check records: entered                  . . T . M
check records: struck out               . . T . M
tooth selection: entered                . . T . M
tooth selection: changed                . . T . M
site *: entered                         . . T . M
site *: changed                         . . T . M
set-up log: struck out                  . . T . M
set-up log: photograph bound            . . T . M
set-up log: *                           . . T . M
bench check: entered                    . . T . M
bench check: changed                    . . T . M
final wax: entered                      . . T . M
final wax: changed                      . . T . M
processing record: entered              . . T . M
processing record: changed              . . T . M
steps of processing: entered            . . T . M
steps of processing: struck out         . . T . M
materials of processing: entered        . . T . M
materials of processing: struck out     . . T . M
remount: entered                        . . T . M
remount: struck out                     . . T . M
remount checklist: entered              . . T . M
remount checklist: changed              . . T . M
finishing: entered                      . . T . M
finishing: changed                      . . T . M
device statement: entered               . . T . M
device statement: struck out            . . T . M
release: entered                        . . T . M
release: changed                        . . T . M
"""
COLUMNS = dict(zip("DOTLM", (access.D, access.O, access.T, access.L, access.M), strict=True))


@pytest.mark.parametrize("line", BY_WHOM.strip().splitlines(), ids=lambda line: line[:36].strip())
def test_who_undoes_an_act_of_their_own(line):
    act, letters = line[:40].strip(), line[40:].split()
    part, _, word = act.partition(": ")

    assert set().union(*(access.MAY[one] for one in ACTS[part, word].may)) == {
        COLUMNS[letter] for letter in letters if letter != "."
    }


def test_the_table_above_names_acts_that_can_be_undone():
    named = {line[:40].strip() for line in BY_WHOM.strip().splitlines()}

    assert named <= {": ".join(key) for key, row in ACTS.items() if row.way}
