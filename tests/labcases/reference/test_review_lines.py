"""Every line of the reviews and every sign of a decision with its mark."""

from __future__ import annotations

import pytest

from labcases.reference.reviews import reviews, signs

#: Every line of the reviews: its key, its words, how its source was read.
LINES = (
    ("rv1_kept_in", "The denture stayed in until now", "R"),
    ("rv1_sockets", "Denture out, mouth rinsed, sockets inspected", "CP"),
    ("rv1_spots", "Pressure spots were looked for", "CP"),
    ("rv1_contacts", "Gross contacts were seen; fine work is left for later", "MM"),
    ("rv1_back_in", "The denture went back in without delay", "CP"),
    ("rv1_next", "The next visit and the emergency number are known", "CP"),
    ("rv2_swelling", "Swelling goes down; no fever, no new bleeding", "R"),
    ("rv2_sockets", "Sockets and sutures were inspected", "CP"),
    ("rv2_spots", "Sore spots were looked for", "CP"),
    ("rv2_handling", "The patient takes it out, cleans it and puts it back", "CP"),
    ("rv2_rinses", "Warm salt rinses were explained", "R"),
    ("rv2_nights", "What holds for the nights was said again", "R"),
    ("rv3_spots", "Sore spots were looked for", "CP"),
    ("rv3_hygiene", "Mouth and denture are clean", "CP"),
    ("rv3_seats", "The denture seats fully and holds", "CP"),
    ("rv3_contacts", "Teeth meet on both sides in centric", "CP"),
    ("rv3_nights", "Taking it out at night was agreed", "R"),
    ("rv4_spots", "Sore spots were looked for", "CP"),
    ("rv4_hygiene", "Mouth and denture are clean", "CP"),
    ("rv4_swelling", "Swelling is gone; a clinical remount is possible", "MM"),
    ("rv4_liner", "A liner, if any, was looked at: age and surface", "CP"),
    ("rv4_eating", "Speech and eating come along", "CP"),
    ("rv5_spots", "Sore spots were looked for", "CP"),
    ("rv5_liner", "A liner, if any, was looked at: age and surface", "CP"),
    ("rv5_retention", "Retention is enough for now", "R"),
    ("rv5_vertical", "The vertical is as it was at delivery", "CP"),
    ("rv5_contacts", "Contacts are as wanted, or a clinical remount follows", "CP"),
    ("rv5_ridge", "The ridge was photographed", "CP"),
    ("rv5_told", "Looseness and the coming reline were talked over", "R"),
    ("rv6_fit", "The fitting surface is close to the ridge", "R"),
    ("rv6_liner", "A liner, if any, was looked at: age and surface", "CP"),
    ("rv6_vertical", "The vertical is as it was at delivery", "CP"),
    ("rv6_relation", "The jaw closes where the teeth meet", "CP"),
    ("rv6_teeth", "Plane, tooth position and look are right", "CP"),
    ("rv6_talked", "Reline, rebase or remake was talked over", "CP"),
    ("rv7_fit", "The fitting surface is close to the ridge", "CP"),
    ("rv7_base", "The base is whole", "CP"),
    ("rv7_vertical", "The vertical is as it was at delivery", "CP"),
    ("rv7_relation", "The jaw closes where the teeth meet", "CP"),
    ("rv7_teeth", "Plane, tooth position and look are right", "CP"),
    ("rv8_tissue", "The mouth under the denture is healthy", "CP"),
    ("rv8_fit", "The denture seats fully and holds", "CP"),
    ("rv8_wear", "Denture teeth and base are whole", "CP"),
    ("rv8_contacts", "Teeth meet on both sides in centric", "CP"),
    ("rv8_next", "The next yearly visit was agreed", "CP"),
)

#: Every sign: its key, its words, what it speaks for, how its source was read.
SIGNS = (
    ("fit_good", "The denture fits, and the patient is content", "wait", "CP"),
    ("still_healing", "Sockets and ridge still change from visit to visit", "wait", "R"),
    ("fit_only", "Fit alone is lost: vertical, jaw relation, plane and teeth", "reline", "MM"),
    ("base_poor", "The base is broken, porous or worn, and the teeth are right", "rebase", "MM"),
    ("teeth_off", "Teeth stand in another place than they should", "remake", "MM"),
    ("vertical_off", "The vertical is off by more than 2 to 3 mm", "remake", "MM"),
    ("relation_off", "The jaw closes elsewhere than the teeth meet", "remake", "MM"),
    ("look", "The patient does not like the look", "remake", "MM"),
    ("planned", "An interim denture: a new one was planned from the start", "remake", "MM"),
)
ASKED = {line.key: line for review in reviews().values() for line in review.pause.lines}


@pytest.mark.parametrize(("key", "words", "mark"), LINES, ids=[key for key, *_ in LINES])
def test_a_review_looks_at_each_line_with_its_mark(key, words, mark):
    assert (ASKED[key].text, ASKED[key].mark) == (words, mark)


@pytest.mark.parametrize(("key", "words", "speaks", "mark"), SIGNS, ids=[key for key, *_ in SIGNS])
def test_each_sign_speaks_for_what_it_does_with_its_mark(key, words, speaks, mark):
    sign = signs()[key]

    assert sign.text.startswith(words)
    assert (sign.speaks_for, sign.mark) == (speaks, mark)


def test_nothing_else_is_looked_at_or_weighed():
    assert list(ASKED) == [key for key, *_ in LINES]
    assert list(signs()) == [key for key, *_ in SIGNS]
