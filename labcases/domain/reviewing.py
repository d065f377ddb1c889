"""What is recorded after delivery: lines that are entered, said in words, and struck out.

The dentist records reviews and decides. A clinical remount and a reline are logged by whoever
does them, at the chair or at the bench.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from labcases.domain import bench, calendars, history, review_state, teeth
from labcases.domain.remount import marks_words
from labcases.domain.striking import strike_out
from labcases.enums import Movement, OpposingTooth, Stage
from labcases.enums.reviews import Decision, ReviewAct
from labcases.models import Case, ReviewEntry, User
from labcases.reference.reviews import liners, reviews, signs
from labcases.templatetags.units import long_date, mm

A = ReviewAct
FROM_DELIVERY = (Stage.DELIVERED, Stage.IN_REVIEW)
TAKEN_OUT = "none"
"""The kind of a liner that says that none is in use any more."""

#: Whose work a line is: the act of the access table.
MAY_LOG: dict[ReviewAct, str] = {
    A.SEEN: "record a review",
    A.SPOT: "record a review",
    A.LINER: "record a review",
    A.RECORD: "record a review",
    A.DECISION: "record a review",
    A.MOUNTED: "remount after delivery",
    A.PASS: "remount after delivery",
    A.REDUCTION: "remount after delivery",
    A.DONE: "record a reline",
}

#: The part that the history names. A decision has one of its own.
PARTS: dict[ReviewAct, str] = {
    A.SEEN: "reviews",
    A.SPOT: "reviews",
    A.LINER: "reviews",
    A.RECORD: "reviews",
    A.MOUNTED: "clinical remount",
    A.PASS: "clinical remount",
    A.REDUCTION: "clinical remount",
    A.DONE: "reline",
}


class NotReviewed(Exception):
    """The line is not taken; the text says why and what to do."""


def log(*, case: Case, by: User, values: Mapping[str, Any]) -> ReviewEntry:
    """Add a line to the reviews.

    Parameters
    ----------
    case, by
        Whose denture, and who saw it or worked on it.
    values : mapping
        ``act`` of ``ReviewAct``, and the columns that belong to it.

    Raises
    ------
    NotReviewed
        The denture is not delivered, the case is closed, or the line does not say enough.
    labcases.domain.bench.NotADentureTooth
        A natural tooth, or one of a worn denture, would be adjusted.
    """
    with history.turn(case):
        fresh = Case.objects.select_for_update().get(pk=case.pk)
        row = ReviewEntry(case=fresh, by=by, **values)
        _when(fresh, row)
        _ASKED[ReviewAct(row.act)](fresh, row)
        row.save(force_insert=True)
        line = in_words(row)
        if row.act == A.DECISION:
            history.write_line(
                row=row, part="decision on the denture", line=line, by=by, act="decided"
            )
        else:
            history.write_line(row=row, part=PARTS[ReviewAct(row.act)], line=line, by=by)
    return row


def strike(*, row: ReviewEntry, reason: str, by: User) -> ReviewEntry:
    """Strike a line out, with a reason; it stays readable. A decision is kept as it is.

    Raises
    ------
    NotReviewed
        The line is a decision.
    """
    if row.act == A.DECISION:
        raise NotReviewed("A decision is kept with its reason. Decide anew instead.")
    return strike_out(
        row=row, part=PARTS[ReviewAct(row.act)], line=in_words(row), reason=reason, by=by
    )


# --- what a line must say ----------------------------------------------------------------------


def _when(case: Case, row: ReviewEntry) -> None:
    if case.stage not in FROM_DELIVERY:
        raise NotReviewed(
            f"The case stands at {case.get_stage_display().lower()}. Reviews are recorded from the "
            "delivery until the case is closed."
        )
    delivered = review_state.delivered_on(case)
    if row.happened_on > calendars.today_of(case.office):
        raise NotReviewed("The day lies ahead. Enter the day on which it was done.")
    if delivered and row.happened_on < delivered:
        raise NotReviewed(
            f"The denture was delivered on {long_date(delivered)}. Enter that day or a later one."
        )


def _seen(_case: Case, row: ReviewEntry) -> None:
    if row.review not in reviews():
        raise NotReviewed("Choose the review that was held.")


def _spot(_case: Case, row: ReviewEntry) -> None:
    if not row.place.strip():
        raise NotReviewed("Say where on the denture the pressure spot was.")
    if row.relieved is None:
        raise NotReviewed("Say whether the denture was relieved there.")


def _liner(_case: Case, row: ReviewEntry) -> None:
    if row.liner != TAKEN_OUT and row.liner not in liners():
        raise NotReviewed("Choose the kind of liner, or that it was taken out.")
    if row.liner != TAKEN_OUT:
        _with_lot(row)


def _record(_case: Case, row: ReviewEntry) -> None:
    if not row.product.strip():
        raise NotReviewed("Enter the material of the record.")


def _mounted(case: Case, row: ReviewEntry) -> None:
    if review_state.last(case, A.RECORD) is None:
        raise NotReviewed("Take a record in the mouth and log it; then mount on it.")
    if row.agreement_mm is None:
        raise NotReviewed("Enter how far a second record or the split cast is off; 0 when not.")


def _marked(case: Case, row: ReviewEntry) -> None:
    if row.movement not in Movement.values:
        raise NotReviewed("Choose the movement of the pass.")
    for tooth in row.teeth:
        if teeth.kind(case.prescription, tooth) == OpposingTooth.MISSING:
            raise NotReviewed(f"No tooth stands at {tooth}. Name only teeth that are there.")


def _adjusted(case: Case, row: ReviewEntry) -> None:
    if len(row.teeth) != 1:
        raise NotReviewed("Name one denture tooth; log a line for each.")
    bench.only_denture_teeth(case, row.teeth)


def _decided(_case: Case, row: ReviewEntry) -> None:
    if row.decision not in Decision.values:
        raise NotReviewed("Choose what is decided.")
    if not set(row.signs) <= set(signs()):
        raise NotReviewed("Tick only what stands in the list.")
    if not row.note.strip():
        raise NotReviewed("Give the reason of the decision; it is kept with it.")


def _done(case: Case, row: ReviewEntry) -> None:
    if row.decision not in (Decision.RELINE, Decision.REBASE):
        raise NotReviewed("Say whether it was a reline or a rebase.")
    _with_lot(row)


def _with_lot(row: ReviewEntry) -> None:
    if not row.product.strip():
        raise NotReviewed("Enter the material, as its label says.")
    if not row.lot.strip():
        raise NotReviewed("Enter the lot, as its label says.")
    if row.expires_on and row.expires_on < row.happened_on and not row.note.strip():
        raise NotReviewed(
            "The material was past its date. Say in the note why it was used all the same."
        )


_ASKED: dict[ReviewAct, Callable[[Case, ReviewEntry], None]] = {
    A.SEEN: _seen,
    A.SPOT: _spot,
    A.LINER: _liner,
    A.RECORD: _record,
    A.MOUNTED: _mounted,
    A.PASS: _marked,
    A.REDUCTION: _adjusted,
    A.DECISION: _decided,
    A.DONE: _done,
}


# --- words -------------------------------------------------------------------------------------


def in_words(row: ReviewEntry, number: Callable[[str], str] = str) -> str:
    """What a line says; ``number`` writes a tooth, in ISO 3950 where it is left out."""
    said = _WORDS[ReviewAct(row.act)](row, number)
    return ". ".join(one for one in (f"{long_date(row.happened_on)}: {said}", row.note) if one)


def _seen_words(row: ReviewEntry, _number: Callable[[str], str]) -> str:
    kind = reviews()[row.review]
    refused = [line.text for line in kind.pause.lines if row.answers.get(line.key) == "no"]
    looked = sum(line.key in row.answers for line in kind.pause.lines)
    found = f'; no to "{", ".join(refused)}"' if refused else ""
    return f"review, {kind.words.lower()}, {looked} of {len(kind.pause.lines)} lines{found}"


def _pass_words(row: ReviewEntry, number: Callable[[str], str]) -> str:
    judged = {None: "not judged", True: "as wanted", False: "not as wanted"}[row.as_wanted]
    foil = f" with {row.foil_um} µm foil" if row.foil_um else ""
    movement = row.get_movement_display().lower()
    return f"{movement}{foil}, {judged}: {marks_words(row, number)}"


def _adjusted_words(row: ReviewEntry, number: Callable[[str], str]) -> str:
    off = f", {mm(row.depth_mm)} off" if row.depth_mm is not None else ""
    return f"denture tooth {' '.join(number(tooth) for tooth in row.teeth)} adjusted{off}"


def _liner_words(row: ReviewEntry, _number: Callable[[str], str]) -> str:
    if row.liner == TAKEN_OUT:
        return "liner taken out"
    return f"{liners()[row.liner].words.lower()} placed, {row.product}, lot {row.lot}"


def _decision_words(row: ReviewEntry, _number: Callable[[str], str]) -> str:
    seen = "; ".join(signs()[key].text for key in row.signs)
    return f"decided: {row.get_decision_display().lower()}{f' ({seen})' if seen else ''}"


_WORDS: dict[ReviewAct, Callable[[ReviewEntry, Callable[[str], str]], str]] = {
    A.SEEN: _seen_words,
    A.SPOT: lambda row, _n: (
        f"pressure spot, {row.place}, {'relieved' if row.relieved else 'not relieved'}"
    ),
    A.LINER: _liner_words,
    A.RECORD: lambda row, _n: f"record in the mouth, {row.product}",
    A.MOUNTED: lambda row, _n: f"mounted on the record, {mm(row.agreement_mm)} off",
    A.PASS: _pass_words,
    A.REDUCTION: _adjusted_words,
    A.DECISION: _decision_words,
    A.DONE: lambda row, _n: (
        f"{row.get_decision_display().lower()} done, {row.product}, lot {row.lot}"
    ),
}
