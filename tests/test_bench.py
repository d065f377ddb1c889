"""The bench command runs and prints its lines; what it measures is for people to read."""

import re
import subprocess
import sys

from tests import needs

ITEMS = ("motion, 180 positions", "clearance check", "case page", "slip PDF", "stock, 250 rows")
LINE = re.compile(
    r"\d+\.\d+ ms +\d+\.\d+ ms +\d+\.\d +\d+\.\d+ MB +(\d+ MB|untold)   [a-z0-9]"
    r"|off: WeasyPrint cannot load"
)
ENGINE = (
    "180 positions at once",
    "one call for each",
    "by constraints, Newton",
    "marks, 28 causes",
    "levelling, 200 jobs",
    "its greedy start",
)
SURFACES = (
    *("reading and looking at the mesh", "raster", "180 gap maps and their minima", "envelope"),
    *("all of it", "held by its process", "the maps by rays", "all of it by rays"),
    *("sphere under a facet", "swept sphere"),
)


def test_the_bench_prints_a_line_for_each_item_beside_its_floor():
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench", "1", "5000"],
        cwd=needs.ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr[-2000:]
    lines = done.stdout.splitlines()
    pages, below = lines[2 : lines.index("")], lines[lines.index("") :]
    assert [line[:22].strip() for line in pages] == list(ITEMS)
    assert [line for line in pages if not LINE.search(line)] == []
    measured = {
        line[:34].strip(): float(found[1])
        for line in below
        if (found := re.search(r"^.{34} *(\d+\.\d+) (ms|mm|MB)", line))
    }
    assert [name for name in ENGINE + SURFACES if name not in measured] == []
    assert "27571 samples at 0.1 mm, 180 positions" in done.stdout
    assert measured["swept sphere"] < 0.01
    desk = done.stdout[done.stdout.index("desk on sqlite, 500 cases, 50 open") :]
    assert len(re.findall(r"an empty page \d+\.\d ms, ratio \d+\.\d, \d+ queries", desk)) == 6
    assert "planning every open case and keeping it" in desk
