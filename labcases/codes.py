"""Case codes: eleven characters and one that checks them.

The check is a position-weighted sum modulo 31 over an alphabet of 31 symbols. The
modulus is prime, no weight is 0 modulo 31 and neighbouring weights differ, so every
single wrong character and every swap of two neighbours is caught (mathematics).
"""

from __future__ import annotations

import re
import secrets

ALPHABET = "023456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 12

_VALUE = {symbol: value for value, symbol in enumerate(ALPHABET)}
_PAPER = re.compile(r"((?:[0-9A-Z]{4}-?){2}[0-9A-Z]{4})-R(\d{2,})-([A-Z]{2})")


def check_character(eleven: str) -> str:
    """The twelfth character: 1 d1 + 2 d2 + ... + 11 d11 modulo 31."""
    if len(eleven) != LENGTH - 1 or any(symbol not in _VALUE for symbol in eleven):
        raise ValueError(f"Give {LENGTH - 1} characters out of {ALPHABET}.")
    return ALPHABET[sum(n * _VALUE[s] for n, s in enumerate(eleven, start=1)) % len(ALPHABET)]


def is_valid(code: str) -> bool:
    if len(code) != LENGTH or any(symbol not in _VALUE for symbol in code):
        return False
    return code[-1] == check_character(code[:-1]) and code != "0" * LENGTH


def new_code() -> str:
    """A code that nobody can guess from another one."""
    eleven = "0" * (LENGTH - 1)
    while eleven == "0" * (LENGTH - 1):
        eleven = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH - 1))
    return eleven + check_character(eleven)


def normalise(text: str) -> str:
    """What was typed or scanned, as a code: capitals, without blanks and hyphens.

    Raises
    ------
    ValueError
        It holds 1, I, L, O or U, which no code has: they are refused and not read as
        another character, because that would hide a slip.
    """
    code = re.sub(r"[\s-]", "", text).upper()
    wrong = sorted({symbol for symbol in code if symbol in "1ILOU"})
    if wrong:
        raise ValueError(
            f"A case code never holds {', '.join(wrong)}. Look at the paper again and type the "
            "12 characters as printed."
        )
    return code


def grouped(code: str) -> str:
    """Four and four and four, as it stands on screens and papers."""
    return "-".join(code[start : start + 4] for start in range(0, len(code), 4))


spoken = grouped


def paper_code(code: str, revision: int, kind: str) -> str:
    """The code of a paper: case, revision and kind, as in ``7Q2K9A3BC4DH-R03-LS``."""
    return f"{code}-R{revision:02d}-{kind}"


def parse_paper_code(text: str) -> tuple[str, int, str]:
    """Case code, revision and kind of a scanned paper.

    Raises
    ------
    ValueError
        It is no paper code, or its case code does not check.
    """
    found = _PAPER.fullmatch(text.strip().upper())
    code = found[1].replace("-", "") if found else ""
    if found is None or not is_valid(code):
        raise ValueError(
            "That is not a paper's code. Scan it again, or type the 12 characters of the case."
        )
    return code, int(found[2]), found[3]
