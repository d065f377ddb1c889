"""Surfaces written as STL and PLY files, byte by byte, without anything of the engine."""

import struct

import numpy as np

CORNERS = "property list uchar int vertex_indices"


def grid(height, *, half_mm=20.0, cells=8):
    """A shell over a square: vertices (n, 3) and faces of four corners, counter-clockwise."""
    along = np.linspace(-half_mm, half_mm, cells + 1)
    x, y = np.meshgrid(along, along, indexing="ij")
    vertices = np.stack([x, y, height(x, y)], axis=-1).reshape(-1, 3)
    i, j = np.meshgrid(np.arange(cells), np.arange(cells), indexing="ij")
    first = (i * (cells + 1) + j).reshape(-1)
    faces = np.stack([first, first + cells + 1, first + cells + 2, first + 1], axis=1)
    return vertices, faces


def dome(x, y):
    """A vault whose opening is below: 10 mm high in the middle, flat on the ground nowhere."""
    return 10.0 - (x**2 + y**2) / 80.0


def halved(vertices, faces):
    """Faces of four corners as triangles around their first corner, (n, 3, 3)."""
    return vertices[np.concatenate([faces[:, [0, 1, 2]], faces[:, [0, 2, 3]]])]


def stl(triangles, *, head=b"", count=None):
    """Binary STL with normals of zero."""
    promised = len(triangles) if count is None else count
    records = [struct.pack("<12fH", 0, 0, 0, *map(float, one.ravel()), 0) for one in triangles]
    return head.ljust(80, b"\0") + struct.pack("<I", promised) + b"".join(records)


def stl_text(triangles, *, end="\n"):
    """ASCII STL."""
    lines = ["solid arch"]
    for one in triangles:
        corners = [f"   vertex {x:.6e} {y:.6e} {z:.6e}" for x, y, z in one]
        lines += [" facet normal 0 0 1", "  outer loop", *corners, "  endloop", " endfacet"]
    return end.join([*lines, "endsolid arch", ""]).encode()


def ply_head(order, *elements):
    """A head from lines."""
    lines = ["ply", f"format {order} 1.0", "comment of a test", *elements, "end_header", ""]
    return "\n".join(lines).encode()


def ply(vertices, faces, order):
    """PLY with a double among the vertices' other properties and a byte after each face."""
    head = ply_head(
        order,
        f"element vertex {len(vertices)}",
        *("property float x", "property float y", "property float z", "property double quality"),
        f"element face {len(faces)}",
        *(CORNERS, "property uchar flag"),
    )
    if order == "ascii":
        lines = [f"{x:.6f} {y:.6f} {z:.6f} 0.5" for x, y, z in vertices]
        lines += [" ".join(map(str, [len(face), *face, 7])) for face in faces]
        return head + ("\n".join(lines) + "\n").encode()
    sign = {"binary_little_endian": "<", "binary_big_endian": ">"}[order]
    body = [struct.pack(f"{sign}fffd", *one, 0.5) for one in vertices]
    body += [struct.pack(f"{sign}B{len(face)}iB", len(face), *face, 7) for face in faces]
    return head + b"".join(body)


def every_kind(vertices, faces):
    """One shell in each kind of file, by the name that it has in fixtures/geometries."""
    triangles = halved(vertices, faces)
    parts = np.concatenate([faces[:, [0, 1, 2]], faces[:, [0, 2, 3]]])
    return {
        "dome_binary.stl": stl(triangles, head=b"solid in the first word proves nothing"),
        "dome_text.stl": stl_text(triangles),
        "dome_text.ply": ply(vertices, faces, "ascii"),
        "dome_little.ply": ply(vertices, parts, "binary_little_endian"),
        "dome_big.ply": ply(vertices, faces, "binary_big_endian"),
    }
