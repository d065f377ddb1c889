"""Lines of the remount: what is taken, what is refused in words, and how each reads."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import remount, versions
from labcases.domain.bench import NotADentureTooth
from labcases.domain.remount import NotLogged
from labcases.enums import Stage
from labcases.enums.remount import RemountAct
from labcases.management import walk_remount
from labcases.management.walk import Walk
from labcases.models import RemountEntry
from labcases.views._sentences import sentence
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
A = RemountAct
NB = "\N{NO-BREAK SPACE}"


@pytest.fixture
def walk() -> Walk:
    walk = world().walk()
    walk.to(Stage.REMOUNT)
    return walk


def log(walk: Walk, act: RemountAct, **values) -> RemountEntry:
    return walk_remount.log(walk.reload(), walk.hands.technician, act, **values)


#: What stands before, the line, and how it reads in the log and in the history.
READS = [
    ([], (A.PIN_READ, {"rise_mm": D("0.4")}), f"pin 0.4{NB}mm above the agreed value"),
    ([], (A.PIN_READ, {"rise_mm": D("-0.1")}), f"pin 0.1{NB}mm below the agreed value"),
    (
        [],
        (A.PIN_READ, {"rise_mm": D("0"), "note": "thin foil"}),
        "pin at the agreed value. thin foil",
    ),
    ([], (A.CAUSE, {"cause": "overpacked"}), "cause: Too much resin, or the flask did not close"),
    ([], (A.CAUSE, {"cause": "other", "note": "lid was bent"}), "cause: lid was bent"),
    (
        [],
        (
            A.PASS,
            {
                "movement": "centric",
                "teeth": ["16", "26"],
                "marks": {"16": {"strength": "heavy", "cusps": "lingual"}},
                "foil_um": 12,
                "as_wanted": False,
            },
        ),
        "centric with 12 µm foil, not as wanted: 16 heavy (lingual), 26",
    ),
    ([], (A.PASS, {"movement": "protrusive"}), "protrusive, not judged: no tooth marked"),
    ([D("0.4")], (A.REDUCTION, {"teeth": ["16"], "depth_mm": D("0.2")}), f"16, 0.2{NB}mm off"),
    ([D("0.5")], (A.ACCEPTED, {}), f"accepted: pin 0.5{NB}mm above the agreed value"),
    (
        [],
        (A.INDEX_READ, {"rise_mm": D("0.2"), "hours_after": 48}),
        f"on the index after 48 h: pin 0.2{NB}mm above the agreed value",
    ),
]


@pytest.mark.parametrize(("before", "line", "words"), READS, ids=lambda one: str(one)[:40])
def test_a_line_reads_the_same_in_the_log_and_in_the_history(walk, before, line, words):
    for rise in before:
        log(walk, A.PIN_READ, rise_mm=rise)

    row = log(walk, line[0], **line[1])

    assert remount.in_words(row) == words
    entry = walk.reload().history.last()
    assert (entry.part, entry.act, entry.changes) == ("remount", "entered", {"line": [None, words]})
    assert f'entered a line of the remount, "{words}"' in sentence(entry)


#: Readings that stand, the line, and why it is not taken.
REFUSED = [
    ([], (A.PIN_READ, {}), "Enter how far the pin stands off the agreed value; 0 when it is back."),
    (
        [],
        (A.INDEX_READ, {"rise_mm": D("0")}),
        "Enter how many hours after the remount it was read.",
    ),
    ([], (A.CAUSE, {}), "Choose the cause that was found."),
    (
        [],
        (A.CAUSE, {"cause": "other"}),
        "Say in words what the cause was, or what was looked at.",
    ),
    ([], (A.PASS, {}), "Choose the movement of the pass."),
    (
        [],
        (A.PASS, {"movement": "centric", "teeth": ["18"]}),
        "No tooth stands at 18. Name only teeth that are there.",
    ),
    ([], (A.REDUCTION, {}), "Name one denture tooth, and how much was taken off it."),
    (
        [],
        (A.REDUCTION, {"teeth": ["16"], "depth_mm": D("0.1")}),
        "Read the pin first and log it, then log what was corrected.",
    ),
    (
        ["1.01"],
        (A.REDUCTION, {"teeth": ["16"], "depth_mm": D("0.1")}),
        f"The pin rose by 1.01{NB}mm. Record the cause before anything is corrected.",
    ),
    ([], (A.ACCEPTED, {}), "Read the pin and log it; then say whether that is accepted."),
    (
        ["0.51"],
        (A.ACCEPTED, {}),
        f"+0.51{NB}mm is more than the 0.5{NB}mm that may be accepted. Correct the denture teeth "
        "and read the pin again.",
    ),
    (
        ["-0.6"],
        (A.ACCEPTED, {}),
        f"\N{MINUS SIGN}0.6{NB}mm is more than the 0.5{NB}mm that may be accepted. Nothing is "
        "reduced for a pin that stands too low. Look at the seat of the cast, and read the pin "
        "once more.",
    ),
    (
        ["1.4"],
        (A.ACCEPTED, {}),
        f"+1.4{NB}mm is more than the 0.5{NB}mm that may be accepted. Above 1{NB}mm find the cause "
        "first and record it, mount again and read the pin; until then reduce nothing.",
    ),
    (
        ["0.3"],
        (A.REDUCTION, {"teeth": ["16"], "depth_mm": D("0.6")}),
        f"0.6{NB}mm off 16 is more than the pin explains: it stands 0.3{NB}mm above the agreed "
        f"value, at most 0.2{NB}mm if 16 alone lifts it. Look at the depth, or read the pin again; "
        "if so much came off, say in the note why.",
    ),
]


@pytest.mark.parametrize(("before", "line", "words"), REFUSED, ids=lambda one: str(one)[:40])
def test_what_does_not_follow_is_refused_in_words_and_not_kept(walk, before, line, words):
    for rise in before:
        log(walk, A.PIN_READ, rise_mm=D(rise))
    entries = walk.case.remount_entries.count(), walk.case.history.count()

    with pytest.raises(NotLogged) as refused:
        log(walk, line[0], **line[1])

    assert str(refused.value) == words
    assert (walk.case.remount_entries.count(), walk.case.history.count()) == entries


@pytest.mark.parametrize("tooth", ["46", "48"])
def test_no_natural_tooth_is_ever_corrected(walk, tooth):
    log(walk, A.PIN_READ, rise_mm=D("0.4"))

    with pytest.raises(NotADentureTooth, match="is no denture tooth, and nothing else is ground"):
        log(walk, A.REDUCTION, teeth=[tooth], depth_mm=D("0.1"))


def test_with_its_cause_a_high_rise_is_corrected(walk):
    log(walk, A.PIN_READ, rise_mm=D("1.2"))
    log(walk, A.CAUSE, cause="teeth_moved")

    row = log(walk, A.REDUCTION, teeth=["16"], depth_mm=D("0.3"))

    assert remount.in_words(row) == f"16, 0.3{NB}mm off"


def test_a_recorded_cause_asks_for_the_reading_of_the_new_mounting(walk):
    log(walk, A.PIN_READ, rise_mm=D("1.4"))
    log(walk, A.CAUSE, cause="cast_not_seated")

    with pytest.raises(NotLogged) as refused:
        log(walk, A.ACCEPTED)
    assert str(refused.value).endswith(
        "The cause is recorded: put the cast back on its mounting, or mount it anew, before "
        'anything is reduced. Then log "Pin read after processing" with what the pin reads, and '
        "say in its note how it was mounted."
    )

    log(walk, A.PIN_READ, rise_mm=D("0.7"), note="mounted anew")
    with pytest.raises(NotLogged, match=r"Correct the denture teeth and read the pin again\.$"):
        log(walk, A.ACCEPTED)


def test_five_millimetres_off_a_tooth_need_words(walk):
    log(walk, A.PIN_READ, rise_mm=D("1.4"))
    log(walk, A.CAUSE, cause="teeth_moved")

    with pytest.raises(NotLogged, match="more than the pin explains"):
        log(walk, A.REDUCTION, teeth=["16"], depth_mm=D("5"))
    log(walk, A.REDUCTION, teeth=["16"], depth_mm=D("0.5"))
    with pytest.raises(NotLogged, match=f"with 0.5{NB}mm taken off since the pin was read"):
        log(walk, A.REDUCTION, teeth=["16"], depth_mm=D("1"))

    row = log(walk, A.REDUCTION, teeth=["16"], depth_mm=D("1"), note="a bubble of resin on it")
    assert remount.in_words(row) == f"16, 1{NB}mm off. a bubble of resin on it"


def test_a_line_is_struck_out_with_a_reason_and_stays_readable(walk):
    row = log(walk, A.PIN_READ, rise_mm=D("0.4"))

    remount.strike(row=row, reason="another case", by=walk.hands.technician)

    row.refresh_from_db()
    assert (row.struck_by, row.struck_reason) == (walk.hands.technician, "another case")
    assert "another case" in sentence(walk.reload().history.last())
    with pytest.raises(ValueError, match="Give the reason"):
        remount.strike(row=row, reason=" ", by=walk.hands.technician)


def test_two_who_answer_the_checklist_at_once_see_both(walk):
    def save(version: int, **answers: str):
        return remount.save_check(
            case=walk.reload(),
            version=version,
            by=walk.hands.technician,
            values={"answers": answers, "words": {}},
        )

    row = save(0, rm_order="yes")
    save(row.version, rm_order="no")

    with pytest.raises(versions.EditConflict):
        save(row.version, rm_order="yes", rm_front="yes")
    row.refresh_from_db()
    assert [line.key for line in remount.refused(row)] == ["rm_order"]
    assert len(remount.silent(row)) == 9
    assert len(remount.silent(None)) == 10
