"""STL, binary and ASCII: nothing but triangles; the normals that it stores are not believed."""

from __future__ import annotations

from array import array
from collections.abc import Iterator

import numpy as np

from occlusion.surfaces._bytes import MOST_TRIANGLES, Floats, Foreign, quoted

HEAD = 84
RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])

_BETWEEN = {b"facet", b"solid", b"endsolid"}
_FACET = (b"outer", b"vertex", b"vertex", b"vertex", b"endloop", b"endfacet")


def promised(head: bytes) -> int:
    """How many triangles the head of a binary file promises; 0 where there is no head."""
    return int.from_bytes(head[80:HEAD], "little") if len(head) == HEAD else 0


def is_binary(head: bytes, size: int) -> bool:
    """Whether the size is that of a binary file; its first word proves nothing.

    A text cannot pass: its four bytes there would promise 150 million triangles or more.
    """
    return len(head) == HEAD and size == HEAD + RECORD.itemsize * promised(head)


def read_binary(file: Foreign) -> Floats:
    """The triangles of a binary file, whose size ``is_binary`` has found right."""
    count = promised(file.take(HEAD))
    if count > MOST_TRIANGLES:
        raise file.too_many(count)
    triangles = np.empty((count, 3, 3), np.float32)
    for start, block in file.records(RECORD, count):
        triangles[start : start + len(block)] = block["corners"]
    return triangles


def read_ascii(file: Foreign) -> Floats:
    """The triangles of an ASCII file; several solids in one file are taken together."""
    corners = array("f")
    lines = file.lines()
    for words in lines:
        opening = words[0].lower()
        if opening not in _BETWEEN:
            raise file.broken(f"has {quoted(words)} where a facet was expected.")
        if opening == b"facet":
            corners.extend(_corners(file, lines))
            if len(corners) > 9 * MOST_TRIANGLES:
                raise file.too_many(len(corners) // 9)
    return np.array(corners, np.float32).reshape(-1, 3, 3)


def _corners(file: Foreign, lines: Iterator[list[bytes]]) -> list[float]:
    """Nine coordinates of the facet that has just begun."""
    found: list[float] = []
    for expected in _FACET:
        words = next(lines, [b""])
        if words[0].lower() != expected:
            wanted = expected.decode()
            raise file.broken(
                f"is cut off or broken: it has {quoted(words)} where {wanted!r} was expected."
            )
        if expected == b"vertex":
            found += file.coordinates(words[1:])
    return found
