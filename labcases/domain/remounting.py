"""Sending a mounting back: for a new mounting, or for a new jaw record, each with a reason."""

from __future__ import annotations

from labcases.domain import history, mounting, stages, undoing
from labcases.domain.taking_back import EMPTY_MOUNTING, EMPTY_RECORD
from labcases.enums import ReturnTo, Stage
from labcases.models import Case, Mounting, User

#: Later, the case first comes back by its own ways: the try-in, or from the final wax.
WHILE = (Stage.MOUNTING, Stage.SETTINGS, Stage.SET_UP)

GOES_TO = {ReturnTo.NEW_MOUNTING: Stage.MOUNTING, ReturnTo.NEW_RECORD: Stage.JAW_RECORDS}

#: The reason is also why lines of logs are struck out, beside what follows.
LONGEST_REASON = 180


class NotSentBack(Exception):
    """The mounting stays as it is; the text says why and what to do."""


def send_back(*, case: Case, to: ReturnTo, reason: str, version: int, by: User) -> Case:
    """Take the mounting back, keep it as history, and bring the case to where it is made anew.

    What stood on it no longer counts: its verification, passes and pin readings of the
    set-up, and check records (``domain.undoing``).

    Parameters
    ----------
    case : Case
        Its mounting is sent back.
    to : ReturnTo
        Mount again by the same record, or take a new record first.
    reason : str
        Why, in the words of the person.
    version : int
        Version of the mounting that the person had on the page.
    by : User
        Who sends it back.

    Raises
    ------
    NotSentBack
        There is no mounting, it changed meanwhile, or the case stands elsewhere.
    ValueError
        No reason is given.
    """
    if not reason.strip():
        raise ValueError("Give the reason why the mounting is sent back.")
    why = f"{to.label.lower()}: {reason.strip()}"
    with history.turn(case):
        fresh = Case.objects.select_for_update().get(pk=case.pk)
        row = Mounting.objects.select_for_update().filter(case=fresh).first()
        if row is None or not mounting.has_anything(row):
            raise NotSentBack("Nothing is mounted yet. Enter the mounting first.")
        if fresh.stage not in WHILE:
            raise NotSentBack(
                f"The case stands at {fresh.get_stage_display().lower()}. A mounting is sent back "
                "from the mounting, the settings or the set-up: bring the case back there first."
            )
        if row.version != version:
            raise NotSentBack(
                f"{row.changed_by} changed the mounting while you read it. Look at it again."
            )
        undoing.take_back(
            case=fresh,
            fields=("jaw_record",),
            by=by,
            why=why,
            mounting_too=EMPTY_MOUNTING | (EMPTY_RECORD if to == ReturnTo.NEW_RECORD else {}),
            asked=to,
        )
        history.write(
            case=fresh,
            by=by,
            act="sent back",
            part="mounting",
            changes={"mounting": [row.number, to.label.lower()]},
            reason=reason.strip(),
        )
        stages.bring_back(case=fresh, to=GOES_TO[to], by=by, because=f"a {to.label.lower()}")
    case.refresh_from_db()
    return case
