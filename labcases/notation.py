"""Tooth numbers: ISO 3950 inside, either notation outside, never guessed.

Eighteen numbers are legal in both systems (11 is an upper right central incisor in
ISO 3950 and an upper left canine in Universal numbering), so a bare number is never
interpreted: the caller says which system it was typed in.
"""

from __future__ import annotations

UPPER = tuple(f"1{n}" for n in range(8, 0, -1)) + tuple(f"2{n}" for n in range(1, 9))
LOWER = tuple(f"4{n}" for n in range(8, 0, -1)) + tuple(f"3{n}" for n in range(1, 9))

_PERMANENT_NAMES = {
    "1": "central incisor",
    "2": "lateral incisor",
    "3": "canine",
    "4": "first premolar",
    "5": "second premolar",
    "6": "first molar",
    "7": "second molar",
    "8": "third molar",
}
_PRIMARY_NAMES = {
    "1": "primary central incisor",
    "2": "primary lateral incisor",
    "3": "primary canine",
    "4": "primary first molar",
    "5": "primary second molar",
}
_QUADRANTS = {
    "1": "upper right",
    "2": "upper left",
    "3": "lower left",
    "4": "lower right",
    "5": "upper right",
    "6": "upper left",
    "7": "lower left",
    "8": "lower right",
}
_MIRROR = {"1": "2", "2": "1", "3": "4", "4": "3", "5": "6", "6": "5", "7": "8", "8": "7"}
_OPPOSING = {"1": "4", "2": "3", "3": "2", "4": "1", "5": "8", "6": "7", "7": "6", "8": "5"}


def _pairs() -> dict[str, str]:
    """ISO 3950 -> Universal, 32 permanent and 20 primary teeth."""
    pairs = {}
    for n in range(1, 9):
        pairs[f"1{n}"] = str(19 - (10 + n))
        pairs[f"2{n}"] = str((20 + n) - 12)
        pairs[f"3{n}"] = str(55 - (30 + n))
        pairs[f"4{n}"] = str((40 + n) - 16)
    for n in range(1, 6):
        pairs[f"5{n}"] = "ABCDE"[5 - n]
        pairs[f"6{n}"] = "FGHIJ"[n - 1]
        pairs[f"7{n}"] = "KLMNO"[5 - n]
        pairs[f"8{n}"] = "PQRST"[n - 1]
    return pairs


_UNIVERSAL = _pairs()
_ISO = {number: tooth for tooth, number in _UNIVERSAL.items()}


def _known(tooth: str) -> str:
    if tooth not in _UNIVERSAL:
        raise ValueError(
            f"{tooth!r} is not a tooth in ISO 3950. Give a quadrant digit and a position digit, "
            "for example 11 or 48."
        )
    return tooth


def universal(tooth: str) -> str:
    """The Universal number or letter of a tooth."""
    return _UNIVERSAL[_known(tooth)]


def from_universal(text: str) -> str:
    """The ISO 3950 number of a Universal number (1 to 32) or letter (A to T)."""
    key = text.strip().upper()
    if key not in _ISO:
        raise ValueError(f"{text!r} is not a tooth in Universal numbering. Give 1 to 32 or A to T.")
    return _ISO[key]


def name(tooth: str) -> str:
    """The tooth in words, for example ``upper right central incisor``."""
    names = _PERMANENT_NAMES if _known(tooth)[0] in "1234" else _PRIMARY_NAMES
    return f"{_QUADRANTS[tooth[0]]} {names[tooth[1]]}"


def arch_of(tooth: str) -> str:
    return _QUADRANTS[_known(tooth)[0]].split()[0]


def side_of(tooth: str) -> str:
    """The patient's side."""
    return _QUADRANTS[_known(tooth)[0]].split()[1]


def is_posterior(tooth: str) -> bool:
    """Premolars and molars."""
    return _known(tooth)[1] in "45678"


def mirror(tooth: str) -> str:
    """The same tooth on the other side."""
    return _MIRROR[_known(tooth)[0]] + tooth[1]


def opposing(tooth: str) -> str:
    """The tooth of the same name in the other arch."""
    return _OPPOSING[_known(tooth)[0]] + tooth[1]


def show(tooth: str, notation: str) -> str:
    """The tooth in an organisation's notation, the other one beside it."""
    if notation == "Universal":
        return f"{universal(tooth)} (ISO {_known(tooth)})"
    return f"{_known(tooth)} (Universal {universal(tooth)})"
