"""Bytes of a foreign file, taken in bounded pieces; every lie of it ends in one sentence."""

from __future__ import annotations

import io
import itertools
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
import numpy.typing as npt

from occlusion.errors import BadRequest, OpenOrEmptyMesh, TooManyTriangles, kind_of, shorten

Floats = npt.NDArray[np.float32]
Records = npt.NDArray[np.void]

MOST_TRIANGLES = 2_000_000
"""Ten times a fine scan of one arch; 72 MB as coordinates."""

MOST_BYTES = 256 * 2**20
"""A binary file of the most triangles has 100 MB, an ASCII one of half as many fits."""

LONGEST_LINE = 4096
"""Bytes of one line of text. A vertex takes about 60."""

BLOCK = 65_536
"""Triangles handled at once: what bounds the memory beside the result."""

BLOCK_BYTES = 4 * 2**20
"""Bytes read at once, for the same reason."""

EXPORT_AGAIN = "Export it again as binary STL, in millimetres."


@dataclass(frozen=True)
class Foreign:
    """A file as it came, its size, and what to call it in sentences."""

    stream: BinaryIO
    size: int
    name: str
    field: str

    def broken(self, what: str, *, value: object = None, limit: object = None) -> OpenOrEmptyMesh:
        """The refusal that the file earns: ``what`` ends the sentence that its name begins."""
        return OpenOrEmptyMesh(
            f"{self.name} {what} {EXPORT_AGAIN}",
            field=self.field,
            value=self.name if value is None else value,
            limit=limit,
        )

    def too_many(self, count: int) -> TooManyTriangles:
        return TooManyTriangles(
            f"{self.name} promises {count:.4g} triangles or corners. Reduce it to "
            f"{MOST_TRIANGLES:,} triangles at most; 200,000 are plenty for one arch.",
            field=self.field,
            value=count,
            limit=MOST_TRIANGLES,
        )

    def take(self, count: int) -> bytes:
        """Exactly that many bytes; ``count`` has been held against the size before."""
        found = self.stream.read(count)
        if len(found) != count:
            raise self.broken("is cut off: it ends before what it promises.")
        return found

    def left(self) -> int:
        """Bytes that are still to come."""
        return self.size - self.stream.tell()

    def needs(self, count: int, *, each: int, of: str) -> None:
        """Hold a promised count against the bytes that are left, before anything is made for it."""
        room = self.left() // each if each else 0
        if count > room:
            raise self.broken(
                f"is cut off or broken: it promises {count:.4g} {of} and has room for {room:,}.",
                value=count,
                limit=room,
            )

    def records(self, dtype: np.dtype[np.void], count: int) -> Iterator[tuple[int, Records]]:
        """Blocks of fixed records, each with the number of its first."""
        self.needs(count, each=dtype.itemsize, of="records")
        step = max(1, min(BLOCK, BLOCK_BYTES // dtype.itemsize))
        for start in range(0, count, step):
            here = min(step, count - start)
            yield start, np.frombuffer(self.take(here * dtype.itemsize), dtype)

    def line(self) -> bytes:
        """The next line with its end; empty when there is none."""
        found = self.stream.readline(LONGEST_LINE + 1)
        if len(found) > LONGEST_LINE:
            raise self.broken(f"has a line of text longer than {LONGEST_LINE} characters.")
        return found

    def lines(self) -> Iterator[list[bytes]]:
        """The words of each line that has any."""
        return filter(None, (line.split() for line in iter(self.line, b"")))

    def some_lines(self, count: int) -> Iterator[list[bytes]]:
        """So many lines that have words; fewer are a refusal."""
        seen = 0
        for words in itertools.islice(self.lines(), count):
            seen += 1
            yield words
        if seen < count:
            raise self.broken(f"is cut off: it promises {count:,} lines and has {seen:,}.")

    def coordinates(self, words: list[bytes]) -> list[float]:
        """Three coordinates, written out."""
        try:
            x, y, z = map(float, words)
        except ValueError:
            raise self.broken(
                f"has {quoted(words)} where three coordinates were expected."
            ) from None
        return [x, y, z]


@contextmanager
def opened(path: str | os.PathLike[str], *, field: str) -> Iterator[Foreign]:
    """An ordinary file, opened without waiting for anybody.

    Raises
    ------
    BadRequest
        ``path`` is no path.
    OpenOrEmptyMesh
        Nothing is there, or a folder, a pipe or a device, or it may not be read.
    """
    try:
        given = os.fsdecode(path)
    except TypeError:
        raise BadRequest(
            f"{field} is {kind_of(path)}. Give the path of an STL or PLY file.", field=field
        ) from None
    name = called(Path(given).name)
    try:
        # A named pipe would keep an ordinary open() waiting for its writer.
        handle = os.open(given, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | _BINARY)
    except (OSError, ValueError) as problem:
        words = problem.strerror if isinstance(problem, OSError) and problem.strerror else "no path"
        raise OpenOrEmptyMesh(
            f"{name} cannot be opened ({words.lower()}). Give the path of an STL or PLY file that "
            "may be read.",
            field=field,
            value=name,
        ) from None
    found = os.fstat(handle)
    if not stat.S_ISREG(found.st_mode):
        os.close(handle)
        raise OpenOrEmptyMesh(
            f"{name} is a folder, a pipe or a device. Give the path of an STL or PLY file.",
            field=field,
            value=name,
        )
    with os.fdopen(handle, "rb") as stream:
        yield Foreign(stream, found.st_size, name, field)


_BINARY = getattr(os, "O_BINARY", 0)


def received(stream: BinaryIO, *, name: str, field: str) -> Foreign:
    """What an open stream holds from its beginning, such as an upload."""
    size = stream.seek(0, io.SEEK_END)
    stream.seek(0)
    return Foreign(stream, size, called(name), field)


def called(name: str) -> str:
    """A file name that can stand in a sentence, whatever characters it was given."""
    return shorten("".join(one if one.isprintable() else "?" for one in name)) or "The file"


def quoted(words: list[bytes]) -> str:
    """The beginning of a line, as a sentence may show it."""
    text = b" ".join(words[:6])[:40].decode("ascii", "replace")
    return repr("".join(one if one.isprintable() else "?" for one in text)) if text else "nothing"
