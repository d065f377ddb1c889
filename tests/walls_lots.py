"""Lots behind the walls: who traces one, and who tells one at the release."""

from __future__ import annotations

from labcases.models import Case, ReleaseLot, User
from tests import walls_complaints

#: As in `tests/walls.py`.
TABLE = f"""
{walls_complaints.TABLE}
lots:laboratory                GET    login     404    404 404 200 200 200 404     404
lots:laboratory                POST   login     405    405 405 405 405 405 405     405
lots:office                    GET    login     404    404 404 404 404 404 404     404
lots_csv                       GET    login     404    404 404 422 422 422 404     404
lots_csv                       POST   login     405    405 405 405 405 405 405     405
lots_pdf                       GET    login     404    404 404 422 422 422 404     404
lots_pdf                       POST   login     405    405 405 405 405 405 405     405
release_lot                    GET    login     405    405 405 405 405 405 405     405
release_lot                    POST   login     404    403 403 422 403 422 404     404
release_lot_strike             GET    login     405    405 405 405 405 405 405     405
release_lot_strike             POST   login     404    403 403 422 403 422 404     404
"""


def told(case: Case, by: User) -> dict[str, int]:
    """A lot that was added at the release of the case behind the walls, and a complaint."""
    row = ReleaseLot.objects.create(case=case, by=by, lot_of="liner", lot="S-4")
    return {"release_lot_strike": row.pk, **walls_complaints.told(case, by)}
