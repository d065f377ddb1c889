"""One of eight people who save the same twenty cases at once, a process of its own.

    python -m tests.journeys.savers URL SEED N        saves N times, prints counts

It reads the cases and cookies of ``savers_world`` from standard input, talks HTTP only,
and knows nothing of the application but its pages.
"""

from __future__ import annotations

import http.client
import json
import random
import re
import sys
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlencode, urlsplit

FIELD = "cast_note"
OTHERS = re.compile(r"saver \d+ note \d+")


class Form(HTMLParser):
    """Reads the fields of the form with a version, as a browser would send them."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.fields: dict[str, str] = {}
        self._select = ""
        self._textarea = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        name = told.get("name") or ""
        if tag == "input" and name and not name.startswith("keep-"):
            kind = told.get("type", "text")
            if kind not in ("checkbox", "radio"):
                self.fields[name] = told.get("value") or ""
            elif "checked" in told:
                self.fields[name] = told.get("value") or "on"
        elif tag == "select":
            self._select = name
        elif tag == "option" and self._select and "selected" in told:
            self.fields[self._select] = told.get("value") or ""


def save(address: str, seed: int, times: int) -> None:
    """Open, change and save; count what was stored and what was answered with both values."""
    told = json.loads(sys.stdin.read())
    chance = random.Random(seed)
    link = http.client.HTTPConnection(urlsplit(address).netloc, timeout=60)
    cookie = told["cookies"][seed]
    counts: dict[str, Any] = {"stored": 0, "both_values": 0, "errors": []}

    def ask(method: str, path: str, body: str = "", cookies: str = "") -> tuple[int, str, str]:
        headers = {"Cookie": cookies or cookie}
        if body:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        link.request(method, path, body or None, headers)
        answer = link.getresponse()
        csrf = re.search(rf"{told['csrf']}=(\w+)", answer.headers.get("Set-Cookie", "") or "")
        return answer.status, answer.read().decode(), csrf[1] if csrf else ""

    csrf = ""
    for number in range(times):
        path = f"/cases/{chance.choice(told['codes'])}/mounting/"
        both = f"{cookie}; {told['csrf']}={csrf}" if csrf else cookie
        status, page, fresh = ask("GET", path, cookies=both)
        csrf = fresh or csrf
        fields = Form(page).fields
        if status != 200 or FIELD not in fields:
            counts["errors"].append(f"GET {status}: {page[:200]}")
            continue
        seen, mine = fields[FIELD], f"saver {seed} note {number}"
        fields[FIELD] = mine
        status, page, _ = ask("POST", path, urlencode(fields), f"{cookie}; {told['csrf']}={csrf}")
        if status == 302:
            counts["stored"] += 1
        elif (
            status == 409
            and mine in page
            and re.search(r"saver \d+ note \d+", page.replace(mine, ""))
        ):
            counts["both_values"] += 1
        else:
            counts["errors"].append(f"POST {status} after {seen!r}: {page[:200]}")
    print(json.dumps(counts))


if __name__ == "__main__":
    save(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]))
