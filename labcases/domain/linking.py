"""Linking the cases of two arches, opening the second one, and unlinking them."""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from labcases.domain import access, history, pairs, prescription, versions
from labcases.domain import case as cases
from labcases.domain.defaults import COPIED
from labcases.domain.teeth import other_arch
from labcases.enums import ENDS, Flange
from labcases.models import Case, CaseLink, Prescription, User

CARRIED = (
    *COPIED,
    *("route", "shade", "shade_light", "mould_form", "jaw_record", "vertical_wish"),
    *("vertical_rest_mm", "vertical_occlusion_mm", "vertical_read_at", "overjet_mm"),
    *("overbite_mm", "interalar_mm", "canine_lines_mm", "allergy", "allergy_text"),
)
"""Said once of a mouth, and asked for no second time; the dentist signs it again."""

ONE_ARCH = frozenset({"post_dam", "lower_border"})


class CannotLink(Exception):
    """These two cases are not linked, and why."""


LINKED_NO_MORE = "This case is linked with no other any more."


def candidates(case: Case, user: User) -> list[Case]:
    """Open cases of the same patient, office and laboratory that are not linked yet."""
    found = list(
        access.visible_cases(user)
        .filter(patient=case.patient_id, office=case.office_id, laboratory=case.laboratory_id)
        .exclude(pk=case.pk)
        .exclude(stage__in=ENDS)
        .prefetch_related("prescriptions")
        .order_by("pk")
    )
    pairs.fetch_links(found)
    return [one for one in found if pairs.other(one) is None]


def link(*, case: Case, other: Case, by: User) -> CaseLink:
    """Link two cases of one patient; one without a surgery day takes that of the other.

    Raises
    ------
    CannotLink
        They do not belong together, or one is linked already.
    """
    with history.turn(case):
        case, other = (Case.objects.select_for_update().get(pk=one.pk) for one in (case, other))
        _refuse(case, other)
        first, second = sorted((case, other), key=lambda one: one.pk)
        made = CaseLink.objects.create(first=first, second=second, by=by)
        for one, beside in ((case, other), (other, case)):
            history.write(
                case=one, by=by, act="linked", part="case", reason=f"with {pairs.named(beside)}"
            )
            if one.surgery_on is None and beside.surgery_on is not None:
                versions.save_row(
                    row=one,
                    version=one.version,
                    by=by,
                    case=one,
                    part="dates",
                    reason=f"the day of case {pairs.named(beside)}",
                    values={"surgery_on": beside.surgery_on},
                )
    return made


def _refuse(case: Case, other: Case) -> None:
    if case.pk == other.pk:
        raise CannotLink("A case is not linked with itself. Choose the case of the other arch.")
    if (case.patient_id, case.office_id, case.laboratory_id) != (
        other.patient_id,
        other.office_id,
        other.laboratory_id,
    ):
        raise CannotLink(
            "Only cases of one patient, at one office and one laboratory, are linked. Choose one "
            "of the list."
        )
    for one in (case, other):
        if one.stage in ENDS:
            raise CannotLink(
                f"Case {pairs.named(one)} has ended ({one.get_stage_display().lower()}). Only open "
                "cases are linked."
            )
        if beside := pairs.other(one):
            raise CannotLink(
                f"Case {pairs.named(one)} is linked with case {pairs.named(beside)} already. "
                "Unlink them first, with a reason."
            )
    if case.prescription.arch == other.prescription.arch:
        raise CannotLink(
            f"Both cases are for the {case.prescription.arch} arch. Linked cases make one denture "
            "each, upper and lower: correct the arch of the wrong one first."
        )
    days = case.surgery_on, other.surgery_on
    if None not in days and case.surgery_on != other.surgery_on:
        raise CannotLink(
            f"The surgery day is {case.surgery_on:%d-%b-%Y} in case {pairs.named(case)} and "
            f"{other.surgery_on:%d-%b-%Y} in case {pairs.named(other)}. Linked cases share one "
            "day: move one of them first."
        )


def unlink(*, case: Case, reason: str, by: User) -> CaseLink:
    """Take a link apart, with a reason that stands in both histories.

    Raises
    ------
    CannotLink
        The case is not linked any more.
    ValueError
        No reason is given.
    """
    if not reason.strip():
        raise ValueError("Give the reason why the cases are unlinked.")
    with history.turn(case):
        made = pairs.link_of(Case.objects.get(pk=case.pk))
        if made is None:
            raise CannotLink(LINKED_NO_MORE)
        made.struck_at, made.struck_by, made.struck_reason = timezone.now(), by, reason.strip()
        made.save(update_fields=["struck_at", "struck_by", "struck_reason"])
        for one, beside in ((made.first, made.second), (made.second, made.first)):
            history.write(
                case=one,
                by=by,
                act="unlinked",
                part="case",
                changes={"linked with": [pairs.named(beside), ""]},
                reason=reason.strip(),
            )
    return made


def open_other(*, case: Case, by: User) -> Case:
    """Open the case of the other arch, linked, with what was said once of this mouth.

    Raises
    ------
    CannotLink
        The case is linked already, or has ended.
    labcases.domain.case.NotLinked
        The laboratory takes no more cases of this office.
    """
    with history.turn(case):
        if case.stage in ENDS:
            raise CannotLink("This case has ended. The other arch is a case of its own.")
        if beside := pairs.other(Case.objects.get(pk=case.pk)):
            raise CannotLink(
                f"The other arch is open already: case {pairs.named(beside)} is linked."
            )
        opened = cases.open_case(
            office=case.office,
            laboratory=case.laboratory,
            patient_code=case.patient.code,
            surgery_on=case.surgery_on,
            by=by,
        )
        row = opened.prescription
        prescription.save(row=row, version=row.version, by=by, values=_carried(case.prescription))
        link(case=case, other=opened, by=by)
    return Case.objects.get(pk=opened.pk)


def _carried(row: Prescription) -> dict[str, Any]:
    said = {
        field: getattr(row, field)
        for field in CARRIED
        if field not in ONE_ARCH and getattr(row, field) not in (None, "", [], "not asked")
    }
    if said.get("flange") == Flange.SOCKETED:
        del said["flange"]  # Open-face teeth are for an upper denture only.
    chart = pairs.opposing_chart(row)
    met = {"opposing": chart, "opponent": pairs.made(row).value} if chart else {}
    return {**said, "arch": other_arch(row.arch), **met}
