"""Every gap of the remount, before the denture comes off its cast and once more before release."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from labcases.domain import remount
from labcases.enums import Movement, Stage
from labcases.enums.remount import RemountAct
from labcases.management import walk_remount
from labcases.management.walk import Walk
from tests.labcases.domain.gaps import Act, Gap, both

D = Decimal
A = RemountAct
MANAGER = "manager"
NB = "\N{NO-BREAK SPACE}"


def line(act: RemountAct, **values: Any) -> Act:
    return lambda walk: walk_remount.log(walk.reload(), walk.hands.technician, act, **values)


def read(rise: str) -> Act:
    return line(A.PIN_READ, rise_mm=D(rise))


def strike(*acts: RemountAct, **which: Any) -> Act:
    def do(walk: Walk) -> None:
        for entry in walk.case.remount_entries.filter(act__in=acts, struck_at=None, **which):
            remount.strike(row=entry, reason="wrong case", by=walk.hands.technician)

    return do


def contacts(walk: Walk) -> None:
    walk_remount.contacts(walk.reload(), walk.hands.technician)


def answers(**but: str) -> Act:
    """The checklist with these answers in place of yes; an empty one is taken out."""

    def do(walk: Walk) -> None:
        case = walk.reload()
        told = {one.key: "yes" for one in remount.lines()} | but
        remount.save_check(
            case=case,
            version=case.remount_check.version,
            by=walk.hands.technician,
            values={
                "answers": {key: answer for key, answer in told.items() if answer},
                "words": dict.fromkeys(but, "seen"),
            },
        )

    return do


NO_RISE = ("Enter the pin rise found at the remount.", "remount", "rise_mm")

#: How far the pin stands off (occlusion.md C28, common practice): what the gate says of it.
OFF = (
    ("0.06", "may be accepted", f"+0.06{NB}mm", "accept"),
    ("0.5", "the most that may be accepted", f"+0.5{NB}mm", "accept"),
    ("-0.5", "the lowest that may be accepted", f"\N{MINUS SIGN}0.5{NB}mm", "accept"),
    ("0.51", "a little more", f"+0.51{NB}mm", "rise_mm"),
    ("1", "the most without a cause", f"+1{NB}mm", "rise_mm"),
    ("-0.51", "a little lower", f"\N{MINUS SIGN}0.51{NB}mm", "rise_mm"),
)


def off(shown: str, field: str) -> str:
    if field == "accept":
        return (
            f"The pin stands {shown} from the agreed value. Accept it, or correct the denture "
            "teeth and read it again."
        )
    if shown.startswith("\N{MINUS SIGN}"):
        return (
            f"The pin stands {shown} from the agreed value, and at most 0.5{NB}mm may be accepted. "
            "Nothing is reduced for a pin that stands too low. Look at the seat of the cast, and "
            "read the pin once more."
        )
    return (
        f"The pin stands {shown} from the agreed value, and at most 0.5{NB}mm may be accepted. "
        "Correct the denture teeth and read the pin again."
    )


REMOUNT = (
    Gap(
        *("pin not read", Stage.FINISHING, *NO_RISE),
        lose=strike(A.PIN_READ),
        mend=read("0"),
    ),
    Gap(
        *("pin reading struck again", Stage.RELEASED, *NO_RISE),
        lose=strike(A.PIN_READ),
        mend=both(read("0.3"), line(A.ACCEPTED)),
    ),
    *(
        Gap(
            *(f"pin off by {rise}: {name}", Stage.FINISHING, off(shown, field)),
            *("remount", field),
            lose=read(rise),
            mend=line(A.ACCEPTED) if field == "accept" else read("0.05"),
            passes=MANAGER,
        )
        for rise, name, shown, field in OFF
    ),
    Gap(
        *("pin off once more before release", Stage.RELEASED, off(f"+0.6{NB}mm", "rise_mm")),
        *("remount", "rise_mm"),
        lose=read("0.6"),
        mend=read("0"),
        passes=MANAGER,
    ),
    Gap(
        *("no cause of a high rise", Stage.FINISHING),
        f"The pin rose by 1.01{NB}mm, more than 1{NB}mm. Record the cause.",
        *("remount", "cause"),
        lose=both(read("1.01"), read("0")),
        mend=line(A.CAUSE, cause="overpacked"),
    ),
    Gap(
        *("corrected since the reading", Stage.FINISHING),
        "Denture teeth were corrected since the pin was read. Read it again.",
        *("remount", "rise_mm"),
        lose=both(
            read("0.3"),
            line(A.REDUCTION, teeth=["26"], depth_mm=D("0.1")),
            contacts,
        ),
        mend=read("0"),
        passes=MANAGER,
    ),
    *(
        Gap(
            *(f"no contacts in {movement.label.lower()}", Stage.FINISHING),
            f"Log the contacts in {movement.label.lower()} as they are now.",
            *("remount", "movement"),
            lose=strike(A.PASS, movement=movement, as_wanted=True),
            mend=line(A.PASS, movement=movement, as_wanted=True),
            passes=MANAGER,
        )
        for movement in Movement
    ),
    Gap(
        *("contacts not as wanted", Stage.RELEASED),
        "The contacts in protrusive are not as wanted after processing. Correct the denture teeth "
        "and log the pass again.",
        *("remount", "movement"),
        lose=line(A.PASS, movement=Movement.PROTRUSIVE, teeth=["11"], as_wanted=False),
        mend=line(A.PASS, movement=Movement.PROTRUSIVE, as_wanted=True),
        passes=MANAGER,
    ),
    Gap(
        *("a line of the checklist open", Stage.FINISHING),
        "Answer every line of the remount checklist; 1 of 10 are open.",
        *("remount_check", "answer_rm_order"),
        lose=answers(rm_order=""),
        mend=answers(),
        passes=MANAGER,
    ),
    Gap(
        *("a line of the checklist says no", Stage.FINISHING),
        "The remount checklist says no: No front tooth meets heavily. Mend it and answer again.",
        *("remount_check", "answer_rm_front"),
        lose=answers(rm_front="no"),
        mend=answers(),
        passes=MANAGER,
    ),
)
