"""Denture teeth that are chosen for a case."""

from __future__ import annotations

from typing import ClassVar

from labcases.enums import ToothMaterial
from labcases.forms.base import PartForm
from labcases.forms.chart import said
from labcases.models import ToothSelection


class SelectionForm(PartForm):
    limits: ClassVar[dict[str, str]] = {"cusp_angle_deg": "cusp_angle_deg"}

    material = said(ToothMaterial, "Tooth material", across=True)

    class Meta:
        model = ToothSelection
        fields = (
            "anterior_mould",
            "posterior_mould",
            "shade",
            "material",
            "cusp_angle_deg",
            "lots",
            "in_hand",
        )
        labels = {
            "anterior_mould": "Anterior mould",
            "posterior_mould": "Posterior mould",
            "shade": "Shade",
            "cusp_angle_deg": "Cusp angle",
            "lots": "Lots of the teeth",
            "in_hand": "The teeth are in hand, complete and undamaged",
        }
        help_texts = {
            "cusp_angle_deg": "Against the base of the tooth, as the maker states it. It stands in "
            "for facets that callipers did not read.",
            "lots": "As printed on the cards, so that a recall finds this denture.",
        }
