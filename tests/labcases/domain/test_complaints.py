"""Complaints: entered, looked into, closed, opened again, and by when somebody is told."""

from __future__ import annotations

from datetime import date

import pytest

from labcases.domain import complaints
from labcases.domain.complaints import NotNow, Told
from labcases.domain.striking import AlreadyStruck
from labcases.enums import Stage
from labcases.enums.complaints import ComplaintState, Gravity
from labcases.models import AppendOnly, Complaint, ComplaintEntry, HistoryEntry, Organisation
from labcases.reference import vigilance
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

VALUES = {
    "text": "It cracked in the first week.",
    "gravity": "complaint",
    "concern": "material",
    "lot": "R-7",
    "happened_on": date(2026, 3, 2),
    "known_on": date(2026, 3, 4),
    "reporter": "patient",
    "incident": None,
}
DAY = date(2026, 3, 6)


@pytest.fixture
def here(db):
    return world()


@pytest.fixture
def case(here):
    return here.walk(patient_name="Nobody Told").to(Stage.DRAFT)


@pytest.fixture
def row(here, case):
    return complaints.enter(case=case, by=here.dora, values=VALUES)


def added(row, by, act, **more) -> ComplaintEntry:
    return complaints.add(complaint=row, by=by, values={"act": act, "happened_on": DAY, **more})


def stands(row) -> Told:
    return complaints.told(Complaint.objects.prefetch_related("entries").get(pk=row.pk))


def test_a_complaint_goes_from_open_to_looked_into_to_closed_and_may_open_again(here, row):
    seen = [stands(row).state]
    for act, more in (
        ("looked", {"text": "voids in the resin", "gravity": "serious"}),
        ("told", {"whom": "the supplier"}),
        ("closed", {"text": "made again", "outcome": "material"}),
        ("again", {"text": "a second one cracked"}),
    ):
        added(row, here.mona, act, **more)
        seen.append(stands(row).state)

    assert [one.value for one in seen] == [
        *("open", "looked into", "looked into", "closed", "open")
    ]
    assert stands(row).gravity == Gravity.SERIOUS
    assert stands(row).outcome == ""


def test_each_step_stands_in_the_history(here, case, row):
    added(row, here.mona, "closed", text="made again", outcome="making")
    found = HistoryEntry.objects.filter(case=case, part="complaints")

    assert [(one.act, one.by, one.changes["complaint"][1]) for one in found] == [
        ("entered", here.dora, "Complaint, without serious harm: a material or a lot, lot R-7"),
        ("closed", here.mona, "Fault in the making. made again"),
    ]


def test_what_is_closed_is_opened_before_it_is_added_to_and_what_is_open_is_not(here, row):
    with pytest.raises(NotNow, match="This complaint is open"):
        added(row, here.mona, "again", text="why not")
    added(row, here.mona, "closed", text="none", outcome="nothing")
    for act in ("looked", "closed"):
        with pytest.raises(NotNow, match="Open it again before you add to it"):
            added(row, here.mona, act, text="more", outcome="use" if act == "closed" else "")
    added(row, here.mona, "told", whom="the office")
    assert stands(row).state == ComplaintState.CLOSED


def test_a_complaint_hangs_on_what_went_wrong_and_brings_nothing_back(here, case):
    wrong = case.incidents.create(
        kind="wrong-box",
        title="The wrong box",
        text="it came here",
        by=here.tomas,
        reported_from="laboratory",
        stage_before=case.stage,
        stage_after=case.stage,
    )
    row = complaints.enter(case=case, by=here.tomas, values={**VALUES, "incident": wrong})
    case.refresh_from_db()

    assert (case.stage, row.reported_from) == (Stage.DRAFT, "laboratory")
    assert list(wrong.complaints.all()) == [row]


def test_a_house_reads_its_own_with_the_graver_first_and_closed_ones_last(here, case, row):
    grave = complaints.enter(case=case, by=here.dora, values={**VALUES, "gravity": "serious"})
    done = complaints.enter(case=case, by=here.dora, values={**VALUES, "gravity": "death"})
    added(done, here.mona, "closed", text="none", outcome="mistake")

    assert [one.row for one in complaints.of_house(here.mona, here.laboratory)] == [
        *(grave, row, done)
    ]
    assert len(complaints.of_house(here.dora, here.office)) == 3
    assert complaints.of_house(here.olga, here.other_office) == []
    assert complaints.by_case([case.pk, 0]) == {case.pk: 3}


# --- whom to tell ------------------------------------------------------------------------------

#: Profile, gravity -> the latest day after 04-Mar-2026 by each duty; a dash for no day.
LATEST = """
eu       complaint  -
eu       serious    2026-03-19
eu       death      2026-03-14
eu       threat     2026-03-06
gb-eng   complaint  -
gb-eng   serious    2026-03-19
gb-eng   death      2026-03-14
gb-eng   threat     2026-03-06
us-tx    serious    -
us-mt    death      -
"""


@pytest.mark.parametrize("line", LATEST.strip().splitlines(), ids=str.split)
def test_by_when_somebody_is_told_by_profile_and_gravity(here, case, line):
    profile, gravity, day = line.split()
    Organisation.objects.filter(pk=here.laboratory.pk).update(profile=profile)
    case.laboratory.refresh_from_db()
    row = complaints.enter(case=case, by=here.dora, values={**VALUES, "gravity": gravity})
    (due,) = complaints.whom_to_tell(complaints.told(row))

    assert due.duty is not None
    assert str(due.latest or "-") == day


def test_a_place_without_a_text_says_that_it_was_not_read(here, case, row):
    assert [(due.profile, due.duty) for due in complaints.whom_to_tell(stands(row))] == [
        ("No profile is chosen", None)
    ]
    told = vigilance.duties()
    assert not any(duty.holds_for("ie-made-up") for duty in told)
    assert [duty.read_on.isoformat() for duty in told if duty.holds_for("us-fl")] == ["2026-11-25"]
    assert "check locally" in vigilance.not_read()


# --- striking out ------------------------------------------------------------------------------


def test_what_is_struck_out_counts_no_longer_and_stays_readable(here, case, row):
    closed = added(row, here.mona, "closed", text="none", outcome="nothing")
    assert complaints.open_to(here.dora) == []

    complaints.strike(row=closed, reason="of another denture", by=here.mona)
    one = stands(row)
    assert (one.state.value, one.outcome, len(one.written)) == ("open", "", 1)
    assert [told.row for told in complaints.open_to(here.dora)] == [row]

    complaints.strike(row=row, reason="entered twice", by=here.dora)
    one = stands(row)
    assert (one.struck, one.closed, one.row.text) == (True, True, "It cracked in the first week.")
    assert complaints.open_to(here.dora) == []
    assert complaints.by_case([case.pk]) == {}
    assert [told.struck for told in complaints.of_case(case)] == [True]
    with pytest.raises(NotNow, match="This complaint was struck out"):
        added(row, here.mona, "looked", text="more")
    with pytest.raises(AlreadyStruck):
        complaints.strike(row=row, reason="again", by=here.mona)
    found = HistoryEntry.objects.filter(case=case, act="struck out")
    assert [(one.changes["line"][0], one.reason) for one in found] == [
        ("Closed: Nothing wrong was found. none", "of another denture"),
        ("Complaint, without serious harm: a material or a lot, lot R-7", "entered twice"),
    ]


def test_who_was_told_counts_no_longer_once_it_is_struck_out(here, case):
    Organisation.objects.filter(pk=here.laboratory.pk).update(profile="eu")
    case.laboratory.refresh_from_db()
    row = complaints.enter(case=case, by=here.dora, values={**VALUES, "gravity": "serious"})
    told = added(row, here.mona, "told", whom="the authority")
    assert complaints.first_due(stands(row)) is None

    complaints.strike(row=told, reason="it was not sent", by=here.mona)
    assert complaints.first_due(stands(row)) == date(2026, 3, 19)


def test_ones_own_is_struck_out_and_anybodys_by_a_dentist_or_a_manager(here, case):
    row = complaints.enter(case=case, by=here.tomas, values=VALUES)

    people = (here.tomas, here.dora, here.mona, here.lena, here.farah, here.olga)
    assert [complaints.may_strike(one, row) for one in people] == [
        *(True, True, True, False, False, False)
    ]


def test_nothing_else_of_it_changes(row):
    with pytest.raises(AppendOnly):
        Complaint.objects.update(text="another")
    with pytest.raises(AppendOnly):
        Complaint.objects.update(text="another", struck_reason="so")
