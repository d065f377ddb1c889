"""What went wrong with a case, folded to a line."""

from __future__ import annotations

from labcases.domain import incident
from labcases.models import Case
from labcases.templatetags.units import long_date
from labcases.views._folded import Part, many, url_of


def incidents(case: Case) -> Part:
    rows = sorted(case.incidents.all(), key=lambda row: -row.pk)
    standing = [row for row in rows if row.struck_at is None]
    opened = [row for row in standing if row.is_open]
    line = f"{many(len(standing), 'report', 'reports')}, none open" if standing else "None reported"
    if opened:
        line = "; ".join(incident.in_words(row) for row in opened)
    return Part(
        "incidents",
        "What went wrong",
        url_of("incidents", case),
        line,
        mark="warning" if opened else "",
        word=f"{len(opened)} open" if opened else "",
        pairs=[
            {"label": f"{long_date(row.at)}, {row.by}", "value": incident.in_words(row)}
            for row in standing
        ],
    )
