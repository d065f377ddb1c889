"""Complaints behind the walls: who reads one, who enters one and who adds to it."""

from __future__ import annotations

from django.utils import timezone

from labcases.models import Case, Complaint, User

#: As in `tests/walls.py`.
TABLE = """
complaints                     GET    login     404    200 200 200 200 200 404     404
complaints                     POST   login     405    405 405 405 405 405 405     405
complaint_new                  GET    login     404    200 200 200 200 200 404     404
complaint_new                  POST   login     404    422 422 422 422 422 404     404
complaint                      GET    login     404    200 200 200 200 200 404     404
complaint                      POST   login     404    422 422 422 422 422 404     404
complaint_pdf                  GET    login     404    pdf pdf pdf pdf pdf 404     404
complaint_pdf                  POST   login     405    405 405 405 405 405 405     405
complaint_strike               GET    login     405    405 405 405 405 405 405     405
complaint_strike               POST   login     404    422 403 422 403 422 404     404
complaint_entry_strike         GET    login     405    405 405 405 405 405 405     405
complaint_entry_strike         POST   login     404    422 403 422 403 422 404     404
complaints_of_house:laboratory GET    login     404    404 404 200 200 200 404     404
complaints_of_house:laboratory POST   login     405    405 405 405 405 405 405     405
complaints_of_house:office     GET    login     404    200 200 404 404 404 404     404
quality:laboratory             GET    login     404    404 404 200 403 200 404     404
quality:laboratory             POST   login     405    405 405 405 405 405 405     405
quality:office                 GET    login     404    404 404 404 404 404 404     404
quality_csv                    GET    login     404    404 404 200 403 200 404     404
quality_csv                    POST   login     405    405 405 405 405 405 405     405
devices:laboratory             GET    login     404    404 404 403 200 200 404     404
devices:laboratory             POST   login     405    405 405 405 405 405 405     405
devices:office                 GET    login     404    404 404 404 404 404 404     404
devices_csv                    GET    login     404    404 404 403 404 404 404     404
devices_csv                    POST   login     405    405 405 405 405 405 405     405
devices_pdf                    GET    login     404    404 404 403 404 404 404     404
devices_pdf                    POST   login     405    405 405 405 405 405 405     405
"""


def told(case: Case, by: User) -> dict[str, int]:
    """A complaint of the case behind the walls, with an entry."""
    row = Complaint.objects.create(
        case=case,
        by=by,
        gravity="complaint",
        text="It rocks.",
        known_on=timezone.localdate(),
        reporter="dentist",
        concern="denture",
        reported_from="office",
    )
    entry = row.entries.create(act="looked", happened_on=row.known_on, text="It does.", by=by)
    return {
        "complaint": row.pk,
        "complaint_pdf": row.pk,
        "complaint_strike": row.pk,
        "complaint_entry_strike": entry.pk,
    }
