"""What the denture meets: the kind of the opposing arch, its chart, and who may change it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from labcases import notation
from labcases.domain import teeth
from labcases.enums import OpposingTooth
from labcases.enums.opponent import Opponent
from labcases.models import Case, Prescription, Question

NATURAL, DENTURE, MISSING = OpposingTooth.NATURAL, OpposingTooth.DENTURE, OpposingTooth.MISSING

ONLY_NATURAL = frozenset({Opponent.NATURAL, Opponent.NATURAL_FRONT})
PARTIAL = frozenset({Opponent.PARTIAL_WORN, Opponent.PARTIAL_MADE})
COMPLETE = frozenset({Opponent.COMPLETE_WORN, Opponent.COMPLETE_MADE})
WORN = frozenset({Opponent.PARTIAL_WORN, Opponent.COMPLETE_WORN})
BEING_MADE = frozenset({Opponent.PARTIAL_MADE, Opponent.COMPLETE_MADE})
WITH_NATURAL = ONLY_NATURAL | PARTIAL

# --- the kind and the chart --------------------------------------------------------------------


def of_chart(chart: Mapping[str, str]) -> Opponent | None:
    """The kind that a complete chart says by itself.

    Of denture teeth a chart does not say whether they are worn or being made, so nothing
    follows from it there.
    """
    marks = set(chart.values())
    if len(chart) < len(notation.UPPER) or DENTURE in marks:
        return None
    if NATURAL not in marks:
        return Opponent.NOTHING
    behind = any(m == NATURAL and notation.is_posterior(t) for t, m in chart.items())
    return Opponent.NATURAL if behind else Opponent.NATURAL_FRONT


def of(row: Prescription) -> Opponent | None:
    """The kind as prescribed; what was signed before it was asked for lets the chart speak."""
    return Opponent(row.opponent) if row.opponent else of_chart(row.opposing)


def words(row: Prescription) -> str:
    """The kind in words, also where only the chart says it."""
    kind = of(row)
    if kind is not None:
        return str(kind.label)
    if DENTURE in row.opposing.values():
        some = NATURAL in row.opposing.values()
        which = "Natural teeth and a partial denture" if some else "A complete denture"
        return f"{which}; worn or being made is not said"
    return "not said"


def differences(row: Prescription) -> Iterator[tuple[str, str]]:
    """Where the kind and the chart do not say the same: the field to mend, and the sentence.

    What the chart has and the kind denies leads to the kind; what the kind wants and the
    chart lacks leads to the chart, and is not said as well where the kind is denied: one of
    the two is wrong, and that is one fault.
    """
    if row.opponent:
        denied = list(_denied(row))
        yield from denied or _lacking(row)


def _denied(row: Prescription) -> Iterator[tuple[str, str]]:
    """What the chart has and the kind denies."""
    kind, said, found, behind = _read(row)
    if kind == Opponent.NOTHING and found[DENTURE] and found[NATURAL]:
        yield (
            "opponent",
            f"{said} the chart marks denture teeth at {_list(found[DENTURE])} and natural teeth "
            f"at {_list(found[NATURAL])}. Choose another kind, or mark them otherwise.",
        )
        return
    if kind in ONLY_NATURAL | {Opponent.NOTHING} and found[DENTURE]:
        yield (
            "opponent",
            f"{said} the chart marks denture teeth at {_list(found[DENTURE])}. Choose the kind "
            "with a denture, or mark them otherwise.",
        )
    if kind in COMPLETE | {Opponent.NOTHING} and found[NATURAL]:
        yield (
            "opponent",
            f"{said} the chart marks natural teeth at {_list(found[NATURAL])}. Choose the kind "
            "with natural teeth, or mark them otherwise.",
        )
    if kind == Opponent.NATURAL_FRONT and behind:
        yield (
            "opponent",
            f"{said} the chart marks natural teeth behind the canines at {_list(behind)}. Choose "
            "'natural teeth', or mark them otherwise.",
        )


def _lacking(row: Prescription) -> Iterator[tuple[str, str]]:
    """What the kind wants and the chart lacks."""
    kind, said, found, behind = _read(row)
    if len(row.opposing) < len(notation.UPPER):
        return  # The open positions are asked for first.
    if kind in WITH_NATURAL and not found[NATURAL]:
        yield (
            "opposing",
            f"{said} the chart marks no natural tooth. Mark those that stand, or choose another "
            "kind.",
        )
    elif kind == Opponent.NATURAL and not behind:
        yield (
            "opposing",
            f"{said} the chart marks no natural tooth behind the canines. Mark those that stand, "
            "or choose 'natural front teeth only'.",
        )
    if kind in PARTIAL | COMPLETE and not found[DENTURE]:
        yield (
            "opposing",
            f"{said} the chart marks no denture tooth. Mark the teeth of the denture, or choose "
            "another kind.",
        )


def _read(row: Prescription) -> tuple[Opponent, str, dict[OpposingTooth, list[str]], list[str]]:
    """The kind, how a sentence about it begins, the marked teeth, and the natural ones behind."""
    kind = Opponent(row.opponent)
    found = {mark: _marked(row, mark) for mark in (NATURAL, DENTURE)}
    behind = [tooth for tooth in found[NATURAL] if notation.is_posterior(tooth)]
    return kind, f"The opposing arch is said to be '{_lower(kind.label)}', but", found, behind


def _marked(row: Prescription, mark: OpposingTooth) -> list[str]:
    other = teeth.positions(teeth.other_arch(row.arch))
    return [tooth for tooth in other if row.opposing.get(tooth) == mark]


def _list(found: list[str]) -> str:
    return ", ".join(found)


def _lower(label: str) -> str:
    return label[:1].lower() + label[1:]


@dataclass(frozen=True)
class FillIn:
    """A whole opposing arch in one act, and the kind that goes with it where there is one."""

    label: str
    mark: Callable[[str], OpposingTooth]
    kind: Opponent | None


def _but_third_molars(mark: OpposingTooth) -> Callable[[str], OpposingTooth]:
    return lambda tooth: MISSING if tooth[1] == "8" else mark


def _front(behind: OpposingTooth) -> Callable[[str], OpposingTooth]:
    def mark(tooth: str) -> OpposingTooth:
        if not notation.is_posterior(tooth):
            return NATURAL
        return MISSING if tooth[1] == "8" else behind

    return mark


FILL_INS: dict[str, FillIn] = {
    "all natural": FillIn(
        "All natural but third molars", _but_third_molars(NATURAL), Opponent.NATURAL
    ),
    "fronts natural": FillIn(
        "Front teeth natural, the rest missing", _front(MISSING), Opponent.NATURAL_FRONT
    ),
    "fronts and denture": FillIn(
        "Front teeth natural, denture teeth behind but third molars", _front(DENTURE), None
    ),
    "all denture": FillIn("All denture teeth but third molars", _but_third_molars(DENTURE), None),
}


def weighed(row: Prescription) -> Iterator[tuple[str, str, str]]:
    """What a reader weighs of the kind before signing: field, sentence and source."""
    if of(row) in WORN:
        yield (
            "opponent",
            "The opposing denture is worn. The laboratory adjusts it only on the dentist's word, "
            "tooth by tooth.",
            "common practice, no source",
        )


# --- the dentist's word --------------------------------------------------------------------------


def asked(case: Case, tooth: str) -> Question | None:
    """The latest question about an opposing tooth that only the dentist answers."""
    found = [one for one in case.questions.all() if one.tooth == tooth and one.clinical]
    return max(found, key=lambda one: one.pk, default=None)


def keeps_off(case: Case, tooth: str) -> str:
    """Why a tooth of the opposing denture may not be changed here; empty where it may.

    A worn denture is the patient's own: the dentist's answer to a question about the tooth
    opens it. One that is being made belongs to a case of its own.
    """
    row = case.prescription
    if tooth in teeth.positions(row.arch) or teeth.kind(row, tooth) != DENTURE:
        return ""
    if of(row) in BEING_MADE:
        return (
            f"{tooth} belongs to the opposing denture that is being made. Log what is done to it "
            "in the case of that denture."
        )
    question = asked(case, tooth)
    if question is not None and question.answered_at:
        return ""
    return (
        f"{tooth} belongs to the opposing denture, and a denture that is worn is adjusted only on "
        f"the dentist's word. Ask the dentist about {tooth} first; once the question is answered, "
        "log the line."
    )
