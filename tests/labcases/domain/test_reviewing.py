"""Lines of the reviews: what each must say, whose work it is, and what a tooth may lose."""

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import reviewing
from labcases.domain.access import MAY, D, L, M, O, T
from labcases.domain.bench import NotADentureTooth
from labcases.domain.reviewing import NotReviewed
from labcases.domain.stages import MOVED_BY, PLAIN, TRANSITIONS
from labcases.enums import Route, SetUpOrder, Stage
from labcases.enums.reviews import ReviewAct
from labcases.management import walk_review
from labcases.models import HistoryEntry
from labcases.templatetags.units import long_date
from tests.factories import world

A = ReviewAct
TODAY = timezone.localdate()


@pytest.fixture
def here(db):
    return world()


@pytest.fixture
def case(here):
    return here.case_at(Stage.DELIVERED)


# Every stage after the release: what an office reads of it, who moves the case on and where to,
# and who may log lines of the reviews there.
ROLES = {"D": D, "O": O, "T": T, "L": L, "M": M}
AFTER_RELEASE = [
    (Stage.RELEASED, "at the laboratory", Stage.DISPATCHED, "TLM", "", "", ""),
    (Stage.DISPATCHED, "coming back", Stage.RECEIVED, "DO", "", "", ""),
    (Stage.RECEIVED, "here", Stage.DELIVERED, "D", "", "", ""),
    (Stage.DELIVERED, "here", Stage.IN_REVIEW, "D", "D", "DTM", "DTM"),
    (Stage.IN_REVIEW, "here", Stage.CLOSED, "D", "D", "DTM", "DTM"),
    (Stage.CLOSED, "here", None, "", "", "", ""),
]
CANCEL = "DM"


@pytest.mark.parametrize("row", AFTER_RELEASE, ids=lambda row: row[0].value)
@pytest.mark.parametrize("letter", ROLES)
def test_who_sees_and_does_what_after_the_release(row, letter):
    stage, plain, onward, moves, records, remounts, relines = row
    role = ROLES[letter]
    table = TRANSITIONS[Route.CONVENTIONAL, SetUpOrder.POSTERIOR_FIRST]
    ahead = {to for origin, to in table if origin == stage}
    assert PLAIN.get(stage, "at the laboratory") == plain
    assert role in MAY["see a case"]
    assert ahead == ({onward, Stage.CANCELLED} if onward else set())
    if onward:
        assert (role in MAY[MOVED_BY[onward]]) == (letter in moves)
        assert (role in MAY[MOVED_BY[Stage.CANCELLED]]) == (letter in CANCEL)
    open_now = stage in reviewing.FROM_DELIVERY
    for acts, who in (
        ((A.SEEN, A.SPOT, A.LINER, A.RECORD, A.DECISION), records),
        ((A.MOUNTED, A.PASS, A.REDUCTION), remounts),
        ((A.DONE,), relines),
    ):
        for act in acts:
            assert (open_now and role in MAY[reviewing.MAY_LOG[act]]) == (letter in who), act


def test_every_act_has_its_work_and_every_line_that_is_no_decision_its_part():
    assert set(reviewing.MAY_LOG) == set(A)
    assert set(reviewing.PARTS) == set(A) - {A.DECISION}


MATERIAL = {"product": "resin", "lot": "L-9"}

# What does not say enough, and what is answered.
REFUSED = [
    (A.SEEN, {"review": "tenth"}, "Choose the review that was held."),
    (A.SPOT, {"relieved": True}, "Say where on the denture the pressure spot was."),
    (A.SPOT, {"place": "tuberosity"}, "Say whether the denture was relieved there."),
    (A.LINER, {"liner": "glue"}, "Choose the kind of liner, or that it was taken out."),
    (A.LINER, {"liner": "soft liner"}, "Enter the material, as its label says."),
    (A.LINER, {"liner": "soft liner", "product": "x"}, "Enter the lot, as its label says."),
    (A.RECORD, {}, "Enter the material of the record."),
    (A.MOUNTED, {"agreement_mm": 0}, "Take a record in the mouth and log it; then mount on it."),
    (A.PASS, {"movement": "up"}, "Choose the movement of the pass."),
    (A.PASS, {"movement": "centric", "teeth": ["38"]}, "No tooth stands at 38."),
    (A.REDUCTION, {"teeth": ["16", "15"]}, "Name one denture tooth; log a line for each."),
    (A.DECISION, {"decision": "wait"}, "Give the reason of the decision; it is kept with it."),
    (A.DECISION, {"decision": "melt", "note": "x"}, "Choose what is decided."),
    (A.DONE, MATERIAL, "Say whether it was a reline or a rebase."),
    (A.DONE, {"decision": "reline", "product": "resin"}, "Enter the lot, as its label says."),
    (
        A.DONE,
        {"decision": "reline", **MATERIAL, "expires_on": TODAY - timedelta(days=1)},
        "The material was past its date. Say in the note why it was used all the same.",
    ),
]


def test_what_does_not_say_enough_is_refused_in_words(here, case):
    for act, values, text in REFUSED:
        with pytest.raises(NotReviewed) as refused:
            walk_review.log(case, here.dora, act, **values)
        assert str(refused.value).startswith(text), act
    assert case.review_entries.count() == 0


def test_the_day_is_neither_ahead_nor_before_the_delivery(here, case):
    for days, text in ((1, "The day lies ahead."), (-1, "The denture was delivered on ")):
        with pytest.raises(NotReviewed, match=text):
            walk_review.log(
                *(case, here.dora, A.RECORD),
                product="wax",
                happened_on=TODAY + timedelta(days=days),
            )


def test_before_the_delivery_nothing_is_reviewed(here):
    case = here.case_at(Stage.RECEIVED)
    with pytest.raises(NotReviewed, match="The case stands at received"):
        walk_review.seen(case, here.dora, "first")


@pytest.mark.parametrize("tooth", ["46", "36", "47"])
def test_a_natural_tooth_is_never_adjusted(here, case, tooth):
    with pytest.raises(NotADentureTooth, match=f"{tooth} is no denture tooth"):
        walk_review.log(case, here.dora, A.REDUCTION, teeth=[tooth])
    assert case.review_entries.count() == 0


def test_a_clinical_remount_goes_from_the_record_to_an_adjusted_denture_tooth(here, case):
    walk_review.log(case, here.dora, A.RECORD, product="hard wax")
    walk_review.log(case, here.tomas, A.MOUNTED, agreement_mm=0)
    marks = {"16": {"strength": "heavy", "cusps": "lingual"}}
    walk_review.log(
        *(case, here.tomas, A.PASS),
        movement="centric",
        teeth=["16"],
        marks=marks,
        foil_um=12,
        as_wanted=False,
    )
    walk_review.log(case, here.tomas, A.REDUCTION, teeth=["16"])
    day = long_date(TODAY)
    assert [reviewing.in_words(row) for row in case.review_entries.all()] == [
        f"{day}: record in the mouth, hard wax",
        f"{day}: mounted on the record, 0\xa0mm off",
        f"{day}: centric with 12 µm foil, not as wanted: 16 heavy (lingual)",
        f"{day}: denture tooth 16 adjusted",
    ]
    told = HistoryEntry.objects.filter(case=case, part="clinical remount")
    assert [entry.by for entry in told] == [here.tomas] * 3


def test_a_decision_stays_when_another_follows_it(here, case):
    first = walk_review.decide(case, here.dora, "reline", signs=["fit_only"], note="loose")
    with pytest.raises(NotReviewed, match="Decide anew instead"):
        reviewing.strike(row=first, reason="no", by=here.dora)
    walk_review.decide(case, here.dora, "remake", signs=["look"], note="wishes other teeth")
    kept = HistoryEntry.objects.filter(case=case, part="decision on the denture")
    assert [entry.changes["line"][1].partition(": ")[2] for entry in kept] == [
        "decided: reline (Fit alone is lost: vertical, jaw relation, plane and teeth are right). "
        "loose",
        "decided: remake (The patient does not like the look). wishes other teeth",
    ]


def test_a_line_that_is_struck_out_stays_readable(here, case):
    row = walk_review.log(case, here.dora, A.SPOT, place="right tuberosity", relieved=True)
    reviewing.strike(row=row, reason="left, not right", by=here.dora)
    row.refresh_from_db()
    assert (row.struck_by, row.struck_reason) == (here.dora, "left, not right")
