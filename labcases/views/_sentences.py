"""History entries as sentences that a person can read."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from labcases.domain.acts import UNDID
from labcases.models import HistoryEntry
from labcases.views._changes_said import value_said, with_changes
from labcases.views._words import plain


def sentence(entry: HistoryEntry) -> str:
    """What one entry says: who, in which role, did what, and what it was before."""
    who = f"{entry.by} ({entry.position})" if entry.position else str(entry.by)
    say = _undid if entry.act == UNDID else _SAID.get((entry.part, entry.act), _said)
    text = f"{who} {say(entry)}"
    if entry.reason and say is not _brought_back and say not in _WITH_REASON:
        text += f". Reason: {entry.reason}"
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _said(entry: HistoryEntry) -> str:
    """Most entries: an act, a part, and what changed in it."""
    if entry.part == "set-up log":
        return with_changes(f"logged in the set-up: {entry.act}", entry)
    named = entry.part if entry.part.startswith("site ") else f"the {entry.part}"
    return with_changes(f"{_ACTS.get(entry.act, entry.act)} {named}", entry)


def _undid(entry: HistoryEntry) -> str:
    """An undo: of which entry, and what changed by it."""
    told = entry.row or {}
    part = entry.part if entry.part.startswith("site ") else f"the {entry.part}"
    what = f"undid entry {told.get('undid', '')} ({told.get('act', '')}, {part})"
    return with_changes(what, entry)


def _fixed(text: str) -> Callable[[HistoryEntry], str]:
    return lambda _entry: text


def _moved(entry: HistoryEntry) -> str:
    before, after = entry.changes["stage"]
    return f"moved the case from {before.lower()} to {after.lower()}"


def _passed(entry: HistoryEntry) -> str:
    before, after = entry.changes["stage"]
    return f"passed the gate from {before.lower()} to {after.lower()} without what was open"


def _brought_back(entry: HistoryEntry) -> str:
    before, after = entry.changes["stage"]
    return f"brought the case back from {before.lower()} to {after.lower()} through {entry.reason}"


def _signed(entry: HistoryEntry) -> str:
    return f"signed {entry.reason} of the prescription"


def _signed_on_paper(entry: HistoryEntry) -> str:
    """The person of the entry confirmed it; who signed stands in its words."""
    revision, _colon, words = entry.reason.partition(": ")
    return f"put {revision} of the prescription in force, signed {words}"


def _of_paper(act: str) -> Callable[[HistoryEntry], str]:
    return lambda entry: act.format(what=entry.reason)


def _revised(entry: HistoryEntry) -> str:
    return f"started {entry.reason} of the prescription"


def _held(entry: HistoryEntry) -> str:
    return f"put the case on hold: {plain(entry.changes.get('hold reason', ['', ''])[1])}"


def _about(words: str) -> Callable[[HistoryEntry], str]:
    """Words around the thing that a question is about, and what was said."""

    def say(entry: HistoryEntry) -> str:
        about, (_before, text) = next(iter(entry.changes.items()))
        return words.format(about=about, text=text)

    return say


def _proposal(words: str) -> Callable[[HistoryEntry], str]:
    """Words around a proposal: its number, what was proposed, and what was said of it."""

    def say(entry: HistoryEntry) -> str:
        named, (before, after) = next(iter(entry.changes.items()))
        return words.format(named=named, before=before, after=after, signed=entry.reason)

    return say


def _contents(entry: HistoryEntry) -> str:
    return f"{entry.act.replace('packed', 'packed a box', 1)}: {entry.changes['contents'][1]}"


def _arrived(entry: HistoryEntry) -> str:
    return f"recorded a box that arrived unannounced: {entry.changes['contents'][1]}"


def _supply(words: str) -> Callable[[HistoryEntry], str]:
    """Teeth of a case: which they are, and what is known of them but where they come from."""

    def say(entry: HistoryEntry) -> str:
        label, (_before, after) = next(iter(entry.changes.items()))
        which = f"tooth {label}" if label.isdecimal() else f"the {label}"
        _source, _comma, known = str(after).partition(", ")
        return f"{words.format(which=which)}: {known}" if known else words.format(which=which)

    return say


def _excursions(entry: HistoryEntry) -> str:
    """What was said of a mark in centric, and what had been said before."""
    before, after = entry.changes["marks in excursions too"]
    said = f"{before} → {after}" if before else str(after)
    tooth = entry.changes["tooth"][1]
    return f"said whether the high cusp at {tooth} marks in the excursions too: {said}"


def _date(entry: HistoryEntry) -> str:
    """A date of the case: for what, when, and how it stands."""
    found = {label: value_said(after) for label, (_before, after) in entry.changes.items()}
    what, day, status = (found.pop(label, "") for label in ("kind", "on", "status"))
    said = f"entered a date: {what or 'something'}{f' on {day}' if day else ''}"
    more = [status, *(f"{label} {text}" for label, text in found.items() if text)]
    return ", ".join([said, *(text for text in more if text)])


def _sent(entry: HistoryEntry) -> str:
    return f"sent a box {entry.changes['box'][1]}"


def _taken_in(entry: HistoryEntry) -> str:
    if not entry.changes:
        return "took in a box; everything on the list was there"
    counted = ", ".join(
        f"{label.lower()} {listed} on the list, {found} counted"
        for label, (listed, found) in entry.changes.items()
    )
    return f"took in a box; the count differs: {counted}"


def _struck(entry: HistoryEntry) -> str:
    return f'struck out a line of the set-up log, "{entry.changes["line"][0]}"'


def _bound(entry: HistoryEntry) -> str:
    photograph, line = (entry.changes[name][1] for name in ("photograph", "line"))
    return f'put at a line of the set-up log, "{line}": {photograph}'


def _record(act: str) -> Callable[[HistoryEntry], str]:
    def say(entry: HistoryEntry) -> str:
        said = next(iter(entry.changes.values()))
        return f'{act} a check record, "{next(one for one in said if one)}"'

    return say


def _picture(act: str) -> Callable[[HistoryEntry], str]:
    def say(entry: HistoryEntry) -> str:
        before, after = entry.changes["what"]
        ticked = "the patient's agreement" in entry.changes
        agreed = ", and ticked that the patient agreed" if ticked else ""
        return f"{act}: {after if before is None else before}{agreed}"

    return say


def _sent_back(entry: HistoryEntry) -> str:
    number, what_for = entry.changes["mounting"]
    return f"sent mounting {number} back for a {what_for}"


def _line(act: str, noun: str) -> Callable[[HistoryEntry], str]:
    """A line of a log that is told whole: entered, or struck out."""

    def say(entry: HistoryEntry) -> str:
        before, after = entry.changes["line"]
        return f'{act} {noun}, "{before or after}"'

    return say


def _reported(entry: HistoryEntry) -> str:
    return f"reported that something went wrong: {entry.changes['what'][1]}"


def _closed_report(entry: HistoryEntry) -> str:
    what, done = entry.changes["what"]
    return f'closed the report "{what}". Done: {done}'


def _complaint(words: str) -> Callable[[HistoryEntry], str]:
    def say(entry: HistoryEntry) -> str:
        what, said = entry.changes["complaint"]
        return words.format(what=what, said=said)

    return say


_LOG_LINES = {
    "jaw records": "a jaw record",
    "remount": "a line of the remount",
    "device statement": "a device statement",
    "reviews": "a line of the reviews",
    "clinical remount": "a line of the clinical remount",
    "reline": "a reline",
    "impressions": "an impression",
    "casts": "a cast",
    "inspections of casts": "an inspection of a cast",
    "trays, bases and rims": "a piece of the casts",
    "disinfection": "a disinfection",
    "difference": "what a difference turned out to be",
    "incidents": "a report",
    "steps of processing": "a step of processing",
    "materials of processing": "a material of processing",
}


def _linked(entry: HistoryEntry) -> str:
    return f"linked the case {entry.reason}"


def _remake(text: str) -> Callable[[HistoryEntry], str]:
    return lambda entry: f"{text} {entry.changes['remake'][1]}"


def _entered_on_paper(what: str) -> Callable[[HistoryEntry], str]:
    return lambda entry: f"entered {what}, signed {entry.reason}"


_APPROVALS = {
    ("dates", "confirmed on paper"): _entered_on_paper("the surgery day as confirmed"),
    ("try-in", "recorded on paper"): _entered_on_paper("the outcome of the try-in"),
    ("try-in", "waived on paper"): _entered_on_paper("the waiver of the try-in"),
    ("final wax", "approved on paper"): _entered_on_paper(
        "the approval of the final wax and the trimming"
    ),
}
_PROPOSAL_ON_PAPER = _proposal("entered the answer to {named} ({before}): {after}; signed {signed}")
_PAPERS = {
    "began": _of_paper("began to type {what} from a signed paper"),
    "handed over": _of_paper("typed {what} from a signed paper and handed it over"),
    "typed again": _of_paper("typed {what} from a signed paper anew"),
    "confirmed": _of_paper("compared {what} with the signed page and confirmed it"),
}
_WITH_REASON = (
    *(_signed, _revised, _signed_on_paper, _linked),
    *_PAPERS.values(),
    *_APPROVALS.values(),
    _PROPOSAL_ON_PAPER,
)
#: Acts that are no verb in the past by themselves.
_ACTS = {"taken back": "took back"}
_OF_TEETH = {
    "arrived": "counted in teeth that were ordered",
    "held up": "marked an order of teeth",
    "put back": "put teeth back on the shelf",
    "not used": "said that teeth are not used",
    "order cancelled": "cancelled an order of teeth",
    "used again": "used teeth of an earlier revision after all",
    "taken back": "set teeth aside",
}

_SAID: dict[tuple[str, str], Callable[[HistoryEntry], str]] = {
    ("incidents", "reported"): _reported,
    ("incidents", "closed"): _closed_report,
    ("complaints", "entered"): _complaint("entered a complaint: {said}"),
    ("complaints", "looked into"): _complaint('looked into the complaint "{what}": {said}'),
    ("complaints", "somebody was told"): _complaint('passed on the complaint "{what}": {said}'),
    ("complaints", "closed"): _complaint('closed the complaint "{what}": {said}'),
    ("complaints", "opened again"): _complaint('opened the complaint "{what}" again: {said}'),
    ("complaints", "struck out"): _line("struck out", "what was said of a complaint"),
    ("identity", "confirmed"): _fixed("read case code and patient code again and confirmed both"),
    ("case", "silenced"): _fixed("stopped every notice about the patient"),
    ("case", "no longer silenced"): _fixed("let notices about the patient leave again"),
    ("stage", "moved"): _moved,
    ("stage", "passed a gate"): _passed,
    ("stage", "brought back"): _brought_back,
    ("case", "opened"): _fixed("opened the case"),
    ("case", "put on hold"): _held,
    ("case", "linked"): _linked,
    ("case", "remade"): _remake("had the denture made again, in case"),
    ("case", "opened as a remake"): _remake("opened the case in place of case"),
    ("decision on the denture", "decided"): _line("decided", "about the denture"),
    ("case", "taken off hold"): _fixed("took the case off hold"),
    ("prescription", "signed"): _signed,
    ("prescription", "signed on paper"): _signed_on_paper,
    ("prescription", "started a revision"): _revised,
    **{("signed paper", act): say for act, say in _PAPERS.items()},
    **_APPROVALS,
    ("signed paper", "sent back"): _fixed("sent a typed paper back, because it does not agree"),
    ("signed paper", "gave up"): _fixed("gave up a signed paper"),
    ("box", "arrived"): _arrived,
    ("dates", "confirmed"): _fixed("confirmed the surgery day"),
    ("dates", "seen"): _fixed("saw the dates that were moved"),
    ("dates", "entered"): _date,
    ("teeth in hand", "taken from stock"): _supply("took {which} from stock"),
    ("teeth in hand", "ordered"): _supply("ordered {which}"),
    ("teeth in hand", "entered as in hand"): _supply("entered {which} as here"),
    **{("teeth in hand", act): partial(with_changes, words) for act, words in _OF_TEETH.items()},
    ("proposal", "raised"): _proposal("raised {named} to the dentist: {after}"),
    ("proposal", "withdrawn"): _proposal("withdrew {named} ({before})"),
    ("proposal", "answered"): _proposal("answered {named} ({before}): {after}"),
    ("proposal", "answered on paper"): _PROPOSAL_ON_PAPER,
    ("question", "asked"): _about("asked about {about}: {text}"),
    ("question", "answered"): _about("answered the question about {about}: {text}"),
    ("question", "asked again"): _about("asked again about {about}: {text}"),
    ("question", "remarked"): _about("said about {about}: {text}"),
    ("question", "closed"): _about("closed the question about {about}"),
    ("question", "withdrawn"): _about("took back the question about {about}"),
    ("question", "took up"): _about("began {text} to answer the question about {about}"),
    ("box", "packed"): _contents,
    ("box", "packed again"): _contents,
    ("box", "sent"): _sent,
    ("box", "taken in"): _taken_in,
    ("box", "reported"): lambda entry: "reported a box {} as {}".format(*entry.changes["box"]),
    ("box", "turned up"): lambda entry: "took back that a box {1} was {0}: it turned up".format(
        *entry.changes["box"]
    ),
    ("difference", "settled"): _line("settled a difference:", "it reads"),
    ("photographs and papers", "added"): _picture("added to the photographs and papers"),
    ("photographs and papers", "taken out"): _picture(
        "took out of the photographs and papers, for everybody"
    ),
    ("photographs and papers", "confirmed"): _picture(
        "confirmed that the patient agreed to showing the laboratory a face"
    ),
    ("set-up log", "struck out"): _struck,
    ("set-up log", "photograph bound"): _bound,
    ("set-up log", "excursions answered"): _excursions,
    ("check records", "entered"): _record("read in"),
    ("check records", "struck out"): _record("struck out"),
    **{
        (part, act): _line(act, noun)
        for part, noun in _LOG_LINES.items()
        for act in ("entered", "struck out")
    },
    ("mounting", "sent back"): _sent_back,
    ("impressions", "poured"): _line("said when an impression was poured:", "it now reads"),
    ("articulator record", "adopted"): lambda entry: with_changes(
        "adopted what check records say into the articulator record", entry
    ),
    ("articulator record", "approved"): lambda entry: with_changes(
        "let the articulator record follow the dentist's answer", entry
    ),
    ("articulator record", "followed the marks"): lambda entry: with_changes(
        "let the articulator record follow the marks of foil", entry
    ),
    ("articulator record", "acknowledged"): _fixed("read and acknowledged the unusual settings"),
    ("final wax", "approved"): _fixed("approved the final wax and the trimming"),
    ("case bundle", "exported"): lambda entry: (
        f"made a bundle of the case, {entry.changes['names'][1]}: {entry.changes['manifest'][1]}"
    ),
    ("erasure", "asked for"): lambda entry: (
        f"took in that {value_said(entry.changes['by'][1])} asked for erasure; kept until "
        f"{value_said(entry.changes['kept until'][1])}"
    ),
    ("erasure", "redacted"): lambda entry: (
        f"took words out of entries for an erasure: {entry.changes['entries'][1]}"
    ),
    ("erasure", "erased"): lambda entry: (
        f"erased the case: {entry.changes['rows'][1]} rows, {entry.changes['files'][1]} files"
    ),
    ("release", "looked at again"): _fixed("took the second look at the denture"),
    ("processing record", "gave up"): _fixed("gave a processing up"),
    ("processing handoff", "handed over"): lambda entry: with_changes(
        "handed the case over to processing", entry
    ),
}
