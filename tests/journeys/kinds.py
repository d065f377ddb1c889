"""What kinds of things a page holds, so that pages which hold nothing new need no browser."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html.parser import HTMLParser
from typing import Any

#: Elements that never have an end tag, in HTML and in the drawings.
VOID = {
    *("input", "br", "hr", "img", "link", "meta", "source", "col", "wbr"),
    *("use", "path", "line", "circle", "rect", "ellipse", "polyline", "polygon"),
}
#: Attributes that make one element look or be read unlike another; of others only the name counts.
TELLING = ("class", "type", "role", "colspan")
#: Shorter words fit everywhere; of longer ones each further such length is another kind.
WORD = 8


class _Kinds(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: set[Any] = set()
        self._open: list[Any] = []
        self._cells: list[int] = []

    @property
    def _within(self) -> Any:
        return self._open[-1] if self._open else None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        kind = (tag, *(told.get(name) for name in TELLING), frozenset(told))
        self.found.add((self._within, kind))
        if tag == "tr":
            self._cells.append(0)
        elif tag in ("td", "th") and self._cells:
            self._cells[-1] += 1
        if tag not in VOID:
            self._open.append(kind)

    def handle_endtag(self, tag: str) -> None:
        if tag == "tr" and self._cells:
            self.found.add(("cells in a row", self._cells.pop()))
        while tag not in VOID and self._open:
            if self._open.pop()[0] == tag:
                break

    def handle_data(self, data: str) -> None:
        longest = max(map(len, re.split(r"[\s/-]+", data)))
        if longest > WORD:
            self.found.add((self._within, "a word of", longest // WORD))


def kinds(content: str) -> frozenset[Any]:
    """Each kind of element within each kind of element, rows by cells, and long words."""
    reader = _Kinds()
    reader.feed(content)
    reader.close()
    return frozenset(reader.found)


def with_something_new(pages: Iterable[tuple[str, str]]) -> list[int]:
    """The places of those pages that are to be looked at, of pages of one address.

    Parameters
    ----------
    pages : iterable of (str, str)
        What the page is, and its content.

    Returns
    -------
    list of int
        Places in the order given. Whatever stands on any of the pages stands on one of these
        too; fuller pages are taken first, and of what each page is there is one at least.
    """
    rows = [(number, what, content) for number, (what, content) in enumerate(pages)]
    seen: dict[str, set[Any]] = {}
    taken = []
    for number, what, content in sorted(rows, key=lambda row: -len(row[2])):
        new = kinds(content) - seen.setdefault(what, set())
        if new:
            seen[what] |= new
            taken.append(number)
    return sorted(taken)
