"""Who gets what from a person's own pages: the feeds of a calendar, and mail."""

from __future__ import annotations

from typing import Any

from labcases.domain import feeds
from labcases.enums.feeds import FeedKind

#: As in `tests/walls.py`. The feeds are the dentist's.
TABLE = """
calendar_feeds                 GET    login     200    200 200 200 200 200 200     200
calendar_feeds                 POST   login     422    422 422 422 422 422 422     422
calendar_feed_stop             GET    login     404    200 404 404 404 404 404     404
calendar_feed_stop             POST   login     404    ok  404 404 404 404 404     404
# Nobody logs in for it: the token in the address opens it, to whoever has it.
calendar_feed_file             GET    200       200    200 200 200 200 200 200     200
calendar_feed_file             POST   405       405    405 405 405 405 405 405     405
calendar_feed_file:stopped     GET    404       404    404 404 404 404 404 404     404
calendar_feed_file:stopped     POST   405       405    405 405 405 405 405 405     405
mail                           GET    login     200    200 200 200 200 200 200     200
mail                           POST   login     422    422 422 422 422 422 422     422
"""


def of_account(here: Any) -> dict[str, list[Any]]:
    """What these addresses name. The feed was fetched before: what it told first is written."""
    mine, stopped = (
        feeds.make(user=here.dora, called=name, kinds=FeedKind.values)
        for name in ("Phone", "Old phone")
    )
    feeds.revoke(feed=stopped.feed)
    feeds.fetch(mine.feed)
    return {
        "mail": [],
        "calendar_feeds": [],
        "calendar_feed_stop": [mine.feed.pk],
        "calendar_feed_file": [mine.token],
        "calendar_feed_file:stopped": [stopped.token],
    }
