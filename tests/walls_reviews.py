"""Lines of the reviews behind the walls, and who gets what from their pages."""

from __future__ import annotations

from django.utils import timezone

from labcases.models import Case, ReviewEntry, User

#: As in `tests/walls.py`.
TABLE = """
reviews                        GET    login     404    200 200 200 200 200 404     404
reviews                        POST   login     404    422 403 422 403 422 404     404
reviews_strike                 GET    login     405    405 405 405 405 405 405     405
reviews_strike                 POST   login     404    422 403 422 403 422 404     404
review_seen                    GET    login     404    200 200 200 200 200 404     404
review_seen                    POST   login     404    422 403 403 403 403 404     404
review_decide                  GET    login     404    200 200 200 200 200 404     404
review_decide                  POST   login     404    422 403 403 403 403 404     404
remake                         GET    login     404    200 200 200 200 200 404     404
remake                         POST   login     404    422 422 403 403 403 404     404
"""


def reviewed(case: Case, by: User) -> dict[str, int | str]:
    """A line of a clinical remount, and the key of a review."""
    line = ReviewEntry.objects.create(
        case=case, by=by, act="pass", movement="centric", happened_on=timezone.localdate()
    )
    return {"reviews_strike": line.pk, "review_seen": "week"}
