"""A mounting that is not right is sent back with a reason, and kept as it was."""

from __future__ import annotations

import pytest

from labcases.domain import ledger, records, remounting, teeth_needed
from labcases.domain.remounting import NotSentBack
from labcases.enums import ReturnTo, Stage
from labcases.management.sample import GAP_RECORD
from labcases.models import PastMounting
from labcases.views._sentences import sentence
from tests.factories import world
from tests.labcases.domain.gaps import revise

pytestmark = pytest.mark.django_db

MOUNT, RECORD = ReturnTo.NEW_MOUNTING, ReturnTo.NEW_RECORD


@pytest.fixture
def here():
    return world()


@pytest.fixture
def at(here):
    def walk_to(stage):
        walk = here.walk()
        walk.to(stage)
        return walk

    return walk_to


def back(walk, to=MOUNT, reason="rocks at 16", version=None):
    case = walk.reload()
    now = case.mounting.version if hasattr(case, "mounting") else 0
    return remounting.send_back(
        case=case,
        to=to,
        reason=reason,
        version=now if version is None else version,
        by=walk.hands.technician,
    )


# Where the case stands, what is asked for -> where it goes.
GOES = [
    (Stage.SETTINGS, MOUNT, Stage.MOUNTING),
    (Stage.SETTINGS, RECORD, Stage.JAW_RECORDS),
    (Stage.SET_UP, MOUNT, Stage.MOUNTING),
    (Stage.SET_UP, RECORD, Stage.JAW_RECORDS),
]


@pytest.mark.parametrize(("stage", "to", "goes"), GOES)
def test_the_case_goes_to_where_it_is_made_anew(at, stage, to, goes):
    walk = at(stage)

    case = back(walk, to)

    assert case.stage == goes
    said = [sentence(entry) for entry in case.history.order_by("id")]
    assert any(f"sent mounting 1 back for a {to.label.lower()}" in one for one in said)
    assert f"to {goes.label.lower()} through a {to.label.lower()}." in said[-1]


def test_at_the_mounting_itself_the_stage_stays(at):
    walk = at(Stage.MOUNTING)
    walk.mount()

    assert back(walk).stage == Stage.MOUNTING
    assert PastMounting.objects.get().reason == "new mounting: rocks at 16"


def test_the_first_mounting_is_kept_as_it_was_and_the_second_starts_empty(at):
    walk = at(Stage.SETTINGS)

    case = back(walk)

    past, row = PastMounting.objects.get(), case.mounting
    assert (past.number, past.verdict, past.ended_by) == (1, "agreed", walk.hands.technician)
    assert (past.transfer, past.foil_points, past.pin_zero_mm) == ("arbitrary face-bow", 3, 0)
    assert past.foil_pairs == "13/43, 23/33, 11/41"
    assert (row.number, row.transfer, row.pin_zero_mm, row.foil_points) == (2, "", None, None)
    assert (row.casts_inspected, row.jaw_record) == (True, "maximum intercuspation")


def test_what_stood_on_it_counts_no_longer(at):
    walk = at(Stage.SET_UP)
    walk.set_posterior()
    read_in = records.add(case=walk.case, by=walk.hands.technician, values=GAP_RECORD)

    case = back(walk)

    read_in.refresh_from_db()
    assert ledger.parts_done(case) == ledger.last_passes(case) == {}
    assert ledger.balance(case).reading_mm is None
    assert read_in.struck_reason == "new mounting: rocks at 16"
    assert teeth_needed.in_hand(case)


def test_a_mounting_before_set_up_may_be_made_again_and_again(at):
    walk = at(Stage.SETTINGS)
    for number in (2, 3):
        case = back(walk)
        row = case.mounting
        assert row.number == number
        row.transfer = "average values"
        row.save()
        walk.move(Stage.JAW_RECORDS, walk.hands.technician)
        walk.enter(Stage.MOUNTING)

    assert [one.number for one in PastMounting.objects.all()] == [1, 2]


def test_a_revision_keeps_the_verified_mounting_too(here):
    walk = here.walk()
    walk.to(Stage.SETTINGS)

    revise(jaw_record="centric relation")(walk)

    past = PastMounting.objects.get()
    assert (past.number, past.reason) == (1, "revision 2 of the prescription")
    assert walk.reload().mounting.number == 2


def test_the_longest_reason_fits_every_line_that_it_strikes_out(at):
    walk = at(Stage.SETTINGS)
    read_in = records.add(case=walk.case, by=walk.hands.technician, values=GAP_RECORD)

    back(walk, RECORD, "x" * remounting.LONGEST_REASON)

    read_in.refresh_from_db()
    longest = read_in._meta.get_field("struck_reason").max_length
    assert len(read_in.struck_reason) == 16 + 180 <= longest


@pytest.mark.parametrize(
    ("stage", "sentence"),
    [
        (Stage.MASTER_CAST, "Nothing is mounted yet. Enter the mounting first."),
        (Stage.FINAL_WAX, "The case stands at final wax. A mounting is sent back from the"),
    ],
)
def test_elsewhere_it_is_refused_in_words_and_nothing_changes(at, stage, sentence):
    walk = at(stage)
    lines = walk.case.history.count()

    with pytest.raises(NotSentBack, match=sentence.replace(".", r"\.")):
        back(walk)

    assert walk.reload().stage == stage
    assert walk.case.history.count() == lines
    assert not PastMounting.objects.exists()


def test_a_mounting_that_changed_meanwhile_is_looked_at_again(at):
    walk = at(Stage.SETTINGS)

    with pytest.raises(NotSentBack, match="Tomas Abelard changed the mounting while you read it"):
        back(walk, version=99)

    assert walk.reload().stage == Stage.SETTINGS


def test_nothing_is_sent_back_without_a_reason(at):
    walk = at(Stage.SETTINGS)

    with pytest.raises(ValueError, match="Give the reason"):
        back(walk, reason="  ")
