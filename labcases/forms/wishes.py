"""The last two steps of a prescription: the records, and what else the dentist wishes."""

from __future__ import annotations

from labcases.enums import Allergy, JawRecord, TryInWish
from labcases.enums.prescribing import (
    Identification,
    NaturalChanges,
    RelinePlan,
    SettingsWish,
    VerticalWish,
)
from labcases.forms.base import PartForm
from labcases.forms.chart import said
from labcases.forms.choices import YesNoField
from labcases.models import Prescription


class RecordsStep(PartForm):
    jaw_record = said(JawRecord, "Jaw record", across=True)
    vertical_wish = said(VerticalWish, "Vertical of the denture", across=True)
    settings_wish = said(
        SettingsWish,
        "Settings of the articulator",
        help_text="The laboratory enters them in the articulator record, with where they are from.",
    )
    allergy = said(
        Allergy,
        "Allergy",
        help_text="Ask about acrylate, nickel and latex.",
        across=True,
    )

    class Meta:
        model = Prescription
        fields = (
            *("jaw_record", "vertical_wish", "settings_wish", "settings_text"),
            *("allergy", "allergy_text"),
        )
        labels = {
            "settings_text": "Settings, and the articulator that they are for",
            "allergy_text": "What was named",
        }
        help_texts = {
            "settings_text": "Needed when they are written: condylar inclination and Bennett angle "
            "by condyle, incisal table, and the plane that they are read against.",
            "allergy_text": "Needed when an allergy is listed. It stands on every page and paper.",
        }


class WishesStep(PartForm):
    try_in = said(
        TryInWish,
        "Try-in of the posterior teeth",
        help_text="On the interim route teeth stand in both segments until surgery, so no try-in "
        "is possible.",
    )
    natural_changes = said(
        NaturalChanges,
        "Changes to natural teeth that are allowed",
        help_text="The laboratory never plans any; adjusting natural teeth is the dentist's "
        "decision.",
    )
    identification = said(
        Identification,
        "Identification mark in the denture",
        help_text="What the mark shows. A name is not written here: the office gives it at "
        "finishing.",
    )
    template_wanted = YesNoField(
        label="Surgical template",
        help_text="A clear copy of the fitting surface that shows pressure during surgery.",
    )

    return_casts = YesNoField(
        label="Casts come back with the denture",
        help_text="If they are wanted, they are packed with it.",
    )
    reline_plan = said(
        RelinePlan,
        "What follows when the ridge has changed",
        help_text="When a reline is due differs between sources, from 6 weeks to 12 months.",
    )

    class Meta:
        model = Prescription
        fields = (
            *("try_in", "natural_changes", "natural_changes_text", "identification"),
            *("template_wanted", "return_casts", "reline_plan", "characterisation"),
            "instructions",
        )
        labels = {
            "characterisation": "Characterisation",
            "natural_changes_text": "Which changes",
            "instructions": "Instructions to the laboratory",
        }
        help_texts = {
            "natural_changes_text": "Needed when changes are listed: tooth, place and depth.",
            "characterisation": "What is individual: stains, wear, a turned or crowded tooth, the "
            "gum and the palate.",
            "instructions": "What no field asks for. No name of the patient: the laboratory reads "
            "this.",
        }
