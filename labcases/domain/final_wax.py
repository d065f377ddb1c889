"""The final wax: what is decided of it, its two checklists, and the dentist's approval."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from django.utils import timezone

from labcases.domain import site_values, trimming, versions, wax_measures
from labcases.domain.cautions import PRACTICE, Caution
from labcases.domain.gates.missing import Missing
from labcases.enums import AttachmentKind, Flange, PhotographView
from labcases.enums.wax import WaxAnswer, WaxList
from labcases.models import Attachment, Case, FinalWax, SetUpEntry, SignedPaper, User
from labcases.reference.checklists import CheckLine, lines_of, wax_checklist
from labcases.templatetags.units import mm, signed_mm

PART = "final wax"
VIEWS = (PhotographView.FRONT, PhotographView.RIGHT, PhotographView.LEFT)
FLANGE_SITES = {
    "flange_right_mm": "right canine",
    "flange_front_mm": "midline",
    "flange_left_mm": "left canine",
}
#: What an approval says; a change of the wax takes it back.
NO_APPROVAL: dict[str, Any] = {
    "approved_at": None,
    "approved_by": None,
    "paper": None,
    "approved_digest": "",
    "trimming_approved": False,
    "approved_photographs": [],
    "approved_trims": [],
}


class NotReady(Exception):
    """There is nothing to approve yet; ``items`` say what the laboratory still does."""

    def __init__(self, items: list[Missing]) -> None:
        self.items = items
        super().__init__(
            "The laboratory has not finished the wax, so there is nothing to approve yet. "
            f"{' '.join(item.text for item in items)}"
        )


class OtherTrimming(Exception):
    """The trimming of the cast was logged otherwise while the page was open."""

    def __init__(self) -> None:
        super().__init__(
            "The set-up log says otherwise of the trimming of the cast than when you opened the "
            "page. Look at it below and approve it again."
        )


# -- saving --------------------------------------------------------------------------------------


def save(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> FinalWax:
    """Save the wax. A change after approval asks the dentist again."""
    # Read afresh: a form may have written the new values into the row that the case holds.
    row = FinalWax.objects.filter(case=case).first() or FinalWax(case=case)
    named = dict(values)
    if row.pk and row.approved_at and any(getattr(row, f) != v for f, v in values.items()):
        named |= NO_APPROVAL
    return versions.save_row(row=row, version=version, by=by, case=case, part=PART, values=named)


def save_list(
    *, case: Case, version: int, by: User, which: WaxList, values: Mapping[str, Any]
) -> FinalWax:
    """Save the answers of one checklist; those of the other stay."""
    row = FinalWax.objects.filter(case=case).first() or FinalWax(case=case)
    own = {line.key for line in lines_of(wax_checklist(which))}
    return save(
        case=case,
        version=version,
        by=by,
        values={
            name: {k: v for k, v in getattr(row, name).items() if k not in own} | values[name]
            for name in ("answers", "words")
        },
    )


def approve(
    *,
    case: Case,
    version: int,
    by: User,
    paper: SignedPaper | None = None,
    trims: list[int] | None = None,
) -> FinalWax:
    """The dentist approves wax and trimming by the photographs in view, for this revision.

    ``trims`` are the lines of the trimming that the person looked at, where that is known.

    Raises
    ------
    NotReady
        The laboratory has not finished the wax.
    OtherTrimming
        The trimming was logged otherwise since the person looked at it.
    labcases.domain.versions.EditConflict
        Somebody changed the wax since the person looked at it.
    """
    row: FinalWax = case.final_wax
    items = list(unfinished(case, row))
    if items and row.version == version:
        raise NotReady(items)
    if trims is not None and sorted(trims) != sorted(trimming.lines(case)):
        raise OtherTrimming
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part=PART,
        act="approved on paper" if paper else "approved",
        reason=paper.words if paper else "",
        values={
            "approved_at": timezone.now(),
            "approved_by": None if paper else by,
            "paper": paper,
            "approved_digest": case.prescription.digest,
            "trimming_approved": True,
            "approved_photographs": [photograph.pk for photograph in photographs(case)],
            "approved_trims": trimming.lines(case),
        },
    )


# -- photographs ---------------------------------------------------------------------------------


def photographs(case: Case) -> list[Attachment]:
    """Photographs of the wax in view, the oldest first."""
    # As a page has fetched them of many cases at once, or now.
    return [
        row
        for row in case.attachments.all()
        if row.removed_at is None and row.kind == AttachmentKind.FINAL_WAX
    ]


def views_lacking(case: Case) -> list[PhotographView]:
    here = {row.view for row in photographs(case)}
    return [view for view in VIEWS if view not in here]


def approved_gone(case: Case, row: FinalWax) -> bool:
    """Whether a photograph that the dentist approved by is out of view."""
    return bool(set(row.approved_photographs) - {one.pk for one in photographs(case)})


def trimmed_otherwise(case: Case, row: FinalWax | None) -> list[SetUpEntry]:
    """Lines of the trimming that the approval, where there is one, does not cover."""
    if row is None or row.approved_at is None:
        return []
    return trimming.changed_since(case, row.approved_trims)


# -- what is open --------------------------------------------------------------------------------


def lines(case: Case, which: WaxList) -> tuple[CheckLine, ...]:
    return lines_of(wax_checklist(which, case.prescription.arch))


def unfinished(case: Case, row: FinalWax) -> Iterator[Missing]:
    """What the laboratory still does before the dentist is asked and anything is flasked."""
    lacking = views_lacking(case)
    if lacking:
        told = ", ".join(view.label.lower().replace("teeth ", "") for view in lacking)
        yield Missing(f"Photograph the wax and add it: {told}.", "files")
    yield from _measures(case, row)
    if row.bone_change_planned is None:
        yield Missing("Say whether a change of bone is planned.", PAGE, "bone_change_planned")
    if not row.duplicate_made:
        yield Missing("Make a duplicate of the trimmed cast and tick it.", PAGE, "duplicate_made")
    yield from _flange(case, row)
    if not row.undercut_kind:
        yield Missing("Say what is done about undercuts.", PAGE, "undercut_kind")
    if not row.insertion:
        yield Missing("Say along which path the denture goes in.", PAGE, "insertion")
    yield from _template(case, row)
    for which in WaxList:
        yield from _answers(case, row, which)


PAGE = "final_wax"


def _measures(case: Case, row: FinalWax) -> Iterator[Missing]:
    for one in wax_measures.compared(case, row):
        label = one.label.lower()
        if one.before_mm is not None and one.wax_mm is None:
            yield Missing(
                f"Measure the {label} in the wax; it was measured before extraction.",
                PAGE,
                one.field,
            )
        elif not one.explained:
            yield Missing(
                f"The {label} in wax differs by {signed_mm(one.difference_mm)} from the record. "
                "Correct the wax, or say in words how that is as prescribed.",
                PAGE,
                f"words_{one.field}",
            )


def _flange(case: Case, row: FinalWax) -> Iterator[Missing]:
    wanted = case.prescription.flange
    if not row.flange_kind:
        yield Missing("Say how the flange is made.", PAGE, "flange_kind")
    elif wanted and row.flange_kind != wanted:
        yield Missing(
            f"The prescription wants: {Flange(wanted).label.lower()}. The wax has: "
            f"{Flange(row.flange_kind).label.lower()}. Correct the wax, or ask the dentist for a "
            "revision.",
            PAGE,
            "flange_kind",
        )
    elif row.flange_kind != Flange.SOCKETED:
        for name, site in FLANGE_SITES.items():
            if getattr(row, name) is None:
                yield Missing(f"Measure the flange at the {site}.", PAGE, name)


def _template(case: Case, row: FinalWax) -> Iterator[Missing]:
    if row.template_wanted is None:
        yield Missing("Decide whether a template is made.", PAGE, "template_wanted")
    elif not row.template_wanted and not row.template_decision and _template_expected(case, row):
        yield Missing(
            "No template is made, though one is prescribed or bone is to change. Say in words who "
            "decided so.",
            PAGE,
            "template_decision",
        )


def _template_expected(case: Case, row: FinalWax) -> bool:
    return bool(case.prescription.template_wanted or row.bone_change_planned)


def _answers(case: Case, row: FinalWax, which: WaxList) -> Iterator[Missing]:
    asked = lines(case, which)
    silent = [line for line in asked if line.key not in row.answers]
    page = f"wax_{which.value}"
    if silent:
        yield Missing(
            f"Answer every line of the final-wax checklist for the {which.value}; {len(silent)} of "
            f"{len(asked)} are open.",
            page,
            f"answer_{silent[0].key}",
        )
    for line in asked:
        if row.answers.get(line.key) == WaxAnswer.NO:
            yield Missing(
                f"The final-wax checklist says no: {line.text}. Mend it and answer again.",
                page,
                f"answer_{line.key}",
            )


def unproven(case: Case, line: CheckLine, row: FinalWax) -> str:
    """Why a line cannot be answered yes as the record stands; empty when it can."""
    measures = {one.field: one for one in wax_measures.compared(case, row)}
    for need in line.needs:
        one = measures.get(need)
        if one is not None and one.before_mm is not None and one.wax_mm is None:
            return f"the {one.label.lower()} in wax is not measured"
        if one is not None and not one.explained:
            return f"the {one.label.lower()} differs by {signed_mm(one.difference_mm)}"
        if need == "trimming" and (left := trimming.of(case).not_yet):
            return f"the set-up log does not say how {', '.join(left)} were cut from the cast"
        if need == "casts_shown" and not _casts_shown(case):
            return "no photograph of the casts with the wax is in view"
        if need in ("flange_kind", "undercut_kind", "insertion") and not getattr(row, need):
            return "it is not decided on the page of the final wax"
    return ""


def _casts_shown(case: Case) -> bool:
    return any(row.view == PhotographView.CAST for row in photographs(case))


# -- cautions ------------------------------------------------------------------------------------


def cautions(case: Case, row: FinalWax | None) -> list[Caution]:
    """What a dentist should see before approving; nothing blocks."""
    told = trimming.of(case)
    flags = [*told.flags, *(flag for tooth in told.teeth for flag in tooth.flags)]
    found = [Caution(flag.code, flag.text, flag.source) for flag in flags]
    least = site_values.defaults(case)["base_min_mm"]
    if row is not None and least.value_mm is not None:
        found += [
            Caution(
                "thin-flange",
                f"The flange is {mm(thick)} thick at the {site}, and the {least.origin} is "
                f"{mm(least.value_mm)}. The dentist decides.",
                PRACTICE,
            )
            for name, site in FLANGE_SITES.items()
            if (thick := _thick(row, name)) is not None and thick < least.value_mm
        ]
    return found


def _thick(row: FinalWax, name: str) -> Decimal | None:
    value: Decimal | None = getattr(row, name)
    return value
