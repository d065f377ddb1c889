"""The set-up log as screen and paper show it: progress, passes, vertical, lines."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from labcases import notation as numbers
from labcases.domain import arrangement, ledger, setup_cautions, teeth, trimming
from labcases.domain.cautions import Caution
from labcases.domain.ledger import Balance
from labcases.enums import Movement, SetUpAct, SetUpPart
from labcases.models import ArrangementChange, Attachment, Case, CastTrim, SetUpEntry
from labcases.templatetags.units import mm, signed_mm, tooth_number

JUDGED: dict[bool | None, tuple[str, str]] = {
    True: ("As wanted", "done"),
    False: ("Not as wanted", "warning"),
    None: ("Not said yet", "waiting"),
}
"""What was said of a pass -> its word and status mark."""


@dataclass(frozen=True)
class PartProgress:
    """How far one part of the set-up is."""

    part: str
    done: bool
    teeth: str
    base: str
    by: str
    at: datetime | None


@dataclass(frozen=True)
class PassRow:
    """The last pass in one movement; nothing was logged when ``at`` is empty."""

    movement: str
    word: str
    glyph: str
    teeth: str
    by: str
    at: datetime | None
    pk: int | None = None


@dataclass(frozen=True)
class VerticalView:
    """The vertical ledger in the words of the bench."""

    zero: str
    reading: str
    agreed: str
    difference: str
    balanced: bool
    word: str
    glyph: str


@dataclass(frozen=True)
class LogLine:
    """One line of the log as a sentence; a struck one keeps its words."""

    entry: SetUpEntry
    what: str
    struck: bool
    cautions: tuple[Caution, ...] = ()
    photographs: tuple[Attachment, ...] = ()


def progress(case: Case, notation: str) -> list[PartProgress]:
    """Both parts of the set-up: what is set, on what base, and who called it done."""
    row = case.prescription
    wanted = {
        SetUpPart.POSTERIOR: teeth.posterior_sites(row),
        SetUpPart.ANTERIOR: [t for t in teeth.replaced(row) if not numbers.is_posterior(t)],
    }
    standing = ledger.standing(case)
    logged = {t for e in standing if e.act == SetUpAct.TOOTH_SET for t in e.teeth}
    done = ledger.parts_done(case)
    found = []
    for part in SetUpPart:
        entry = done.get(part)
        to_set = [t for t in wanted[part] if t not in logged]
        found.append(
            PartProgress(
                part=str(part.label),
                done=entry is not None,
                teeth=_set_words(len(wanted[part]), to_set, notation),
                base=_base_words(part, entry, ledger.separable_base(case)),
                by=str(entry.by) if entry else "",
                at=entry.at if entry else None,
            )
        )
    return found


def _set_words(wanted: int, to_set: list[str], notation: str) -> str:
    if not wanted:
        return "no tooth in this part"
    if not to_set:
        return f"{wanted} of {wanted} teeth logged as set"
    return (
        f"{wanted - len(to_set)} of {wanted} teeth logged as set; not yet: "
        f"{_numbers(to_set, notation)}"
    )


def _base_words(part: SetUpPart, entry: SetUpEntry | None, separable: bool | None) -> str:
    if part != SetUpPart.POSTERIOR or (entry is None and separable is None):
        return ""
    if separable:
        return "on a base that comes off the cast"
    return "the base does not come off the cast, so no try-in alone"


def passes(case: Case, notation: str) -> list[PassRow]:
    """The last pass in each movement, in the order of the bench."""
    last = ledger.last_passes(case)
    found = []
    for movement in Movement:
        entry = last.get(movement)
        if entry is None:
            found.append(PassRow(str(movement.label), "No pass yet", "not yet", "", "", None))
            continue
        found.append(
            PassRow(
                movement=str(movement.label),
                word=JUDGED[entry.as_wanted][0],
                glyph=JUDGED[entry.as_wanted][1],
                teeth=_numbers(entry.teeth, notation) or "no tooth marked",
                by=str(entry.by),
                at=entry.at,
                pk=entry.pk,
            )
        )
    return found


def vertical(balance: Balance) -> VerticalView:
    """Zero, reading, agreed value and difference, and what they come to in a word."""
    if balance.reading_mm is None:
        word, glyph = "No reading yet", "not yet"
    elif balance.balanced:
        word, glyph = "Balanced", "done"
    else:
        word, glyph = "Not balanced", "warning"
    return VerticalView(
        zero=mm(balance.zero_mm) or "not read",
        reading=mm(balance.reading_mm) or "not read",
        agreed=mm(balance.agreed_mm),
        difference=signed_mm(balance.difference_mm),
        balanced=balance.balanced,
        word=word,
        glyph=glyph,
    )


def _sees_none(_photograph: Attachment) -> bool:
    return False


def lines(
    case: Case, notation: str, sees: Callable[[Attachment], bool] = _sees_none
) -> list[LogLine]:
    """Every line, the newest first; struck ones stay in their place.

    ``sees`` says of a photograph at a line whether the reader sees it.
    """
    entries = (
        case.setup_entries.select_related("by", "struck_by", "trim", "arrangement")
        .prefetch_related("trim__teeth", "photographs__photograph")
        .order_by("-id")
    )
    return [
        LogLine(
            entry,
            in_words(entry, notation),
            struck=entry.struck_at is not None,
            cautions=() if entry.struck_at else tuple(setup_cautions.of_line(case, entry)),
            photographs=tuple(
                row.photograph for row in entry.photographs.all() if sees(row.photograph)
            ),
        )
        for entry in entries
    ]


def in_words(entry: SetUpEntry, notation: str) -> str:
    """What a line says beside its act: "16 17, 0.3 mm off each"."""
    where = _numbers(entry.teeth, notation)
    before, after = mm(entry.before_mm), mm(entry.after_mm)
    said = {
        SetUpAct.PIN_OPENED: f"from {before} to {after}",
        SetUpAct.PIN_READING: _pin_words(entry, after),
        SetUpAct.BASE_REDUCED: f"{where}, {after} of base left",
        SetUpAct.HOLLOW_GROUND: _hollow_words(entry, where),
        SetUpAct.CUSP_HELD: f"{where}, {'held' if entry.as_wanted else 'not held'}",
        SetUpAct.REDUCTION: f"{where}, {after} off{' each' if len(entry.teeth) > 1 else ''}",
        SetUpAct.TRIMMED: _trim_words(entry, notation),
        SetUpAct.TOOTH_SET: where,
        SetUpAct.ARRANGED: _arranged_words(entry, where),
        SetUpAct.PASS: _pass_words(entry, where),
        SetUpAct.PART_DONE: _part_words(entry),
        SetUpAct.BASE_ADAPTED: _separable(entry),
        SetUpAct.NOTE: "",
    }[SetUpAct(entry.act)]
    note = "" if entry.act == SetUpAct.ARRANGED else entry.note
    return ". ".join(part for part in (said, note) if part)


def _pin_words(entry: SetUpEntry, after: str) -> str:
    """A reading after grinding says whether the pin touched the table where it is set."""
    if entry.before_mm is None or entry.after_mm is None:
        return after
    lifted = entry.after_mm - entry.before_mm
    if not lifted:
        return f"{after}, the pin touches the table"
    return f"{after}, the pin set at {mm(entry.before_mm)} is lifted by {mm(lifted)}"


def _pass_words(entry: SetUpEntry, where: str) -> str:
    verdict = JUDGED[entry.as_wanted][0].lower()
    marks = f"marks at {where}" if where else "no tooth marked"
    return f"{entry.get_movement_display()}, {verdict}, {marks}"


def _hollow_words(entry: SetUpEntry, where: str) -> str:
    """Depth, shell left, and base and tooth together where both were read."""
    told = [f"{where}, {mm(entry.after_mm)} deep"]
    if entry.shell_left_mm is not None:
        told.append(f"{mm(entry.shell_left_mm)} of shell left")
    if entry.base_mm is not None:
        told.append(f"base under it {mm(entry.base_mm)}")
    together = setup_cautions.together_mm(entry)
    if together is not None:
        told.append(f"base and tooth over the fossa {mm(together)} together")
    return ", ".join(told)


def _arranged_words(entry: SetUpEntry, where: str) -> str:
    """How a tooth is set otherwise, and on whose word; its note is part of it."""
    row: ArrangementChange | None = getattr(entry, "arrangement", None)
    if row is None:
        return where
    wanted = str(row.get_wanted_by_display()).lower()
    return f"{where} {arrangement.in_words(row)}; wanted by {wanted}"


def _trim_words(entry: SetUpEntry, notation: str) -> str:
    """The way, and what is gone at each tooth; nothing of a line that has no trimming."""
    trim: CastTrim | None = getattr(entry, "trim", None)
    if trim is None:
        return ""
    arch = entry.case.prescription.arch
    told = [
        f"{tooth_number(row.tooth, notation)} {trimming.depths(row, arch)}"
        for row in trim.teeth.all()
    ]
    return f"{trim.words or trim.get_method_display()}: {'; '.join(told)}"


def _part_words(entry: SetUpEntry) -> str:
    return ", ".join(part for part in (entry.get_part_display(), _separable(entry)) if part)


def _separable(entry: SetUpEntry) -> str:
    if entry.separable_base is None:
        return ""
    return "base comes off the cast" if entry.separable_base else "base does not come off the cast"


def _numbers(wanted: list[str], notation: str) -> str:
    return " ".join(tooth_number(tooth, notation) for tooth in wanted)
