"""What the dentist can be asked beside a mark, where grinding is not for the bench to decide."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from urllib.parse import urlencode

from django.urls import reverse

from labcases.domain import proposing
from labcases.domain.proposal_table import TABLE
from labcases.enums.proposals import ProposalKind
from labcases.forms.questions import tooth_words
from labcases.models import Case
from labcases.outputs.marks_view import MarkRow
from labcases.templatetags.units import mm, tooth_number
from labcases.views import _opposite


def with_offers(case: Case, row: MarkRow, notation: str) -> MarkRow:
    """The same with what the dentist is asked, where only the dentist can go on."""
    if row.not_ours:
        return replace(row, ask=_opposite.of_worn_denture(case, row.not_ours))
    offers = (*_beyond(case, row), *_at_natural(case, row, notation))
    if row.natural and not offers:
        return replace(row, ask=_opposite.ask(case, row.natural, _found(row)))
    return replace(row, offers=offers)


def _found(row: MarkRow) -> str:
    """The finding at a natural tooth, which is only ever its place."""
    why = "no depth that fits can be ground" if row.yields else "no denture tooth can yield there"
    return (
        f"In {row.movement.lower()} the foil marks {tooth_words(row.natural)}, a natural tooth, "
        f"and {why}. Does it stay as it is, or do you change it?"
    )


def _at_natural(case: Case, row: MarkRow, notation: str) -> Iterator[tuple[str, str]]:
    if not row.natural or proposing.why_not(case, ProposalKind.NATURAL):
        return
    waits = _waiting(case, ProposalKind.NATURAL, row.natural)
    if waits:
        yield waits
        return
    yield (
        _propose(case, ProposalKind.NATURAL, tooth=row.natural, why=_found(row)),
        f"Put {tooth_number(row.natural, notation)} before the dentist",
    )


def _beyond(case: Case, row: MarkRow) -> Iterator[tuple[str, str]]:
    """More than the budget is the dentist's to allow, where the tooth can be asked about at all."""
    left, predicted = row.left_mm, row.predicted_mm
    if not row.beyond or not predicted:
        return
    if proposing.why_not(case, ProposalKind.REDUCTION):
        return
    waits = _waiting(case, ProposalKind.REDUCTION, row.yields)
    if waits:
        yield waits
        return
    why = f"In {row.movement.lower()} {mm(predicted)} are predicted, and {mm(left)} are left."
    yield (
        _propose(
            case,
            ProposalKind.REDUCTION,
            tooth=row.yields,
            depth_mm=f"{predicted.normalize():f}",
            why=why,
        ),
        "Propose a reduction beyond the budget",
    )


def _waiting(case: Case, kind: ProposalKind, tooth: str) -> tuple[str, str] | None:
    for one in case.proposals.all():
        if one.kind == kind and one.tooth == tooth and one.waits:
            url = reverse("proposal", args=[case.code, one.pk])
            return url, f"Proposal {one.number} waits for the dentist"
    return None


def _propose(case: Case, kind: ProposalKind, **given: str) -> str:
    url = reverse("proposal_new", args=[case.code, TABLE[kind].slug])
    return f"{url}?{urlencode(given)}"
