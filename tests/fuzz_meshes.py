"""Broken mesh files against the reader: `python -m tests.fuzz_meshes [files] [seed]`.

Each file is one of fixtures/geometries with some bytes changed, cut, doubled, or replaced by what
breaks readers. Whatever comes of it has to be a mesh that keeps its promises or a refusal with a
sentence, and no file of some kilobytes may ask for more than a few megabytes.
"""

from __future__ import annotations

import collections
import io
import random
import sys
import time
import tracemalloc
from pathlib import Path

import numpy as np

from occlusion.errors import OcclusionError
from occlusion.surfaces.meshes import Mesh, read_mesh_stream

FOLDER = Path(__file__).resolve().parent.parent / "fixtures" / "geometries"
MOST_BYTES = 8 * 2**20

#: Words that break readers of text, and values that break readers of bytes.
WORDS = (
    *(b"nan", b"-inf", b"1e999", b"1e-999", b"-1", b"0", b"4294967295", b"1" * 30, b"9" * 4300),
    *(b"1_0", b"0x10", b"1.5", b"", b"\xff\xfe", b"\r", b"end_header", b"solid", b"facet", b"list"),
    *(b"x" * 5000, b"1 " * 3000, b"\n" * 50, b"element face 1000000000000", b"property list"),
    *(b"uchar", b"double", b"float", b"int8", b"binary_big_endian", b"ascii", b"vertex", b"face"),
)
VALUES = (
    *(b"\0\0\xc0\x7f", b"\0\0\x80\x7f", b"\xff\xff\xff\xff", b"\xff\xff\xff\x7f", b"\0\0\0\x80"),
    *(b"\xff\xff\x7f\x7f", b"\0\0\0\0", b"\x01\0\0\0", b"\xff", b"\x80", b"\0", b"\x7f\xc0\0\0"),
)


def seeds() -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(FOLDER.glob("dome_*"))}


def mutated(rng: random.Random, whole: dict[str, bytes]) -> bytes:
    """One of the files, broken in one way or some."""
    data = bytearray(whole[rng.choice(sorted(whole))])
    for _ in range(rng.choice((1, 1, 1, 1, 2, 4))):
        place = rng.randrange(len(data) + 1)
        length = rng.choice((1, 2, 4, 12, 50, rng.randrange(len(data) + 1)))
        match rng.randrange(9):
            case 0 if data:
                data[place % len(data)] ^= 1 << rng.randrange(8)
            case 1:
                data[place : place + 4] = rng.choice(VALUES)
            case 2:
                del data[place : place + length]
            case 3:
                data[place:place] = data[place : place + length]
            case 4:
                del data[place:]
            case 5:
                data[place:place] = rng.randbytes(length)
            case 6:
                other = whole[rng.choice(sorted(whole))]
                data[place:] = other[rng.randrange(len(other)) :]
            case 7:
                data[80:84] = rng.choice(VALUES)[:4].ljust(4, b"\0")
            case _:
                words = bytes(data).split(b" ")
                words[rng.randrange(len(words))] = rng.choice(WORDS)
                data = bytearray(b" ".join(words))
    return bytes(data)


def outcome(data: bytes) -> str:
    """What the reader made of a file: ``Mesh`` or the class of the refusal; else it is raised."""
    try:
        mesh = read_mesh_stream(io.BytesIO(data), name="a file")
    except OcclusionError as refusal:
        if not (refusal.text.endswith(".") and refusal.field and len(refusal.text) < 500):
            raise ValueError(f"No sentence: {refusal.text!r}") from refusal
        return type(refusal).__name__
    check(mesh)
    return "Mesh"


def check(mesh: Mesh) -> None:
    """Hold a mesh against what its class promises."""
    corners = mesh.triangles_mm
    extent = float((corners.max(axis=(0, 1)) - corners.min(axis=(0, 1))).max())
    kept = {
        "shape": corners.ndim == 3 and corners.shape[1:] == (3, 3) and len(corners) > 0,
        "kind": corners.dtype == np.float32 and corners.flags.c_contiguous,
        "read-only": not corners.flags.writeable,
        "finite": bool(np.isfinite(corners).all()),
        "extent": 20.0 <= extent <= 200.0,
    }
    if not all(kept.values()):
        raise ValueError(f"A mesh that breaks its promises: {kept}")


def run(files: int, seed: int) -> tuple[collections.Counter[str], int]:
    """How often each outcome came, and the most bytes that one file asked for."""
    whole = seeds()
    found: collections.Counter[str] = collections.Counter()
    most = 0
    tracemalloc.start()
    try:
        for number in range(files):
            data = mutated(random.Random(f"{seed} {number}"), whole)
            tracemalloc.reset_peak()
            before = tracemalloc.get_traced_memory()[0]
            try:
                found[outcome(data)] += 1
            except Exception as problem:
                problem.add_note(f"File {number} of seed {seed}: {data[:200]!r}")
                raise
            most = max(most, tracemalloc.get_traced_memory()[1] - before)
    finally:
        tracemalloc.stop()
    return found, most


def main(arguments: list[str]) -> int:
    files, seed = (*map(int, arguments), *(10_000, 1)[len(arguments) :])
    started = time.perf_counter()
    found, most = run(files, seed)
    print(f"{files:,} files of seed {seed} in {time.perf_counter() - started:.0f} s")
    print(", ".join(f"{name} {count:,}" for name, count in found.most_common()))
    print(f"the greediest asked for {most / 2**20:.2f} MB")
    return int(most > MOST_BYTES)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:3]))
