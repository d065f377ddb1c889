"""Making a denture again: a new case in place of an older one, with the reason of it.

Not the link of two arches (``domain/linking.py``): these two cases are of one arch, one after the
other, and share no day.
"""

from __future__ import annotations

from django.core.exceptions import ObjectDoesNotExist

from labcases import codes
from labcases.domain import case as cases
from labcases.domain import defaults, history, prescription
from labcases.enums import Stage
from labcases.models import Case, Remake, User
from labcases.reference.reviews import OTHER, remake_reasons

FROM = (
    *(Stage.PROCESSING, Stage.REMOUNT, Stage.FINISHING, Stage.RELEASED, Stage.DISPATCHED),
    *(Stage.RECEIVED, Stage.DELIVERED, Stage.IN_REVIEW, Stage.CLOSED),
)
"""From the processing on a change is a new case; before that it is a revision."""

CARRIED = ("arch", "shade", "shade_light", "mould_form")
"""Beside what is copied from any earlier case: the same arch of the same mouth."""


class NotRemade(Exception):
    """No case is opened; the text says why and what to do."""


def why_not(case: Case) -> str:
    """Why no remake can be opened from this case, in words; else nothing."""
    if case.stage not in FROM:
        return (
            f"The case stands at {case.get_stage_display().lower()}. Until the processing a change "
            "is the next revision of its prescription."
        )
    if any(one.case.is_open for one in remakes_of(case)):
        return "A remake of this denture is open already. Go on with that case."
    return ""


def remakes_of(case: Case) -> list[Remake]:
    """Cases that are made in place of this one."""
    return list(case.remakes.select_related("case", "by"))


def made_from(case: Case) -> Remake | None:
    """What a case is a remake of, if it is one."""
    try:
        found: Remake = case.remake_of
    except ObjectDoesNotExist:
        return None
    return found


def open_remake(*, case: Case, reason: str, words: str, by: User) -> Case:
    """Open the case of the new denture, with the choices of the old prescription in its draft.

    Teeth, measures and allergy are asked anew, as in any case.

    Raises
    ------
    NotRemade
        The denture is not in processing yet, a remake is open, or the reason is not said.
    labcases.domain.case.NotLinked
        The laboratory takes no more cases of this office.
    """
    words = words.strip()
    if reason not in remake_reasons():
        raise NotRemade("Choose the reason.")
    if reason == OTHER and not words:
        raise NotRemade("Say the reason in words.")
    with history.turn(case):
        old = Case.objects.select_for_update().get(pk=case.pk)
        if refusal := why_not(old):
            raise NotRemade(refusal)
        opened = cases.open_case(
            office=old.office, laboratory=old.laboratory, patient_code=old.patient.code, by=by
        )
        made = Remake.objects.create(case=opened, old=old, reason=reason, words=words, by=by)
        said = reason_words(made)
        history.write(
            case=old,
            by=by,
            act="remade",
            part="case",
            changes={"remake": [None, codes.grouped(opened.code)]},
            reason=said,
        )
        history.write(
            case=opened,
            by=by,
            act="opened as a remake",
            part="case",
            changes={"remake": [None, codes.grouped(old.code)]},
            reason=said,
        )
        _fill(opened, old, by)
    return Case.objects.get(pk=opened.pk)


def reason_words(made: Remake) -> str:
    told = remake_reasons().get(made.reason, made.reason)
    return f"{told}. {made.words}" if made.words else told


def _fill(opened: Case, old: Case, by: User) -> None:
    row, signed = opened.prescription, old.prescription
    carried = {name: value for name in CARRIED if (value := getattr(signed, name))}
    saved = prescription.save(row=row, version=row.version, by=by, values=carried)
    try:
        defaults.copy(row=saved, version=saved.version, of=old, by=by)
    except defaults.NothingToUse:
        return  # Both say the same already, or the copy is not for this person.
