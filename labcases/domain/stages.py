"""The stages of a case. The only place where a stage changes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from labcases.domain import access, bench_check, ending, gates, history, on_paper, undoing
from labcases.domain import proposal_reading as proposals
from labcases.domain import question as asking
from labcases.domain.delivered import settled_unreported
from labcases.domain.gates import Missing
from labcases.enums import (
    ENDED_EARLY,
    ENDS,
    BoxDirection,
    PrescriptionStatus,
    ReturnTo,
    Route,
    SetUpOrder,
    Side,
    Stage,
)
from labcases.models import Case, Question, TryIn, User

S = Stage

_MAIN = (
    (S.DRAFT, S.SENT),
    (S.SENT, S.ACCEPTED),
    (S.SENT, S.DECLINED),
    (S.ACCEPTED, S.TRAY),
    (S.ACCEPTED, S.MASTER_CAST),
    (S.TRAY, S.MASTER_CAST),
    (S.MASTER_CAST, S.JAW_RECORDS),
    (S.JAW_RECORDS, S.MOUNTING),
    (S.MOUNTING, S.SETTINGS),
    (S.MOUNTING, S.JAW_RECORDS),
    (S.SETTINGS, S.SET_UP),
    (S.SETTINGS, S.MOUNTING),
    (S.SET_UP, S.FINAL_WAX),
    (S.SET_UP, S.SETTINGS),
    (S.FINAL_WAX, S.PROCESSING),
    (S.FINAL_WAX, S.SET_UP),
    (S.PROCESSING, S.REMOUNT),
    (S.REMOUNT, S.FINISHING),
    (S.FINISHING, S.RELEASED),
    (S.RELEASED, S.DISPATCHED),
    (S.DISPATCHED, S.RECEIVED),
    (S.RECEIVED, S.DELIVERED),
    (S.DELIVERED, S.IN_REVIEW),
    (S.IN_REVIEW, S.CLOSED),
    *((stage, S.CANCELLED) for stage in S if stage not in ENDS),
)
_TRY_IN = ((S.SET_UP, S.TRY_IN), (S.TRY_IN, S.SET_UP), (S.TRY_IN, S.JAW_RECORDS))

# Teeth stand in both segments on the interim route, so no try-in exists there. With the
# anterior teeth set first, both parts may be ready at the try-in and it can end in final wax.
TRANSITIONS: dict[tuple[Route, SetUpOrder], frozenset[tuple[Stage, Stage]]] = {
    (Route.CONVENTIONAL, SetUpOrder.POSTERIOR_FIRST): frozenset((*_MAIN, *_TRY_IN)),
    (Route.CONVENTIONAL, SetUpOrder.ANTERIOR_FIRST): frozenset(
        (*_MAIN, *_TRY_IN, (S.TRY_IN, S.FINAL_WAX))
    ),
    (Route.INTERIM, SetUpOrder.POSTERIOR_FIRST): frozenset(_MAIN),
    (Route.INTERIM, SetUpOrder.ANTERIOR_FIRST): frozenset(_MAIN),
}

# The act of the access table that moves a case into a stage.
MOVED_BY: dict[Stage, str] = {
    S.SENT: "send the case",
    S.ACCEPTED: "bench work",
    S.TRAY: "bench work",
    S.MASTER_CAST: "bench work",
    S.JAW_RECORDS: "bench work",
    S.MOUNTING: "bench work",
    S.SETTINGS: "bench work",
    S.SET_UP: "bench work",
    S.TRY_IN: "bench work",
    S.FINAL_WAX: "bench work",
    S.PROCESSING: "bench work",
    S.REMOUNT: "bench work",
    S.FINISHING: "bench work",
    S.RELEASED: "release",
    S.DISPATCHED: "dispatch",
    S.RECEIVED: "receive",
    S.DELIVERED: "record a delivery",
    S.IN_REVIEW: "record a delivery",
    S.CLOSED: "record a delivery",
    S.DECLINED: "decline a case",
    S.CANCELLED: "cancel a case",
}

# A case that is signed on paper came with its paper, so the laboratory may enter it as sent.
ON_PAPER = "send a case signed on paper"


def moved_by(case: Case, to: Stage) -> str:
    """The act that moves this case into a stage."""
    if to == S.SENT and on_paper.of_revision(case.prescription):
        return ON_PAPER
    return MOVED_BY[to]


# What an office sees of a stage, in plain words.
PLAIN: dict[Stage, str] = {
    S.DRAFT: "with us",
    S.SENT: "on the way",
    S.JAW_RECORDS: "with us",
    S.TRY_IN: "with us",
    S.DISPATCHED: "coming back",
    S.RECEIVED: "here",
    S.DELIVERED: "here",
    S.IN_REVIEW: "here",
    S.CLOSED: "here",
    S.DECLINED: "with us",
    S.CANCELLED: "with us",
}

_ORDER = {stage: place for place, stage in enumerate(S)}


class Refused(Exception):
    """The case stays where it is. ``items`` say what is missing."""

    def __init__(self, text: str, items: list[Missing] | None = None) -> None:
        super().__init__(text)
        self.items = items or []


class NotAllowed(Refused):
    """The person may not make this move, whatever is filled in."""


class SomebodyWasFaster(Refused):
    """Another person moved the case in the meantime."""


@dataclass(frozen=True)
class Way:
    """One stage that a case can go to now, and what it lacks for that."""

    to: Stage
    act: str
    allowed: bool
    back: bool
    missing: list[Missing]

    @property
    def open(self) -> bool:
        return not self.missing

    @property
    def passable(self) -> bool:
        """Somebody may go on without the missing things, with a reason."""
        return bool(self.missing) and all(item.passable for item in self.missing)

    @property
    def passes(self) -> frozenset[str]:
        """The acts of the access table that go on without everything that is missing."""
        return frozenset(item.passable for item in self.missing if item.passable)


def plain_state(case: Case) -> str:
    return PLAIN.get(Stage(case.stage), "at the laboratory")


def stage_words(case: Case) -> str:
    """The stage as a reader knows it: what is signed and not sent is no draft any more."""
    if case.stage == S.DRAFT and case.prescription.status == PrescriptionStatus.SIGNED:
        return "Signed, not sent"
    if case.stage == S.DELIVERED and settled_unreported(case):
        return "Delivered, not reported"
    return str(case.get_stage_display())


def waiting_for(case: Case) -> Side | None:
    """Who must answer before the case goes on, if anybody."""
    found = open_questions(case)
    if found:
        return Side(found[0].waits_for)
    return Side.OFFICE if proposals.blocking(case) else None


def open_questions(case: Case) -> list[Question]:
    """Questions for which the case waits, the oldest first."""
    threads = getattr(case, asking.THREADS, None)
    rows = case.questions.all() if threads is None else threads
    return [question for question in rows if question.waits and question.blocking]


def next_stages(case: Case) -> list[Stage]:
    row = case.prescription
    table = TRANSITIONS[Route(row.route), SetUpOrder(row.set_up_order)]
    found = [to for origin, to in table if origin == case.stage]
    return sorted(found, key=lambda stage: _ORDER[stage])


def missing(case: Case, to: Stage) -> list[Missing]:
    """Everything that keeps a case from going to a stage, as sentences."""
    if to in ENDED_EARLY:
        return []
    found: list[Missing] = []
    if case.on_hold:
        rests = ending.keeps_at_rest(case)
        found.append(
            Missing(rests, "incidents")
            if rests
            else Missing("The case is on hold. Take it off hold first.", "case", "hold")
        )
    found += [Missing(asking.waits_in_words(row), "questions") for row in open_questions(case)]
    found += [Missing(text, "proposals") for text in proposals.waits_in_words(case)]
    back = (Stage(case.stage), to)
    checks = gates.WAYS_BACK[back] if back in gates.WAYS_BACK else gates.GATES.get(to, ())
    onward = gates.ONWARD if _ORDER[to] > _ORDER[Stage(case.stage)] else ()
    for check in (*onward, *checks):
        found.extend(check(case))
    return found


def ways(case: Case, user: User) -> list[Way]:
    """The moves out of the present stage, for the page of a case."""
    held = access.acts(user, case)
    return [
        Way(
            to=to,
            act=moved_by(case, to),
            allowed=moved_by(case, to) in held,
            back=case.stage != S.TRY_IN and (Stage(case.stage), to) in gates.WAYS_BACK,
            missing=missing(case, to),
        )
        for to in next_stages(case)
    ]


def move(
    *,
    case: Case,
    to: Stage,
    by: User,
    reason: str = "",
    seen: Stage | None = None,
    lent: frozenset[str] = frozenset(),
) -> Case:
    """Bring a case to another stage, or refuse in words.

    Parameters
    ----------
    case : Case
        As the person saw it: its stage is the one that the move starts from.
    to : Stage
        Where it goes.
    by : User
        Who moves it.
    reason : str
        Needed to pass a gate that may be passed, and to decline or cancel; it is kept
        in the history and printed on later papers.
    seen : Stage, optional
        The stage that stood on the person's page; another one now is somebody's move.
    lent : frozenset of str, optional
        Acts that a signed paper lends to the person who confirmed it.

    Raises
    ------
    NotAllowed
        The access table does not give this move to the person.
    SomebodyWasFaster
        The case is no longer in the stage that the caller saw.
    Refused
        Something is missing; ``items`` name it.
    """
    origin = Stage(case.stage)
    if seen and seen != origin:
        raise _overtaken(origin)
    if to not in next_stages(case):
        raise Refused(f"A case in {origin.label.lower()} cannot go to {to.label.lower()}.")
    held = access.acts(by, case) | lent
    ends = to in ENDED_EARLY
    if moved_by(case, to) not in held and (ends or not held & gates.PASSES):
        raise NotAllowed(f"Your role does not move a case to {to.label.lower()}.")
    reason = reason.strip()
    if ends and not reason:
        raise Refused(f"Give the reason why the case is {to.label.lower()}.")
    with history.turn(case):
        fresh = Case.objects.select_for_update().get(pk=case.pk)
        if fresh.stage != origin:
            raise _overtaken(Stage(fresh.stage))
        if to not in next_stages(fresh):
            raise SomebodyWasFaster(
                "Somebody else was faster: another revision of the prescription is in force. "
                "Look at the case again before you go on."
            )
        items = missing(fresh, to)
        passed = bool(items) and bool(reason) and all(i.passable in held for i in items)
        if moved_by(fresh, to) not in held and not passed:
            raise NotAllowed(f"Your role does not move a case to {to.label.lower()}.")
        if items and not passed:
            raise Refused(_why_not(to, items, reason), items)
        now = timezone.now()
        written = Case.objects.filter(pk=case.pk, stage=origin).update(stage=to, stage_since=now)
        if not written:
            raise SomebodyWasFaster("Somebody else was faster. Look at the case again.")
        history.write(
            case=fresh,
            by=by,
            act="passed a gate" if passed else "moved",
            part="stage",
            changes={"stage": [origin.label, to.label]},
            reason=_passed_text(items, reason) if passed else reason,
            row=history.kept(fresh, {"stage": to, "stage_since": now}, version=fresh.version),
        )
        with history.consequences():
            _enter(fresh, to, by)
    case.refresh_from_db()
    return case


def bring_back(
    *, case: Case, to: Stage | None, by: User, revision: int = 0, because: str = ""
) -> None:
    """Take a case back to a stage because something undid what followed it.

    By default that is a signed ``revision``; ``because`` names anything else.
    """
    if to is None or _ORDER[Stage(case.stage)] <= _ORDER[to]:
        return
    with history.turn(case):
        origin = Stage(case.stage)
        Case.objects.filter(pk=case.pk).update(stage=to, stage_since=timezone.now())
        history.write(
            case=case,
            by=by,
            act="brought back",
            part="stage",
            changes={"stage": [origin.label, to.label]},
            reason=because or f"revision {revision} of the prescription",
        )
    case.refresh_from_db()


def step_back(*, case: Case, to: Stage, since: datetime) -> None:
    """Put a case where it was before a move that is undone.

    Call it inside the transaction of the undo, which has asked whether anything stands on it
    and writes the entry (``domain/undo.py``).
    """
    Case.objects.filter(pk=case.pk, stage=case.stage).update(stage=to, stage_since=since)


def _overtaken(now: Stage) -> SomebodyWasFaster:
    return SomebodyWasFaster(
        f"Somebody else was faster: the case now stands at {now.label.lower()}. Look at it again "
        "before you go on."
    )


def _why_not(to: Stage, items: list[Missing], reason: str) -> str:
    if items and all(item.passable for item in items) and not reason:
        return (
            f"Not ready for {to.label.lower()}. Mend what is listed, or let someone who may go "
            "on without it give a reason."
        )
    return f"Not ready for {to.label.lower()}. Mend what is listed."


def _passed_text(items: list[Missing], reason: str) -> str:
    return f"{reason} (open: {' '.join(item.text for item in items)})"


def _enter(case: Case, to: Stage, by: User) -> None:
    """What goes with entering a stage, in the same transaction."""
    now = timezone.now()
    if to in ENDED_EARLY:
        ending.drop_appointments(case=case, by=by, why=f"the case is {to.label.lower()}")
    elif to == S.SENT:
        case.boxes.filter(direction=BoxDirection.TO_LABORATORY, sent_at__isnull=True).update(
            sent_at=now, sent_by=by
        )
    elif to == S.DISPATCHED:
        case.boxes.filter(direction=BoxDirection.TO_OFFICE, sent_at__isnull=True).update(
            sent_at=now, sent_by=by
        )
    elif to == S.JAW_RECORDS:
        # On the way back: what was set on the old record is done again on the new one.
        undoing.take_back(
            case=case,
            fields=("jaw_record",),
            by=by,
            why="a new jaw record",
            asked=ReturnTo.NEW_RECORD,
        )
    elif to == S.TRY_IN:
        row = TryIn.objects.create(
            case=case,
            number=case.try_ins.count() + 1,
            revision=case.prescription.revision,
            changed_by=by,
        )
        bench_check.bind(case, row)
