"""What processing starts from, read from the frozen record and from nowhere else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from labcases.enums import CheckKind
from labcases.models import ArticulatorRecord, Handoff
from labcases.outputs import check_view
from labcases.templatetags.units import deg, mm

# In the order of the bench; a name that is not here is one that a later engine may bring.
LABELS = {
    "intercondylar_mm": "Intercondylar distance",
    "condylar_right_deg": "Condylar inclination, right condyle",
    "condylar_left_deg": "Condylar inclination, left condyle",
    "bennett_right_deg": "Bennett angle, right condyle",
    "bennett_left_deg": "Bennett angle, left condyle",
    "side_shift_right_mm": "Immediate side shift, right condyle",
    "side_shift_left_mm": "Immediate side shift, left condyle",
    "incisal_table_deg": "Incisal table",
    "wing_right_deg": "Wing that guides right lateral",
    "wing_left_deg": "Wing that guides left lateral",
    "table_on": "Incisal table on",
    "reference_plane": "Angles read against",
    "plane_tilt_deg": "Tilt of that plane",
    "incisal_x_mm": "Incisal point, forward of the axis",
    "incisal_z_mm": "Incisal point, above the axis",
    "pin_x_mm": "Pin point, forward of the axis",
    "pin_z_mm": "Pin point, above the axis",
    "pin_opening_mm": "Pin opening",
}


@dataclass(frozen=True)
class Frozen:
    """One handoff with its settings in words and its findings as the check shows them."""

    handoff: Handoff
    settings: list[dict[str, str]]
    clearance: dict[str, Any] | None

    @property
    def settings_halves(self) -> tuple[list[dict[str, str]], list[dict[str, str]]]:
        """The settings for two columns side by side."""
        middle = (len(self.settings) + 1) // 2
        return self.settings[:middle], self.settings[middle:]


def frozen(handoff: Handoff, notation: str) -> Frozen:
    """The record as it was frozen, whatever the case says now.

    Parameters
    ----------
    handoff : Handoff
        With ``frozen`` as ``domain.processing`` wrote it.
    notation : str
        Tooth numbers of the reader's organisation.
    """
    told = handoff.frozen
    key = str(CheckKind.CLEARANCE)
    inputs, findings = told["inputs"].get(key), told["findings"].get(key)
    revision = handoff.case.prescriptions.get(revision=handoff.revision)
    return Frozen(
        handoff=handoff,
        settings=_settings(inputs["articulator"]) if inputs else [],
        clearance=check_view.present(
            findings=findings, inputs=inputs, prescription=revision, notation=notation
        )
        if findings
        else None,
    )


def _settings(told: dict[str, Any]) -> list[dict[str, str]]:
    return [
        {"label": LABELS.get(name, name), "value": _value(name, value)}
        for name, value in told.items()
        if value is not None
    ]


def _value(name: str, value: Any) -> str:
    if name.endswith("_mm"):
        return mm(value)
    if name.endswith("_deg"):
        return deg(value)
    choices = dict(getattr(ArticulatorRecord._meta.get_field(name), "flatchoices", ()))
    return str(choices.get(value, value))
