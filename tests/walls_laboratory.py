"""Who gets what from the pages of a house: its people, history, devices, plan and materials."""

from __future__ import annotations

from typing import Any

#: As in `tests/walls.py`.
TABLE = """
member:office                  GET    login     404    200 403 404 404 404 404     404
member:office                  POST   login     404    422 403 404 404 404 404     404
member:laboratory              GET    login     404    404 404 403 403 200 404     404
member:laboratory              POST   login     404    404 404 403 403 422 404     404
member_stop:office             GET    login     404    200 403 404 404 404 404     404
member_stop:office             POST   login     404    ok  403 404 404 404 404     404
member_stop:laboratory         GET    login     404    404 404 403 403 200 404     404
member_stop:laboratory         POST   login     404    404 404 403 403 ok  404     404
house_history:office           GET    login     404    200 200 404 404 404 404     404
house_history:office           POST   login     405    405 405 405 405 405 405     405
house_history:laboratory       GET    login     404    404 404 200 200 200 404     404
house_history:laboratory       POST   login     405    405 405 405 405 405 405     405
erasure                        GET    login     404    200 200 200 200 200 404     404
erasure                        POST   login     404    422 403 403 403 403 404     404
erasures:office                GET    login     404    200 200 404 404 404 404     404
erasures:office                POST   login     405    405 405 405 405 405 405     405
erasures:laboratory            GET    login     404    404 404 200 200 200 404     404
erasures:laboratory            POST   login     405    405 405 405 405 405 405     405
checklists_in_use:office       GET    login     404    200 200 404 404 404 404     404
checklists_in_use:office       POST   login     405    405 405 405 405 405 405     405
checklists_in_use:laboratory   GET    login     404    404 404 200 200 200 404     404
checklists_in_use:laboratory   POST   login     405    405 405 405 405 405 405     405
profile_in_use:office          GET    login     404    200 200 404 404 404 404     404
profile_in_use:office          POST   login     405    405 405 405 405 405 405     405
profile_in_use:laboratory      GET    login     404    404 404 200 200 200 404     404
profile_in_use:laboratory      POST   login     405    405 405 405 405 405 405     405
stages_of_house:office         GET    login     404    404 404 404 404 404 404     404
stages_of_house:office         POST   login     404    404 404 404 404 404 404     404
stages_of_house:laboratory     GET    login     404    404 404 200 200 200 404     404
stages_of_house:laboratory     POST   login     404    404 404 403 403 ok  404     404
"""


def of_laboratory(here: Any) -> dict[str, list[Any]]:
    """What these addresses name."""
    office, laboratory = here.office.pk, here.laboratory.pk
    found: dict[str, list[Any]] = {
        **{f"{name}:office": [office, here.farah.pk] for name in ("member", "member_stop")},
        **{f"{name}:laboratory": [laboratory, here.tomas.pk] for name in ("member", "member_stop")},
    }
    for name in (
        "house_history",
        "erasures",
        "stages_of_house",
        "checklists_in_use",
        "profile_in_use",
    ):
        found |= {f"{name}:office": [office], f"{name}:laboratory": [laboratory]}
    return found
