"""Every gap on the way from the mouth to the end of a case."""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from labcases.domain import remaking
from labcases.enums import Stage
from labcases.enums.reviews import ReviewAct
from labcases.management import walk_review
from labcases.management.walk import Walk
from labcases.models import ReviewEntry
from labcases.templatetags.units import long_date
from tests.labcases.domain.gaps import Act, Gap, both

TODAY = timezone.localdate()
DENTIST = "dentist"


def gone(act: ReviewAct) -> Act:
    return lambda walk: ReviewEntry.objects.filter(case=walk.reload(), act=act).delete()


def decided(what: str) -> Act:
    return lambda walk: walk_review.decide(walk.reload(), walk.hands.dentist, what)


def logged(act: ReviewAct, **values: Any) -> Act:
    return lambda walk: walk_review.log(walk.reload(), walk.hands.dentist, act, **values)


def remade(walk: Walk) -> None:
    remaking.open_remake(case=walk.reload(), reason="fit", words="", by=walk.hands.dentist)


MATERIAL = {"product": "soft liner, silicone", "lot": "SL-4"}

GAPS = (
    Gap(
        *("no review", Stage.IN_REVIEW),
        "No review is recorded since the delivery. Record the first one.",
        *("reviews", ""),
        lose=gone(ReviewAct.SEEN),
        mend=lambda walk: walk_review.first_review(walk.reload(), walk.hands.dentist),
        passes=DENTIST,
    ),
    Gap(
        *("nothing decided", Stage.CLOSED),
        "Nothing is decided about reline, rebase or remake. The dentist decides.",
        *("review_decide", "decision"),
        lose=gone(ReviewAct.DECISION),
        mend=decided("wait"),
        passes=DENTIST,
    ),
    Gap(
        *("reline not done", Stage.CLOSED),
        "A reline is decided, and not recorded as done.",
        *("reviews", "done"),
        lose=decided("reline"),
        mend=logged(ReviewAct.DONE, decision="reline", product="hard reline resin", lot="RL-7"),
        passes=DENTIST,
    ),
    Gap(
        *("remake not open", Stage.CLOSED),
        "A remake is decided, and no case is open for it.",
        *("remake", "reason"),
        lose=decided("remake"),
        mend=remade,
        passes=DENTIST,
    ),
    Gap(
        *("liner in use", Stage.CLOSED),
        f"A soft liner is in use since {long_date(TODAY)}. Record that it was taken out or relined "
        "over.",
        *("reviews", "liner"),
        lose=both(logged(ReviewAct.LINER, liner="soft liner", **MATERIAL)),
        mend=logged(ReviewAct.LINER, liner="none"),
        passes=DENTIST,
    ),
)
