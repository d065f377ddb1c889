"""The final wax for screen and paper: its lists answered, and what changed after an approval."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from labcases.domain import final_wax, history
from labcases.domain.gates.missing import Missing
from labcases.enums.wax import WaxAnswer, WaxList
from labcases.models import Case, FinalWax, HistoryEntry
from labcases.outputs.tryin_view import Answer, AnsweredPause
from labcases.reference.checklists import line_texts, wax_checklist
from labcases.templatetags.units import mm

GLYPHS = {
    WaxAnswer.YES: "done",
    WaxAnswer.NO: "remake",
    WaxAnswer.NOT_ASKED: "not yet",
    "": "not yet",
}
_OF_LINES = ("answers", "words")


@dataclass(frozen=True)
class AnsweredList:
    """One checklist with its answers, and how far it is."""

    which: WaxList
    pauses: list[AnsweredPause]

    @property
    def answers(self) -> list[Answer]:
        return [answer for pause in self.pauses for answer in pause.answers]

    @property
    def line(self) -> str:
        """How many lines are yes, no, not asked for, and open."""
        words = [answer.word for answer in self.answers]
        told = [
            (words.count(word), small)
            for word, small in (
                ("Yes", "yes"),
                ("No", "no"),
                ("Not asked for here", "not asked for here"),
                ("Not answered", "open"),
            )
        ]
        return ", ".join(f"{count} {small}" for count, small in told if count)

    @property
    def glyph(self) -> str:
        words = {answer.word for answer in self.answers}
        return "warning" if "No" in words else "not yet" if "Not answered" in words else "done"


def lists(case: Case, wax: FinalWax | None) -> list[AnsweredList]:
    """Both checklists, whether anything of them is answered or not."""
    answers = wax.answers if wax else {}
    words = wax.words if wax else {}
    return [
        AnsweredList(
            which,
            [
                AnsweredPause(
                    pause.title,
                    [
                        Answer(
                            line.text,
                            str(WaxAnswer(given).label) if given else "Not answered",
                            GLYPHS[given],
                            words.get(line.key, ""),
                        )
                        for line in pause.lines
                        for given in (answers.get(line.key, ""),)
                    ],
                )
                for pause in wax_checklist(which, case.prescription.arch)
            ],
        )
        for which in WaxList
    ]


def open_points(case: Case, wax: FinalWax | None) -> list[Missing]:
    """What the laboratory still does before the dentist is asked."""
    return list(final_wax.unfinished(case, wax)) if wax else []


@dataclass(frozen=True)
class ChangedSince:
    """A save of the wax after the dentist had approved it."""

    entry: HistoryEntry
    changes: list[str]


def changed_since_approval(case: Case) -> list[ChangedSince]:
    """What was changed after the last approval, oldest first; nothing if none was given."""
    entries = list(case.history.filter(part="final wax").select_related("by").order_by("id"))
    last = max((n for n, row in enumerate(entries) if row.act.startswith("approved")), default=None)
    if last is None:
        return []
    hidden = {history.label(FinalWax, name) for name in final_wax.NO_APPROVAL}
    return [
        ChangedSince(
            entry,
            [
                text
                for label, (before, after) in entry.changes.items()
                if label not in hidden and (text := _change(label, before, after))
            ],
        )
        for entry in entries[last + 1 :]
    ]


def _change(label: str, before: Any, after: Any) -> str:
    if label in _OF_LINES:
        return "; ".join(_of_lines(before or {}, after or {}))
    if label.endswith(" mm"):
        old, new = (mm(str(value)) if value else "empty" for value in (before, after))
        return f"{label.removesuffix(' mm')}: {old} → {new}"
    return f"{label}: {_plain(before)} → {_plain(after)}"


def _of_lines(before: dict[str, str], after: dict[str, str]) -> list[str]:
    return [
        f"{line_texts().get(key, key)}: {before.get(key) or 'empty'} → {after.get(key) or 'empty'}"
        for key in {**before, **after}
        if before.get(key) != after.get(key)
    ]


def _plain(value: Any) -> str:
    if value is None or value == "" or value == {}:
        return "empty"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return "; ".join(str(one) for one in value.values())
    return str(value)
