"""What the patient is told in writing after delivery: whose text it is, and whom to call."""

from __future__ import annotations

import re
from dataclasses import dataclass

from labcases.models import Case, Organisation
from labcases.reference import delivery as reference

HOW = "A heading, below it a line a sentence, then an empty line before the next heading."
FEWEST_DIGITS = 3
_TELEPHONE = re.compile(r"[0-9+()/. -]+")


class NotRead(ValueError):
    """A text or a number that no sheet is made from."""


@dataclass(frozen=True)
class Part:
    """A heading and the sentences below it; ``sources`` is empty for a text of the office."""

    title: str
    lines: tuple[str, ...]
    sources: tuple[str, ...] = ()


def why_not(case: Case) -> str:
    """Why no sheet prints for a case; empty when it does."""
    if case.office.emergency_telephone:
        return ""
    return (
        f"{case.office} has entered no telephone for emergencies, and the sheet tells the patient "
        "whom to call. Enter it on the page of the office, under Change; then the sheet prints."
    )


def parts_of(office: Organisation) -> list[Part]:
    """What the sheet says: the text of the office, or else the one that is built in."""
    if office.after_care:
        return read(office.after_care)
    return [
        Part(
            one.title,
            tuple(line.text for line in one.lines),
            tuple(dict.fromkeys(f"{line.source} ({line.mark})" for line in one.lines)),
        )
        for one in reference.after_care()
    ]


def read(text: str) -> list[Part]:
    """The parts of a text that an office wrote.

    Raises
    ------
    NotRead
        A heading has no line below it.
    """
    found = []
    for block in re.split(r"\n\s*\n", text.replace("\r\n", "\n").strip()):
        title, *lines = [line.strip() for line in block.split("\n") if line.strip()] or [""]
        if not title:
            continue
        if not lines:
            raise NotRead(f"Nothing stands below the heading “{title}”. {HOW}")
        found.append(Part(title, tuple(lines)))
    return found


def telephone(typed: str) -> str:
    """A telephone number as it is printed.

    Raises
    ------
    NotRead
        It holds something that cannot be dialled, or too few digits.
    """
    number = " ".join(typed.split())
    digits = sum(one.isdigit() for one in number)
    if number and (not _TELEPHONE.fullmatch(number) or digits < FEWEST_DIGITS):
        raise NotRead(
            f"“{number}” cannot be dialled. Enter digits, with blanks between them if you like, "
            "for example +44 1632 960 123."
        )
    return number
