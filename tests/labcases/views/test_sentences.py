"""Every act reads as a sentence: no name of a column, no stored word of the program."""

from __future__ import annotations

import logging
import re

import pytest

from labcases.enums import Stage
from labcases.models import HistoryEntry, PatientName
from labcases.views._changes_said import value_said
from labcases.views._sentences import sentence
from tests.acts_written import written
from tests.factories import world
from tests.labcases.domain.test_acts import FROM_CHOICES
from tests.labcases.domain.undone import DOINGS

pytestmark = pytest.mark.django_db

#: A column, JSON, or a value of Python where words should stand.
RAW = re.compile(r"[a-z0-9]_[a-z0-9]|[{}\[\]]|\b(None|True|False|null)\b|\bDecimal\b")

#: What an entry of a part, or of an act of it, holds.
HOLDS: dict[str, dict[str, list[object]]] = {
    "stage": {"stage": ["Draft", "Sent"]},
    "question": {"the shade": ["B2?", "B2."]},
    "proposal": {"proposal 2": ["Incisal table 20 deg → 15 deg", "Yes"]},
    "box": {"contents": [None, "1 x impression"], "box": [None, "to the laboratory"]},
    "box: taken in": {"Impression": [2, 1]},
    "box: reported": {"box": ["to the laboratory", "overdue"]},
    "box: turned up": {"box": ["overdue", "to the laboratory"]},
    "photographs and papers": {"what": [None, "photograph of the teeth"]},
    "incidents: struck out": {"line": ["A cast broke", "another case"]},
    "incidents": {"what": ["A cast broke", "poured again"]},
    "complaints": {"complaint": ["Serious: the denture", "the resin was sent in"]},
    "check records": {"record": [None, "posterior gap"]},
    "mounting: sent back": {"mounting": [1, "new jaw record"]},
    "case bundle": {"names": [None, "without the name"], "manifest": [None, "9f86d081"]},
    "erasure: asked for": {
        "by": [None, "the patient"],
        "on": [None, "2026-11-20"],
        "kept until": [None, "2036-11-20"],
    },
    "erasure: redacted": {"entries": [None, "3, 5"]},
    "erasure: erased": {"rows": [None, 120], "files": [None, 4]},
    "case: remade": {"remake": [None, "ABCD-EFGH-JKMN"]},
    "case: opened as a remake": {"remake": [None, "ABCD-EFGH-JKMN"]},
    "case: put on hold": {"hold reason": ["", "cast broke"]},
    "complaints: struck out": {"line": ["Complaint, without serious harm", "struck out"]},
    "set-up log: struck out": {"line": ["Pin read", "struck out"]},
    "set-up log: excursions answered": {
        "tooth": [None, "16"],
        "marks in excursions too": [None, "no"],
    },
    "set-up log: photograph bound": {
        "photograph": [None, "photograph, cast"],
        "line": [None, "teeth set in wax"],
    },
}
LINE = {"line": [None, "Upper impression, alginate"]}


def told(here, case, part: str, act: str) -> str:
    part, act = part.replace("*", "16"), act.replace("*", "note")
    changes = HOLDS.get(f"{part}: {act}") or HOLDS.get(part) or LINE
    return sentence(
        HistoryEntry(
            case=case,
            by=here.tomas,
            position="technician",
            part=part,
            act=act,
            changes=changes,
            reason="revision 2",
        )
    )


def test_every_act_that_the_code_writes_has_a_sentence():
    """An act that reads badly gets a row in _SAID of labcases/views/_sentences.py."""
    here = world()
    case = here.walk().case
    found, _lost = written(FROM_CHOICES)
    said = {pair: told(here, case, *pair) for pair in found}

    for pair, text in said.items():
        assert re.fullmatch(r"Tomas Abelard \(technician\) [a-z].+[.?!]", text), (pair, text)
        assert not RAW.search(text), (pair, text)
        assert not re.search(r"\) (taken|sent) (back|out) the\b", text), (pair, text)


def test_a_whole_case_and_everything_that_can_be_undone_read_as_sentences():
    here = world()
    here.case_at(Stage.CLOSED)
    for number, (stage, prepare, act) in enumerate(
        (DOINGS["final wax", "changed"], DOINGS["dates", "changed"], DOINGS["box", "packed"])
    ):
        walk = here.walk(patient_code=f"P-{number}")
        walk.to(stage)
        prepare(walk)
        act(walk)
    said = {sentence(entry) for entry in HistoryEntry.objects.select_related("by")}

    assert len(said) > 60
    assert [text for text in said if RAW.search(text)] == []
    assert [text for text in said if not text.endswith((".", "?", "!"))] == []


@pytest.mark.parametrize(
    ("part", "act", "changes", "words"),
    [
        ("mounting", "taken back", {"number": [1, 2]}, "took back the mounting: number 1 → 2"),
        (
            "site 16",
            "entered",
            {"tooth": [None, "16"], "base min mm": [None, "2.00"], "ample": [None, False]},
            "entered site 16: least base 2\N{NO-BREAK SPACE}mm; ample: no",
        ),
        (
            "try-in",
            "recorded",
            {"outcome": [None, "approved"], "decided by": [None, "Dora"]},
            "recorded the try-in: outcome approved",
        ),
        (
            "teeth in hand",
            "taken from stock",
            {"upper anterior teeth": [None, "From stock, Alder, mould O-46, lot A-17"]},
            "took the upper anterior teeth from stock: Alder, mould O-46, lot A-17",
        ),
        (
            "teeth in hand",
            "order cancelled",
            {"state": ["ordered", "cancelled"], "ended why": ["", "too late"]},
            "cancelled an order of teeth",
        ),
        (
            "dates",
            "seen",
            {"moved dates": ["", "Surgery moved from Thu 26-Mar-2026 to Thu 02-Apr-2026"]},
            "saw the dates that were moved",
        ),
        (
            "dates",
            "entered",
            {"kind": [None, "try-in"], "on": [None, "2027-03-12"], "status": [None, "booked"]},
            "entered a date: try-in on 12-Mar-2027, booked",
        ),
        (
            "prescription",
            "changed",
            {
                "settings wish": ["", "as written"],
                "reline plan": ["", "reline"],
                "template wanted": [None, True],
                "return casts": [True, False],
            },
            "changed the prescription: articulator set as written; planned for afterwards: reline; "
            "template wanted: yes; casts come back: yes → no",
        ),
        (
            "set-up log",
            "tooth hollow-ground",
            {
                "teeth": [None, ["16"]],
                "depth mm": [None, "1.00"],
                "shell left mm": [None, "1.80"],
            },
            "logged in the set-up: tooth hollow-ground: teeth 16; depth 1\N{NO-BREAK SPACE}mm; "
            "shell left 1.8\N{NO-BREAK SPACE}mm",
        ),
        (
            "set-up log",
            "photograph bound",
            {"photograph": [None, "photograph, cast"], "line": [None, "teeth set in wax"]},
            'put at a line of the set-up log, "teeth set in wax": photograph, cast',
        ),
        (
            "set-up log",
            "excursions answered",
            {"tooth": [None, "16"], "marks in excursions too": ["not known", "yes"]},
            "said whether the high cusp at 16 marks in the excursions too: not known → yes",
        ),
        (
            "final wax",
            "changed",
            {
                "overjet mm": ["2.00", "2.75"],
                "trimming approved": [True, False],
                "approved digest": ["0" * 64, ""],
                "approved photographs": [[1, 2], []],
                "approved trims": [[11], []],
            },
            "changed the final wax: overjet 2\N{NO-BREAK SPACE}mm → 2.75\N{NO-BREAK SPACE}mm; "
            "trimming approved: yes → no",
        ),
        (
            "articulator record",
            "changed",
            {"bennett right deg": ["15.0", "12.5"]},
            "changed the articulator record: Bennett angle right 15\N{NO-BREAK SPACE}deg → "
            "12.5\N{NO-BREAK SPACE}deg",
        ),
    ],
)
def test_what_reads_badly_is_put_in_words(part, act, changes, words):
    here = world()
    entry = HistoryEntry(
        case=here.walk().case, by=here.dora, position="dentist", part=part, act=act, changes=changes
    )
    assert sentence(entry) == f"Dora Winsley (dentist) {words}."


def test_an_undo_names_the_entry_that_it_undoes():
    here = world()
    entry = HistoryEntry(
        case=here.walk().case,
        by=here.dora,
        position="dentist",
        part="site 16",
        act="undid",
        changes={"space mm": ["8.00", "9.00"]},
        row={"undid": 12, "act": "changed"},
    )
    assert sentence(entry) == (
        "Dora Winsley (dentist) undid entry 12 (changed, site 16): space 8\N{NO-BREAK SPACE}mm → "
        "9\N{NO-BREAK SPACE}mm."
    )


def test_no_name_of_a_patient_stands_in_any_entry_or_line_of_the_log(caplog):
    """Through every act that a whole case has: who is treated is told by a code alone."""
    caplog.set_level(logging.DEBUG)
    here = world()
    walk = here.walk(patient_name="Quillon Vanterpool")
    walk.to(Stage.CLOSED)
    assert PatientName.objects.get(patient=walk.case.patient).name == "Quillon Vanterpool"

    stored = [str(value) for row in HistoryEntry.objects.values() for value in row.values()] + [
        sentence(entry) for entry in walk.case.history.all()
    ]

    # The statement that stores the name is the database's own debugging line, off by default.
    lines = [r.getMessage() for r in caplog.records if r.name != "django.db.backends"]
    for word in ("Quillon", "Vanterpool"):
        assert [text for text in stored if word in text] == []
        assert [text for text in lines if word in text] == []


@pytest.mark.parametrize(
    ("stored", "said"),
    [
        ("2026-02-28", "28-Feb-2026"),
        ("2026-02-31", "2026-02-31"),
        ("2026-02-31T10:00:00+00:00", "2026-02-31T10:00:00+00:00"),
    ],
)
def test_what_only_looks_like_a_day_is_said_as_it_was_typed(stored, said):
    assert value_said(stored).replace("\u2011", "-") == said
