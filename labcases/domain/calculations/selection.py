"""What measures say of the teeth to choose: ranges and reasons, never one answer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from labcases.domain import opponent
from labcases.domain import teeth as positions
from labcases.domain.calculations import inputs
from labcases.domain.calculations.settings import engine_settings
from labcases.enums import Arch, OpposingTooth, SetUpPart, ToothMaterial
from labcases.models import ArticulatorRecord, Case, ToothSelection
from occlusion import selection, teeth
from occlusion.errors import OcclusionError
from occlusion.ranges import EngineWarning
from occlusion.sources import cite

# What the engine calls the materials; those of opposing denture teeth are not recorded.
MATERIALS = {
    ToothMaterial.RESIN: "acrylic",
    ToothMaterial.COMPOSITE: "composite",
    ToothMaterial.PORCELAIN: "porcelain",
}
SIX = "width of the six front teeth"
_FACE = ("inner_canthal_mm", "bizygomatic_mm", "interalar_mm", "hamular_notch_mm")
_FRONT = ("13", "12", "11", "21", "22", "23")


@dataclass(frozen=True)
class WidthEstimate:
    """What one measure says of one width, how much it weighs, and where that is from."""

    name: str
    quantity: str
    low_mm: float
    high_mm: float
    weight: float
    source: str


@dataclass(frozen=True)
class WidthProposal:
    """All that was measured of one width, together; ``take_mm`` is the middle of the six."""

    sentence: str
    take_mm: float | None


@dataclass(frozen=True)
class CuspRole:
    """One cusp angle in one kind of movement."""

    fit: str
    gap_mm: tuple[float, float]
    verdict: str


@dataclass(frozen=True)
class CuspRow:
    """One usual cusp angle against the guidance of the articulator record."""

    angle_deg: float
    height_mm: float
    roles: tuple[CuspRole, ...]


@dataclass(frozen=True)
class CuspTable:
    """Every usual cusp angle, or why there is none."""

    rows: tuple[CuspRow, ...] = ()
    sentences: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    refusal: str = ""
    part: str = ""


@dataclass(frozen=True)
class MaterialAdvice:
    """What to know of one material against what stands opposite."""

    material: ToothMaterial
    cautions: tuple[EngineWarning, ...]


@dataclass(frozen=True)
class SelectionAdvice:
    """Everything that the page of the teeth proposes."""

    estimates: tuple[WidthEstimate, ...]
    widths: tuple[WidthProposal, ...]
    rooms: tuple[str, ...]
    cusps: CuspTable
    materials: tuple[MaterialAdvice, ...]
    warnings: tuple[EngineWarning, ...]


def selection_advice(case: Case, row: ToothSelection) -> SelectionAdvice:
    """Proposals for a selection as it is stored or as it was just typed.

    Parameters
    ----------
    case : Case
        Its prescription, articulator record and sites are asked.
    row : ToothSelection
        Measures and widths, saved or not.
    """
    upper = case.prescription.arch == Arch.UPPER
    told = _face(row) if upper else selection.Measures()
    estimates = _estimates(row, told, upper=upper)
    return SelectionAdvice(
        estimates=tuple(
            WidthEstimate(
                name=one.name,
                quantity=one.quantity,
                low_mm=one.low,
                high_mm=one.high,
                weight=one.weight,
                source=cite(one.source),
            )
            for one in estimates
        ),
        widths=tuple(
            WidthProposal(
                sentence=one.sentence,
                take_mm=round((one.low + one.high) / 2.0, 1) if one.quantity == SIX else None,
            )
            for one in selection.proposals(estimates)
        ),
        rooms=tuple(_rooms(case, row)),
        cusps=_cusps(case),
        materials=tuple(_materials(case)),
        warnings=(*selection.measure_warnings(told), *_sizes(row, upper=upper)),
    )


def widths_that_fit(
    case: Case, row: ToothSelection
) -> dict[SetUpPart, tuple[float | None, float | None]]:
    """Lowest and highest width of a set: the six front teeth, and the four of a side.

    Nothing stands for what was not measured. The front is judged by the range that the measures
    propose, the back by the smaller of the two rooms behind the canines.
    """
    upper = case.prescription.arch == Arch.UPPER
    told = _face(row) if upper else selection.Measures()
    six = [
        one
        for one in selection.proposals(_estimates(row, told, upper=upper))
        if one.quantity == SIX
    ]
    rooms = [_number(room) for room in (row.room_right_mm, row.room_left_mm) if room is not None]
    return {
        SetUpPart.ANTERIOR: (six[0].low, six[0].high) if six else (None, None),
        SetUpPart.POSTERIOR: (None, min(room for room in rooms if room is not None))
        if rooms
        else (None, None),
    }


def _estimates(
    row: ToothSelection, told: selection.Measures, *, upper: bool
) -> list[selection.Estimate]:
    """What every measure says, the weightiest first."""
    found = [*selection.anterior_widths(told), *(_natural_six(row) if upper else [])]
    return sorted(found, key=lambda one: -one.weight)


def _face(row: ToothSelection) -> selection.Measures:
    """Measures of the face and of one natural central incisor."""
    face: dict[str, Any] = {name: _number(getattr(row, name)) for name in _FACE}
    central = _number(row.natural_central_mm)
    natural = {} if central is None else {"11": central}
    return selection.Measures(**face, natural_widths_mm=natural)


def _natural_six(row: ToothSelection) -> Iterator[selection.Estimate]:
    """The natural six, whose widths were added up: each stands for a sixth of them here."""
    six = _number(row.natural_six_mm)
    if six is None:
        return
    alike = selection.Measures(natural_widths_mm=dict.fromkeys(_FRONT, six / len(_FRONT)))
    yield from (one for one in selection.anterior_widths(alike) if one.quantity == SIX)


def _sizes(row: ToothSelection, *, upper: bool) -> Iterator[EngineWarning]:
    """The six front teeth against those of the other arch; silent up to 2 mm."""
    own, other = _number(row.front_six_mm), _number(row.opposing_six_mm)
    if own is None or other is None:
        return
    found = selection.tooth_sizes(
        upper_mm=own if upper else other, lower_mm=other if upper else own
    )
    if found.warning is not None:
        yield found.warning


def _rooms(case: Case, row: ToothSelection) -> Iterator[str]:
    """Which back teeth fit behind the canine, side by side."""
    arch: Any = case.prescription.arch
    measured = {"right": _number(row.room_right_mm), "left": _number(row.room_left_mm)}
    room: Any = {side: value for side, value in measured.items() if value is not None}
    four = _number(row.posterior_four_mm)
    widths: dict[str, float] = {}
    if four is not None:
        for quadrant in teeth.QUADRANTS[arch]:
            printed = {f"{quadrant}{n}": teeth.crown(f"{quadrant}{n}") for n in (4, 5, 6, 7)}
            whole = sum(one.mesiodistal_mm for one in printed.values())
            widths |= {t: one.mesiodistal_mm * four / whole for t, one in printed.items()}
    for side in selection.posterior_room(room_mm=room, arch=arch, widths_mm=widths):
        yield side.sentence


def _cusps(case: Case) -> CuspTable:
    """Usual cusp angles against the articulator record and the prescribed scheme."""
    stored: ArticulatorRecord | None = getattr(case, "articulator", None)
    scheme: Any = case.prescription.scheme
    if stored is None or stored.pk is None:
        return CuspTable(
            refusal="Enter the articulator record first: what a cusp does depends on the guidance.",
            part="settings",
        )
    if not scheme:
        return CuspTable(
            refusal="The prescription names no occlusal scheme, so no cusp can be judged.",
            part="prescription",
        )
    try:
        found = selection.cusp_form(
            settings=engine_settings(inputs.articulator(stored)), scheme=scheme
        )
    except OcclusionError as refusal:
        return CuspTable(refusal=str(refusal), part="settings")
    return CuspTable(
        rows=tuple(
            CuspRow(
                angle_deg=form.angle_deg,
                height_mm=form.height_mm,
                roles=tuple(CuspRole(one.fit, one.gap_mm, one.verdict) for one in form.roles),
            )
            for form in found.forms
        ),
        sentences=found.sentences,
        assumptions=found.assumptions,
    )


def _materials(case: Case) -> Iterator[MaterialAdvice]:
    """Each material against natural enamel, where a denture tooth meets any."""
    prescription = case.prescription
    meets = {
        positions.antagonist(prescription, tooth) for tooth in positions.replaced(prescription)
    }
    if OpposingTooth.NATURAL not in meets or opponent.of(prescription) in opponent.COMPLETE:
        return
    for material, name in MATERIALS.items():
        told: Any = name
        cautions = selection.material_against(material=told, opponent="enamel")
        yield MaterialAdvice(
            material,
            tuple(EngineWarning(one.code, one.text, cite(one.source)) for one in cautions),
        )


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
