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
    "common_teaching": Source("common teaching", "recalled"),
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
    "face_sixteenths": Source(
        "J. Berry, 1905, M. House and E. Pound: face width over 16 for a central incisor, over 3.3 "
        "for the six front teeth; face length over 16 or 20 for a central incisor",
        "recalled",
    ),
    "abdullah_2002": Source(
        "Abdullah, Journal of Prosthetic Dentistry 2002;88, 229 dentate subjects: inner canthal "
        "distance x 0.618 / 2; central incisors 8.87 +- 0.5 and 8.68 +- 0.4 mm",
        "read",
    ),
    "cesario_latta_1984": Source(
        "Cesario and Latta, Journal of Prosthetic Dentistry 1984: pupil distance over 6.6",
        "recalled",
    ),
    "sears_1938": Source("V. H. Sears, 1938: girth of the head over 13", "recalled"),
    "woelfel_2014": Source(
        "Woelfel, Igarashi and Dong, Journal of Advanced Prosthodontics 2014;6, 316 students: nose "
        "35.2 mm, canine tips 34.8 mm, single persons far apart",
        "read",
    ),
    "guldag_2010": Source(
        "Guldag, Buyukkaplan, Sentut and Ceylan, Journal of Prosthodontics 2010, 110 casts: six "
        "front teeth 46.02 +- 2.8 mm, hamular notches 42.38 +- 3.47 mm, r = 0.28, too little to "
        "select by",
        "read",
    ),
    "sizes_2015": Source(
        "Widths and lengths of upper front teeth of 412 adults, Journal of Prosthetic Dentistry "
        "2015;113:565-570",
        "read",
    ),
    "magne_2003": Source(
        "Magne, Gallucci and Belser, Journal of Prosthetic Dentistry 2003;89, crowns of 146 teeth",
        "read",
    ),
    "bolton_1958": Source(
        "Bolton, 1958: six lower front teeth 77.2 +- 1.65 %, twelve lower teeth 91.3 +- 1.91 % of "
        "the upper ones, 55 subjects",
        "quoted",
    ),
    "othman_harradine_2007": Source(
        "Othman and Harradine, 2006 and 2007: 2 mm of correction is the working threshold of a "
        "tooth size discrepancy, never a number of standard deviations",
        "read",
    ),
    "ghazal_2008": Source(
        "Ghazal, Yang, Ludwig and Kern, Dental Materials 2008;24:502-507, 1.2 million cycles of "
        "49 N against a ceramic ball",
        "read",
    ),
    "enamel_wear_2012": Source(
        "Conference abstract of 2012, 200,000 cycles of 50 N against an enamel cusp: two resin "
        "teeth lose 0.249 and 0.206 mm3, enamel 0.022 mm3",
        "read",
    ),
    "stober_2019": Source(
        "Stober, Bermejo, Rues and Rammelsberg, Journal of Prosthodontic Research 2019, resin "
        "teeth in partial dentures after two years",
        "read",
    ),
    "wear_review_2022": Source(
        "Wear of denture teeth, a systematic review, Oral 2022;2(1):11, conclusions: choose by the "
        "antagonist, keep the outer layer",
        "read",
    ),
    "thin_base_fracture": Source(
        "Influence of denture tooth thickness on fracture mode of thin acrylic resin bases, "
        "abstract",
        "read",
    ),
    "wesley_1973": Source(
        "Wesley and others, Journal of Prosthetic Dentistry 1973;29:46-54, 50 patients: pin "
        "opening goes with neither number nor place of the contacts, which move backward",
        "read",
    ),
    "silva_concilio_abstract": Source(
        "Silva-Concilio and others, conference abstract, 10 pairs of dentures a method: occlusal "
        "vertical dimension 1.92 to 2.92 % greater after processing",
        "read",
    ),
    "fast_curing_abstract": Source(
        "Abstract on fast curing, authors not noted: contacts 10.9 (2.4) before, 6.3 (3.1) "
        "after; an increase of the vertical of up to 2 mm was common",
        "read",
    ),
    "nogueira_1999": Source(
        "Nogueira, Ogle and Davis, Journal of Prosthetic Dentistry 1999;82:291-300: compression "
        "moulding raises the pin more than injection",
        "read",
    ),
    "moulding_2017": Source(
        "Journal of International Society of Preventive and Community Dentistry 2017;7(S1):S18-23: "
        "compression moulding raises the pin more than injection",
        "read",
    ),
    "shrinkage_1999": Source(
        "Journal of Prosthetic Dentistry 1999;81:300-304: linear shrinkage 0.42 to 0.58 % after "
        "saturation with water, sorption 0.48 to 0.50 % by mass",
        "read",
    ),
    "anusavice": Source(
        "Anusavice, Phillips' Science of Dental Materials: monomer shrinks about 21 % by volume, "
        "a dough of three to one 6 to 7 %",
        "recalled",
    ),
    "fenlon_base_fit": Source(
        "Fenlon and others, European Journal of Prosthodontics and Restorative Dentistry: half of "
        "the points of a base fit within 0.05 mm, 90 % within 0.16, all within 0.38",
        "read",
    ),
    "freeway_texts": Source(
        "Freeway space of 2 to 4 mm: several texts and lectures, Mohindra among them", "quoted"
    ),
    "aradya_2017": Source(
        "Aradya and Chowdhary, Indian Journal of Dental Research 2017;28:613-616, 150 dentate "
        "subjects: means 2.62 to 3.0 mm by face, span 1 to 7, 9 % with 5 to 6",
        "read",
    ),
    "burnett_1992": Source(
        "Burnett and Clifford, Journal of Dentistry 1992;20:221-224, 6 subjects: closest speaking "
        "space 1.0 to 3.3 mm, 0 to 1.0 once the vertical was raised by 4",
        "read",
    ),
    "speaking_1999": Source(
        "Abstract of 1999, 8 edentulous patients: closest speaking space and freeway space do not "
        "go together",
        "read",
    ),
    "harper_setchell_2002": Source(
        "Harper and Setchell, International Journal of Prosthodontics 2002;15:347-352: foil of "
        "0.008 mm; gaps of 0 to 0.004 look alike, up to 0.006 it still grips, at 0.008 it drags",
        "read",
    ),
    "malta_barbosa_2018": Source(
        "Malta Barbosa and others, Journal of Esthetic and Restorative Dentistry 2018: four of six "
        "foils were 0.021 mm or thinner, and labels are unreliable",
        "read",
    ),
    "enkling_2010": Source(
        "Enkling and others, Clinical Oral Investigations 2010;14:683-690, 68 subjects: natural "
        "teeth feel 0.0142 (0.0121) mm half of the time",
        "read",
    ),
    "perception_2021": Source(
        "Journal of Contemporary Dental Practice 2021;22:268-272, 40 subjects: 0.012 mm is noticed",
        "read",
    ),
    "kakali_2023": Source(
        "Kakali and Halazonetis, Korean Journal of Orthodontics 2023;53: registration of scanned "
        "bites more than 0.05 mm off at its mean worst, and more than 0.1 deg",
        "read",
    ),
    "weinberg_1961": Source(
        "Weinberg, Journal of Prosthetic Dentistry 1959 and 1961;11: an axis 5 mm too far forward "
        "and a record of 3 mm shift the second molar by about 0.2 mm",
        "recalled",
    ),
    "zuckerman_1982": Source(
        "Zuckerman, Journal of Prosthetic Dentistry 1982, who lists how near arbitrary axes came",
        "quoted",
    ),
    "morneburg_2002": Source(
        "Morneburg and Proschel, International Journal of Prosthodontics 2002;15:358-364, 57 "
        "subjects, arbitrary axis, 2 mm opening: error at the second molar below 0.3 mm in 87 %, "
        "0.3 to 0.5 in 12 %, more in 1 %",
        "read",
    ),
    "morneburg_2011": Source(
        "The same group 2011: 0.34 mm or more with a probability of 10 %; mounting by mean values "
        "0.44 (Balkwill angle 17 deg) and 1.12 mm or more (25 deg)",
        "read",
    ),
    "axis_simulation": Source(
        "Computer simulation of 31 subjects: the error goes with axis shift and record height; "
        "records of 2 mm and more leave more than 0.1 mm",
        "read",
    ),
    "schuyler_1935": Source(
        "C. H. Schuyler, Fundamental principles in the correction of occlusal disharmony, natural "
        "and artificial, Journal of the American Dental Association 1935;22:1193-1202",
        "recalled",
    ),
    "grinding_notes": Source(
        "Study notes on selective grinding of complete dentures, author not named: BULL on the "
        "working side, one of two inclines on the balancing side, inclines for protrusion",
        "quoted",
    ),
    "grinding_lecture": Source(
        "Lecture sheet on selective grinding, author not named: vertical, centric, working and "
        "balancing, protrusive; the pin always touches the table",
        "quoted",
    ),
    "yielding_member": Source(
        "The classic table carried over to a single denture: own derivation from the direction of "
        "the movement and the way each incline faces; to be confirmed by the dentist",
        "computed",
    ),
    "bruce": Source(
        "Bruce, Complete dentures opposing natural teeth, Journal of Prosthetic Dentistry, first "
        "page: published practice is split between correcting the natural teeth, correcting the "
        "denture to them, and restoring them",
        "read",
    ),
    "oh_2020": Source(
        "Oh, Saglik and Bak, Compendium of Continuing Education in Dentistry and Inside Dental "
        "Technology, February 2020: protrusive records at about 5 and about 6 mm",
        "read",
    ),
    "angle_class_thai": Source(
        "Sagittal condylar inclination and Angle class, Mahidol Dental Journal: 44.7 +- 8.8 deg in "
        "70 people; 45.7, 44.8 and 43.7 deg at 1, 2 and 3 mm of travel",
        "read",
    ),
    "assumed_33": Source("Gysi's mean of 33 deg, named the usual assumed value", "quoted"),
    "zakaria": Source(
        "Zakaria, Journal of Baghdad College of Dentistry: immediate side shift 0.80 mm in women, "
        "1.68 mm in men",
        "read",
    ),
    "lundeen_wirth_1973": Source(
        "Lundeen and Wirth, Journal of Prosthetic Dentistry 1973;30: side shift about 1.0 mm, 0 to "
        "3, then about 7.5 deg",
        "recalled",
    ),
    "hobo_1986": Source(
        "Hobo, Journal of Prosthetic Dentistry 1986;55: side shift 0.42 mm, then 12.8 deg",
        "recalled",
    ),
    "bonwill_100": Source(
        "Bonwill's triangle of 4 inches, 101.6 mm, often 100; 6 % of 300 jaws fit it (Wilson, as "
        "quoted by F. T. Christensen, Journal of Prosthetic Dentistry 1959)",
        "quoted",
    ),
    "bosse_96": Source(
        "Bosse, mean width of 500 jaws, as quoted by F. T. Christensen, Journal of Prosthetic "
        "Dentistry 1959",
        "quoted",
    ),
    "choquet_width": Source(
        "Choquet, outer width of the condyles in 149 jaws (inner width 65 to 96 mm), as quoted by "
        "F. T. Christensen, Journal of Prosthetic Dentistry 1959",
        "quoted",
    ),
    "amoedo_width": Source(
        "Amoedo, width of the condyles, as quoted by F. T. Christensen, Journal of Prosthetic "
        "Dentistry 1959",
        "quoted",
    ),
    "sphere": Source("Monson's sphere of 4 inches, 101.6 mm", "recalled"),
    "curve_radii": Source(
        "Nam et al., Journal of Dentistry 2013;41:336-344: sphere through the cusp tips of 79 "
        "adults 110.9 +- 25.8 mm",
        "read",
    ),
    "natural_cusps_2022": Source(
        "Digital measurement of cusp angles, 2022, doi 10.1055/a-1868-6555: first molars of 21 "
        "casts 19.25 +- 6.86 deg",
        "read",
    ),
    "molar_tips": Source(
        "First permanent maxillary molar morphology and ideal occlusion (abstract, 40 casts): "
        "buccal cusps of the upper first molar 4.88 +- 0.41 mm apart",
        "read",
    ),
    "molar_cusps": Source(
        "Ash and Nelson, Wheeler's Dental Anatomy, Physiology and Occlusion: a lower first molar "
        "has five cusps, the distal one the smallest",
        "quoted",
    ),
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
