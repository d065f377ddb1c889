"""Impressions, casts and records of a case, folded to a line."""

from __future__ import annotations

from labcases.domain import casts as lines
from labcases.domain import jaw_records
from labcases.models import Case
from labcases.views._folded import Part, many, url_of
from labcases.views._words import sentence_case


def casts(case: Case) -> Part:
    url = url_of("casts", case)
    impressions = case.impressions.filter(struck_at__isnull=True).count()
    standing = lines.standing(case)
    records = jaw_records.standing(case)
    if not impressions and not standing and not records:
        return Part("casts", "Casts and records", url, "Nothing entered", done=False)
    to_mind = [*lines.cautions(case), *jaw_records.cautions(case)]
    inspected = sum(1 for cast in standing if lines.last_look(cast))
    line = (
        f"{many(impressions, 'impression', 'impressions')}, "
        f"{many(len(standing), 'cast', 'casts')}, {inspected} inspected; "
        f"{many(len(records), 'jaw record', 'jaw records')}"
    )
    return Part(
        "casts",
        "Casts and records",
        url,
        line,
        done=bool(standing) and inspected == len(standing),
        mark="warning" if to_mind else "",
        word=many(len(to_mind), "thing to mind", "things to mind") if to_mind else "",
        pairs=[
            *(
                {"label": sentence_case(lines.name_of(cast)), "value": lines.state_of(cast)}
                for cast in standing
            ),
            *({"label": "Jaw record", "value": jaw_records.in_words(row)} for row in records),
            *({"label": "To mind", "value": one.text} for one in to_mind),
        ],
    )
