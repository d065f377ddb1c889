"""PLY, ASCII and binary: vertices and faces; other properties and elements are skipped."""

from __future__ import annotations

import io
import itertools
from array import array
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from occlusion.errors import OpenOrEmptyMesh
from occlusion.surfaces._bytes import MOST_TRIANGLES, Floats, Foreign, quoted

LONGEST_HEADER = 65_536
"""Bytes before ``end_header``; a scan's header has some 400."""

MOST_CORNERS = 64
"""Corners of one face. Scanners write three, modelling programs three or four."""

MOST_VERTICES = 3 * MOST_TRIANGLES

KINDS = {
    **dict.fromkeys(("char", "int8"), "i1"),
    **dict.fromkeys(("uchar", "uint8"), "u1"),
    **dict.fromkeys(("short", "int16"), "i2"),
    **dict.fromkeys(("ushort", "uint16"), "u2"),
    **dict.fromkeys(("int", "int32"), "i4"),
    **dict.fromkeys(("uint", "uint32"), "u4"),
    **dict.fromkeys(("float", "float32"), "f4"),
    **dict.fromkeys(("double", "float64"), "f8"),
}
ORDERS = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}
CORNER_LISTS = ("vertex_indices", "vertex_index")

Indices = npt.NDArray[np.int32]


@dataclass(frozen=True)
class Property:
    """One value of an element, or with ``length`` a list whose length is of that kind."""

    name: str
    kind: np.dtype[np.generic]
    length: np.dtype[np.generic] | None = None


@dataclass
class Element:
    """One section of the file."""

    name: str
    count: int
    properties: list[Property]

    @property
    def is_fixed(self) -> bool:
        return all(one.length is None for one in self.properties)

    def record(self, corners: int = 0) -> np.dtype[np.void]:
        """One entry as a record: property k is ``pk``, the length of a list ``nk``."""
        parts: list[tuple[str, np.dtype[np.generic]] | tuple[str, np.dtype[np.generic], int]] = []
        for k, one in enumerate(self.properties):
            if one.length is None:
                parts.append((f"p{k}", one.kind))
            else:
                parts += [(f"n{k}", one.length), (f"p{k}", one.kind, corners)]
        return np.dtype(parts)

    def find(self, *names: str) -> int | None:
        """The number of the first property that has one of the names."""
        return next((k for k, one in enumerate(self.properties) if one.name in names), None)


def read_ply(file: Foreign) -> Floats:
    """The triangles of a PLY file; a face of more corners becomes a fan."""
    order, elements = read_header(file)
    vertices: Floats | None = None
    corners: Indices | None = None
    for element in elements:
        if element.name == "vertex":
            vertices = _vertices(file, element, order)
        elif element.name == "face":
            corners = _faces(file, element, order)
        else:
            _skip(file, element, order)
        if vertices is not None and corners is not None:
            break
    if vertices is None or corners is None:
        raise file.broken("holds points or lines, but no faces.")
    if elements[-1].name in ("vertex", "face") and file.stream.read(64).strip():
        raise file.broken("goes on after what it promises.")
    if corners.size and not 0 <= corners.min() <= corners.max() < len(vertices):
        raise file.broken(f"has a face that points past its {len(vertices):,} vertices.")
    return vertices[corners]


def read_header(file: Foreign) -> tuple[str, list[Element]]:
    """Byte order (empty for ASCII) and the elements, held against limits and the file's size."""
    order: str | None = None
    elements: list[Element] = []
    file.stream.readline(16)  # "ply", as the caller has seen
    while True:
        words = [word.decode("ascii", "replace") for word in file.line().split()]
        if not words or file.stream.tell() > LONGEST_HEADER:
            raise file.broken("has no end_header, or a header that is too long.")
        match words:
            case ["comment" | "obj_info", *_]:
                pass
            case ["format", str(name), "1.0"] if name in ORDERS and order is None:
                order = ORDERS[name]
            case ["element", str(name), str(count)]:
                if name in {one.name for one in elements}:
                    raise file.broken(f"has two lists of {name!r:.40}.")
                elements.append(Element(name, _count(file, name, count), []))
            case ["property", *rest] if elements and order is not None:
                elements[-1].properties.append(_property(file, rest, order))
            case ["end_header"] if order is not None:
                break
            case _:
                raise file.broken(f"has a header line that is none: {' '.join(words)!r:.60}.")
    for element in elements:
        least = 2 * len(element.properties) if not order else element.record().itemsize
        if element.count:
            file.needs(element.count, each=least, of=f"entries of {element.name!r:.40}")
    return order, elements


def _count(file: Foreign, name: str, text: str) -> int:
    try:
        count = int(text) if len(text) < 20 else -1
    except ValueError:
        count = -1
    if count < 0:
        raise file.broken(f"promises {text!r:.40} entries of {name!r:.40}.")
    if (name == "face" and count > MOST_TRIANGLES) or count > MOST_VERTICES:
        raise file.too_many(count)
    return count


def _property(file: Foreign, words: list[str], order: str) -> Property:
    match words:
        case ["list", str(length), str(kind), str(name)] if length in KINDS and kind in KINDS:
            if KINDS[length].startswith("f"):
                raise file.broken("counts the entries of a list with fractions.")
            return Property(name, np.dtype(order + KINDS[kind]), np.dtype(order + KINDS[length]))
        case [str(kind), str(name)] if kind in KINDS:
            return Property(name, np.dtype(order + KINDS[kind]))
    raise file.broken(f"has a property that is none: {' '.join(words)!r:.60}.")


def _vertices(file: Foreign, element: Element, order: str) -> Floats:
    places = [element.find(axis) for axis in "xyz"]
    if None in places or not element.is_fixed:
        raise file.broken("has vertices without x, y and z, or with lists in them.")
    if not order:
        found = array("f")
        for words in file.some_lines(element.count):
            if len(words) != len(element.properties):
                raise file.broken(f"has {quoted(words)} where a vertex was expected.")
            found.extend(file.coordinates([words[k] for k in places if k is not None]))
        return np.array(found, np.float32).reshape(-1, 3)
    vertices = np.empty((element.count, 3), np.float32)
    for start, block in file.records(element.record(), element.count):
        for axis, k in enumerate(places):
            # What a double holds and a float cannot becomes infinite, and is refused as that.
            with np.errstate(over="ignore", invalid="ignore"):
                vertices[start : start + len(block), axis] = block[f"p{k}"]
    return vertices


def _faces(file: Foreign, element: Element, order: str) -> Indices:
    k = element.find(*CORNER_LISTS)
    if k is None or element.properties[k].length is None or element.properties[k].kind.kind == "f":
        raise file.broken("has faces without a list of vertex_indices.")
    if not order:
        fans = array("i")
        for words in file.some_lines(element.count):
            _add_fan(file, fans, _split(file, element, words)[k])
        return np.array(fans, np.int32).reshape(-1, 3)
    start = file.stream.tell()
    only_triangles = _only_triangles(file, element, k)
    if only_triangles is not None:
        return only_triangles
    file.stream.seek(start)
    fans = array("i")
    for _ in range(element.count):
        _add_fan(file, fans, _entry(file, element)[k])
    return np.array(fans, np.int32).reshape(-1, 3)


def _only_triangles(file: Foreign, element: Element, k: int) -> Indices | None:
    """Faces read in blocks, if each has three corners and no other list; else nothing."""
    record = element.record(corners=3)
    others = [one for n, one in enumerate(element.properties) if n != k]
    fits = record.itemsize * element.count <= file.left()
    if not fits or any(one.length is not None for one in others):
        return None
    corners = np.empty((element.count, 3), np.int32)
    for start, block in file.records(record, element.count):
        if (block[f"n{k}"] != 3).any():
            return None
        if (block[f"p{k}"] >= MOST_VERTICES).any():
            raise file.broken("has a face that points past its vertices.")
        corners[start : start + len(block)] = block[f"p{k}"]
    return corners


def _add_fan(file: Foreign, fans: array[int], corners: list[int]) -> None:
    """A face of n corners as n - 2 triangles around its first."""
    if any(not 0 <= corner < MOST_VERTICES for corner in corners):
        raise file.broken("has a face that points past its vertices.")
    for second, third in itertools.pairwise(corners[1:]):
        fans.extend((corners[0], second, third))
    if len(fans) > 3 * MOST_TRIANGLES:
        raise file.too_many(len(fans) // 3)


def _entry(file: Foreign, element: Element) -> list[list[int]]:
    """One entry of a binary element, each property as a list."""
    found = []
    for one in element.properties:
        count = 1 if one.length is None else int(_values(file, one.length, 1)[0])
        found.append(_values(file, one.kind, _corners_allowed(file, count)))
    return found


def _values(file: Foreign, kind: np.dtype[np.generic], count: int) -> list[int]:
    values: list[int] = np.frombuffer(file.take(kind.itemsize * count), kind).tolist()
    return values


def _split(file: Foreign, element: Element, words: list[bytes]) -> list[list[int]]:
    """One entry of an ASCII element, each property as a list; only lists are read."""
    found: list[list[int]] = []
    broken = file.broken(f"has {quoted(words)} where a face was expected.")
    for one in element.properties:
        count = 1
        if one.length is not None:
            count = _corners_allowed(file, _whole(words[:1], broken)[0]) if words else -1
            words = words[1:]
        if not 0 <= count <= len(words):
            raise broken
        found.append(_whole(words[:count], broken) if one.name in CORNER_LISTS else [])
        words = words[count:]
    if words:
        raise broken
    return found


def _whole(words: list[bytes], broken: OpenOrEmptyMesh) -> list[int]:
    try:
        return [int(word) for word in words]
    except ValueError:
        raise broken from None


def _corners_allowed(file: Foreign, count: int) -> int:
    if not 0 <= count <= MOST_CORNERS:
        raise file.broken(
            f"has a face with {count:,} corners.", value=count, limit=[0, MOST_CORNERS]
        )
    return count


def _skip(file: Foreign, element: Element, order: str) -> None:
    """Go past an element that is neither vertices nor faces."""
    if not order:
        for _ in file.some_lines(element.count):
            pass
    elif element.is_fixed:
        file.stream.seek(element.record().itemsize * element.count, io.SEEK_CUR)
    else:
        for _ in range(element.count):
            _entry(file, element)
