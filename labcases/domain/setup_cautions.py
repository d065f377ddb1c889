"""What a line of the set-up log leaves to mind: thin base, thin shell, porcelain. Never a refusal.

Held against what counts when the log is read, so that a figure that is entered late still speaks.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from labcases.domain import cautions, ledger, site_values
from labcases.domain.cautions import PRACTICE, Caution
from labcases.enums import SetUpAct
from labcases.models import Case, SetUpEntry, ToothSelection

BASES = (
    "J Dent Rehabil Appl Sci 36(3), abstract read: bases of 1.6, 2.0 and 2.5 mm tested, 2.5 "
    "stronger than 1.6 in a conventional resin. What was tested, not what is enough"
)
THIN_UNDER_TOOTH = (
    "Influence of denture tooth thickness on fracture mode of thin acrylic resin bases, abstract "
    "read: in blocks of 2.5 mm in all, thick composite over a thin base failed at the joint, and "
    "at a lower load"
)


def of_line(case: Case, entry: SetUpEntry) -> list[Caution]:
    """What to mind of one line, with its source; nothing of a line that says no thickness."""
    if entry.act == SetUpAct.BASE_REDUCED:
        return [one for tooth in entry.teeth for one in _of_base(case, tooth, entry.after_mm)]
    if entry.act == SetUpAct.HOLLOW_GROUND:
        return [one for tooth in entry.teeth for one in _of_hollow(case, tooth, entry)]
    return []


def base_under(case: Case, tooth: str) -> Decimal | None:
    """The base that the last line at a site left, or that was read there; nothing if none was."""
    found: Decimal | None = None
    for entry in ledger.standing(case):
        if tooth not in entry.teeth:
            continue
        if entry.act == SetUpAct.BASE_REDUCED and entry.after_mm is not None:
            found = entry.after_mm
        elif entry.act == SetUpAct.HOLLOW_GROUND and entry.base_mm is not None:
            found = entry.base_mm
    return found


def _of_base(case: Case, tooth: str, left_mm: Decimal | None) -> Iterator[Caution]:
    least = site_values.at_tooth(case, tooth)["base_min_mm"]
    if least.value_mm is None:
        yield Caution(
            "no-least-base",
            f"No least base is entered at {tooth}, by the office or by the laboratory, so the base "
            "is held against nothing.",
            PRACTICE,
        )
    elif left_mm is not None and left_mm < least.value_mm:
        yield Caution(
            "thin-base",
            f"{_mm(left_mm)} of base is left at {tooth}, less than {_mm(least.value_mm)} "
            f"({least.origin}).",
            BASES,
        )


def _of_hollow(case: Case, tooth: str, entry: SetUpEntry) -> Iterator[Caution]:
    least = site_values.at_tooth(case, tooth)["shell_min_mm"]
    left = entry.shell_left_mm
    if left is None:
        yield Caution(
            "shell-not-read", f"The shell that is left at {tooth} was not read.", PRACTICE
        )
    if least.value_mm is None:
        yield Caution(
            "no-least-shell",
            f"No least shell is entered for {tooth}. Enter what the material sheet of the tooth "
            "says, with the teeth or at the site.",
            PRACTICE,
        )
    elif left is not None and left < least.value_mm:
        yield Caution(
            "thin-shell",
            f"{_mm(left)} of shell is left at {tooth}, less than the {_mm(least.value_mm)} of its "
            f"material sheet ({least.origin}).",
            "material sheet of the tooth line, as it was entered",
        )
    yield from _of_joint(case, tooth, entry)
    selection: ToothSelection | None = getattr(case, "selection", None)
    material = selection.material if selection else case.prescription.tooth_material
    yield from (
        one
        for one in cautions.of_material(case.prescription, material)
        if one.code == "hollow-grinding-porcelain"
    )


def _of_joint(case: Case, tooth: str, entry: SetUpEntry) -> Iterator[Caution]:
    """A thin base under the tooth, by the least base that counts there."""
    base = entry.base_mm
    least = site_values.at_tooth(case, tooth)["base_min_mm"].value_mm
    if base is not None and least is not None and base < least:
        yield Caution(
            "thin-base-under-tooth",
            f"The base under {tooth} is {_mm(base)}, less than {_mm(least)}. A thick tooth over a "
            "thin base is no stronger for it.",
            THIN_UNDER_TOOTH,
        )


def together_mm(entry: SetUpEntry) -> Decimal | None:
    """Base and tooth over the fossa together; nothing where one of them was not read."""
    if entry.base_mm is None or entry.shell_left_mm is None:
        return None
    return Decimal(entry.base_mm + entry.shell_left_mm)


def _mm(value: Decimal) -> str:
    return f"{value.normalize():f} mm"
