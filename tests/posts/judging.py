"""Whether an answer to a post is one that a person can work with, and does no harm."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from tests.posts import values
from tests.posts.reading import Page

ANSWERS = {200, 302, 400, 403, 404, 405, 409, 413, 422}
#: A link that was made is shown once, on the answer itself; one that was used up says so.
OTHER_ANSWERS = {
    "invite": {201},
    "link_office": {201},
    "paper_office_invite": {201},
    "join": {410},
}
TAKEN = {200, 201, 302}
REFUSALS = {400, 409, 422}


def crash(answer: Any) -> str:
    """Where an error came from: the last line of our own, and what it said."""
    kind, error, trace = getattr(answer, "exc_info", None) or (None, None, None)
    place = ""
    while trace is not None:
        name = trace.tb_frame.f_code.co_filename
        if "/labcases/" in name or "/occlusion/" in name:
            place = f"{name.rpartition('/labcases/')[2]}:{trace.tb_lineno}"
        trace = trace.tb_next
    return f"{getattr(kind, '__name__', kind)} at {place}: {str(error)[:160]}"


def complaints(address: str, name: str, answer: Any, *, posted: bool = True) -> Iterator[str]:
    """What is wrong with an answer, whatever was sent."""
    status = answer.status_code
    if status >= 500:
        yield f"{status}: {crash(answer)}"
        return
    if posted and status not in ANSWERS | OTHER_ANSWERS.get(name, set()):
        yield f"answered with {status}"
    if "html" not in answer.headers.get("Content-Type", ""):
        return
    text = answer.content.decode()
    yield from _alive(text)
    if posted and status in REFUSALS:
        yield from _unexplained(Page(address, text), answer)


def _alive(text: str) -> Iterator[str]:
    for payload in values.ALIVE:
        if payload in text:
            yield f"shows what was typed as a part of the page: {payload}"
    if values.PRODUCT in text:
        yield "ran what was typed as a template"


def _unexplained(page: Page, answer: Any) -> Iterator[str]:
    """A refusal has a sentence on top; one that is about a field leads to it."""
    words = " ".join(page.refusal_words)
    if not re.search(r"[a-z]{3,}.*[.?:]", words):
        yield f"{answer.status_code} without a sentence on top: {words[:80]!r}"
        return
    inside = [link for link in page.refusal_links if link.startswith("#")]
    gone = [link for link in inside if link[1:] not in page.ids]
    if gone:
        yield f"the refusal leads nowhere: {', '.join(gone[:3])}"
    if page.marked_fields and not inside:
        yield "a field is refused and the summary does not lead to it"
