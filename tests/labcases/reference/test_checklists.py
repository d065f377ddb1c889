"""The checklists as data: short lines, few of them, a source on each, and what redo makes again."""

import re

import pytest

from labcases.enums.wax import WaxList
from labcases.reference import checklists, read

WHOLE = checklists.try_in_checklist()
LINES = [line for pause in WHOLE for line in pause.lines]


@pytest.mark.parametrize("arch", ["", "upper", "lower"])
def test_a_pause_holds_five_to_seven_lines_in_either_arch(arch):
    counts = [len(pause.lines) for pause in checklists.try_in_checklist(arch)]
    assert all(5 <= count <= 7 for count in counts)
    assert len(counts) == 4


@pytest.mark.parametrize("line", LINES, ids=lambda line: line.key)
def test_a_line_fits_and_says_where_it_comes_from(line):
    assert len(line.text) <= 60
    assert line.source
    assert re.fullmatch(r"[a-z][a-z_]*", line.key)


def test_no_key_stands_twice():
    keys = [line.key for line in LINES]
    assert len(set(keys)) == len(keys)


def test_keys_stay_what_they_are_because_stored_answers_hang_on_them():
    assert [line.key for line in LINES] == [
        *("pin", "rings", "lock", "glide", "seat", "centric_bench", "cast"),
        *("stable", "borders", "retention", "post_dam", "centric_mouth", "vertical"),
        *("speaking", "plane", "drop", "width", "natural", "records"),
        *("display", "midline", "length", "lip_sounds", "lip_support", "agreed"),
    ]


def test_a_lower_denture_is_not_asked_for_a_post_dam():
    lower = {line.key for pause in checklists.try_in_checklist("lower") for line in pause.lines}
    assert "post_dam" not in lower
    assert len(lower) == len(LINES) - 1


def test_every_source_of_the_file_is_used():
    told = read("tryin.toml")
    used = {line["source"] for pause in told["pauses"] for line in pause["lines"]}
    assert used == set(told["sources"])


# Every item of the try-in as the trade teaches it, the lines that ask it, and how it is known:
# R read, CP common practice without a source.
TRY_IN_ITEMS = {
    "pin flush and touching the table": ("pin", "R"),
    "mounting rings tight": ("rings", "R"),
    "centric lock allows hinge only": ("lock", "R"),
    "smooth eccentric glide": ("glide", "R"),
    "bases seat on casts": ("seat", "R"),
    "even centric contact": ("centric_bench", "R"),
    "cast undamaged": ("cast", "R"),
    "base stable, no rock": ("stable", "R"),
    "extension": ("borders", "R"),
    "retention": ("retention", "R"),
    "post-dam present, at the right line": ("post_dam", "R"),
    "centric in the mouth equals the articulator, repeated": ("centric_mouth", "CP"),
    "rest minus occlusion 2 to 4 mm": ("vertical", "R"),
    "closest speaking space, S without contact": ("speaking", "R"),
    "plane parallel to ala-tragus": ("plane", "R"),
    "posterior teeth not dropping back": ("drop", "R"),
    "arch width, buccal corridor, tongue room": ("width", "R"),
    "natural lower teeth in the mouth as planned": ("natural", "CP"),
    "protrusive and lateral record, if not taken": ("records", "CP"),
    "own teeth: incisal display at rest and smiling": ("display", "CP"),
    "own teeth: midline offset": ("midline", "CP"),
    "own teeth: length change wanted": ("length", "CP"),
    "own teeth: F and V contact with the lower lip": ("lip_sounds", "R"),
    "own teeth: lip support": ("lip_support", "CP"),
    "the patient views photographs and says so in writing": ("agreed", "R"),
}


@pytest.mark.parametrize("item", TRY_IN_ITEMS)
def test_every_item_of_the_try_in_is_asked_with_its_mark(item):
    key, mark = TRY_IN_ITEMS[item]
    assert {line.key: line.mark for line in LINES}[key] == mark


def test_nothing_is_asked_that_is_no_item_of_the_try_in():
    assert {key for key, _mark in TRY_IN_ITEMS.values()} == {line.key for line in LINES}


def test_the_bench_answers_its_own_pause_and_the_dentist_the_others():
    assert [pause.key for pause in checklists.bench_pauses()] == ["bench"]
    assert [pause.key for pause in checklists.mouth_pauses()] == ["base", "function", "own_teeth"]


# What is made again at a line, and the stage that the case goes back to.
MADE_AGAIN = {
    "set-up": [
        *("pin", "glide", "seat", "centric_bench", "stable", "borders", "retention", "post_dam"),
        *("plane", "drop", "width"),
    ],
    "mounting": ["rings", "lock", "cast"],
    "jaw records": ["centric_mouth", "vertical", "speaking", "natural"],
    "settings": ["records"],
    "": ["display", "midline", "length", "lip_sounds", "lip_support", "agreed"],
}


@pytest.mark.parametrize(("stage", "keys"), MADE_AGAIN.items())
def test_redo_sends_back_to_where_the_thing_is_made(stage, keys):
    found = [line.key for line in LINES if line.redo and (line.redo.to or "") == stage]
    assert sorted(found) == sorted(keys)


def test_every_line_says_what_redo_would_make_again():
    assert all(line.redo and line.redo.text for line in LINES)
    assert {line.redo.key for line in LINES if line.redo} == set(checklists.redos())


def test_what_goes_back_says_what_no_longer_counts():
    for redo in checklists.redos().values():
        assert bool(redo.undoes) == bool(redo.to)
    assert [thing.value for thing in checklists.redos()["record"].undoes] == [
        *("jaw record", "mounting", "check records", "pin readings", "passes"),
        "parts of the set-up",
    ]


# --- the final wax -------------------------------------------------------------------------------

WAX = {which: checklists.wax_checklist(which) for which in WaxList}
WAX_LINES = [line for pauses in WAX.values() for line in checklists.lines_of(pauses)]

# Every item of the final wax as the trade lists it, the lines that ask it, and how it is known:
# R read, R2 quoted, CP common practice without a source.
WAX_ITEMS = {
    "trim method recorded": ("trim_way", "R2"),
    "trim mm recorded": ("trim_depth", "R2"),
    "anterior length against the record": ("front_length", "CP"),
    "anterior inclination against the record": ("front_inclination", "CP"),
    "midline against the record": ("front_midline", "CP"),
    "gingival outline": ("gum_outline", "CP"),
    "papillae": ("papillae", "CP"),
    "overjet": ("wax_overjet", "CP"),
    "overbite": ("wax_overbite", "CP"),
    "no anterior contact unless prescribed": ("front_contact", "CP"),
    "working per scheme": ("working", "CP"),
    "balancing per scheme": ("balancing", "CP"),
    "protrusive per scheme": ("protrusive", "CP"),
    "flange thickness": ("flange_thick", "CP"),
    "lip fullness": ("lip_fullness", "CP"),
    "post-dam": ("dam_line", "CP"),
    "palate even": ("palate", "CP"),
    "base not thinner than the set minimum": ("least_base", "CP"),
    "all teeth sealed in wax": ("sealed", "CP"),
    "necks clean": ("necks", "CP"),
    "remount index exists": ("remount_index", "R"),
    "undercut relief": ("relief", "CP"),
    "insertion path": ("path", "CP"),
    "both casts photographed": ("casts_shown", "CP"),
    "surgery day re-confirmed": ("surgery_day", "CP"),
    "delivery date re-confirmed": ("delivery_day", "CP"),
}
# What is asked beside them, as common practice.
BESIDE = {
    *("even_closure", "shade_mould", "back_border", "full_borders", "frena", "template_cast"),
    "codes",
}


@pytest.mark.parametrize("item", WAX_ITEMS)
def test_every_item_of_the_final_wax_is_asked_with_its_mark(item):
    key, mark = WAX_ITEMS[item]
    assert {line.key: line.mark for line in WAX_LINES}[key] == mark


def test_what_is_asked_beside_the_items_is_known_and_common_practice():
    items = {key for key, _mark in WAX_ITEMS.values()}
    rest = {line.key: line.mark for line in WAX_LINES if line.key not in items}
    assert rest == dict.fromkeys(BESIDE, "CP")


@pytest.mark.parametrize("which", WaxList)
@pytest.mark.parametrize("arch", ["upper", "lower"])
def test_a_pause_of_the_wax_holds_five_to_seven_lines_in_either_arch(which, arch):
    counts = [len(pause.lines) for pause in checklists.wax_checklist(which, arch)]
    assert all(5 <= count <= 7 for count in counts)
    assert len(counts) == 3


@pytest.mark.parametrize("line", WAX_LINES, ids=lambda line: line.key)
def test_a_line_of_the_wax_fits_and_says_where_it_comes_from(line):
    assert len(line.text) <= 60
    assert line.source
    assert re.fullmatch(r"[a-z][a-z_]*", line.key)


def test_no_key_stands_in_two_checklists():
    keys = [line.key for line in (*LINES, *WAX_LINES)]
    assert len(set(keys)) == len(keys)
    assert checklists.line_texts()["palate"] == "The palate is even"


def test_every_source_of_the_wax_is_used():
    told = read("final_wax.toml")
    used = {line["source"] for which in WaxList for pause in told[which] for line in pause["lines"]}
    assert used == set(told["sources"])
