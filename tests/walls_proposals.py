"""What the laboratory proposed in the case behind the walls, for the addresses that name one."""

from __future__ import annotations

from labcases.models import Case, Proposal, User

#: As in `tests/walls.py`.
TABLE = """
proposals                      GET    login     404    200 200 200 200 200 404     404
proposals                      POST   login     405    405 405 405 405 405 405     405
proposal_new                   GET    login     404    403 403 200 403 200 404     404
proposal_new                   POST   login     404    403 403 422 403 422 404     404
proposal_new:unknown           GET    login     404    404 404 404 404 404 404     404
proposal_new:unknown           POST   login     404    404 404 404 404 404 404     404
proposal                       GET    login     404    200 200 200 200 200 404     404
proposal                       POST   login     404    422 403 403 403 403 404     404
proposal_withdraw              GET    login     405    405 405 405 405 405 405     405
proposal_withdraw              POST   login     404    403 403 422 403 422 404     404
"""

KINDS = {"": "natural-tooth", ":unknown": "by-telephone"}


def proposed(case: Case, by: User) -> dict[str, int]:
    """One that waits; of a draft too, which nobody could propose by the pages."""
    row = Proposal.objects.create(
        case=case,
        number=1,
        kind="natural tooth",
        tooth="46",
        why="46 stands 1.2 mm above the plane.",
        bound={"revision": 1},
        raised_by=by,
    )
    return {"proposal": row.pk, "proposal_withdraw": row.pk}
