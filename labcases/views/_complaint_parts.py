"""What was told of the denture of a case, folded to a line."""

from __future__ import annotations

from labcases.domain import complaints
from labcases.models import Case
from labcases.templatetags.units import long_date
from labcases.views._folded import Part, many, url_of


def complaint_part(case: Case) -> Part:
    told = complaints.of_case(case)
    told = [one for one in told if not one.struck]
    opened = [one for one in told if not one.closed]
    line = f"{many(len(told), 'complaint', 'complaints')}, none open" if told else "None entered"
    if opened:
        line = "; ".join(complaints.in_words(one.row) for one in opened)
    return Part(
        "complaints",
        "Complaints",
        url_of("complaints", case),
        line,
        mark="warning" if opened else "",
        word=f"{len(opened)} open" if opened else "",
        pairs=[
            {"label": long_date(one.row.known_on), "value": complaints.in_words(one.row)}
            for one in told
        ],
    )
