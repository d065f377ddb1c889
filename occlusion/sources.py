"""Where the engine's figures come from, and how each source was read.

``how_read`` is one of the words of ``HOW_READ``. A limit or a rule that rests on
practice alone says so; nothing here is cited that was not seen or is not marked as
recalled.
"""

from __future__ import annotations

from dataclasses import dataclass

HOW_READ = {
    "read": "the figure was read in an abstract or a page of the source",
    "quoted": "the figure was read in another text that quotes the source",
    "recalled": "the figure is from memory; the source was not at hand",
    "computed": "worked out from a stated geometry, by two independent methods",
    "practice": "common practice, no source",
}


@dataclass(frozen=True)
class Source:
    """A reference and how it was read (a key of ``HOW_READ``)."""

    reference: str
    how_read: str


SOURCES: dict[str, Source] = {
    "practice": Source("common practice, no source", "practice"),
    "geometry": Source("geometry of a rigid lower member", "computed"),
    "lateral_estimate": Source("R. L. Hanau, 1930: L = H/8 + 12", "quoted"),
    "ghodsi_2018": Source("Ghodsi and Rasaeipour, Dental Hypotheses 2018;9:84-89", "read"),
    "johnson_winstanley_1997": Source(
        "Johnson and Winstanley, Journal of Oral Rehabilitation 1997;24", "read"
    ),
    "sides_differ_2013": Source(
        "Conference abstract of 2013, ultrasonic recording, 47 subjects: the sides differ by "
        "more than 6 deg in 36 % (condylar) and 26 % (Bennett)",
        "read",
    ),
    "taylor_2016": Source(
        "Taylor, Bidra, Nazarova and Wiens, Journal of Prosthetic Dentistry 2016: a review of "
        "23 studies finds the clinical worth of the immediate side shift unproven",
        "read",
    ),
    "christensen_1958": Source(
        "F. T. Christensen, Cusp angulation for complete dentures, Journal of Prosthetic "
        "Dentistry 1958;8:910",
        "read",
    ),
    "christensen_1959": Source(
        "F. T. Christensen, The effect of Bonwill's triangle on complete dentures, Journal of "
        "Prosthetic Dentistry 1959",
        "quoted",
    ),
    "christensen_1960": Source(
        "F. T. Christensen, Balkwill's angle for complete dentures, Journal of Prosthetic "
        "Dentistry 1960",
        "read",
    ),
    "swenson": Source(
        "Swenson's linear interpolation, as quoted by F. T. Christensen, The effect of incisal "
        "guidance on cusp angulation",
        "quoted",
    ),
    "pin_ratio": Source(
        "Kaiser and Schelb, Geometric study of incisal guide pin opening, Journal of Prosthetic "
        "Dentistry",
        "read",
    ),
    "vertical_2022": Source(
        "Dentistry Journal 2022;10:212, 14 patients: raised pin and jaw agree at 3 and 6 mm, "
        "disagree at 9 mm",
        "read",
    ),
    "kois_2013": Source(
        "Kois, Kois and Chaiyabutr, Journal of Prosthetic Dentistry 2013;110:414-419: axis to "
        "incisal edge 80 to 120 mm in 73 adults",
        "read",
    ),
    "crown_table": Source(
        "Ash and Nelson, Wheeler's Dental Anatomy, Physiology and Occlusion, Table 1-1", "quoted"
    ),
    "hobo_takayama_1997": Source(
        "Hobo and Takayama, International Journal of Periodontics and Restorative Dentistry "
        "1997;17:113-123 and 457-463",
        "recalled",
    ),
    "cusp_forms": Source(
        "Beck, Occlusion as related to complete removable prosthodontics, Journal of Prosthetic "
        "Dentistry: denture cusps of 0, 20 and 33 deg",
        "quoted",
    ),
    "sphere": Source("Monson's sphere of 4 inches, 101.6 mm", "recalled"),
}


def cite(key: str) -> str:
    """The reference with the way it was read, for a sheet or a screen."""
    source = SOURCES[key]
    if source.how_read == "practice":
        return source.reference
    note = {"read": "read", "quoted": "as quoted elsewhere", "recalled": "from memory"}
    return f"{source.reference} ({note.get(source.how_read, source.how_read)})"


MODEL_LIMITS: tuple[str, ...] = (
    "Proposal from a rigid model; the prescribing dentist decides.",
    "Not modelled: mucosa that gives under a base, teeth that shift in wax or in processing, "
    "natural teeth that move in their sockets, a jaw that bends.",
    "Condylar paths are straight, and the working condyle moves sideways only; muscle, not the "
    "instrument, chooses the real path. Nothing is said about retrusion or chewing.",
    "The hinge axis is taken as found; play of the instrument and expansion of plaster are not "
    "in the numbers.",
    "Gaps are worth about 0.1 mm at best: none predicted is not none.",
)
"""What the model cannot tell; goes with every answer."""
