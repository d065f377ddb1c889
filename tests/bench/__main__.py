"""How long the work takes: `python -m tests.bench [rounds] [triangles]`.

Times of one machine say little on another, so each item stands beside the least that such work can
cost here: their ratio is what to compare before and after a change. Item and floor take turns,
some rounds (7 if nothing is said), and medians are shown. Memory is what Python and numpy held at
the worst moment of one more run, and what the whole process has held so far.

Below stand the engine's cores: many positions beside one call for each and beside Newton's
method, marks of foil held against every change, and one side's surfaces from a scan of a million
triangles beside rays on the same ones. Last comes the desk of a laboratory with 100,000 cases
(`tests/bench/desk.py`), on SQLite and on PostgreSQL where one answers.

Everything is kept in a database of its own, in a folder that is thrown away.
"""

from __future__ import annotations

import csv
import io
import os
import statistics
import sys
import tempfile
import timeit
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import django

try:
    import resource
except ImportError:  # not on Windows
    resource = None

folder = tempfile.TemporaryDirectory(prefix="bench-")
os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
os.environ["DATABASE_URL"] = f"sqlite:///{(Path(folder.name) / 'bench.sqlite3').as_posix()}"
django.setup()

import numpy as np  # noqa: E402  (Django's models load after setup only)
from django.core.management import call_command  # noqa: E402
from django.db import connection, transaction  # noqa: E402
from django.test import Client  # noqa: E402

from labcases.domain import stock_files  # noqa: E402
from labcases.domain.stock_table import COLUMNS, MOST_ROWS  # noqa: E402
from labcases.enums import PaperSize, Stage  # noqa: E402
from labcases.outputs.papers import PAPERS  # noqa: E402
from labcases.pdf_support import pdf_problem  # noqa: E402
from occlusion import clearance, motion, spread, teeth  # noqa: E402
from occlusion.articulator import Excursion  # noqa: E402
from occlusion.clearance import callipers  # noqa: E402
from occlusion.front import FrontGuidance  # noqa: E402
from occlusion.surfaces.arches import set_up  # noqa: E402
from occlusion.surfaces.calliper import CalliperTooth  # noqa: E402
from occlusion.surfaces.gaps import sample_gaps  # noqa: E402
from tests.bench import desk, engine, explaining, levelling, spreads, surfaces  # noqa: E402
from tests.factories import UserFactory, World, world  # noqa: E402
from tests.occlusion.bench import INCISAL, settings_of, symmetric  # noqa: E402

POSITIONS = 180
ROUNDS = 7
TRIANGLES = 1_000_000
TRIANGLES_PER_ROW = 20
"""So that a short run reads a short file as well."""
TRIANGLES_PER_CASE = 10
"""So that a short run builds few cases, and a whole one 100,000."""
SURFACE_ROUNDS = 3
"""Rounds of the surfaces at most: rays take their time."""

SETTINGS = settings_of(symmetric(30.0, 20.0, bennett=15.0, wing=20.0))


@dataclass(frozen=True)
class Item:
    """Work, the least that it can cost, and how often each is done in one round."""

    name: str
    work: Callable[[], Any]
    floor: Callable[[], Any]
    floor_is: str
    times: int = 1


def motion_item() -> Item:
    """Where sixteen teeth go along an excursion; the floor only turns them as often."""
    points = np.array(list(teeth.arch_landmarks(arch="upper", incisal_point_mm=INCISAL).values()))
    excursion = Excursion(kind="right", travel_mm=5.0, travel_along="horizontal")
    rotations = np.broadcast_to(np.eye(3), (POSITIONS, 3, 3)).copy()

    def work() -> Any:
        path = motion.lower_positions(settings=SETTINGS, excursion=excursion, steps=POSITIONS - 1)
        return motion.landmark_movement(path, points)

    found = work()
    if found.shape != (POSITIONS, *points.shape):
        raise ValueError(f"The motion has the shape {found.shape}.")
    return Item(
        f"motion, {POSITIONS} positions",
        work,
        lambda: np.einsum("nij,pj->npi", rotations, points),
        f"{POSITIONS} rotations of the same {len(points)} points",
        times=50,
    )


def clearance_item() -> Item:
    """The clearance check of eight teeth with its spread; the floor are its nominal look-ups."""
    front = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=0.5)
    upper = [CalliperTooth(tooth=f"{q}{n}", material="denture") for q in "12" for n in "4567"]
    lower = [CalliperTooth(tooth=f"{q}{n}", material="natural") for q in "34" for n in "34567"]
    arches = set_up(upper=upper, lower=lower, incisal_point_mm=INCISAL)
    surfaces = callipers.oppose(arches, cusp_half_width_deg={"denture": 1.0, "natural": 5.0})
    asked = clearance.travels_of(front)
    draws = spread.draws_of(SETTINGS)
    facing = surfaces.facings[0]

    def floor() -> None:
        for one in asked:
            path = clearance.follow(settings=SETTINGS, asked=one, front=front)
            sample_gaps(facing.field, facing.samples.points_mm, path.transforms, member="upper")

    return Item(
        "clearance check",
        lambda: clearance.surface_clearance(
            settings=SETTINGS,
            asked=asked,
            surfaces=surfaces,
            front=front,
            scheme="balanced",
            draws=draws,
        ),
        floor,
        f"looking up its {len(facing.samples)} samples along {len(asked)} paths",
        times=5,
    )


def page(client: Client, address: str) -> Callable[[], Any]:
    """A page as its reader asks for it, refused here when it is not what it should be."""

    def ask() -> Any:
        answer = client.get(address)
        if answer.status_code != 200:
            raise ValueError(f"{address} answered {answer.status_code}.")
        return answer

    return ask


def page_item(here: World, code: str) -> Item:
    """The page of a case in its set-up; the floor is the emptiest page of a signed-in person."""
    reader, nobody = Client(), Client()
    reader.force_login(here.tomas)
    nobody.force_login(UserFactory(full_name="Nobody Member"))
    return Item(
        "case page",
        page(reader, f"/cases/{code}/"),
        page(nobody, "/"),
        "the page of a person without organisation",
        times=5,
    )


def paper_item(here: World, case: Any) -> Item:
    """The lab slip as a PDF; the floor is one line on a sheet without a style."""
    from weasyprint import HTML

    return Item(
        "slip PDF",
        lambda: PAPERS["lab-slip"].pdf(
            case, by=here.tomas, notation=here.laboratory.notation, size=PaperSize.A4
        ),
        lambda: HTML(string="<p>One line.</p>").write_pdf(),
        "a document of one line",
    )


def stock_item(here: World, rows: int) -> Item:
    """The look at a file of the tooth stock before it is taken in; the floor reads its cells."""
    moulds = (f"{','.join(COLUMNS)}\r\n", *(stock_row(number) for number in range(rows)))
    content = "".join(moulds).encode()

    def work() -> Any:
        with transaction.atomic():
            kept = stock_files.look(laboratory=here.laboratory, content=content, by=here.lena)
            found = stock_files.plan(kept).counts
            transaction.set_rollback(True)
        return found

    if work() != {"refused": 0, "new": rows, "changed": 0, "same": 0}:
        raise ValueError(f"The file was read as {work()}.")
    return Item(
        f"stock, {rows} rows",
        work,
        lambda: list(csv.reader(io.StringIO(content.decode()))),
        "reading its cells alone",
    )


def stock_row(number: int) -> str:
    return f"Alder,upper,posterior,{number} S,B2,resin,P-08,20,30,1.5,2028-05-31,drawer 5,3\r\n"


def process_mb() -> str:
    """What the process has held at its worst moment so far, where the system tells."""
    if resource is None:
        return "untold"
    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return f"{held / (1024 * 1024 if sys.platform == 'darwin' else 1024):.0f} MB"


def measure(item: Item, rounds: int) -> str:
    """One line of the table."""
    item.work()
    item.floor()
    took, least = [], []
    for _round in range(rounds):
        took.append(timeit.timeit(item.work, number=item.times) / item.times)
        least.append(timeit.timeit(item.floor, number=item.times) / item.times)
    tracemalloc.start()
    item.work()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    ratio = statistics.median(one / other for one, other in zip(took, least, strict=True))
    return (
        f"{item.name:<22} {1000 * statistics.median(took):>10.3f} ms"
        f" {1000 * statistics.median(least):>10.3f} ms {ratio:>8.1f}"
        f" {peak / 1024 / 1024:>8.2f} MB {process_mb():>9}   {item.floor_is}"
    )


def main(arguments: list[str]) -> int:
    rounds = int(arguments[0]) if arguments else ROUNDS
    triangles = int(arguments[1]) if len(arguments) > 1 else TRIANGLES
    call_command("migrate", verbosity=0)
    here = world()
    case = here.case_at(Stage.SET_UP)
    items = [motion_item, clearance_item, lambda: page_item(here, case.code)]
    if not pdf_problem():
        items.append(lambda: paper_item(here, case))
    items.append(lambda: stock_item(here, min(MOST_ROWS, triangles // TRIANGLES_PER_ROW)))
    print(
        f"Python {sys.version.split()[0]}, numpy {np.__version__}, {os.cpu_count()} processors,"
        f" medians of {rounds}"
    )
    print(
        f"{'':<22} {'took':>13} {'floor':>13} {'ratio':>8} {'held':>11} {'process':>9}   floor is"
    )
    for item in items:
        print(measure(item(), rounds), flush=True)
    if pdf_problem():
        print(f"slip PDF               off: {pdf_problem()}")
    for part in (
        engine.lines(rounds),
        spreads.lines(rounds),
        explaining.lines(rounds),
        levelling.lines(rounds),
        surfaces.lines(min(rounds, SURFACE_ROUNDS), triangles, Path(folder.name)),
        desk.lines(rounds, triangles // TRIANGLES_PER_CASE),
    ):
        print()
        for line in part:
            print(line, flush=True)
    connection.close()
    folder.cleanup()
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
