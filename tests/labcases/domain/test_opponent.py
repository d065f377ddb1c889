"""The kind of the opposing arch: what a chart says of it, and what each kind asks for."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from labcases.domain import opponent, prescription
from labcases.domain import question as asking
from labcases.domain.advice import of_prescription
from labcases.enums import Side, Stage
from labcases.management.sample import natural, order
from labcases.models import Case, Prescription
from tests.factories import World, world

LOWER = tuple(natural("lower"))

# The other arch tooth by tooth, from 48 to 38: n natural, d denture, - missing, . open.
CHARTS = {
    "all natural": "-nnnnnnnnnnnnnn-",
    "fronts": "-----nnnnnn-----",
    "fronts, denture": "-ddddnnnnnndddd-",
    "premolars too, denture": "-ddnnnnnnnnnndd-",
    "all denture": "-dddddddddddddd-",
    "nothing": "-" * 16,
    "half said": "-nnnnnnn........",
}
MARKS = {"n": "natural", "d": "denture", "-": "missing"}


def chart(name: str) -> dict[str, str]:
    signs = zip(LOWER, CHARTS[name], strict=True)
    return {tooth: MARKS[sign] for tooth, sign in signs if sign in MARKS}


def row(name: str, kind: str = "", **more: Any) -> Prescription:
    return Prescription(
        case=Case(code="7Q2K9A3BC4DH"),
        **(order(opposing=chart(name)) | {"opponent": kind} | more),
    )


def test_a_chart_says_its_kind_only_where_there_is_no_doubt():
    found = {name: opponent.of_chart(chart(name)) for name in CHARTS}

    assert found == {
        "all natural": "natural teeth",
        "fronts": "natural front teeth",
        "fronts, denture": None,
        "premolars too, denture": None,
        "all denture": None,
        "nothing": "nothing",
        "half said": None,
    }


@pytest.mark.parametrize(
    ("name", "kind", "words"),
    [
        ("all natural", "", "Natural teeth"),
        ("fronts", "", "Natural front teeth only"),
        (
            "fronts, denture",
            "",
            "Natural teeth and a partial denture; worn or being made is not said",
        ),
        ("all denture", "", "A complete denture; worn or being made is not said"),
        ("all denture", "complete denture worn", "A complete denture that is worn"),
        ("nothing", "", "No tooth and no denture"),
        ("half said", "", "not said"),
    ],
)
def test_the_kind_stands_in_words_also_where_only_the_chart_says_it(name, kind, words):
    assert opponent.words(row(name, kind)) == words


SAID = "The opposing arch is said to be '{}', but the chart marks "
DENTURE = "denture teeth at {}. Choose the kind with a denture, or mark them otherwise."
TEETH = "natural teeth at {}. Choose the kind with natural teeth, or mark them otherwise."
NO_TOOTH = "no natural tooth. Mark those that stand, or choose another kind."
NO_DENTURE = "no denture tooth. Mark the teeth of the denture, or choose another kind."
FRONTS = "43, 42, 41, 31, 32, 33"
BEHIND = "47, 46, 45, 44, 34, 35, 36, 37"
ALL = f"47, 46, 45, 44, {FRONTS}, 34, 35, 36, 37"

# Kind and chart -> the field that is pointed at, and the rest of the sentence. What a kind denies
# leads to the kind, what it wants leads to the chart.
DIFFER: dict[tuple[str, str], list[tuple[str, str]]] = {
    ("natural teeth", "all natural"): [],
    ("natural teeth", "half said"): [],
    ("natural teeth", "fronts"): [
        (
            "opposing",
            "no natural tooth behind the canines. Mark those that stand, or choose 'natural front "
            "teeth only'.",
        )
    ],
    ("natural teeth", "fronts, denture"): [
        ("opponent", DENTURE.format(BEHIND)),
    ],
    ("natural teeth", "nothing"): [("opposing", NO_TOOTH)],
    ("natural front teeth", "fronts"): [],
    ("natural front teeth", "all natural"): [
        (
            "opponent",
            f"natural teeth behind the canines at {BEHIND}. Choose 'natural teeth', or mark them "
            "otherwise.",
        )
    ],
    ("partial denture worn", "fronts, denture"): [],
    ("partial denture worn", "premolars too, denture"): [],
    ("partial denture worn", "all natural"): [("opposing", NO_DENTURE)],
    ("partial denture worn", "all denture"): [("opposing", NO_TOOTH)],
    ("partial denture being made", "premolars too, denture"): [],
    ("partial denture being made", "fronts"): [("opposing", NO_DENTURE)],
    ("complete denture worn", "all denture"): [],
    ("complete denture worn", "fronts, denture"): [("opponent", TEETH.format(FRONTS))],
    ("complete denture worn", "nothing"): [("opposing", NO_DENTURE)],
    ("complete denture being made", "all denture"): [],
    ("complete denture being made", "all natural"): [
        ("opponent", TEETH.format(ALL)),
    ],
    ("nothing", "nothing"): [],
    ("nothing", "all denture"): [("opponent", DENTURE.format(ALL))],
    ("nothing", "fronts"): [("opponent", TEETH.format(FRONTS))],
    ("nothing", "fronts, denture"): [
        (
            "opponent",
            f"denture teeth at {BEHIND} and natural teeth at {FRONTS}. Choose another kind, or "
            "mark them otherwise.",
        )
    ],
}
LABELS = {
    "natural teeth": "natural teeth",
    "natural front teeth": "natural front teeth only",
    "partial denture worn": "natural teeth and a partial denture that is worn",
    "partial denture being made": "natural teeth and a partial denture that is being made",
    "complete denture worn": "a complete denture that is worn",
    "complete denture being made": "a complete denture that is being made",
    "nothing": "no tooth and no denture",
}


@pytest.mark.parametrize(("kind", "name"), DIFFER)
def test_kind_and_chart_are_held_against_each_other_both_ways(kind, name):
    wanted = [(field, SAID.format(LABELS[kind]) + rest) for field, rest in DIFFER[kind, name]]

    assert list(opponent.differences(row(name, kind))) == wanted


def test_every_kind_is_tried_above_with_a_chart_that_fits_it():
    assert {kind for (kind, _), found in DIFFER.items() if not found} == set(LABELS)
    assert set(LABELS) == set(opponent.Opponent)


FILLED = {
    "all natural": ("-nnnnnnnnnnnnnn-", "natural teeth"),
    "fronts natural": ("-----nnnnnn-----", "natural front teeth"),
    "fronts and denture": ("-ddddnnnnnndddd-", None),
    "all denture": ("-dddddddddddddd-", None),
}


@pytest.mark.parametrize("name", FILLED)
def test_a_fill_in_marks_the_whole_arch_and_says_the_kind_where_it_follows(name):
    found = opponent.FILL_INS[name]
    signs = {mark: sign for sign, mark in MARKS.items()}

    assert "".join(signs[found.mark(tooth)] for tooth in LOWER) == FILLED[name][0]
    assert found.kind == FILLED[name][1]


# kind -> what is asked or said because of it before signing.
WORN = (
    "The opposing denture is worn. The laboratory adjusts it only on the dentist's word, tooth by "
    "tooth."
)
BEING_MADE = (
    "The opposing denture is being made. Link its case, so that both are set against each other, "
    "or say in the instructions where it is made."
)
WEIGHED = {
    ("natural teeth", "all natural"): [],
    ("natural front teeth", "fronts"): [],
    ("partial denture worn", "fronts, denture"): [WORN],
    ("partial denture being made", "fronts, denture"): [BEING_MADE],
    ("complete denture worn", "all denture"): [WORN],
    ("complete denture being made", "all denture"): [BEING_MADE],
    ("nothing", "nothing"): [],
}


@pytest.mark.parametrize(("kind", "name"), WEIGHED)
def test_what_each_kind_gives_to_weigh(kind, name):
    found = of_prescription(row(name, kind), date(2026, 3, 2))

    assert [one.text for one in found if one.field == "opponent"] == WEIGHED[kind, name]


# --- the dentist's word ------------------------------------------------------------------------


@pytest.fixture
def cast(db) -> World:
    return world()


KEPT_OFF = (
    "36 belongs to the opposing denture, and a denture that is worn is adjusted only on the "
    "dentist's word. Ask the dentist about 36 first; once the question is answered, log the line."
)
OTHER_CASE = (
    "36 belongs to the opposing denture that is being made. Log what is done to it in the case of "
    "that denture."
)


@pytest.mark.parametrize(
    ("kind", "tooth", "text"),
    [
        ("complete denture worn", "36", KEPT_OFF),
        ("", "36", KEPT_OFF),
        ("complete denture being made", "36", OTHER_CASE),
        ("complete denture worn", "16", ""),
        ("complete denture worn", "38", ""),
    ],
)
def test_a_tooth_of_the_opposing_denture_is_kept_off(cast, kind, tooth, text):
    case = cast.case_at(Stage.DRAFT, opposing=chart("all denture"), opponent=kind)

    assert opponent.keeps_off(case, tooth) == text


def _ask(cast: World, case: Case, *, clinical: bool = True) -> Any:
    return asking.ask(
        case=case,
        about="tooth 36",
        tooth="36",
        text="May it be adjusted?",
        waits_for=Side.OFFICE,
        clinical=clinical,
        by=cast.tomas,
    )


def test_the_dentists_answer_about_the_tooth_opens_it(cast):
    case = cast.case_at(Stage.DRAFT, opposing=chart("all denture"))
    question = _ask(cast, case)
    assert opponent.keeps_off(case, "36") == KEPT_OFF

    asking.answer(question=question, text="Yes, there.", by=cast.dora)

    assert opponent.keeps_off(Case.objects.get(), "36") == ""
    assert opponent.keeps_off(Case.objects.get(), "46") == KEPT_OFF.replace("36", "46")


def test_the_desks_answer_is_not_the_dentists_word(cast):
    case = cast.case_at(Stage.DRAFT, opposing=chart("all denture"))
    asking.answer(question=_ask(cast, case, clinical=False), text="I think so.", by=cast.farah)

    assert opponent.keeps_off(Case.objects.get(), "36") == KEPT_OFF


# --- what was signed before the kind was asked for ------------------------------------------------


def _unsaid(case: Case) -> None:
    Prescription.objects.filter(case=case).update(opponent="")


def test_a_kind_that_the_chart_says_by_itself_is_no_part_of_the_digest(cast):
    case = cast.case_at(Stage.SENT)
    signed = case.prescription
    _unsaid(case)

    assert prescription.digest(signed) == prescription.digest(Prescription.objects.get())


@pytest.mark.parametrize("kind", ["complete denture worn", "complete denture being made"])
def test_a_kind_that_says_more_than_the_chart_is_signed(cast, kind):
    case = cast.case_at(Stage.SENT, opposing=chart("all denture"), opponent=kind)
    signed = case.prescription
    _unsaid(case)

    assert prescription.digest(signed) != prescription.digest(Prescription.objects.get())


def test_saying_the_kind_for_the_first_time_undoes_nothing(cast):
    case = cast.case_at(Stage.SETTINGS, opposing=chart("all denture"))
    _unsaid(case)
    row = prescription.revise(case=Case.objects.get(), by=cast.dora)
    row = prescription.save(
        row=row, version=row.version, by=cast.dora, values={"opponent": "complete denture worn"}
    )

    assert prescription.undoing(row, Case.objects.get().prescription).to is None


def test_a_worn_denture_that_is_being_made_after_all_goes_back_to_the_casts(cast):
    case = cast.case_at(Stage.SETTINGS, opposing=chart("all denture"))
    row = prescription.revise(case=case, by=cast.dora)
    values = {"opponent": "complete denture being made"}
    row = prescription.save(row=row, version=row.version, by=cast.dora, values=values)

    assert prescription.undoing(row, case.prescription).to == Stage.MASTER_CAST
