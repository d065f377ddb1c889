"""What must be true of the remount before the denture comes off its cast, and once more later."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import calculations, remount, remount_ledger
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.domain.remount_ledger import AfterProcessing
from labcases.models import Case
from labcases.templatetags.units import mm, signed_mm

PAGE = "remount"


def remount_done(case: Case) -> Iterator[Missing]:
    """The pin read, back or accepted; contacts as wanted in every movement; the list answered."""
    told = remount_ledger.of(case)
    if told.rise_mm is None:
        yield Missing("Enter the pin rise found at the remount.", PAGE, "rise_mm")
        return
    if told.lacks_cause:
        yield Missing(
            f"The pin rose by {mm(told.highest_mm)}, more than {mm(calculations.CORRECT_MM)}. "
            "Record the cause.",
            PAGE,
            "cause",
        )
    yield from _balanced(told)
    yield from _contacts(told)
    yield from _answered(case)


def _balanced(told: AfterProcessing) -> Iterator[Missing]:
    if told.ground_since:
        yield Missing(
            "Denture teeth were corrected since the pin was read. Read it again.",
            PAGE,
            "rise_mm",
            MANAGER,
        )
    elif told.may_accept:
        yield Missing(
            f"The pin stands {signed_mm(told.rise_mm)} from the agreed value. Accept it, or "
            "correct the denture teeth and read it again.",
            PAGE,
            "accept",
            MANAGER,
        )
    elif not told.balanced:
        yield Missing(
            f"The pin stands {signed_mm(told.rise_mm)} from the agreed value, and at most "
            f"{mm(calculations.GOOD_MM)} may be accepted. {told.next_step}",
            PAGE,
            "rise_mm",
            MANAGER,
        )


def _contacts(told: AfterProcessing) -> Iterator[Missing]:
    for one in told.contacts:
        if one.after is None:
            yield Missing(
                f"Log the contacts in {one.movement.label.lower()} as they are now.",
                PAGE,
                "movement",
                MANAGER,
            )
        elif not one.after.as_wanted:
            yield Missing(
                f"The contacts in {one.movement.label.lower()} are not as wanted after processing. "
                "Correct the denture teeth and log the pass again.",
                PAGE,
                "movement",
                MANAGER,
            )


def _answered(case: Case) -> Iterator[Missing]:
    row = getattr(case, "remount_check", None)
    silent = remount.silent(row)
    if silent:
        yield Missing(
            f"Answer every line of the remount checklist; {len(silent)} of {len(remount.lines())} "
            "are open.",
            "remount_check",
            f"answer_{silent[0].key}",
            MANAGER,
        )
    for line in remount.refused(row):
        yield Missing(
            f"The remount checklist says no: {line.text}. Mend it and answer again.",
            "remount_check",
            f"answer_{line.key}",
            MANAGER,
        )
