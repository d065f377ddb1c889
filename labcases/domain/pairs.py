"""Two linked cases: which the other one is, and where their prescriptions differ."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

from django.db.models import OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from labcases import codes
from labcases.domain import opponent, teeth
from labcases.enums import ENDS, OpposingTooth, Stage, ToothStatus
from labcases.enums.opponent import Opponent
from labcases.models import Case, CaseLink, Prescription
from labcases.models.linking import STANDING

KEPT = "standing_link"


def fetch_links(cases: Collection[Case], *parts: str) -> list[Case]:
    """Fetch the standing links of many cases by one question to the database.

    Parameters
    ----------
    cases : collection of Case
        ``link_of`` and ``other`` answer from what is fetched here.
    *parts : str
        What stands once beside a case and is fetched of the other one along.

    Returns
    -------
    list of Case
        The other case of each that has one.
    """
    keys = [case.pk for case in cases]
    links = CaseLink.objects.filter(STANDING).filter(Q(first__in=keys) | Q(second__in=keys))
    ends = [f"{end}__{part}" for end in ("first", "second") for part in parts]
    of_case = {
        key: link
        for link in links.select_related("first", "second", *ends)
        for key in (link.first_id, link.second_id)
    }
    for case in cases:
        setattr(case, KEPT, of_case.get(case.pk))
    return [found for case in cases if (found := other(case)) is not None]


def columns() -> dict[str, Any]:
    """The other case's key and code in the line of the case itself, for ``keep``."""
    links = CaseLink.objects.filter(STANDING)
    first, second = links.filter(second=OuterRef("pk")), links.filter(first=OuterRef("pk"))
    return {
        f"linked_{name}": Coalesce(
            Subquery(first.values(f"first__{name}")[:1]),
            Subquery(second.values(f"second__{name}")[:1]),
        )
        for name in ("pk", "code")
    }


def keep(case: Case) -> None:
    """Take the other case from the columns that were asked for with this one: key and code."""
    key: int | None = getattr(case, "linked_pk", None)
    code: str = getattr(case, "linked_code", "")
    other = CaseLink(first=case, second=Case(pk=key, code=code)) if key else None
    setattr(case, KEPT, other)


def link_of(case: Case) -> CaseLink | None:
    """The standing link of a case."""
    if hasattr(case, KEPT):
        found: CaseLink | None = getattr(case, KEPT)
        return found
    if case.pk is None:
        return None
    links = CaseLink.objects.filter(STANDING).select_related("first", "second")
    return links.filter(Q(first=case) | Q(second=case)).first()


def other(case: Case) -> Case | None:
    """The case of the other arch."""
    link = link_of(case)
    if link is None:
        return None
    return link.second if link.first_id == case.pk else link.first


def goes_along(case: Case) -> Case | None:
    """The other case, where it still shares the surgery day: not delivered, not ended."""
    found = other(case)
    done = (Stage.DELIVERED, Stage.IN_REVIEW, *ENDS)
    return None if found is None or found.stage in done else found


def linked_with(cases: QuerySet[Case]) -> Q:
    """Cases of which the other arch is among ``cases``."""
    links = CaseLink.objects.filter(STANDING)
    ids = cases.values("pk")
    return Q(pk__in=links.filter(first__in=ids).values("second")) | Q(
        pk__in=links.filter(second__in=ids).values("first")
    )


def named(case: Case) -> str:
    """A case as the other one's sentences name it."""
    return f"{codes.grouped(case.code)} ({case.prescription.get_arch_display().lower()})"


# --- where they differ -------------------------------------------------------------------------

# One mouth, one occlusion: what both prescriptions have to say alike.
SHARED: dict[str, str] = {
    "scheme": "occlusal scheme",
    "jaw_record": "jaw record",
    "vertical_wish": "vertical of the denture",
    "vertical_rest_mm": "vertical at rest",
    "vertical_occlusion_mm": "vertical in occlusion",
    "overjet_mm": "overjet",
    "overbite_mm": "overbite",
    "allergy": "allergy",
    "allergy_text": "named allergy",
}


def differences(row: Prescription, beside: Prescription) -> Iterator[str]:
    """Each thing that two linked prescriptions say differently, with both values.

    Only what both say is compared, so that a draft differs in nothing that it leaves open.
    """
    mine, theirs = _named(row), _named(beside)
    if row.arch == beside.arch:
        yield (
            f"Case {mine} and case {theirs} are both for the {row.arch} arch. Two arches are "
            "linked: correct the arch of one."
        )
        return
    yield from _teeth(row, beside, mine, theirs)
    yield from _teeth(beside, row, theirs, mine)
    yield from _kind(row, beside, mine, theirs)
    yield from _kind(beside, row, theirs, mine)
    for field, words in SHARED.items():
        own, their = getattr(row, field), getattr(beside, field)
        if own in (None, "", "not asked") or their in (None, "", "not asked") or own == their:
            continue
        here, there = _said(row, field), _said(beside, field)
        yield f"The {words} is {here} in case {mine}, {there} in case {theirs}."


def _named(row: Prescription) -> str:
    return f"{codes.grouped(row.case.code)} ({row.get_arch_display().lower()})"


def _said(row: Prescription, field: str) -> str:
    value: Any = getattr(row, field)
    if hasattr(value, "normalize"):
        return f"{value.normalize():f} mm"
    shown = getattr(row, f"get_{field}_display", None)
    label = str(shown() if shown else value)
    return label[:1].lower() + label[1:]


def _teeth(row: Prescription, beside: Prescription, mine: str, theirs: str) -> Iterator[str]:
    """Teeth of the one arch, as the other case's opposing chart has them; alike ones together."""
    found: dict[tuple[OpposingTooth, OpposingTooth], list[str]] = {}
    for tooth in teeth.positions(row.arch):
        if tooth not in row.teeth or tooth not in beside.opposing:
            continue
        is_here, is_there = teeth.kind(row, tooth), OpposingTooth(beside.opposing[tooth])
        if is_here != is_there:
            found.setdefault((is_here, is_there), []).append(tooth)
    for (is_here, is_there), at in found.items():
        yield (
            f"{', '.join(at)}: {is_here.label.lower()} in case {mine}, {is_there.label.lower()} "
            f"in the opposing chart of case {theirs}."
        )


def _kind(row: Prescription, beside: Prescription, mine: str, theirs: str) -> Iterator[str]:
    """What the one makes, as the other case says what its denture meets."""
    if not row.teeth or not beside.opponent:
        return
    wanted = made(row)
    if beside.opponent != wanted:
        label = str(Opponent(beside.opponent).label)
        yield (
            f"Case {mine} makes {wanted.label[:1].lower()}{wanted.label[1:]}, but case {theirs} "
            f"says that its denture meets {label[:1].lower()}{label[1:]}."
        )


def made(row: Prescription) -> Opponent:
    """What a case is to the arch opposite: a denture that is being made."""
    stays = ToothStatus.STAYS in row.teeth.values()
    return Opponent.PARTIAL_MADE if stays else Opponent.COMPLETE_MADE


def opposing_chart(row: Prescription) -> dict[str, str]:
    """A case's own arch, as the opposing chart of the other case has it."""
    return {tooth: teeth.kind(row, tooth).value for tooth in row.teeth}


def to_weigh(row: Prescription) -> Iterator[tuple[str, str, str]]:
    """What a reader weighs of the other case before signing: field, sentence and source."""
    found = other(row.case)
    if found is not None:
        for text in differences(row, found.prescription):
            yield "opposing", text, ""
    elif opponent.of(row) in opponent.BEING_MADE:
        yield (
            "opponent",
            "The opposing denture is being made. Link its case, so that both are set against each "
            "other, or say in the instructions where it is made.",
            "common practice, no source",
        )
