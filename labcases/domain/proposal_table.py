"""The kinds of proposals: one row each, with what a yes or a change takes back.

A setting that the dentist changes counts as a revision of the settings does, a new vertical as a
second jaw record that disagrees: everything from the mounting onward is done again.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from labcases.enums import Stage, Thing
from labcases.enums.proposals import ProposalKind
from labcases.validators import limits_of

K, S, T = ProposalKind, Stage, Thing


@dataclass(frozen=True)
class Row:
    """One kind: the stage that a yes brings the case back to, and what no longer counts.

    ``until`` is the stage from which on it is too late. ``gates`` say what a yes makes the way
    forward ask for, each with the stage that is entered.
    """

    slug: str
    to: Stage | None
    things: frozenset[Thing]
    until: Stage
    signed: bool = False
    gates: tuple[tuple[Stage, str], ...] = ()


TABLE: dict[ProposalKind, Row] = {
    K.SETTING: Row(
        "setting",
        S.SETTINGS,
        frozenset({T.PASSES, T.PARTS, T.TRY_IN, T.WAX}),
        S.PROCESSING,
        gates=(
            (S.SET_UP, "settings that are unusual are read and acknowledged anew"),
            (S.PROCESSING, "the clearance check is computed with the new setting"),
        ),
    ),
    K.REDUCTION: Row("reduction", None, frozenset(), S.RELEASED),
    K.NATURAL: Row("natural-tooth", None, frozenset(), S.RELEASED),
    K.VERTICAL: Row(
        "vertical",
        S.JAW_RECORDS,
        frozenset(
            {
                *(T.RECORD, T.MOUNTING, T.CHECK_RECORDS, T.PIN, T.PASSES, T.PARTS, T.CHECKS),
                *(T.TRY_IN, T.WAX),
            }
        ),
        S.PROCESSING,
        signed=True,
        gates=(
            (S.MOUNTING, "a jaw record at the new vertical is counted in"),
            (S.SETTINGS, "the casts are mounted by that record and verified"),
            (S.TRY_IN, "the pin stands at the new agreed value"),
            (S.PROCESSING, "the set-up is tried in, and the ledger balances at the new value"),
        ),
    ),
    K.ARRANGEMENT: Row(
        "arrangement",
        None,
        frozenset({T.WAX}),
        S.PROCESSING,
        gates=((S.PROCESSING, "the final wax is approved as it is then"),),
    ),
}

KIND_OF = {row.slug: kind for kind, row in TABLE.items()}


@dataclass(frozen=True)
class Setting:
    """A setting of the articulator record that may be proposed: its words and its limit."""

    label: str
    limit: str

    @property
    def hard(self) -> tuple[Decimal, Decimal]:
        """The engine's hard limits."""
        return limits_of(self.limit)


SETTINGS: dict[str, Setting] = {
    "condylar_right_deg": Setting("right condylar inclination", "condylar_inclination_deg"),
    "condylar_left_deg": Setting("left condylar inclination", "condylar_inclination_deg"),
    "bennett_right_deg": Setting("right Bennett angle", "bennett_deg"),
    "bennett_left_deg": Setting("left Bennett angle", "bennett_deg"),
    "side_shift_right_mm": Setting("right immediate side shift", "immediate_side_shift_mm"),
    "side_shift_left_mm": Setting("left immediate side shift", "immediate_side_shift_mm"),
    "wing_right_deg": Setting("wing in right lateral", "lateral_wing_deg"),
    "wing_left_deg": Setting("wing in left lateral", "lateral_wing_deg"),
    "incisal_table_deg": Setting("incisal table", "incisal_table_deg"),
    "intercondylar_mm": Setting("intercondylar distance", "intercondylar_mm"),
}

AGREED_MM = (Decimal("-2"), Decimal("10"))
"""Where an agreed pin value can lie, as the articulator record holds it."""
