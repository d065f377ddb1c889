"""Scans from files: what is read, and what is refused before it can do harm."""

import io
import struct
import tracemalloc

import numpy as np
import pytest

from occlusion.errors import OcclusionError, OpenOrEmptyMesh
from occlusion.surfaces import _shell
from occlusion.surfaces.meshes import mesh_of, read_mesh, read_mesh_stream
from tests import fuzz_meshes
from tests.occlusion.surfaces import mesh_files as files

KINDS = [
    *("dome_binary.stl", "dome_text.stl", "dome_text.ply", "dome_little.ply", "dome_big.ply"),
]
CORNERS = files.CORNERS
XYZ = ("property float x", "property float y", "property float z")
DOME = files.halved(*files.grid(files.dome, cells=4))


def read(data):
    return read_mesh_stream(io.BytesIO(data), name="lower.stl", field="lower_surface")


def sheet(height=files.dome, *, without=lambda x, y: False, cells=80):
    """A fine shell from which the faces whose middle fulfils a condition are left out."""
    vertices, faces = files.grid(height, cells=cells)
    x, y, _ = vertices[faces].mean(axis=1).T
    return files.halved(vertices, faces[~np.asarray(without(x, y), bool) & np.full(len(x), True)])


def closed_dome():
    """The dome with a floor under it and walls around: a plaster model with a base."""
    vertices, faces = files.grid(files.dome, cells=4)
    floor = vertices * (1, 1, 0) - (0, 0, 15)
    ring = [0, 1, 2, 3, 4, 9, 14, 19, 24, 23, 22, 21, 20, 15, 10, 5]
    n = len(vertices)
    walls = [[a, b, b + n, a + n] for a, b in zip(ring, [*ring[1:], 0], strict=True)]
    return files.halved(
        np.concatenate([vertices, floor]), np.array([*faces, *(faces[:, ::-1] + n), *walls])
    )


# What is read


@pytest.mark.parametrize("name", KINDS)
def test_the_same_dome_is_read_from_each_kind_of_file(name):
    mesh = read_mesh(fuzz_meshes.FOLDER / name)
    x, y, z = mesh.triangles_mm.reshape(-1, 3).T

    assert mesh.triangles_mm.shape == (32, 3, 3)
    assert z.tolist() == (10.0 - (x * x + y * y) / 80.0).tolist()
    assert sorted(set(x.tolist())) == [-20.0, -10.0, 0.0, 10.0, 20.0]
    assert mesh.source == name


@pytest.mark.parametrize("name", KINDS)
def test_the_files_are_what_the_writers_of_the_tests_write(name):
    written = files.every_kind(*files.grid(files.dome, cells=4))

    assert (fuzz_meshes.FOLDER / name).read_bytes() == written[name]


def test_a_binary_file_is_told_by_its_size_even_if_it_says_solid():
    assert len(read(files.stl(DOME, head=b"solid arch\nfacet normal")).triangles_mm) == 32


def test_text_may_end_its_lines_as_any_system_does_and_shout():
    text = files.stl_text(DOME, end="\r\n").replace(b"facet", b"FACET").replace(b"solid", b"Solid")

    assert len(read(text).triangles_mm) == 32


def test_several_solids_of_one_file_are_taken_together():
    assert len(read(files.stl_text(DOME[:16]) + files.stl_text(DOME[16:])).triangles_mm) == 32


def test_a_mesh_is_read_only_and_lies_in_one_piece():
    mesh = read(files.stl(DOME))

    assert mesh.triangles_mm.dtype == np.float32
    assert mesh.triangles_mm.flags.c_contiguous
    with pytest.raises(ValueError, match="read-only"):
        mesh.triangles_mm[0, 0, 0] = 1.0


def test_a_face_of_four_corners_is_a_fan_around_its_first():
    vertices, faces = files.grid(files.dome, cells=4)

    found = read(files.ply(vertices, faces, "binary_little_endian")).triangles_mm

    assert found[:2].tolist() == vertices[faces[0][[0, 1, 2, 0, 2, 3]]].reshape(2, 3, 3).tolist()


@pytest.mark.parametrize("order", ["ascii", "binary_little_endian", "binary_big_endian"])
def test_faces_of_three_and_four_corners_may_stand_side_by_side(order):
    vertices, faces = files.grid(files.dome, cells=4)
    mixed = [*faces[:5], *faces[5:6, [0, 1, 2]], *faces[5:6, [0, 2, 3]], *faces[6:]]

    found = read(files.ply(vertices, mixed[5:] + mixed[:5], order)).triangles_mm

    assert found[0].tolist() == vertices[faces[5, [0, 1, 2]]].tolist()
    assert len(found) == 32


def test_elements_and_lists_that_are_not_asked_for_are_skipped():
    vertices, faces = files.grid(files.dome, cells=4)
    head = files.ply_head(
        "binary_big_endian",
        *("element camera 2", "property float angle", "element strip 1", CORNERS),
        *(f"element vertex {len(vertices)}", "property short tint", *XYZ),
        *(f"element face {len(faces)}", "property list uchar float texture", CORNERS),
        *("element edge 1", "property int a"),
    )
    body = [struct.pack(">ff", 1, 2), struct.pack(">B2i", 2, 5, 6)]
    body += [struct.pack(">hfff", 1, *one) for one in vertices]
    body += [struct.pack(">B2fB4i", 2, 0.5, 0.5, 4, *face) for face in faces]
    data = head + b"".join(body) + struct.pack(">i", 3)

    assert (
        read(data).triangles_mm.tolist()
        == DOME.reshape(2, 16, 3, 3).swapaxes(0, 1).reshape(-1, 3, 3).astype(np.float32).tolist()
    )


def test_a_million_corners_need_little_more_than_themselves():
    data = files.stl(sheet(cells=4))
    many = 100_000
    record = data[84:134]
    stream = io.BytesIO(b"\0" * 80 + struct.pack("<I", many) + record * many)
    tracemalloc.start()
    try:
        with pytest.raises(OcclusionError):  # the same triangle again and again is no surface
            read_mesh_stream(stream, name="x")
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()

    assert peak < 4 * 36 * many  # four times the coordinates; a table of vertices takes ten times


# What is no surface


def test_separate_triangles_are_no_surface():
    apart = DOME + np.arange(32)[:, None, None] * 0.01

    with pytest.raises(OpenOrEmptyMesh, match="heap of separate triangles: 100% of its edges"):
        mesh_of(apart, source="x")


def test_a_shell_may_be_open_at_its_base_and_a_model_closed():
    assert len(mesh_of(sheet(), source="x").triangles_mm) == 12_800
    assert len(mesh_of(closed_dome(), source="x").triangles_mm) == 96


@pytest.mark.parametrize(
    ("half_mm", "refused"),
    [(0.4, False), (0.9, True)],  # one face of 0.25 mm2, and nine
    ids=["a pinhole", "a hole"],
)
def test_a_hole_in_the_occlusal_surface_is_refused_and_a_pinhole_is_not(half_mm, refused):
    def hole(x, y):
        return np.maximum(abs(x - 8.25), abs(y - 5.25)) < half_mm

    open_sheet = sheet(without=hole)

    if refused:
        with pytest.raises(OpenOrEmptyMesh, match=r"hole of 2\.3 mm2 in the teeth") as refusal:
            mesh_of(open_sheet, source="x")
        assert refusal.value.value == pytest.approx(2.25 * np.sqrt(1 + 0.206**2 + 0.131**2), 0.01)
    else:
        assert len(mesh_of(open_sheet, source="x").triangles_mm) == 12_798


@pytest.mark.parametrize("turn", [1, -1], ids=["outward", "inside out"])
def test_the_verdict_on_a_hole_does_not_hang_on_the_winding(turn):
    holed = sheet(without=lambda x, y: np.maximum(abs(x), abs(y)) < 1.0)[:, ::turn]

    with pytest.raises(OpenOrEmptyMesh, match="in the teeth"):
        mesh_of(holed, source="x")


def test_a_hole_deep_in_a_palate_is_let_pass_and_one_on_the_ridge_is_not():
    def ridge(x, y):
        return 14.0 * np.exp(-(((np.hypot(x, y) - 14.0) / 5.0) ** 2))

    palate = sheet(ridge, without=lambda x, y: np.hypot(x, y) < 2.0)

    assert len(mesh_of(palate, source="x").triangles_mm) == 12_696
    with pytest.raises(OpenOrEmptyMesh, match="in the teeth"):
        mesh_of(sheet(ridge, without=lambda x, y: np.hypot(x - 14.0, y) < 2.0), source="x")


def test_a_hole_in_a_closed_model_is_refused_on_every_side():
    with pytest.raises(OpenOrEmptyMesh, match=r"hole of 5\d\.\d mm2"):
        mesh_of(closed_dome()[1:], source="x")
    with pytest.raises(OpenOrEmptyMesh, match=r"hole of 50\.0 mm2"):
        mesh_of(np.delete(closed_dome(), 16, axis=0), source="x")


def test_slits_without_area_are_let_pass():
    # The edge from 0 to 10 of one triangle is two edges of its neighbours: a T-junction.
    triangles = DOME.astype(np.float32)
    a, b, c = triangles[5]
    middle = (a + b) / 2
    split = np.concatenate([triangles, [[a, middle, c], [middle, b, c]]]).astype(np.float32)

    assert len(mesh_of(np.delete(split, 5, axis=0), source="x").triangles_mm) == 33


def test_hundreds_of_holes_are_refused_without_looking_at_each():
    def holes(x, y):
        return (np.floor(x / 1.25) % 2 == 0) & (np.floor(y / 1.25) % 2 == 0)

    # 15 x 15, and the rim, into which those at the border run.
    with pytest.raises(OpenOrEmptyMesh, match="has 226 openings"):
        mesh_of(sheet(without=holes, cells=160), source="x")


def test_triangles_without_area_are_left_out_and_mostly_those_are_refused():
    flat = DOME.copy()
    flat[:, 2] = flat[:, 1]
    some = np.concatenate([DOME, flat[:10]])

    assert len(mesh_of(some, source="x").triangles_mm) == 32
    with pytest.raises(OpenOrEmptyMesh, match="degenerate: 64 of its 96 triangles have no area"):
        mesh_of(np.concatenate([DOME, flat, flat]), source="x")


def test_minus_zero_and_zero_are_one_place():
    signed = DOME.astype(np.float32)
    signed[::2][signed[::2] == 0.0] = -0.0

    assert len(_shell.open_edges(signed)) == 16
    assert len(mesh_of(signed, source="x").triangles_mm) == 32


@pytest.mark.parametrize(
    "shape",
    [DOME, DOME + 150.0, DOME - 150.0, closed_dome()],
    ids=["shell", "far", "far below", "closed model"],
)
def test_a_surface_that_is_inside_out_is_turned(shape):
    kept, turned = mesh_of(shape, source="x"), mesh_of(shape[:, ::-1], source="x")

    assert (kept.turned, turned.turned) == (False, True)
    assert turned.triangles_mm.tolist() == kept.triangles_mm.tolist()
