"""The JSON door: ``python -m occlusion VERB < request.json > answer.json``.

One request a run. An answer goes to standard output with status 0. A request that cannot
be answered gives status 2, nothing on standard output, and one JSON object on standard
error. Nothing of Django is needed or imported.
"""

from __future__ import annotations

import json
import sys

from occlusion import __version__
from occlusion.door import VERBS, answer
from occlusion.errors import BadRequest, OcclusionError
from occlusion.requests import LARGEST_BYTES, read_json

REFUSED = 2


def main(arguments: list[str]) -> int:
    """Answer the request on standard input; the status of the process."""
    try:
        if len(arguments) != 1:
            raise BadRequest(
                f"One verb is needed, {len(arguments)} words were given. "
                f"Use one of: {', '.join(VERBS)}.",
                field="verb",
                limit=list(VERBS),
            )
        if arguments[0] not in VERBS:
            answer(arguments[0], None)
        found = answer(arguments[0], read_json(sys.stdin.buffer.read(LARGEST_BYTES + 1)))
        text = json.dumps({"engine_version": __version__, **found}, allow_nan=False)
    except OcclusionError as refusal:
        print(json.dumps(refusal.as_dict(), allow_nan=False), file=sys.stderr)
        return REFUSED
    print(text)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
