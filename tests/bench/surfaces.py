"""One side from a binary STL: raster, gap maps and envelope, beside rays on the same triangles.

The work of the engine runs in a process of its own, `python -m tests.bench.surfaces FILE`, so that
the memory it tells is its own. Rays are cast by trimesh: by Embree where the package embreex is
installed, else by trimesh's own caster on a few of the rays, which the row then says.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from occlusion.surfaces.envelope import reduction_depths, swept_envelope
from occlusion.surfaces.gaps import gap_maps, minima
from occlusion.surfaces.heightfield import field_of, height_field
from occlusion.surfaces.meshes import read_mesh
from occlusion.surfaces.samples import Region, Samples, samples_of
from tests.bench.engine import POSITIONS, at_once
from tests.occlusion.bench import settings_of, symmetric
from tests.occlusion.surfaces import shapes

try:
    import resource
except ImportError:  # not on Windows
    resource = None

TEETH = 4
BELOW, ABOVE, BOUNDS = shapes.two_arches(1, teeth=TEETH)
SETTINGS = settings_of(symmetric(30.0, 10.0, bennett=15.0, wing=20.0))
FEW_RAYS, FEW_POSITIONS = 200, 10
SMALL_FILE = 1_000_000
"""Rays on a mesh that is no scan, or by a slow caster, are cast from some places only."""

STL = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def write_stl(path: Path, triangles: int) -> int:
    """The lower side as a binary STL of about so many triangles; says how many."""
    area = (BOUNDS[1] - BOUNDS[0]) * (BOUNDS[3] - BOUNDS[2])
    soup = shapes.grid_of(BELOW, BOUNDS, (2.0 * area / triangles) ** 0.5)
    rows = np.zeros(len(soup), dtype=STL)
    rows["corners"] = soup
    with path.open("wb") as file:
        file.write(b" " * 80 + np.uint32(len(soup)).tobytes())
        rows.tofile(file)
    return len(soup)


def upper_samples() -> Samples:
    """Some 28,000 samples of the upper side, in four teeth."""
    field = field_of(ABOVE, member="upper", bounds_mm=BOUNDS)
    teeth = [Region(f"1{7 - n}", (38.5 + 9.0 * n, -24.5 + 1.5 * n), 4.7) for n in range(TEETH)]
    samples = samples_of(field, regions=teeth)
    return samples.taken(samples.region >= 0)


def process_mb() -> float:
    """What this process has held at its worst moment; 0 where the system does not tell.

    Linux counts what a process held before it became this program to ``ru_maxrss``: its parent's.
    """
    status = Path("/proc/self/status")
    if status.exists():
        held = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        return float(held.split()[1]) / 1024
    if resource is None:
        return 0.0
    held_then = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return float(held_then) / (1024 * 1024 if sys.platform == "darwin" else 1024)


def by_fields(path: Path, positions: int = POSITIONS) -> dict[str, Any]:
    """The work: read, raster, maps, envelope. Times in ms, and the least gap of each tooth."""
    samples, transforms = upper_samples(), at_once(SETTINGS, positions)
    clock = [time.perf_counter()]
    mesh = read_mesh(path)
    clock.append(time.perf_counter())
    field = height_field(mesh.triangles_mm, member="lower")
    clock.append(time.perf_counter())
    least, _at = minima(gap_maps(field, samples, transforms), samples)
    clock.append(time.perf_counter())
    points = samples.points_mm
    height, _at = swept_envelope(field, points[:, :2], transforms, points[:, 2])
    clock.append(time.perf_counter())
    read, raster, maps, envelope = 1000 * np.diff(clock)
    return {
        **{"read": read, "raster": raster, "maps": maps, "envelope": envelope},
        "all": 1000 * (clock[-1] - clock[0]),
        "held": process_mb(),
        "samples": len(samples),
        "depth": (height - points[:, 2]).tolist(),
        "least": least.tolist(),
    }


def by_rays(path: Path) -> dict[str, Any]:
    """The same by rays: for the maps along the lower member's vertical, else along the upper's."""
    import trimesh  # noqa: PLC0415  (only people who bench need it)
    from trimesh.ray import has_embree  # noqa: PLC0415

    samples, transforms = upper_samples(), at_once(SETTINGS)
    every = 1 if has_embree else len(samples) // FEW_RAYS
    if not has_embree or path.stat().st_size < SMALL_FILE:
        transforms = transforms[:: POSITIONS // FEW_POSITIONS]
    down = np.array([0.0, 0.0, -1.0])
    start = time.perf_counter()
    rows = np.fromfile(path, dtype=STL, offset=84)["corners"].astype(float)
    mesh = trimesh.Trimesh(
        vertices=rows.reshape(-1, 3),
        faces=np.arange(3 * len(rows)).reshape(-1, 3),
        process=False,
        use_embree=has_embree,
    )
    top = float(mesh.bounds[1, 2]) + 1.0
    points = samples.points_mm[::every].astype(float)
    mesh.ray.intersects_any([[0.0, 0.0, top]], [down])  # builds the tree
    built = time.perf_counter()
    gaps = np.full((len(transforms), len(points)), 99.0)
    for number, moved in enumerate(transforms):
        q = (points - moved[:3, 3]) @ moved[:3, :3]
        ray, places = first_met(mesh, np.column_stack([q[:, :2], np.full(len(q), top)]), down)
        gaps[number, ray] = q[ray, 2] - places[:, 2]
    cast = time.perf_counter()
    swept = np.full(len(points), -np.inf)
    over = np.column_stack([points[:, :2], np.full(len(points), top + 1.0)])
    for moved in transforms:
        origins = (over - moved[:3, 3]) @ moved[:3, :3]
        ray, places = first_met(mesh, origins, down @ moved[:3, :3])
        swept[ray] = np.maximum(swept[ray], places @ moved[2, :3] + moved[2, 3])
    swept_at = time.perf_counter()
    share = len(points) * len(transforms) / (len(samples) * POSITIONS)
    tree, maps, envelope = 1000 * np.diff([start, built, cast, swept_at]) / [1.0, share, share]
    least = np.array([gaps[:, samples.region[::every] == one].min(axis=1) for one in range(TEETH)])
    return {
        "caster": "Embree through trimesh" if has_embree else "trimesh's own caster",
        **{"tree": tree, "maps": maps, "envelope": envelope, "all": tree + maps + envelope},
        "share": share,
        "least": least.T,
        "depth": swept - points[:, 2],
    }


def first_met(mesh: Any, origins: Any, direction: Any) -> tuple[Any, Any]:
    """Which rays meet the mesh, and where first."""
    _faces, ray, places = mesh.ray.intersects_id(
        origins,
        np.broadcast_to(direction, origins.shape),
        multiple_hits=False,
        return_locations=True,
    )
    return ray, places


def in_a_process_of_its_own(path: Path) -> dict[str, Any]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.surfaces", str(path)],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise ValueError(f"The surfaces did not come through: {done.stderr[-2000:]}")
    return dict(json.loads(done.stdout))


def middle(rows: list[dict[str, Any]], name: str) -> float:
    return float(np.median([row[name] for row in rows]))


def lines(rounds: int, triangles: int, folder: Path) -> Iterator[str]:
    """The rows of this part."""
    path = folder / "lower.stl"
    count = write_stl(path, triangles)
    done, cast = [], []
    for _round in range(rounds):
        done.append(in_a_process_of_its_own(path))
        cast.append(by_rays(path))
    yield (
        f"{count} triangles, {path.stat().st_size / 1e6:.0f} MB, {done[0]['samples']} samples at"
        f" 0.1 mm, {POSITIONS} positions"
    )
    for name, words in (
        ("read", "reading and looking at the mesh"),
        ("raster", "raster"),
        ("maps", f"{POSITIONS} gap maps and their minima"),
        ("envelope", "envelope"),
        ("all", "all of it"),
    ):
        yield f"{words:<34}{middle(done, name):>10.1f} ms"
    yield f"{'  held by its process':<34}{middle(done, 'held'):>10.1f} MB"
    for name, words in (
        ("tree", "reading and tree for rays"),
        ("maps", "the maps by rays"),
        ("envelope", "the envelope by rays"),
    ):
        yield f"{words:<34}{middle(cast, name):>10.1f} ms"
    whole = middle(cast, "all")
    yield (
        f"{'all of it by rays':<34}{whole:>10.1f} ms {whole / middle(done, 'all'):>8.1f} times as"
        f" long; {cast[0]['caster']}, {100 * cast[0]['share']:.0f} % of the rays cast"
    )
    if cast[0]["share"] == 1.0:
        apart, touching = np.abs(done[0]["least"] - cast[0]["least"]), cast[0]["least"] < 0.3
        yield (
            f"{'least gaps of teeth apart by':<34}{apart[touching].mean():>10.4f} mm in the mean,"
            f" {apart[touching].max():.4f} at most, where under 0.3 mm"
        )
        deep = cast[0]["depth"] > 0.0
        apart = np.abs(np.array(done[0]["depth"], dtype=float) - cast[0]["depth"])[deep]
        yield (
            f"{'depths apart by':<34}{apart.mean():>10.4f} mm in the mean,"
            f" {apart.max():.4f} at most, of {deep.sum()} samples"
        )
    yield from costs(rounds, triangles, folder)
    yield from closed_forms()


def costs(rounds: int, triangles: int, folder: Path) -> Iterator[str]:
    """Time for one position and for 1,000 triangles, at three sizes each."""
    field = field_of(BELOW, member="lower", bounds_mm=BOUNDS)
    samples = upper_samples()
    for words, work in (("gap map", gap_maps), ("depths", reduction_depths)):
        unit = []
        for positions in (45, 90, 180):
            transforms = at_once(SETTINGS, positions)
            unit.append(shortest_ms(rounds, work, field, samples, transforms) / positions)
        yield f"{f'  {words}, of 45, 90, 180':<34}{' '.join(f'{one:.3f}' for one in unit)} ms each"
    for words, step in (("read", 0), ("raster", 1)):
        unit = []
        for part in (4, 2, 1):
            path = folder / "part.stl"
            count = write_stl(path, triangles // part)
            if step:
                mesh = read_mesh(path).triangles_mm
                took = shortest_ms(rounds, lambda m: height_field(m, member="lower"), mesh)
            else:
                took = shortest_ms(rounds, read_mesh, path)
            unit.append(1000 * took / count)
        sizes = ", ".join(f"1/{part}" for part in (4, 2, 1))
        words = f"  {words}, of {sizes}"
        yield f"{words:<34}{' '.join(f'{one:.3f}' for one in unit)} ms per 1000"


def shortest_ms(rounds: int, work: Any, *given: Any) -> float:
    took = []
    for _round in range(rounds):
        start = time.perf_counter()
        work(*given)
        took.append(time.perf_counter() - start)
    return 1000 * min(took)


def closed_forms() -> Iterator[str]:
    """How far a sphere under a facet and a swept sphere are from their closed forms."""
    centre = np.array([50.0, -25.0, -33.0])
    sphere = field_of(shapes.cap(centre, 1.0), member="lower", bounds_mm=(48.5, 51.5, -26.5, -23.5))
    transforms = at_once(SETTINGS)
    normal = np.array([np.sin(np.radians(20.0)), 0.0, np.cos(np.radians(20.0))])
    touched = centre + normal
    facet = shapes.plane(touched, -normal[0] / normal[2], 0.0)
    samples = samples_of(field_of(facet, member="upper", bounds_mm=(44.0, 58.0, -33.0, -19.0)))
    vertical = minima(gap_maps(sphere, samples, transforms), samples)[0][:, 0]
    middles = transforms[:, :3, :3] @ centre + transforms[:, :3, 3]
    true = (touched - middles) @ normal - 1.0
    apart = vertical * (transforms[:, :3, 2] @ normal) - true
    yield f"{'sphere under a facet':<34}{np.abs(apart).max():>10.4f} mm off at most, 0.1 mm cells"
    places = middles[::20, :2] + np.array([0.3, -0.2])
    height, _at = swept_envelope(sphere, places, transforms, start_z_mm=-33.0)
    under = 1.0 - ((places[:, None] - middles[None, :, :2]) ** 2).sum(axis=2)
    reach = np.where(under > 0.0, middles[:, 2] + np.sqrt(np.maximum(under, 0.0)), -np.inf)
    apart = height - reach.max(axis=1)
    yield f"{'swept sphere':<34}{np.abs(apart).max():>10.4f} mm off at most, 0.1 mm cells"


if __name__ == "__main__":
    print(json.dumps(by_fields(Path(sys.argv[1]))))
