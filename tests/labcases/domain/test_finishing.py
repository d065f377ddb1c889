"""Finishing: whose text the mark shows, who reads it, and who looks a second time."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import finishing, processing
from labcases.enums import Stage
from labcases.models import HistoryEntry, Membership, Release
from labcases.views._sentences import sentence
from tests.factories import world
from tests.labcases.domain.gaps_of_finishing import says, text, wants

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.FINISHING)
    return walk


#: What is prescribed, what the office gave: whether a mark is wanted, and whether a text is known.
MARKS = [
    ("", "", False, False),
    ("none", "", False, False),
    ("patient code", "", True, True),
    ("case code", "", True, True),
    ("office text", "", True, False),
    ("office text", "A. Quill", True, True),
    ("none", "A. Quill", False, False),
]


@pytest.mark.parametrize(("prescribed", "given", "wanted", "known"), MARKS)
def test_the_text_of_the_mark_comes_from_the_prescription_or_the_office(
    walk, prescribed, given, wanted, known
):
    wants(prescribed)(walk)
    if given:
        text(given)(walk)
    case = walk.reload()

    assert (finishing.is_wanted(case), bool(finishing.text_of(case))) == (wanted, known)
    if prescribed == "patient code":
        assert finishing.text_of(case) == "P-100"


def test_history_says_that_a_text_was_given_and_never_which(walk):
    text("A. Quill")(walk)
    text("A. Quilt")(walk)

    told = [sentence(entry) for entry in walk.case.history.filter(part=finishing.MARK_PART)]

    assert len(told) == 2
    assert not any("Quil" in one for one in told)
    for entry in HistoryEntry.objects.all():
        assert "Quil" not in f"{entry.changes}{entry.row}{entry.reason}"


@pytest.mark.parametrize(
    ("stage", "reads"),
    [(Stage.REMOUNT, False), (Stage.FINISHING, True), (Stage.RELEASED, False)],
)
def test_the_bench_reads_a_text_of_the_office_at_finishing_only(walk, stage, reads):
    wants("office text")(walk)
    text("A. Quill")(walk)
    type(walk.case).objects.filter(pk=walk.case.pk).update(stage=stage)
    case = walk.reload()

    assert finishing.shown_to(walk.hands.dentist, case) == "A. Quill"
    assert finishing.shown_to(walk.hands.technician, case) == ("A. Quill" if reads else "")


def test_what_was_placed_is_kept_without_its_text(walk):
    wants("office text")(walk)
    text("A. Quill")(walk)
    walk.finish()

    row = walk.reload().finishing
    assert (row.mark_placed, len(row.mark_digest), row.finished_by) == (
        *(True, 64),
        walk.hands.technician,
    )
    says(mark_placed=False)(walk)
    assert walk.reload().finishing.mark_digest == ""


# --- the second look ----------------------------------------------------------------------------


@pytest.fixture
def entered(walk):
    processing.save_release(
        case=walk.reload(), version=0, by=walk.hands.technician, values={"agent": "spray"}
    )
    return walk


def alone(walk) -> None:
    Membership.objects.filter(organisation=walk.case.laboratory).exclude(
        user=walk.hands.technician
    ).update(active=False)


def finished_ago(minutes: int) -> Release:
    Release.objects.update(changed_at=timezone.now() - timedelta(minutes=minutes))
    return Release.objects.get()


TWO = "You finished this denture. A second person looks at it before it is released."
# Who looks, whether the laboratory is that one person, minutes since it was finished: refusal.
LOOKS = [
    ("manager", False, 0, ""),
    ("technician", False, 600, TWO),
    (
        *("technician", True, 0),
        "You finished this denture and work alone here. Put it down for 30 minutes, and look at it "
        "again in 30 minutes.",
    ),
    (
        *("technician", True, 29),
        "You finished this denture and work alone here. Put it down for 30 minutes, and look at it "
        "again in 1 minute.",
    ),
    ("technician", True, 30, ""),
]


@pytest.mark.parametrize(("who", "works_alone", "minutes", "refusal"), LOOKS)
def test_a_second_person_looks_or_one_alone_after_a_pause(
    entered, who, works_alone, minutes, refusal
):
    if works_alone:
        alone(entered)
    row = finished_ago(minutes)

    assert finishing.why_not_look(getattr(entered.hands, who), entered.case, row) == refusal


def test_the_history_says_that_one_person_looked_twice_and_after_how_long(entered):
    alone(entered)
    row = finished_ago(34)

    looked = processing.look_again(
        case=entered.reload(), version=row.version, by=entered.hands.technician
    )

    assert looked.second_look_by == looked.finished_by
    assert sentence(entered.case.history.last()).endswith(
        "Reason: alone in the laboratory, after a pause of 34 minutes."
    )
