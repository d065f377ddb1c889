"""Stone teeth cut from the cast: logging it, and reading back what is gone at each tooth.

How far a cast is to be trimmed is never computed. What was done is stored by method and tooth,
and what goes past a published figure is flagged with its source; the dentist approves.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from labcases.domain import history, teeth
from labcases.enums import Arch, SetUpAct, TrimMethod
from labcases.models import Case, CastTrim, Prescription, SetUpEntry, ToothTrim, User
from labcases.reference import trimming as reference

UPPER_ONLY = (TrimMethod.SOCKETED,)


NOTHING_TO_TRIM = (
    "No stone tooth of this cast stands until surgery, so nothing is cut from it. Where one does, "
    "say so in the prescription first."
)


class CannotTrim(Exception):
    """The line is refused; the text says why and what to do."""


@dataclass(frozen=True)
class Flag:
    """What a trim goes past, in words, with the source and how far that was read."""

    code: str
    text: str
    source: str


@dataclass(frozen=True)
class Trimmed:
    """What is gone at one tooth, by the last line that names it.

    ``place`` is the order of removal over all lines, from 1. Millimetres are from the cast as
    it was poured. ``open`` says what could not be held against anything.
    """

    tooth: str
    place: int
    method: TrimMethod
    words: str
    labial_mm: Decimal
    crest_mm: Decimal | None
    palatal_mm: Decimal | None
    apical_third: bool
    entry: SetUpEntry
    flags: tuple[Flag, ...] = ()
    open: str = ""

    @property
    def how(self) -> str:
        """The method, in a person's own words where it is none of the listed ones."""
        return self.words if self.method == TrimMethod.OTHER else str(self.method.label)


@dataclass(frozen=True)
class Trimming:
    """All that is said of the trimming of a case, in the order of removal."""

    teeth: tuple[Trimmed, ...] = ()
    not_yet: tuple[str, ...] = ()
    """Teeth that stand until surgery and that no line says to be cut from the cast."""
    flags: tuple[Flag, ...] = field(default=())
    """What is flagged of the case and not of a tooth."""

    @property
    def methods(self) -> list[TrimMethod]:
        """The methods in use, each once."""
        return list(dict.fromkeys(row.method for row in self.teeth))

    @property
    def flagged(self) -> bool:
        return bool(self.flags) or any(row.flags for row in self.teeth)


def on_the_cast(prescription: Prescription) -> list[str]:
    """Teeth that stand on the cast until the bench cuts them off: those out at surgery."""
    found = teeth.replaced(prescription)
    return [t for t in found if prescription.teeth.get(t) in teeth.OUT_AT_SURGERY]


def methods_for(arch: str) -> list[TrimMethod]:
    """Methods that an arch allows: a socketed denture has no flange to hold it in the lower."""
    return [m for m in TrimMethod if arch == Arch.UPPER or m not in UPPER_ONLY]


def inner_side(arch: str) -> str:
    """The side of the tongue, as it is called in an arch."""
    return "palatally" if arch == Arch.UPPER else "lingually"


def log(
    *,
    case: Case,
    by: User,
    method: str,
    trims: Sequence[Mapping[str, Any]],
    words: str = "",
    note: str = "",
) -> SetUpEntry:
    """Add a line that says how teeth were cut from the cast, and how far the cast was trimmed.

    Parameters
    ----------
    case : Case
        The case.
    by : User
        Who trimmed.
    method : str
        ``TrimMethod``.
    trims : sequence of mapping
        In the order of removal: ``tooth``, ``labial_mm``, and ``crest_mm``, ``palatal_mm`` and
        ``apical_third`` where they were said. Millimetres from the cast as it was poured.
    words : str
        How, where the method is ``TrimMethod.OTHER``.
    note : str
        Whatever else.

    Raises
    ------
    CannotTrim
        No tooth is named, one does not stand on this cast, or the arch does not allow the method.
    """
    wanted = TrimMethod(method)
    prescription = case.prescription
    _allowed(prescription, wanted, words, [str(one["tooth"]) for one in trims])
    with history.turn(case):
        entry = SetUpEntry.objects.create(
            case=case,
            by=by,
            act=SetUpAct.TRIMMED,
            teeth=[str(one["tooth"]) for one in trims],
            note=note,
        )
        trim = CastTrim.objects.create(entry=entry, method=wanted, words=words.strip())
        rows = ToothTrim.objects.bulk_create(
            ToothTrim(trim=trim, place=place, **one) for place, one in enumerate(trims, 1)
        )
        history.write(
            case=case,
            by=by,
            act=SetUpAct.TRIMMED.label.lower(),
            part="set-up log",
            changes={
                "method": [None, words.strip() or str(wanted.label)],
                **{row.tooth: [None, depths(row, prescription.arch)] for row in rows},
                **({"note": [None, note]} if note else {}),
            },
            row=history.made(entry),
        )
    return entry


def _allowed(prescription: Prescription, method: TrimMethod, words: str, named: list[str]) -> None:
    if not named:
        raise CannotTrim("No tooth is named. Enter the teeth in the order in which they were cut.")
    if len(set(named)) < len(named):
        raise CannotTrim("A tooth is named twice. Name each once, in the order of removal.")
    if method not in methods_for(prescription.arch):
        raise CannotTrim(
            f"{method.label} is for upper teeth only, and this denture is a lower one. Choose "
            f"another way. Source: {reference.ways()[method].cited}."
        )
    if method == TrimMethod.OTHER and not words.strip():
        raise CannotTrim("Say in words how the cast was trimmed.")
    standing = on_the_cast(prescription)
    away = [tooth for tooth in named if tooth not in standing]
    if away:
        raise CannotTrim(
            f"{' '.join(away)} stands on no cast of this denture until surgery. Stone teeth of "
            f"this cast: {' '.join(standing) or 'none'}."
        )


def depths(row: ToothTrim | Trimmed, arch: str) -> str:
    """What is gone at a tooth: "labially 2 mm, crest 1 mm, palatally 0.5 mm"."""
    told = [f"labially {_mm(row.labial_mm)}"]
    if row.crest_mm is not None:
        told.append(f"crest {_mm(row.crest_mm)}")
    if row.palatal_mm is not None:
        told.append(f"{inner_side(arch)} {_mm(row.palatal_mm)}")
    if row.apical_third:
        told.append("into the apical third")
    return ", ".join(told)


# -- read back -------------------------------------------------------------------------------------


def of(case: Case) -> Trimming:
    """What is trimmed of a case, tooth by tooth; a later line of a tooth goes before an earlier."""
    last: dict[str, ToothTrim] = {}
    for row in _standing(case):
        last[row.tooth] = row
    prescription = case.prescription
    ordered = sorted(last.values(), key=lambda row: (row.trim.entry_id, row.place))
    found = tuple(_trimmed(place, row, prescription) for place, row in enumerate(ordered, 1))
    return Trimming(
        teeth=found,
        not_yet=tuple(tooth for tooth in on_the_cast(prescription) if tooth not in last),
        flags=tuple(_of_case(case, [row.method for row in found])),
    )


def lines(case: Case) -> list[int]:
    """Lines of the trimming that stand, by key: what an approval of the trimming covers."""
    return [
        entry.pk
        for entry in case.setup_entries.all()
        if entry.act == SetUpAct.TRIMMED and entry.struck_at is None
    ]


def changed_since(case: Case, approved: Collection[int]) -> list[SetUpEntry]:
    """Lines that stand and did not when these were approved, or that stood and are struck out.

    A line that was logged and struck out again leaves the trimming as it was approved.
    """
    return [
        entry
        for entry in case.setup_entries.all()
        if entry.act == SetUpAct.TRIMMED and (entry.pk in approved) != (entry.struck_at is None)
    ]


def _standing(case: Case) -> list[ToothTrim]:
    return list(
        ToothTrim.objects.filter(trim__entry__case=case, trim__entry__struck_at__isnull=True)
        .select_related("trim__entry__by")
        .order_by("trim__entry_id", "place")
    )


def _trimmed(place: int, row: ToothTrim, prescription: Prescription) -> Trimmed:
    probed = prescription.probing_mm.get(row.tooth)
    return Trimmed(
        tooth=row.tooth,
        place=place,
        method=TrimMethod(row.trim.method),
        words=row.trim.words,
        labial_mm=row.labial_mm,
        crest_mm=row.crest_mm,
        palatal_mm=row.palatal_mm,
        apical_third=row.apical_third,
        entry=row.trim.entry,
        flags=tuple(flags_of(row, method=row.trim.method, probed=probed, arch=prescription.arch)),
        open="" if probed else "not probed, so not held against the pocket",
    )


def flags_of(
    row: ToothTrim, *, method: str, probed: str | None, arch: str = Arch.UPPER
) -> Iterator[Flag]:
    """What the trim of one tooth goes past. At a figure itself nothing is said.

    Parameters
    ----------
    row : ToothTrim
        The trim, stored or not.
    method : str
        ``TrimMethod``; the depths of a socket are flagged of a socketed tooth only.
    probed : str or None
        Depth of the pocket at this tooth in mm, where it was probed.
    arch : str
        Names the side of the tongue.
    """
    if probed is not None and row.labial_mm > Decimal(probed) + _limit("beyond-pocket"):
        yield _flag("beyond-pocket", labial=row.labial_mm, probed=Decimal(probed))
    if method == TrimMethod.SOCKETED:
        if row.labial_mm > _limit("socket-labial"):
            yield _flag("socket-labial", labial=row.labial_mm)
        if row.palatal_mm is not None and row.palatal_mm > _limit("socket-palatal"):
            yield _flag("socket-palatal", inner_side(arch), palatal=row.palatal_mm)
    if row.apical_third:
        yield _flag("apical-third")


def _of_case(case: Case, methods: Sequence[TrimMethod]) -> Iterator[Flag]:
    """Bone that is to be cut, by the wax or by the way of trimming, with no template decided."""
    wax = getattr(case, "final_wax", None)
    planned = TrimMethod.SURGICAL in methods or bool(wax and wax.bone_change_planned)
    if planned and not template_decided(case):
        yield _flag("bone-without-template")


def template_decided(case: Case) -> bool:
    """Whether a surgical template is to be made: as the wax says, or else as prescribed."""
    wax = getattr(case, "final_wax", None)
    said = wax.template_wanted if wax else None
    return bool(case.prescription.template_wanted if said is None else said)


def _limit(key: str) -> Decimal:
    return reference.flags()[key].limit_mm or Decimal("0")


def _flag(key: str, inner: str = "", **read_mm: Decimal) -> Flag:
    row = reference.flags()[key]
    told = {name: _mm(value) for name, value in read_mm.items()}
    limit = "" if row.limit_mm is None else _mm(row.limit_mm)
    return Flag(key, row.text.format(limit=limit, inner=inner, **told), row.cited)


def _mm(value: Decimal) -> str:
    return f"{Decimal(value).normalize():f} mm"
