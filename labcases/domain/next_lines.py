"""What the bench usually does next, and the lines that say so ready to be logged with one tap.

The order is common practice without a source: base, pin, hollow-grinding, teeth, cusps, passes,
pin, done. Stone teeth that stand on the cast are cut first, a stop last. Nothing here is logged by
itself, and any other line may be logged at any time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import islice
from typing import Any

from labcases import notation
from labcases.domain import calculations, ledger, setup_cautions, teeth, trimming
from labcases.enums import Movement, Scheme, SetUpAct, SetUpOrder, SetUpPart, ToothStatus
from labcases.models import Case, SetUpEntry

MOST = 2
OPENINGS_MM = (Decimal("0.5"), Decimal("1"))
"""How far a pin is usually opened (common practice, no source)."""

TRIM_PAGE = "front_teeth"
FOIL_PAGE = "passes"


@dataclass(frozen=True)
class Ready:
    """A line that one tap logs: what the button says, and the values of the line."""

    words: str
    values: Mapping[str, Any]


@dataclass(frozen=True)
class NextLine:
    """A line that is usual now. ``page`` is where it is entered when it is no line of the log.

    ``initial`` stands in the boxes of its form where it is changed before it is logged.
    """

    act: SetUpAct
    why: str
    ready: tuple[Ready, ...] = ()
    initial: Mapping[str, Any] = field(default_factory=dict)
    page: str = ""
    teeth: tuple[str, ...] = ()


def of(case: Case) -> list[NextLine]:
    """The one or two lines that are usual now, the first first; none when both parts are done."""
    part = current_part(case)
    if part is None:
        return []
    lines = _posterior(case) if part == SetUpPart.POSTERIOR else _anterior(case)
    return list(islice(lines, MOST))


def current_part(case: Case) -> SetUpPart | None:
    """The part that is at work: begun and not done, or else the first that is wanted."""
    done = ledger.parts_done(case)
    anterior_first = case.prescription.set_up_order == SetUpOrder.ANTERIOR_FIRST
    order = list(reversed(SetUpPart)) if anterior_first else list(SetUpPart)
    wanted = [part for part in order if part not in done and teeth_of(case, part)]
    begun = [part for part in wanted if set(teeth_of(case, part)) & _set(case)]
    return next(iter(begun or wanted), None)


def teeth_of(case: Case, part: SetUpPart) -> list[str]:
    """The denture teeth of a part, in mouth order."""
    back = part == SetUpPart.POSTERIOR
    return [t for t in teeth.replaced(case.prescription) if notation.is_posterior(t) is back]


# -- both parts ------------------------------------------------------------------------------------


def _posterior(case: Case) -> Iterator[NextLine]:
    wanted = teeth_of(case, SetUpPart.POSTERIOR)
    told = trimming.of(case)
    to_cut = [tooth for tooth in told.not_yet if tooth in wanted]
    to_set = [tooth for tooth in wanted if tooth not in _set(case) and tooth not in to_cut]
    if ledger.separable_base(case) is None and not _has(case, SetUpAct.BASE_ADAPTED):
        yield NextLine(
            SetUpAct.BASE_ADAPTED,
            "Say here whether the posterior base comes off the cast by itself.",
            (
                Ready("Comes off the cast", {"separable_base": True}),
                Ready("Stays on the cast", {"separable_base": False}),
            ),
        )
    chart = case.prescription.teeth
    stops = [tooth for tooth in to_cut if chart.get(tooth) == ToothStatus.STOP]
    early = [tooth for tooth in to_cut if tooth not in stops]
    if early:
        yield _cutting(early)
    if not set(wanted) & _set(case) and not _has(case, SetUpAct.PIN_OPENED):
        yield _opening(case)
    if to_set:
        yield from islice(_hollows(case, to_set), 1)
        yield _setting(to_set)
    elif not early:
        yield from _cusps(case, [tooth for tooth in wanted if tooth not in stops])
        yield from _passes(case)
        if stops:
            yield _cutting(stops)
        yield from _reading(case)
        yield _done(case, SetUpPart.POSTERIOR)


def _anterior(case: Case) -> Iterator[NextLine]:
    wanted = teeth_of(case, SetUpPart.ANTERIOR)
    stone = [t for t in trimming.on_the_cast(case.prescription) if t in wanted]
    told = trimming.of(case)
    to_cut = [tooth for tooth in told.not_yet if tooth in stone]
    to_set = [tooth for tooth in wanted if tooth not in _set(case) and tooth not in to_cut]
    if to_set:
        yield _setting(_in_order_of_removal(to_set, told))
    if to_cut:
        yield _cutting(to_cut)
    if to_set or to_cut:
        return
    if _after_last(case, SetUpAct.TOOTH_SET):
        yield from _reading(case, asked=True)
    else:
        yield from _reading(case)
    yield _done(case, SetUpPart.ANTERIOR)


def _cutting(to_cut: list[str]) -> NextLine:
    return NextLine(
        SetUpAct.TRIMMED,
        "Which stone teeth were cut, in which order, and how far the cast was trimmed.",
        page=TRIM_PAGE,
        teeth=tuple(to_cut),
    )


def _opening(case: Case) -> NextLine:
    before = _pin(case)
    return NextLine(
        SetUpAct.PIN_OPENED,
        "A small opening while teeth are set, 0.5 to 1 mm (common practice, no source). It is a "
        "temporary aid and never counts as room.",
        tuple(
            Ready(
                f"From {_mm(before)} to {_mm(before + opening)}",
                {"before_mm": before, "after_mm": before + opening},
            )
            for opening in OPENINGS_MM
        ),
        {"before_mm": before},
    )


def _setting(to_set: list[str]) -> NextLine:
    """Every tooth that is not set; where both sides are left, each side alone as well."""
    right = [tooth for tooth in to_set if tooth[0] in "14"]
    left = [tooth for tooth in to_set if tooth[0] in "23"]
    groups = {"Right": right, "Left": left} if right and left else {}
    groups["All" if len(to_set) > 1 else "Only"] = to_set
    return NextLine(
        SetUpAct.TOOTH_SET,
        "Teeth that are not logged as set yet.",
        tuple(Ready(name, {"teeth": found}) for name, found in groups.items()),
        {"teeth": to_set},
    )


def _hollows(case: Case, to_set: list[str]) -> Iterator[NextLine]:
    """Teeth that the height budget wants hollow-ground, as far as nobody logged it."""
    logged = {t for e in ledger.standing(case) if e.act == SetUpAct.HOLLOW_GROUND for t in e.teeth}
    for row in calculations.height_budget(case).rows:
        if not row.hollow_mm or row.tooth not in to_set or row.tooth in logged:
            continue
        initial = {"teeth": [row.tooth], "after_mm": Decimal(f"{row.hollow_mm:.2f}")}
        base = setup_cautions.base_under(case, row.tooth)
        yield NextLine(
            SetUpAct.HOLLOW_GROUND,
            f"The height budget has {_mm(Decimal(f'{row.hollow_mm:.2f}'))} to take from under this "
            "tooth. Log what was taken, and the shell that callipers read.",
            initial=initial if base is None else {**initial, "base_mm": base},
        )


def _cusps(case: Case, wanted: list[str]) -> Iterator[NextLine]:
    row = case.prescription
    if row.scheme == Scheme.FLAT:
        return
    seen = ledger.cusps_held(case)
    open_ones = [t for t in wanted if t not in seen and teeth.antagonist(row, t) is not None]
    if open_ones:
        yield NextLine(
            SetUpAct.CUSP_HELD,
            "The upper lingual cusp of these teeth was not looked at yet. A tooth that is not held "
            "is logged on its own.",
            (Ready("Log as held", {"teeth": open_ones, "as_wanted": True}),),
            {"teeth": open_ones, "as_wanted": "no"},
        )


def _why_again(last: SetUpEntry | None) -> str:
    """Why a movement is marked now."""
    if last is None:
        return "no pass is logged."
    if last.as_wanted is None:
        return "nobody has said whether its last pass is as the scheme wants."
    return "its last pass was not as the scheme wants."


def _passes(case: Case) -> Iterator[NextLine]:
    last = ledger.last_passes(case)
    for movement in Movement:
        entry = last.get(movement)
        if entry is None or not entry.as_wanted:
            yield NextLine(
                SetUpAct.PASS,
                f"{movement.label} is next: {_why_again(entry)}",
                page=FOIL_PAGE,
            )
            return


def _reading(case: Case, *, asked: bool = False) -> Iterator[NextLine]:
    """The pin back at the agreed value, where it is not, or was not read since."""
    told = ledger.balance(case)
    if told.balanced and not asked:
        return
    wanted = told.agreed_mm + (told.zero_mm or Decimal("0"))
    yield NextLine(
        SetUpAct.PIN_READING,
        f"The pin stands at {_mm(wanted)} when the vertical is as agreed.",
        (Ready(f"Reads {_mm(wanted)}", {"after_mm": wanted}),),
        {"after_mm": _pin(case)},
    )


def _done(case: Case, part: SetUpPart) -> NextLine:
    """The end of a part; the base is carried on from where it was said."""
    separable = ledger.separable_base(case)
    if part == SetUpPart.ANTERIOR:
        ready: tuple[Ready, ...] = (Ready(str(part.label), {"part": part.value}),)
    elif separable is None:
        ready = ()
    else:
        words = "base comes off the cast" if separable else "base stays on the cast"
        ready = (
            Ready(f"{part.label}, {words}", {"part": part.value, "separable_base": separable}),
        )
    return NextLine(
        SetUpAct.PART_DONE, "Every tooth of this part is set.", ready, {"part": part.value}
    )


# -- what the log says -----------------------------------------------------------------------------


def _set(case: Case) -> set[str]:
    return {t for e in ledger.standing(case) if e.act == SetUpAct.TOOTH_SET for t in e.teeth}


def _has(case: Case, act: SetUpAct) -> bool:
    return any(entry.act == act for entry in ledger.standing(case))


def _after_last(case: Case, act: SetUpAct) -> bool:
    """Whether the pin was not read since the last line of an act."""
    last: SetUpEntry | None = None
    for entry in ledger.standing(case):
        if entry.act in (act, SetUpAct.PIN_READING):
            last = entry
    return last is not None and last.act == act


def _pin(case: Case) -> Decimal:
    """The last pin value: a reading, an opening, or pin zero at mounting."""
    told = ledger.balance(case)
    return told.reading_mm if told.reading_mm is not None else (told.zero_mm or Decimal("0"))


def _in_order_of_removal(to_set: list[str], told: trimming.Trimming) -> list[str]:
    cut = [row.tooth for row in told.teeth]
    return sorted(to_set, key=lambda tooth: cut.index(tooth) if tooth in cut else -1)


def _mm(value: Decimal) -> str:
    return f"{value.normalize():f} mm"
