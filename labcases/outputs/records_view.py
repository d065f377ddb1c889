"""Check records and what they say, as the page shows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from labcases.domain import calculations
from labcases.domain.calculations import RecordProposal
from labcases.domain.records import deviation, rounded
from labcases.enums import CheckRecordKind
from labcases.models import ArticulatorRecord, Case, CheckRecord
from labcases.models.articulator import DEVIATIONS
from labcases.templatetags.units import NO_BREAK, deg, deg_within, mm, number, tooth_number

TITLES = {"gap": "From the gap behind", "points": "From the points of the lower cast"}

LABELS = {
    "condylar_right_deg": "Condylar inclination, right condyle",
    "condylar_left_deg": "Condylar inclination, left condyle",
    "bennett_right_deg": "Bennett angle, right condyle",
    "bennett_left_deg": "Bennett angle, left condyle",
    "side_shift_right_mm": "Immediate side shift, right condyle",
    "side_shift_left_mm": "Immediate side shift, left condyle",
}


@dataclass(frozen=True)
class ValueRow:
    """One setting: what stands in the record today, and what the records say."""

    field: str
    label: str
    usual: str
    now: str
    proposed: str
    note: str
    can_be_adopted: bool


TRAVELS = {
    "protrusive": "protrusive record, the condyle that goes less far,",
    "right": "right lateral record, left condyle,",
    "left": "left lateral record, right condyle,",
    "incisors": "at the incisors",
}


@dataclass(frozen=True)
class Travel:
    """How far one record goes."""

    label: str
    travel: str


@dataclass(frozen=True)
class NotReadLine:
    """A record that a proposal does without; ``line`` counts in the list of the page."""

    record: CheckRecord
    line: int
    why: str


@dataclass(frozen=True)
class ProposalView:
    """One way of reading the records, in words."""

    method: str
    title: str
    told: RecordProposal
    rows: list[ValueRow]
    estimates: str
    travel: list[Travel]
    not_read: list[NotReadLine]

    @property
    def can_be_adopted(self) -> bool:
        return any(row.can_be_adopted for row in self.rows)


@dataclass(frozen=True)
class RecordLine:
    """One record of the list; a struck one keeps its words."""

    record: CheckRecord
    what: str
    struck: bool
    unused: str


def proposals(case: Case) -> list[ProposalView]:
    """What the standing records say, each way of reading for itself."""
    stored: ArticulatorRecord | None = getattr(case, "articulator", None)
    newest_first = list(case.check_records.order_by("-id").values_list("pk", flat=True))
    return [
        ProposalView(
            method=method,
            title=TITLES[method],
            told=told,
            rows=[_row(value, stored) for value in told.values],
            estimates=_estimates(told),
            travel=[Travel(TRAVELS[kind], mm(far)) for kind, far in told.travel_mm.items()],
            not_read=[
                NotReadLine(one.record, newest_first.index(one.record.pk) + 1, one.why)
                for one in told.not_read
            ],
        )
        for method, told in calculations.record_proposals(case).items()
    ]


def ways_apart(shown: Sequence[ProposalView]) -> list[dict[str, str]]:
    """Where two ways of reading the records disagree, in sentences with their source."""
    found = calculations.ways_apart({one.method: one.told for one in shown})
    return [{"text": one.text, "source": one.source} for one in found]


def _row(value: calculations.ProposedValue, stored: ArticulatorRecord | None) -> ValueRow:
    now = ""
    if stored is not None:
        known = DEVIATIONS.get(value.field)
        sure = getattr(stored, known) if known else None
        now = _within(value.field, getattr(stored, value.field), sure)
    low, high = value.usual
    return ValueRow(
        field=value.field,
        label=LABELS[value.field],
        usual=f"usual {low:g} to {high:g}",
        now=now,
        proposed=_within(value.field, rounded(value), deviation(value)),
        note=value.refusal,
        can_be_adopted=value.can_be_adopted and stored is not None,
    )


def _within(field: str, value: Decimal, sure: Decimal | None) -> str:
    if field.endswith("_deg"):
        return deg_within(value, sure)
    return mm(value) if sure is None else f"{number(value)} ± {mm(sure)}".replace(" ", NO_BREAK)


def _estimates(told: RecordProposal) -> str:
    return " and ".join(f"{deg(value)} {side}" for side, value in told.estimates_deg.items())


def lines(case: Case, notation: str) -> list[RecordLine]:
    """Every record, the newest first; struck ones stay in their place."""
    rows = case.check_records.select_related("by", "struck_by", "closed").order_by("-id")
    last = calculations.points_closed(case)
    return [
        RecordLine(row, _in_words(row, notation), row.struck_at is not None, _unused(row, last))
        for row in rows
    ]


def _unused(row: CheckRecord, last: CheckRecord | None) -> str:
    """Why a standing record does not count."""
    if row.struck_at is not None or row.kind == CheckRecordKind.GAP:
        return ""
    of = row if row.kind == CheckRecordKind.CLOSED else row.closed
    if last is not None and of is not None and of.pk == last.pk:
        return ""
    return "Not used: it belongs to points that were struck out or read again later."


def _in_words(row: CheckRecord, notation: str) -> str:
    if row.kind == CheckRecordKind.GAP:
        said = (
            f"Advance {mm(row.advance_mm)}. Gap {mm(row.right_gap_mm)} at "
            f"{tooth_number(row.right_tooth, notation)} and {mm(row.left_gap_mm)} at "
            f"{tooth_number(row.left_tooth, notation)}"
        )
        if row.facet_deg:
            said += f", to a surface of {deg(row.facet_deg)}"
    else:
        said = "; ".join(f"{name}: {_coordinates(point)}" for name, point in row.points.items())
    return ". ".join(part for part in (said, row.note) if part)


def _coordinates(point: Sequence[float]) -> str:
    return " / ".join(f"{one:g}".replace("-", "\N{MINUS SIGN}") for one in point)
