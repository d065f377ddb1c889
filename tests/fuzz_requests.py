"""Mutated requests at the JSON door: ``python -m tests.fuzz_requests [how many] [seed]``.

Only answers and refusals may come out, whatever is sent, within bounded memory. A request is an
example of the fixtures in which a few values were replaced, keys taken out, doubled, renamed or
moved; one in ten is no request at all.
"""

from __future__ import annotations

import copy
import json
import random
import resource
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

from occlusion import door
from occlusion.errors import OcclusionError
from occlusion.requests import read_json

FIXTURES = Path(__file__).resolve().parent.parent / "fixtures" / "door"

#: What a value is replaced by: kinds, sizes and texts that somebody, or a broken program, sends.
ODD: tuple[Any, ...] = (
    *(None, True, False, "", "16", "35", "right", [], {}, [[]], [1, 2, 3], {"mm": 1}),
    *(0, 1, -1, 2, 1e-300, 1e300, -1e300, 10**30, 1e9, 0.5, 45, 89.999, 90, 180, 1e-9),
    *(float("nan"), float("inf"), "x" * 5000, ["a"] * 50, "\u0000", "16\n", -0.0),
)

#: No example with more of these: a fuzz should spend its time on ways, not on sizes.
QUICK = {"draws": 20, "steps": 3, "pitch_mm": 0.4}

MEMORY_MB = 1500


def examples() -> dict[str, Any]:
    """Every example request, made quick."""
    found = {}
    for path in sorted(FIXTURES.glob("*.request.json")):
        request = json.loads(path.read_text(encoding="utf-8"))
        if "calliper" in request:
            request["pitch_mm"] = QUICK["pitch_mm"]
            request["spread"]["draws"] = QUICK["draws"]
            for excursion in request["excursions"]:
                excursion["steps"] = QUICK["steps"]
            request["front"] = {"overjet_mm": 2, "overbite_mm": 2, "facet_deg": 30}
            request["probes_mm"] = [[50, -25]]
            request["calliper"]["upper"][0]["centre_mm"] = [46, -26]
        found[path.name.split(".")[0]] = request
    return found


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Ways to every value inside."""
    found = [path] if path else []
    if isinstance(value, dict):
        for key in value:
            found += places(value[key], (*path, key))
    elif isinstance(value, list):
        for index, one in enumerate(value):
            found += places(one, (*path, index))
    return found


def mutated(request: Any, draw: random.Random) -> Any:
    """The request with one to three of its values changed."""
    request = copy.deepcopy(request)
    for _ in range(draw.choice((1, 1, 2, 3))):
        ways = places(request)
        if not ways:
            return draw.choice(ODD)
        *inner, last = draw.choice(ways)
        holder = request
        for step in inner:
            holder = holder[step]
        _change(holder, last, draw)
    return request


def _change(holder: Any, last: Any, draw: random.Random) -> None:
    how = draw.random()
    old = holder[last]
    if how < 0.5:
        holder[last] = copy.deepcopy(draw.choice(ODD))
    elif how < 0.7 and isinstance(old, int | float) and not isinstance(old, bool):
        holder[last] = old * draw.choice((-1, 0, 0.1, 1.5, 10, 1000)) + draw.choice((0, 0.01, 5))
    elif how < 0.8:
        del holder[last]
    elif how < 0.9 and isinstance(holder, dict):
        holder[f"{last}_"] = holder.pop(last)
    elif isinstance(old, list) and old:
        old.extend(copy.deepcopy(old) * draw.choice((1, 3)))
    elif isinstance(holder, dict):
        holder[last] = {"value": old}


def asked(verb: str, request: Any) -> str:
    """``answer``, or the class of the refusal.

    Raises
    ------
    Exception
        Whatever else came out: what this looks for.
    """
    try:
        sent = read_json(json.dumps(request).encode())
        answer = door.answer(verb, sent)
        json.dumps(answer, allow_nan=False)
    except OcclusionError as refusal:
        json.dumps(refusal.as_dict(), allow_nan=False)
        if not refusal.text.strip().endswith((".", "}")):
            raise AssertionError(f"no sentence: {refusal.text}") from refusal
        return type(refusal).__name__
    return "answer"


def run(count: int, seed: int) -> Counter[str]:
    """Ask so many mutated requests; how often each outcome came."""
    draw = random.Random(seed)
    known = examples()
    outcomes: Counter[str] = Counter()
    for number in range(count):
        name = draw.choice(sorted(known))
        verb = name.split("_")[0]
        request = draw.choice(ODD) if number % 10 == 9 else mutated(known[name], draw)
        try:
            outcomes[f"{verb}: {asked(verb, request)}"] += 1
        except Exception:
            print(f"seed {seed}, request {number} ({verb}):\n{json.dumps(request)}", flush=True)
            raise
    return outcomes


def main(arguments: list[str]) -> int:
    count = int(arguments[0]) if arguments else 10_000
    seed = int(arguments[1]) if len(arguments) > 1 else 1
    started = time.perf_counter()
    outcomes = run(count, seed)
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    for outcome, times in sorted(outcomes.items()):
        print(f"{times:>7}  {outcome}")
    print(
        f"{count} requests in {time.perf_counter() - started:.0f} s, at most {used:.0f} MB; "
        "nothing but answers and refusals"
    )
    return 0 if used < MEMORY_MB else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
