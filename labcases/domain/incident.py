"""Reporting what went wrong: it brings the case back, takes back, tells, and is closed later."""

from __future__ import annotations

from django.utils import timezone

from labcases.domain import access, casts, foreseeing, history, identity, stages, taking_back
from labcases.domain import incident_effects as effects
from labcases.domain.foreseeing import Foreseen, Report
from labcases.domain.striking import AlreadyStruck, strike_out
from labcases.enums import CastState, IncidentEffect, OpposingTooth, Side, Stage
from labcases.models import Case, Incident, IncidentRead, User
from labcases.reference.incidents import kinds

__all__ = ["AlreadyStruck"]

PART = "incidents"


class NotReportable(Exception):
    """It cannot have happened now, or not to the eyes of this person; the text says why."""


class ReportedMeanwhile(Exception):
    """Somebody moved the case, or reported something of it, after the page was made."""

    def __init__(self, text: str, incidents: list[Incident]) -> None:
        super().__init__(text)
        self.incidents = incidents


class AlreadyClosed(Exception):
    """Somebody closed it, or struck it out, before."""


def last_of(case: Case) -> int:
    """The last report of a case, so that a page can say which ones it was made with."""
    row = case.incidents.order_by("id").last()
    return row.pk if row else 0


def foresee(*, case: Case, report: Report, by: User) -> Foreseen:
    """What the report would do.

    Raises
    ------
    NotReportable
        Not at this stage, not by this person, or not with these details.
    """
    kind = report.kind
    ways = foreseeing.ways_of(by, case, kind)
    if not ways:
        raise NotReportable(
            f"{kind.title}: this is not reported at {stages.stage_words(case).lower()}, or not by "
            "your role. Choose what else happened, or ask the other house."
        )
    answers = kind.answers_at(ways, Stage(case.stage))
    if answers and report.answer not in answers:
        raise NotReportable(f"{kind.question}? Choose: {'; '.join(answers.values())}.")
    way = foreseeing.way_for(ways, report.answer)
    if way is None:
        raise NotReportable(f"{kind.question}? Choose: {'; '.join(answers.values())}.")
    _denture_teeth_only(case, report)
    return foreseeing.foresee(case=case, report=report, way=way)


def _denture_teeth_only(case: Case, report: Report) -> None:
    """What is ground through is a denture tooth; a natural one is no object of a reduction."""
    if report.kind.key != "perforated-tooth":
        return
    odd = [tooth for tooth in report.teeth if effects.kind_of(case, tooth) != OpposingTooth.DENTURE]
    if odd:
        raise NotReportable(
            f"{foreseeing.tooth_words(odd)}: no denture tooth of this case. Enter a denture tooth; "
            "for a natural tooth ask the dentist."
        )


def report(*, case: Case, report: Report, seen: Stage, seen_last: int, by: User) -> Incident:
    """Write what happened, and do everything that follows from it, in one act.

    Parameters
    ----------
    case : Case
        The case.
    report : Report
        What the person says.
    seen : Stage
        Where the case stood on the person's page.
    seen_last : int
        The last report that stood there (``last_of``).
    by : User
        Who reports it.

    Raises
    ------
    ReportedMeanwhile
        Another report or move came first. Nothing was written.
    NotReportable
        It cannot be reported now, or not by this person.
    """
    with history.turn(case):
        fresh = Case.objects.select_for_update().get(pk=case.pk)
        _nobody_came_first(fresh, seen, seen_last)
        foreseen = foresee(case=fresh, report=report, by=by)
        row = _write(fresh, report, foreseen, by)
        why = f"incident: {row.title[:1].lower()}{row.title[1:]}"
        with history.consequences():
            taking_back.take_back(case=fresh, things=foreseen.things, by=by, why=why)
            if report.cast and report.kind.key == "broken-cast":
                casts.look_at(cast=report.cast, by=by, values={"state": CastState.BROKEN})
            if foreseen.moves and foreseen.to != Stage.CANCELLED:
                stages.bring_back(case=fresh, to=foreseen.to, by=by, because=f"an {why}")
            effects.follow(case=fresh, row=row, foreseen=foreseen, by=by)
        row.refresh_from_db()
        IncidentRead.objects.create(incident=row, user=by)
    case.refresh_from_db()
    return row


def _nobody_came_first(case: Case, seen: Stage, seen_last: int) -> None:
    newer = list(case.incidents.filter(pk__gt=seen_last).select_related("by"))
    if newer:
        first = newer[0]
        raise ReportedMeanwhile(
            f"{first.by} reported something of this case first: {first.title}. Nothing of yours "
            "is saved. Read it, and report yours only if it is something else.",
            newer,
        )
    if case.stage != seen:
        raise ReportedMeanwhile(
            f"The case now stands at {case.get_stage_display().lower()}: somebody moved it while "
            "you wrote. Nothing of yours is saved. Read again what would follow.",
            [],
        )


def _write(case: Case, told: Report, foreseen: Foreseen, by: User) -> Incident:
    kind = told.kind
    sides = foreseeing.houses_of(by, case, kind)
    row = Incident.objects.create(
        case=case,
        by=by,
        kind=kind.key,
        title=kind.title,
        answer=told.answer,
        answer_words=kind.answers.get(told.answer, ""),
        text=told.text,
        teeth=told.teeth,
        cast=told.cast,
        allergy=told.allergy,
        new_day=told.new_day,
        stage_before=foreseen.at,
        stage_after=foreseen.to if foreseen.moves else foreseen.at,
        revision=foreseen.way.revision,
        undid=foreseen.undone,
        told=[str(side) for side in foreseen.told],
        days_lost=foreseen.days_lost,
        surgery_was=case.surgery_on,
        reported_from=Side.OFFICE if Side.OFFICE in sides else Side.LABORATORY,
    )
    history.write(
        case=case,
        by=by,
        act="reported",
        part=PART,
        changes={"what": [None, in_words(row)]},
        reason=told.text,
    )
    return row


def in_words(row: Incident) -> str:
    """What happened, in one line, for the history and for lists."""
    said = [row.title, row.answer_words.lower() if row.answer_words else ""]
    if row.teeth:
        said.append(foreseeing.tooth_words(row.teeth))
    if row.cast:
        said.append(casts.name_of(row.cast))
    if row.allergy:
        said.append(row.allergy)
    return ", ".join(part for part in said if part)


# -- afterwards --------------------------------------------------------------------------------


def close(*, incident: Incident, done: str, by: User) -> Incident:
    """Close a report with what was done about it.

    Raises
    ------
    ValueError
        Nothing is said of what was done.
    NotReportable
        It is in doubt whose case this is, and that is not settled.
    AlreadyClosed
        Somebody closed or struck it out first.
    """
    if not done.strip():
        raise ValueError("Write what was done about it.")
    _settled_first(incident)
    with history.turn(incident.case):
        written = Incident.objects.filter(
            pk=incident.pk, closed_at__isnull=True, struck_at__isnull=True
        ).update(closed_at=timezone.now(), closed_by=by, done=done.strip())
        if not written:
            raise AlreadyClosed("This report was closed or struck out already. Look at it again.")
        history.write(
            case=incident.case,
            by=by,
            act="closed",
            part=PART,
            changes={"what": [in_words(incident), done.strip()]},
        )
    incident.refresh_from_db()
    return incident


def strike(*, incident: Incident, reason: str, by: User) -> Incident:
    """Strike out a report that was wrong. What it took back stays taken back.

    A death that was reported wrongly lifts the silence, since nothing else would; the dates
    that it dropped, and an end, stay.

    Raises
    ------
    ValueError
        No reason is given.
    NotReportable
        It is in doubt whose case this is, and that is not settled.
    AlreadyStruck
        Somebody struck it out first.
    """
    _settled_first(incident)
    with history.turn(incident.case):
        row = strike_out(row=incident, part=PART, line=in_words(incident), reason=reason, by=by)
        effects.unfollow(row=row, by=by)
    return row


def _settled_first(incident: Incident) -> None:
    kind = kinds().get(incident.kind)
    if kind and kind.effect == IncidentEffect.FREEZE and not identity.settled(incident):
        raise NotReportable(
            f"{identity.lacks(incident)} Until then the report stays open and the case frozen."
        )


def may_strike(user: User, incident: Incident) -> bool:
    """One's own report, or any by those who may strike out any; only one that stands."""
    if incident.struck_at:
        return False
    own = incident.by_id == user.pk and access.may(user, "report an incident", incident.case)
    return own or access.may(user, "strike out any incident", incident.case)
