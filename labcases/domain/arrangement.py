"""Deviations from the natural arrangement that is to be copied: logged, and read back."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from labcases.domain import history, ledger, teeth
from labcases.enums import SetUpAct
from labcases.enums.arrangement import Deviation, WantedBy
from labcases.enums.proposals import ProposalKind
from labcases.models import ArrangementChange, Case, Proposal, SetUpEntry, User

IN_DEG = (Deviation.TURNED, Deviation.TIPPED)


class CannotDeviate(Exception):
    """The line is refused; the text says why and what to do."""


@dataclass(frozen=True)
class Deviates:
    """One deviation that stands: how a tooth is set otherwise, and what became of asking.

    ``proposal`` is the last one that the dentist was asked about this tooth, where the
    prescription does not want the deviation.
    """

    tooth: str
    words: str
    wanted_by: WantedBy
    entry: SetUpEntry
    proposal: Proposal | None

    @property
    def unasked(self) -> bool:
        """Whether it is the technician's own and the dentist was not asked yet."""
        return self.wanted_by == WantedBy.TECHNICIAN and self.proposal is None


def log(
    *,
    case: Case,
    by: User,
    tooth: str,
    deviation: str,
    wanted_by: str,
    amount_mm: Decimal | None = None,
    amount_deg: Decimal | None = None,
    words: str = "",
) -> SetUpEntry:
    """Add a line that a tooth is set otherwise than the natural one.

    Parameters
    ----------
    case, by : Case, User
        The case, and who set the tooth.
    tooth : str
        A denture tooth, ISO 3950.
    deviation : str
        ``Deviation``: how it differs.
    wanted_by : str
        ``WantedBy``: on whose word.
    amount_mm, amount_deg : Decimal, optional
        By how much, in the unit that the kind of deviation has.
    words : str
        Needed where the kind is ``Deviation.OTHER``.

    Raises
    ------
    CannotDeviate
        It is no denture tooth, nothing says how it differs, or the unit is not that of the kind.
    """
    kind = Deviation(deviation)
    wanted = WantedBy(wanted_by)
    _allowed(case, tooth, kind, amount_mm, amount_deg, words)
    with history.turn(case):
        entry = SetUpEntry.objects.create(
            case=case, by=by, act=SetUpAct.ARRANGED, teeth=[tooth], note=words.strip()
        )
        row = ArrangementChange.objects.create(
            entry=entry,
            deviation=kind,
            amount_mm=amount_mm,
            amount_deg=amount_deg,
            wanted_by=wanted,
        )
        history.write(
            case=case,
            by=by,
            act=SetUpAct.ARRANGED.label.lower(),
            part="set-up log",
            changes={tooth: [None, in_words(row)], "wanted by": [None, wanted.label.lower()]},
            row=history.made(entry),
        )
    return entry


def _allowed(
    case: Case,
    tooth: str,
    kind: Deviation,
    amount_mm: Decimal | None,
    amount_deg: Decimal | None,
    words: str,
) -> None:
    if tooth not in teeth.replaced(case.prescription):
        raise CannotDeviate(
            f"{tooth or 'Nothing'} is no denture tooth of this case. Choose the tooth that is set "
            "otherwise."
        )
    if kind == Deviation.OTHER and not words.strip():
        raise CannotDeviate("Say in words how the tooth is set otherwise.")
    wrong = amount_mm if kind in IN_DEG else amount_deg
    if wrong is not None:
        unit, other = ("deg", "mm") if kind in IN_DEG else ("mm", "deg")
        raise CannotDeviate(
            f"{kind.label} is told in {unit}, and {wrong.normalize():f} {other} was given. Empty "
            "that box."
        )


def in_words(row: ArrangementChange) -> str:
    """How a tooth is set otherwise: "longer by 0.5 mm", or its words alone."""
    kind = Deviation(row.deviation)
    if kind == Deviation.OTHER:
        return row.entry.note
    said = kind.label.lower()
    if row.amount_mm is not None:
        said = f"{said} by {Decimal(row.amount_mm).normalize():f} mm"
    if row.amount_deg is not None:
        said = f"{said} by {Decimal(row.amount_deg).normalize():f} deg"
    return f"{said}, {row.entry.note}" if row.entry.note else said


def of(case: Case) -> list[Deviates]:
    """Every deviation that stands, in the order in which it was logged."""
    asked: dict[str, Proposal] = {}
    for proposal in case.proposals.filter(kind=ProposalKind.ARRANGEMENT).order_by("pk"):
        asked[proposal.tooth] = proposal
    rows = ArrangementChange.objects.filter(
        entry__in=[e.pk for e in ledger.standing(case) if e.act == SetUpAct.ARRANGED]
    ).select_related("entry__by")
    return [
        Deviates(
            tooth=row.entry.teeth[0],
            words=in_words(row),
            wanted_by=WantedBy(row.wanted_by),
            entry=row.entry,
            proposal=asked.get(row.entry.teeth[0])
            if row.wanted_by == WantedBy.TECHNICIAN
            else None,
        )
        for row in rows.order_by("entry_id")
    ]
