"""Files that are no mesh, are broken or lie: what is refused before it can do harm."""

import io
import os
import random
import tracemalloc

import numpy as np
import pytest

from occlusion.errors import BadRequest, OpenOrEmptyMesh, TooManyTriangles, UnitSuspect
from occlusion.surfaces import _bytes, meshes
from occlusion.surfaces.meshes import read_mesh, read_mesh_stream
from tests import fuzz_meshes
from tests.occlusion.surfaces import mesh_files as files

CORNERS = files.CORNERS
XYZ = ("property float x", "property float y", "property float z")
DOME = files.halved(*files.grid(files.dome, cells=4))


def read(data):
    return read_mesh_stream(io.BytesIO(data), name="lower.stl", field="lower_surface")


# What cannot be opened


@pytest.mark.parametrize("path", [None, 5, ["a"], object()])
def test_what_is_no_path_is_refused(path):
    with pytest.raises(BadRequest, match="Give the path of an STL or PLY file"):
        read_mesh(path)


@pytest.mark.parametrize("path", ["", "nothing/there.stl", "a\0b", "x" * 5000, "\ud800.stl"])
def test_a_path_that_leads_nowhere_is_refused(path):
    with pytest.raises(OpenOrEmptyMesh, match=r"cannot be opened .* Give the path of an STL"):
        read_mesh(path)


def test_a_folder_is_refused(tmp_path):
    with pytest.raises(OpenOrEmptyMesh, match="is a folder, a pipe or a device"):
        read_mesh(tmp_path)


def test_a_pipe_is_refused_without_waiting_for_somebody_to_write(tmp_path):
    os.mkfifo(tmp_path / "pipe.stl")

    with pytest.raises(OpenOrEmptyMesh, match=r"pipe\.stl is a folder, a pipe or a device"):
        read_mesh(tmp_path / "pipe.stl")


def test_a_file_that_may_not_be_read_is_refused(tmp_path, monkeypatch):
    # Whoever runs the tests may be allowed everything, so that the system is asked to say no.
    def forbidden(*_arguments):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(_bytes.os, "open", forbidden)

    with pytest.raises(OpenOrEmptyMesh, match=r"a.stl cannot be opened \(permission denied\)"):
        read_mesh(tmp_path / "a.stl")


class Failing(io.BytesIO):
    def __init__(self, data, problem):
        super().__init__(data)
        self.problem = problem

    def read(self, *_arguments):
        raise self.problem


@pytest.mark.parametrize(
    ("problem", "kind"), [(OSError(5, "I/O"), OpenOrEmptyMesh), (MemoryError(), TooManyTriangles)]
)
def test_a_medium_that_fails_is_a_refusal_too(problem, kind):
    with pytest.raises(kind, match=r"x\.stl"):
        read_mesh_stream(Failing(files.stl(DOME), problem), name="x.stl")


def test_a_closed_stream_is_refused():
    stream = io.BytesIO(b"")
    stream.close()

    with pytest.raises(OpenOrEmptyMesh, match="cannot be read from its beginning"):
        read_mesh_stream(stream, name="x.stl")


def test_a_file_that_shrinks_while_it_is_read_is_refused():
    class Shrinking(io.BytesIO):
        def read(self, count=-1):
            return super().read(count)[: 84 if count == 84 else 100]

    with pytest.raises(OpenOrEmptyMesh, match="cut off"):
        read_mesh_stream(Shrinking(files.stl(DOME)), name="x.stl")


def test_a_name_with_odd_characters_can_stand_in_a_sentence():
    with pytest.raises(OpenOrEmptyMesh) as refusal:
        read_mesh_stream(io.BytesIO(b""), name="a\n\x1b[31m" + "b" * 200)

    assert refusal.value.text.startswith("a??[31mbbb")
    assert len(refusal.value.text) < 180


# What is broken

LITTLE = ("binary_little_endian", "element vertex 3", *XYZ)
TEXT = ("ascii", "element vertex 3", *XYZ, "element face 1", CORNERS)
POINTS = b"0 0 0\n30 0 0\n0 30 0\n"
BROKEN = {
    "nothing": (b"", "is empty"),
    "ten bytes": (b"0123456789", "is no mesh"),
    "a picture": (b"\x89PNG\r\n" + b"\x07" * 500, "is no mesh that can be read"),
    "packed": (b"PK\x03\x04" + b"\0" * 100, "Unpack it"),
    "no triangle": (files.stl(DOME[:0]), "holds no triangles"),
    "text without a triangle": (b"solid x\nendsolid x\n", "holds no triangles"),
    "cut off": (files.stl(DOME)[:-1], "or is cut off"),
    "more than promised": (files.stl(DOME) + b"\0", "or is cut off"),
    "2^32 - 1 in 84 bytes": (files.stl([], count=2**32 - 1), "promise 4,294,967,295 triangles"),
    "not a number": (files.stl(np.where(DOME > 9.0, np.nan, DOME)), "no finite numbers"),
    "infinitely high": (files.stl(np.where(DOME > 9.0, np.inf, DOME)), "no finite numbers"),
    "infinite": (files.stl_text(DOME).replace(b"1.000000e+01", b"1e400"), "no finite numbers"),
    "text cut off": (files.stl_text(DOME)[:700], "cut off or broken"),
    "text with two coordinates": (
        files.stl_text(DOME).replace(b" 1.000000e+01\n", b"\n"),
        "three coordinates",
    ),
    "text with a word": (files.stl_text(DOME).replace(b"1.000000e+01", b"ten"), "three coord"),
    "text that is prose": (b"solid ground is what we need\nand more\n", "'and more'"),
    "an endless line": (b"solid " + b"x" * 10_000, "longer than 4096"),
    "a flood of words": (b"solid x\nfacet" + b" 1" * 9000, "longer than 4096"),
    "no end of the head": (b"ply\nformat ascii 1.0\n", "no end_header"),
    "a head without end": (b"ply\nformat ascii 1.0\n" + b"comment x\n" * 9000, "too long"),
    "no format": (b"ply\nelement vertex 3\nproperty float x\nend_header\n", "header line"),
    "unknown format": (files.ply_head("morse"), "header line that is none"),
    "unknown line": (files.ply_head("ascii", "elephant 3"), "header line that is none"),
    "a property of nothing": (files.ply_head("ascii", "property float x"), "header line"),
    "two lists of one name": (
        files.ply_head("ascii", "element vertex 0", "element vertex 0"),
        "two lists of 'vertex'",
    ),
    "unknown kind": (
        files.ply_head("ascii", "element vertex 1", "property quad x"),
        "property that is none",
    ),
    "a fractional length": (
        files.ply_head("ascii", "element face 1", "property list float int vertex_indices"),
        "with fractions",
    ),
    "a negative count": (files.ply_head("ascii", "element vertex -3", *XYZ), "promises '-3'"),
    "a wordy count": (files.ply_head("ascii", "element vertex many", *XYZ), "promises 'many'"),
    "a count of 4,300 digits": (
        files.ply_head("ascii", "element vertex " + "9" * 4000, *XYZ),
        "promises '9999",
    ),
    "more than there is room for": (
        files.ply_head(*LITTLE, "element face 2000000", CORNERS) + b"\0" * 60,
        r"promises 2e\+06 entries of 'face'",
    ),
    "points only": (files.ply_head(*LITTLE) + b"\0" * 36, "but no faces"),
    "vertices without height": (
        files.ply_head("ascii", "element vertex 1", *XYZ[:2], "element face 0", CORNERS) + b"1 1\n",
        "without x, y and z",
    ),
    "faces without corners": (
        files.ply_head("ascii", "element vertex 3", *XYZ, "element face 1", "property int a")
        + POINTS
        + b"0\n",
        "without a list of vertex_indices",
    ),
    "a face past the last vertex": (files.ply_head(*TEXT) + POINTS + b"3 0 1 3\n", "past its 3"),
    "a face before the first vertex": (
        files.ply_head(*TEXT) + POINTS + b"3 0 1 -1\n",
        "points past",
    ),
    "a face far before it": (
        files.ply_head(*TEXT) + POINTS + b"3 0 1 -99999999999999\n",
        "points past",
    ),
    "a head of 90 kB": (
        files.ply_head(*TEXT, *["comment x"] * 9000) + POINTS + b"3 0 1 2\n",
        "too long",
    ),
    "a face of a million corners": (
        files.ply_head(*TEXT) + POINTS + b"1000000 0 1 2\n",
        "a face with 1,000,000 corners",
    ),
    "a face of less than no corners": (
        files.ply_head(*TEXT).replace(b"uchar", b"char") + POINTS + b"-3 0 1 2\n",
        "a face with -3 corners",
    ),
    "a binary face of 255 corners": (
        files.ply_head(*LITTLE, "element face 1", CORNERS) + b"\0" * 36 + b"\xff" + b"\0" * 2000,
        "a face with 255 corners",
    ),
    "a face with less than it promises": (files.ply_head(*TEXT) + POINTS + b"3 0 1\n", "'3 0 1'"),
    "a face with more than it promises": (
        files.ply_head(*TEXT) + POINTS + b"3 0 1 2 0\n",
        "'3 0 1 2 0'",
    ),
    "too few lines": (files.ply_head(*TEXT) + b"0.00 0.00 0.00\n" * 2, "has 2"),
    "bytes after the last face": (
        files.ply(*files.grid(files.dome, cells=4), "binary_big_endian") + b"\1",
        "goes on after",
    ),
    "text in a binary file": (
        files.ply(*files.grid(files.dome, cells=4), "ascii").replace(
            b"ascii", b"binary_little_endian"
        ),
        "cut off|corners|past|finite|after",
    ),
}


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_file_is_refused_with_what_is_wrong_and_what_to_do(name):
    data, words = BROKEN[name]

    with pytest.raises(OpenOrEmptyMesh, match=words) as refusal:
        read(data)

    assert refusal.value.text.startswith("lower.stl ")
    assert refusal.value.text.endswith("Export it again as binary STL, in millimetres.")
    assert refusal.value.field == "lower_surface"


def test_promises_are_refused_before_anything_is_made_for_them():
    heads = [
        files.ply_head("ascii", "element vertex 1000000000000", *XYZ),
        files.ply_head("binary_big_endian", "element face 1000000000000", CORNERS),
        files.ply_head(*LITTLE, "element face 1999999", CORNERS) + b"\0" * 36,
        files.stl([], count=2_000_000),
    ]
    tracemalloc.start()
    try:
        for head in heads:
            with pytest.raises((OpenOrEmptyMesh, TooManyTriangles)):
                read(head)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()

    assert peak < 1_000_000


def test_more_triangles_than_can_be_handled_are_refused(monkeypatch):
    head = files.ply_head("binary_big_endian", "element face 2000001", CORNERS)

    with pytest.raises(TooManyTriangles, match="2,000,000 triangles at most"):
        read(head)
    monkeypatch.setattr("occlusion.surfaces._stl.MOST_TRIANGLES", 31)
    for data in (files.stl(DOME), files.stl_text(DOME)):
        with pytest.raises(TooManyTriangles, match="promises 32 triangles"):
            read(data)


def test_a_file_larger_than_any_scan_is_refused_unread(monkeypatch):
    monkeypatch.setattr(meshes, "MOST_BYTES", 1_000)

    with pytest.raises(TooManyTriangles, match="0 MB are the most"):
        read(files.stl(DOME))


@pytest.mark.parametrize(
    ("factor", "words"),
    [(1e-3, "metres"), (1 / 25.4, "inches"), (0.1, "centimetres"), (1e3, "micrometres"), (6, "")],
)
def test_a_scan_in_another_unit_is_refused_with_a_guess(factor, words):
    with pytest.raises(UnitSuspect, match=f"20 to 200 mm: it may be in .*{words}") as refusal:
        read(files.stl(DOME * factor))

    assert refusal.value.value == pytest.approx(40.0 * factor, rel=1e-6)


@pytest.mark.parametrize(("length", "fits"), [(19.9, False), (20, True), (200, True), (201, False)])
def test_an_arch_is_20_to_200_mm_long(length, fits):
    scaled = DOME * (length / 40.0)

    if fits:
        assert len(read(files.stl(scaled)).triangles_mm) == 32
    else:
        with pytest.raises(UnitSuspect):
            read(files.stl(scaled))


# Whatever the bytes


def test_hundreds_of_broken_files_give_a_mesh_or_a_refusal_and_take_little():
    found, most = fuzz_meshes.run(300, seed=2)

    assert found.total() == 300
    assert found["Mesh"] >= 10
    assert found["OpenOrEmptyMesh"] >= 200
    assert most < fuzz_meshes.MOST_BYTES


def test_what_broken_files_are_made_of_hangs_on_the_seed_alone():
    whole = fuzz_meshes.seeds()

    assert sorted(whole) == sorted(files.every_kind(*files.grid(files.dome, cells=4)))
    first, again, other = (fuzz_meshes.mutated(random.Random(n), whole) for n in (1, 1, 2))
    assert first == again
    assert first != other
