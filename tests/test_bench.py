"""The bench command runs and prints its four lines; what it measures is for people to read."""

import re
import subprocess
import sys

from tests import needs

ITEMS = ("motion, 180 positions", "clearance check", "case page", "slip PDF")
LINE = re.compile(
    r"\d+\.\d+ ms +\d+\.\d+ ms +\d+\.\d +\d+\.\d+ MB +(\d+ MB|untold)   [a-z0-9]"
    r"|off: WeasyPrint cannot load"
)


def test_the_bench_prints_a_line_for_each_item_beside_its_floor():
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench", "1"],
        cwd=needs.ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr[-2000:]
    lines = done.stdout.splitlines()[2:]
    assert [line[:22].strip() for line in lines] == list(ITEMS)
    assert [line for line in lines if not LINE.search(line)] == []
