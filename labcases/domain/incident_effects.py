"""What a report sets off beside what it takes back: a hold, a day, a question, silence."""

from __future__ import annotations

from labcases.domain import box as boxes
from labcases.domain import case as cases
from labcases.domain import ending, foreseeing, question, stages, teeth, tooth_orders, versions
from labcases.domain.foreseeing import Foreseen
from labcases.enums import Allergy, IncidentEffect, OpposingTooth, Side, Stage
from labcases.models import Case, Incident, User
from labcases.reference.incidents import Kind, kinds
from labcases.templatetags.units import long_date

# What a question names of the field that a revision is asked for.
ABOUT: dict[str, str] = {
    "teeth": "the teeth to be replaced",
    "opposing": "the opposing teeth",
    "shade": "the shade",
    "mould": "the mould",
    "allergy": "the allergy",
}
IN_WORDS = "the case"
HOLDS, LATER = "hold", "later"
LONGEST = 1000
NOTE = 200


def kind_of(case: Case, tooth: str) -> OpposingTooth:
    return teeth.kind(case.prescription, tooth)


def follow(*, case: Case, row: Incident, foreseen: Foreseen, by: User) -> None:
    """Do what the kind of a report sets off. Call it inside the report's transaction."""
    kind = kinds()[row.kind]
    if foreseeing.asks_the_dentist(kind, foreseen.way):
        _ask(case, row, kind, foreseen, by)
    if kind.effect == IncidentEffect.FREEZE:
        _rest(case, f"{kind.title}: two people look again", by, dates=False)
    elif kind.effect == IncidentEffect.POSTPONE:
        cases.set_surgery(case=case, version=_version(case), on=row.new_day, by=by)
    elif kind.effect in (IncidentEffect.STOP, IncidentEffect.SILENCE):
        _stop(case, row, kind, foreseen, by)
    elif kind.effect == IncidentEffect.LOST_BOX:
        _lose_the_box(case, row, by)
    elif kind.effect == IncidentEffect.ONE_TOOTH:
        tooth_orders.ground_through(case=case, teeth=row.teeth, by=by, why=_reason(kind))
    elif kind.effect == IncidentEffect.NOT_TO_BE_HAD:
        answer = tooth_orders.hold_up if row.answer == LATER else tooth_orders.cancel_orders
        answer(case=case, by=by, why=row.text)


def _lose_the_box(case: Case, row: Incident, by: User) -> None:
    """Report the one box that is on its way; of several, the page of boxes says which it was."""
    on_the_way = list(case.boxes.filter(sent_at__isnull=False, received_at=None, trouble=""))
    if len(on_the_way) == 1:
        boxes.report_lost(box=on_the_way[0], note=row.text[:NOTE], by=by)


def _ask(case: Case, row: Incident, kind: Kind, foreseen: Foreseen, by: User) -> None:
    """Ask the dentist; the case waits. A revision is asked for where it is not too late."""
    about = ABOUT[foreseen.way.revision] if foreseen.way.revision else IN_WORDS
    said = [f"{kind.title}."]
    if row.answer_words:
        said.append(f"{row.answer_words}.")
    if row.teeth:
        said.append(f"Tooth: {foreseeing.tooth_words(row.teeth)}.")
    if row.allergy:
        said.append(f"Named: {row.allergy}. Which materials stay?")
    if foreseen.way.revision:
        said.append("Please decide by a revision of the prescription, or answer in words.")
    else:
        said.append("It is too late for a revision: please say what is to be done.")
    said.append(row.text)
    asked = question.ask(
        case=case,
        about=about,
        text=_short(" ".join(said)),
        waits_for=Side.OFFICE,
        clinical=True,
        tooth=row.teeth[0] if len(row.teeth) == 1 else "",
        by=by,
    )
    Incident.objects.filter(pk=row.pk).update(question=asked)


def _short(text: str) -> str:
    """A question takes 1000 characters; the whole of it stands in the report."""
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 4]} ..."


def _stop(case: Case, row: Incident, kind: Kind, foreseen: Foreseen, by: User) -> None:
    if kind.effect == IncidentEffect.SILENCE:
        _silence(case, by)
        for other in others_of_patient(case):
            _silence(other, by)
            if other.is_open:
                _rest(other, _reason(kind), by)
        case.refresh_from_db()
    if foreseen.to == Stage.CANCELLED and foreseen.at != Stage.CANCELLED:
        stages.move(case=case, to=Stage.CANCELLED, by=by, reason=_reason(kind))
    elif row.answer == HOLDS and case.is_open:
        _rest(case, _reason(kind), by)


def others_of_patient(case: Case) -> list[Case]:
    """Other cases under the same patient code of the office."""
    return list(Case.objects.filter(patient=case.patient_id).exclude(pk=case.pk).order_by("pk"))


def _silence(case: Case, by: User) -> None:
    """Nothing about the patient leaves any more; an open case beside this one rests."""
    versions.save_row(
        row=case,
        version=_version(case),
        by=by,
        case=case,
        part="case",
        act="silenced",
        values={"silent": True},
    )
    ending.drop_appointments(case=case, by=by, why="the case has stopped")


def _reason(kind: Kind) -> str:
    return f"{kind.title}."


def _rest(case: Case, reason: str, by: User, *, dates: bool = True) -> None:
    if case.on_hold:
        return
    case.refresh_from_db()
    cases.hold(case=case, reason=reason[:200], by=by, drop_dates=dates)
    case.refresh_from_db()


def _version(case: Case) -> int:
    return Case.objects.values_list("version", flat=True).get(pk=case.pk)


def unfollow(*, row: Incident, by: User) -> None:
    """Lift the silence of a death that was reported wrongly; nothing else comes back."""
    silences = [key for key, kind in kinds().items() if kind.effect == IncidentEffect.SILENCE]
    case = Case.objects.get(pk=row.case_id)
    deaths = Incident.objects.filter(
        case__patient=case.patient_id, kind__in=silences, struck_at__isnull=True
    )
    if row.kind not in silences or deaths.exists():
        return
    for one in (case, *others_of_patient(case)):
        versions.save_row(
            row=one,
            version=one.version,
            by=by,
            case=one,
            part="case",
            act="no longer silenced",
            values={"silent": False},
        )


def late_allergies(case: Case) -> list[Incident]:
    """Allergies that were reported and that no signed prescription names yet, the oldest first.

    They stand in the safety strip until the report is struck out, or closed while the
    prescription in force lists an allergy.
    """
    told = [key for key, kind in kinds().items() if kind.effect == IncidentEffect.ALLERGY]
    rows = case.incidents.filter(kind__in=told, struck_at__isnull=True).select_related("by")
    listed = case.prescription.allergy == Allergy.LISTED
    return [row for row in rows if not (listed and row.closed_at)]


def late_words(case: Case) -> list[str]:
    """The same as the safety strip of screens and papers says it."""
    return [
        f"{row.allergy}, reported {long_date(row.at)} by {row.by}, not signed"
        for row in late_allergies(case)
    ]
