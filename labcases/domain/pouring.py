"""Pour times and mixes held against what was read of them: words to weigh, never a refusal."""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from labcases.domain.cautions import PRACTICE, Caution
from labcases.models import Cast, Impression
from labcases.reference import materials
from labcases.reference.materials import Figure, Material

LABEL = "the label of the material, as it was entered"
MINUTES_AN_HOUR = 60
#: Materials that lose water once the first cast is off.
DRIES = {"alginate": "Alginate", "extended-pour alginate": "Extended-pour alginate"}

NOT_POURED, IN_TIME, EARLY, LATE, LATER_THAN_BEST, NOT_CHECKED = (
    *("not poured yet", "in time", "too early", "too late"),
    *("later than is taught", "not checked"),
)


@dataclass(frozen=True)
class Pour:
    """What is said of one pour: a word, why it was not checked if so, and cautions."""

    word: str
    why: str = ""
    cautions: tuple[Caution, ...] = ()


def span(minutes: Decimal | int) -> str:
    """A time in the unit that people use for it: "55 min", "2 h 10 min", "100 h"."""
    whole = int(minutes)
    if whole != minutes or whole < 2 * MINUTES_AN_HOUR:
        return f"{Decimal(minutes).normalize():f} min"
    hours, rest = divmod(whole, MINUTES_AN_HOUR)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def of_pour(row: Impression, *, now: datetime) -> Pour:
    """Hold the pour of an impression against the label, else against what was read.

    Parameters
    ----------
    row : Impression
        The label's own minutes go before every figure of the reference list.
    now : datetime
        An impression that was not poured yet is held against this moment.
    """
    material = materials.impression_materials()[row.material]
    waited = _minutes(row.taken_at, row.poured_at or now)
    early = _too_early(row, material, waited) if row.poured_at else None
    if early:
        return Pour(EARLY, cautions=(early,))
    longest, source = latest_minutes(row, material)
    if longest is not None and waited > longest:
        return Pour(LATE, cautions=(_too_late(row, material, waited, longest, source),))
    if not row.poured_at:
        return Pour(NOT_POURED)
    best = material.best
    if row.label_latest_minutes is None and best and best.counts and waited > _low(best):
        return Pour(LATER_THAN_BEST, cautions=(_later_than_best(material, waited, best),))
    if longest is None:
        return Pour(NOT_CHECKED, why=why_unchecked(material))
    return Pour(IN_TIME)


def pour_by(row: Impression) -> datetime | None:
    """The moment until which it is poured, where that is known."""
    longest, _source = latest_minutes(row, materials.impression_materials()[row.material])
    return None if longest is None else row.taken_at + timedelta(minutes=float(longest))


def latest_minutes(row: Impression, material: Material) -> tuple[Decimal | None, str]:
    """The longest wait that counts, and where it comes from; nothing where none was read."""
    if row.label_latest_minutes is not None:
        return Decimal(row.label_latest_minutes), LABEL
    if material.latest.counts:
        return _low(material.latest), material.latest.cited
    return None, ""


def why_unchecked(material: Material) -> str:
    """Why a wait is held against nothing, and what would change that."""
    if material.latest.on_label:
        return f"Only the label of {material.label.lower()} says how long. Enter its minutes."
    return f"How long {material.label.lower()} may wait was not read. Enter what its label says."


def _too_early(row: Impression, material: Material, waited: int) -> Caution | None:
    """Gas comes only from materials whose label asks to wait."""
    wanted = row.label_earliest_minutes
    if not wanted or waited >= wanted:
        return None
    note = (
        f"; {material.note.cited}" if material.key == "addition silicone" and material.note else ""
    )
    return Caution(
        "poured-early",
        f"The {row.get_arch_display().lower()} impression was poured after {span(waited)}; its "
        f"label asks to wait {span(wanted)}. Gas that the material still gives off leaves pores "
        "in the cast: look for them, and pour again if there are any.",
        f"{LABEL}{note}",
    )


def _too_late(
    row: Impression, material: Material, waited: int, longest: Decimal, source: str
) -> Caution:
    arch = row.get_arch_display().lower()
    said = (
        f"was poured {span(waited)} after it was taken"
        if row.poured_at
        else f"was taken {span(waited)} ago and is not poured"
    )
    own = " as the label says" if source == LABEL else ""
    return Caution(
        "poured-late" if row.poured_at else "not-poured",
        f"The {arch} impression {said}; {material.label.lower()} is poured within "
        f"{span(longest)}{own}. It may be distorted: compare the cast with another record of the "
        "mouth, or ask for a new impression.",
        source,
    )


def _later_than_best(material: Material, waited: int, best: Figure) -> Caution:
    return Caution(
        "poured-later-than-taught",
        f"Poured {span(waited)} after it was taken: {material.label.lower()} is best poured "
        f"within {span(_low(best))}. It starts to distort while it waits; look at the cast with "
        "that in mind.",
        best.cited,
    )


def of_second_pour(cast: Cast) -> Pour | None:
    """A pour of its own held to the same window; nothing where it is that of the impression."""
    impression, at = cast.impression, cast.poured_at
    if impression is None or at is None or at == impression.poured_at:
        return None
    again = copy(impression)
    again.poured_at = at
    found = of_pour(again, now=at)
    first = impression.poured_at
    if first is None or at < first or impression.material not in DRIES:
        return found
    dried = Caution(
        "poured-twice",
        f"This is a second pour of {_small(DRIES[impression.material])}, which dries and tears "
        "when the first cast comes off. Compare both casts, or make a duplicate of the first one.",
        PRACTICE,
    )
    return Pour(found.word, found.why, (*found.cautions, dried))


def untimed(casts: Iterable[Cast]) -> list[Caution]:
    """Casts of one impression of which more than one has no pour of its own."""
    found: dict[int, list[Cast]] = {}
    for cast in casts:
        if cast.impression_id is not None and cast.made_from_id is None and not cast.poured_at:
            found.setdefault(cast.impression_id, []).append(cast)
    return [
        Caution(
            "second-pour-untimed",
            f"{len(same)} {same[0].arch} casts come from one impression, and one pour is timed. "
            "Enter the cast of the second pour with its own time; strike the other line out.",
            PRACTICE,
        )
        for same in found.values()
        if len(same) > 1
    ]


def of_mix(gypsum: str, *, water_ml: Decimal | None, powder_g: Decimal | None) -> list[Caution]:
    """Cautions about water to powder, where the type's band was read."""
    kind = materials.gypsum_types().get(gypsum)
    if kind is None or not kind.water.counts or not water_ml or not powder_g:
        return []
    ratio = 100 * water_ml / powder_g
    part, practice = materials.slack()
    low, high = _low(kind.water), _high(kind.water)
    said = (
        f"{ratio:.1f} ml of water to 100 g of powder; {_small(kind.label)} takes {low:f} to "
        f"{high:f} ml."
    )
    beyond = f"{kind.water.cited}; a tenth beyond its ends is let pass: {practice}"
    if ratio > high * (1 + part):
        loss = materials.strength_loss()
        return [
            Caution(
                "too-much-water",
                f"{said} Too much water costs strength: with half as much water again, the "
                f"strength under pressure fell by {_low(loss):f} to {_high(loss):f} % in a test. "
                "Handle the cast with care, or pour again.",
                f"{beyond}; strength: {loss.cited}",
            )
        ]
    if ratio < low * (1 - part):
        return [
            Caution(
                "too-little-water",
                f"{said} A stiff mix flows badly and traps bubbles ({PRACTICE}): inspect the cast "
                "for them.",
                beyond,
            )
        ]
    return []


def of_setting(
    gypsum: str, *, set_minutes: Decimal | None, separated_minutes: int | None
) -> list[Caution]:
    """Cautions about the time until the mix set and until the impression came off."""
    found = []
    kind = materials.gypsum_types().get(gypsum)
    if kind and kind.sets.counts and set_minutes is not None:
        low, high = _low(kind.sets), _high(kind.sets)
        if not low <= set_minutes <= high:
            how = "sooner" if set_minutes < low else "later"
            found.append(
                Caution(
                    "set-at-odd-time",
                    f"Set after {span(set_minutes)}, {how} than {_small(kind.label)} does "
                    f"({low:f} to {high:f} min). Old or damp powder, warm water or a wrong mix "
                    f"show like this ({PRACTICE}).",
                    kind.sets.cited,
                )
            )
    wait = materials.separation()
    if separated_minutes is not None and separated_minutes < _low(wait):
        found.append(
            Caution(
                "separated-early",
                f"Taken off the impression after {span(separated_minutes)}; a cast is left "
                f"{_low(wait):f} to {_high(wait):f} min. Look for chipped teeth and edges.",
                wait.cited,
            )
        )
    return found


def _minutes(start: datetime, end: datetime) -> int:
    return int((end - start).total_seconds() // 60)


def _low(figure: Figure) -> Decimal:
    return figure.low if figure.low is not None else Decimal(0)


def _high(figure: Figure) -> Decimal:
    return figure.high if figure.high is not None else Decimal(0)


def _small(label: str) -> str:
    """A label inside of a sentence."""
    return label[:1].lower() + label[1:]
