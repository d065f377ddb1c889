"""The vertical ledger line by line: each pin value, and what the log says that changed it.

What teeth lost explains a closing pin at most as far as the tooth that lost most lets it: teeth
hold the pin side by side, so their losses do not add up. What the log does not explain is told,
never booked away.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from labcases import notation
from labcases.domain import calculations, ledger
from labcases.domain.ledger import READING_TOLERANCE_MM
from labcases.enums import SetUpAct
from labcases.models import Case, SetUpEntry

NONE = Decimal("0")
STAYED = "It stayed."


@dataclass(frozen=True)
class Loss:
    """What was taken off at one site between two pin values, and what that is at the pin.

    ``site`` is the tooth of the denture's arch; a loss opposite counts at the same site.
    ``pin_mm`` is nothing where no articulator record says how far the pin goes.
    """

    site: str
    taken_mm: Decimal
    pin_mm: Decimal | None


@dataclass(frozen=True)
class PinStep:
    """One pin value and how it came to it.

    Attributes
    ----------
    entry : SetUpEntry
        The line that says the value.
    before_mm : Decimal or None
        The value before: the last one that is logged, or pin zero at mounting.
    value_mm, from_zero_mm : Decimal
        The value, as read and from pin zero.
    change_mm : Decimal or None
        From the one before; nothing where none is known.
    opened_mm : Decimal
        How much of it was opened on purpose.
    losses : tuple of Loss
        What was taken off since.
    unexplained_mm : Decimal
        What the log does not explain, with its sign; 0 within the tolerance of a reading.
    text : str
        All of it in words, with teeth in ISO 3950.
    """

    entry: SetUpEntry
    before_mm: Decimal | None
    value_mm: Decimal
    from_zero_mm: Decimal
    change_mm: Decimal | None
    opened_mm: Decimal
    losses: tuple[Loss, ...]
    unexplained_mm: Decimal
    text: str

    @property
    def at_most_mm(self) -> Decimal | None:
        """How far the losses can have let the pin down; nothing where one is not known."""
        return at_most(self.losses)


def of(case: Case) -> list[PinStep]:
    """Every pin value of a case in its order, struck lines left out."""
    told = ledger.balance(case)
    zero = told.zero_mm or NONE
    per_mm = calculations.pin_for_a_millimetre(case)
    before = told.zero_mm
    since: list[SetUpEntry] = []
    any_tooth = False
    steps = []
    for entry in ledger.standing(case):
        if entry.act not in (SetUpAct.PIN_OPENED, SetUpAct.PIN_READING) or entry.after_mm is None:
            since.append(entry)
            continue
        any_tooth = any_tooth or _set_in(since)
        steps.append(_step(case, entry, before, zero, since, per_mm, any_tooth=any_tooth))
        before, since = entry.after_mm, []
    return steps


def _step(
    case: Case,
    entry: SetUpEntry,
    before: Decimal | None,
    zero: Decimal,
    since: list[SetUpEntry],
    per_mm: Mapping[str, float],
    *,
    any_tooth: bool,
) -> PinStep:
    value = Decimal(entry.after_mm or NONE)
    opened = NONE
    if entry.act == SetUpAct.PIN_OPENED and entry.before_mm is not None:
        opened = value - entry.before_mm
    change = None if before is None else value - before
    losses = _losses(case, since, per_mm)
    by_itself = NONE if change is None else change - opened
    text, unexplained = _told(by_itself, losses, reset=_set_in(since), any_tooth=any_tooth)
    said = [
        f"Opened by {_mm(opened)}, a temporary aid." if opened else "",
        "No value was logged before it." if change is None else text,
    ]
    if opened and text == STAYED:
        said.pop()
    return PinStep(
        entry=entry,
        before_mm=before,
        value_mm=value,
        from_zero_mm=value - zero,
        change_mm=change,
        opened_mm=opened,
        losses=losses,
        unexplained_mm=unexplained,
        text=" ".join(one for one in said if one),
    )


def at_most(losses: Iterable[Loss]) -> Decimal | None:
    """The largest of what losses are at the pin; nothing where one of them is not known."""
    found = [loss.pin_mm for loss in losses]
    known = [value for value in found if value is not None]
    return max(known, default=NONE) if len(known) == len(found) else None


def _losses(
    case: Case, since: Iterable[SetUpEntry], per_mm: Mapping[str, float]
) -> tuple[Loss, ...]:
    """What was taken off at each site, both arches together."""
    return losses_at(case, (one for e in since for one in ledger.taken_by(e).items()), per_mm)


def losses_at(
    case: Case, off: Iterable[tuple[str, Decimal]], per_mm: Mapping[str, float]
) -> tuple[Loss, ...]:
    """Teeth and what was taken off each, summed by site, both arches together."""
    arch = case.prescription.arch
    taken: dict[str, Decimal] = {}
    for tooth, off_mm in off:
        site = tooth if notation.arch_of(tooth) == arch else notation.opposing(tooth)
        taken[site] = taken.get(site, NONE) + off_mm
    return tuple(
        Loss(
            site,
            off_mm,
            (off_mm * Decimal(f"{per_mm[site]:.4f}")).quantize(Decimal("0.01"))
            if site in per_mm
            else None,
        )
        for site, off_mm in taken.items()
    )


def _told(
    change: Decimal, losses: tuple[Loss, ...], *, reset: bool, any_tooth: bool
) -> tuple[str, Decimal]:
    """What changed the pin beside an opening, in words, and what of it is not explained."""
    if abs(change) <= READING_TOLERANCE_MM:
        return f"It stayed. Ground since: {listed(losses)}." if losses else STAYED, NONE
    if change > 0:
        why = (
            "Teeth were set since, and may hold it up."
            if reset
            else "Nothing that is logged raises a pin: look for a tooth that stands high."
        )
        return f"Rose by {_mm(change)}, not opened. {why}", NONE if reset else change
    return _closed(-change, losses, reset=reset, any_tooth=any_tooth)


def _closed(
    down: Decimal, losses: tuple[Loss, ...], *, reset: bool, any_tooth: bool
) -> tuple[str, Decimal]:
    said = f"Went down by {_mm(down)}."
    if not any_tooth:
        return f"{said} No tooth was set yet, so none held the pin.", NONE
    again = " Teeth were set since, which may be why." if reset else ""
    if not losses:
        return (
            f"{said} No reduction is logged since.{again or _look(down)}",
            NONE if reset else -down,
        )
    most = at_most(losses)
    if most is None:
        return (
            f"{said} Ground since: {listed(losses)}. How far that lets the pin down is not known "
            "without the articulator record.",
            NONE,
        )
    left = down - most
    explained = f"{said} Reductions since explain at most {_mm(most)}: {listed(losses)}."
    if left <= READING_TOLERANCE_MM:
        return explained, NONE
    return f"{explained}{again or _look(left)}", NONE if reset else -left


def _look(left: Decimal) -> str:
    return (
        f" {_mm(left)} is not explained: wax that gave way, a tooth set again or the reading "
        "itself may be why. Look at it before you go on."
    )


def listed(losses: Iterable[Loss]) -> str:
    """Losses in words: "16 by 0.2 mm (0.31 mm at the pin)"."""
    return ", ".join(
        f"{loss.site} by {_mm(loss.taken_mm)}"
        + ("" if loss.pin_mm is None else f" ({_mm(loss.pin_mm)} at the pin)")
        for loss in losses
    )


def _set_in(entries: Iterable[SetUpEntry]) -> bool:
    return any(entry.act == SetUpAct.TOOTH_SET for entry in entries)


def _mm(value: Decimal) -> str:
    return f"{value.normalize():f} mm"
