"""Levelling two hundred jobs, beside its greedy start alone."""

from __future__ import annotations

import time
from collections.abc import Iterator

from labcases.domain import _levelling_greedy, levelling
from tests.bench.engine import median_ms
from tests.labcases.domain.load_samples import many_jobs

JOBS = 200


def lines(rounds: int) -> Iterator[str]:
    """The rows of this part; the time limit of the solver bounds the first."""
    jobs, bench, days = many_jobs(JOBS)
    options = {job.key: levelling._options(job, bench, days) for job in jobs}

    def greedy() -> None:
        _levelling_greedy.start(jobs, bench, days, options)

    # It takes as long as it may, so that once tells as much as seven times.
    began = time.perf_counter()
    found = levelling.level(jobs, bench, days)
    whole = 1000 * (time.perf_counter() - began)
    limit = f"the solver was given {levelling.TIME_LIMIT_S:.0f} s"
    yield f"{f'levelling, {JOBS} jobs':<34}{whole:>10.3f} ms; {limit}"
    yield (
        f"{'  its greedy start':<34}{median_ms(greedy, rounds):>10.3f} ms; {found.before} min over "
        f"before, {found.greedy} after the start, {found.after} after the solver"
    )
