"""What processing starts from, read from the frozen record and from nowhere else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from labcases.enums import CheckKind
from labcases.models import ArticulatorRecord, Handoff
from labcases.outputs import check_view
from labcases.templatetags.units import deg, mm


@dataclass(frozen=True)
class Frozen:
    """One handoff with its settings in words and its findings as the check shows them."""

    handoff: Handoff
    settings: list[dict[str, str]]
    clearance: dict[str, Any] | None


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
        {"label": _label(name), "value": _value(name, value)}
        for name, value in told.items()
        if value is not None
    ]


def _label(name: str) -> str:
    words = str(ArticulatorRecord._meta.get_field(name).verbose_name)
    words = words.removesuffix(" mm").removesuffix(" deg")
    return words[:1].upper() + words[1:]


def _value(name: str, value: Any) -> str:
    if name.endswith("_mm"):
        return mm(value)
    if name.endswith("_deg"):
        return deg(value)
    choices = dict(getattr(ArticulatorRecord._meta.get_field(name), "flatchoices", ()))
    return str(choices.get(value, value))
