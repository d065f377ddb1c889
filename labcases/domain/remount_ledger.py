"""The vertical after processing: what the pin rose by, what brought it back, what is accepted.

It goes on where the ledger of the set-up ends: there the pin stood at the agreed value. It
balances when the last reading is back, or stands off by no more than was accepted.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from labcases.domain import calculations, ledger, pin_steps
from labcases.domain.ledger import READING_TOLERANCE_MM
from labcases.domain.pin_steps import Loss
from labcases.enums import Movement
from labcases.enums.remount import RemountAct
from labcases.models import Case, RemountEntry
from labcases.templatetags.units import mm

NONE = Decimal("0")


@dataclass(frozen=True)
class Contacts:
    """The last pass in a movement before anything was corrected, and the last one since.

    Where nothing was corrected there is no before: the denture stands as it was processed.
    """

    movement: Movement
    before: RemountEntry | None
    after: RemountEntry | None


@dataclass(frozen=True)
class AfterProcessing:
    """Where the vertical stands after processing, from the agreed value.

    Attributes
    ----------
    rise_mm, highest_mm : Decimal or None
        The last reading, and the highest of all that stand.
    accepted_mm : Decimal or None
        What was accepted of the last reading; nothing where it was not.
    cause : RemountEntry or None
        The last cause that was recorded.
    ground_since : tuple of str
        Teeth that were corrected since the last reading.
    zero_mm, agreed_mm : Decimal
        Pin zero at mounting, and the agreed value from there.
    contacts : tuple of Contacts
        One for each movement.
    on_index : RemountEntry or None
        The last later reading on the index.
    read_since_cause : bool
        The pin was read again after the last cause was recorded.
    """

    rise_mm: Decimal | None
    highest_mm: Decimal | None
    accepted_mm: Decimal | None
    cause: RemountEntry | None
    ground_since: tuple[str, ...]
    zero_mm: Decimal
    agreed_mm: Decimal
    contacts: tuple[Contacts, ...]
    on_index: RemountEntry | None
    read_since_cause: bool = False

    @property
    def lacks_cause(self) -> bool:
        """A reading was so high that its cause is recorded before anything is corrected."""
        return (
            self.highest_mm is not None
            and self.highest_mm > calculations.CORRECT_MM
            and self.cause is None
        )

    @property
    def pin_mm(self) -> Decimal | None:
        """What the pin itself reads."""
        return None if self.rise_mm is None else self.zero_mm + self.agreed_mm + self.rise_mm

    @property
    def left_mm(self) -> Decimal | None:
        """What is neither corrected nor accepted."""
        return None if self.rise_mm is None else self.rise_mm - (self.accepted_mm or NONE)

    @property
    def balanced(self) -> bool:
        left = self.left_mm
        return left is not None and abs(left) <= READING_TOLERANCE_MM and not self.ground_since

    @property
    def may_accept(self) -> bool:
        """The last reading is off by little, and nobody has said yet what becomes of that."""
        return (
            self.rise_mm is not None
            and not self.ground_since
            and not self.balanced
            and abs(self.rise_mm) <= calculations.GOOD_MM
        )

    @property
    def mount_again(self) -> bool:
        """The cause of a high rise is recorded, and the pin was not read again since."""
        high = self.highest_mm is not None and self.highest_mm > calculations.CORRECT_MM
        return high and self.cause is not None and not self.read_since_cause

    @property
    def next_step(self) -> str:
        """What a reading asks for that is off by more than may be accepted."""
        if self.lacks_cause:
            return (
                f"Above {mm(calculations.CORRECT_MM)} find the cause first and record it, mount "
                "again and read the pin; until then reduce nothing."
            )
        if self.mount_again:
            return MOUNT_AGAIN
        if self.rise_mm is not None and self.rise_mm < 0:
            return f"Nothing is reduced for a pin that stands too low. {SEAT}"
        return "Correct the denture teeth and read the pin again."


MOUNT_AGAIN = (
    "The cause is recorded: put the cast back on its mounting, or mount it anew, before anything "
    'is reduced. Then log "Pin read after processing" with what the pin reads, and say in its '
    "note how it was mounted."
)


def standing(case: Case) -> list[RemountEntry]:
    """Lines that were not struck out, oldest first."""
    return [row for row in case.remount_entries.all() if row.struck_at is None]


def corrected(case: Case) -> Iterator[tuple[str, Decimal]]:
    """Each denture tooth that was corrected after processing, and by how much."""
    for row in standing(case):
        if row.act == RemountAct.REDUCTION and row.depth_mm is not None:
            for tooth in row.teeth:
                yield tooth, row.depth_mm


def of(case: Case) -> AfterProcessing:
    """The remount of a case as its lines tell it."""
    rows = standing(case)
    rise = highest = accepted = cause = on_index = None
    ground: list[str] = []
    again = False
    for row in rows:
        if row.act == RemountAct.PIN_READ and row.rise_mm is not None:
            rise, accepted, ground, again = row.rise_mm, None, [], cause is not None
            highest = rise if highest is None else max(highest, rise)
        elif row.act == RemountAct.REDUCTION:
            accepted = None
            ground += [tooth for tooth in row.teeth if tooth not in ground]
        elif row.act == RemountAct.ACCEPTED:
            accepted = row.rise_mm
        elif row.act == RemountAct.CAUSE:
            cause, again = row, False
        elif row.act == RemountAct.INDEX_READ:
            on_index = row
    told = ledger.balance(case)
    return AfterProcessing(
        rise_mm=rise,
        highest_mm=highest,
        accepted_mm=accepted,
        cause=cause,
        ground_since=tuple(ground),
        zero_mm=told.zero_mm or NONE,
        agreed_mm=told.agreed_mm,
        contacts=_contacts(rows),
        on_index=on_index,
        read_since_cause=again,
    )


def off_since_read(case: Case, tooth: str) -> Decimal:
    """How much was taken off one tooth since the pin was read last."""
    off = NONE
    for row in standing(case):
        if row.act == RemountAct.PIN_READ:
            off = NONE
        elif row.act == RemountAct.REDUCTION and tooth in row.teeth:
            off += row.depth_mm or NONE
    return off


def _contacts(rows: list[RemountEntry]) -> tuple[Contacts, ...]:
    ground = [row.pk for row in rows if row.act == RemountAct.REDUCTION]
    found = []
    for movement in Movement:
        passes = [r for r in rows if r.act == RemountAct.PASS and r.movement == movement]
        before = [row for row in passes if ground and row.pk < ground[0]]
        after = [row for row in passes if not ground or row.pk > ground[-1]]
        found.append(
            Contacts(movement, before[-1] if before else None, after[-1] if after else None)
        )
    return tuple(found)


# --- line by line ------------------------------------------------------------------------------


@dataclass(frozen=True)
class RemountStep:
    """One reading after processing, and what explains the way from the one before."""

    entry: RemountEntry
    change_mm: Decimal
    losses: tuple[Loss, ...]
    unexplained_mm: Decimal
    text: str


def steps(case: Case) -> list[RemountStep]:
    """Every reading that stands, in its order; the first comes from the agreed value."""
    per_mm = calculations.pin_for_a_millimetre(case)
    found: list[RemountStep] = []
    before, off = NONE, []
    for row in standing(case):
        if row.act == RemountAct.REDUCTION and row.depth_mm is not None:
            off += [(tooth, row.depth_mm) for tooth in row.teeth]
        if row.act != RemountAct.PIN_READ or row.rise_mm is None:
            continue
        change = row.rise_mm - before
        losses = pin_steps.losses_at(case, off, per_mm)
        if found:
            text, unexplained = _since(change, losses)
        else:
            text, unexplained = _by_processing(change), NONE
        found.append(RemountStep(row, change, losses, unexplained, text))
        before, off = row.rise_mm, []
    return found


def _since(change: Decimal, losses: tuple[Loss, ...]) -> tuple[str, Decimal]:
    """What changed the pin since the reading before, and what of that is not explained."""
    if abs(change) <= READING_TOLERANCE_MM:
        done = f"{pin_steps.STAYED} Corrected since: {pin_steps.listed(losses)}."
        return done if losses else pin_steps.STAYED, NONE
    if change > 0:
        return f"Rose by {mm(change)}, and no correction raises a pin. {SEAT}", change
    said = f"Went down by {mm(-change)}."
    if not losses:
        return f"{said} No correction is logged since. {SEAT}", change
    most = pin_steps.at_most(losses)
    if most is None:
        return (
            f"{said} Corrected since: {pin_steps.listed(losses)}. How far that lets the pin down "
            "is not known without the articulator record.",
            NONE,
        )
    left = -change - most
    explained = f"{said} Corrections since explain at most {mm(most)}: {pin_steps.listed(losses)}."
    if left <= READING_TOLERANCE_MM:
        return explained, NONE
    return f"{explained} {mm(left)} is not explained. {SEAT}", -left


SEAT = "Look at the seat of the cast, and read the pin once more."


def _by_processing(change: Decimal) -> str:
    if abs(change) <= READING_TOLERANCE_MM:
        return "Processing left the pin at the agreed value."
    if change > 0:
        return f"Processing raised it by {mm(change)}."
    return f"It stands {mm(-change)} lower than before processing. Nothing is reduced for that."
