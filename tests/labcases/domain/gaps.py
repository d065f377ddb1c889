"""One thing that a case lacks: how it comes about, what the gate says, and what mends it.

Verbs of the domain make and mend a gap wherever a person could; only what no person can do
(unsign, erase a row) is done to the database.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from labcases.domain import (
    bench,
    bench_check,
    files,
    final_wax,
    prescription,
    processing,
    teeth_needed,
    tooth_orders,
    undo,
)
from labcases.domain import delivery as delivering
from labcases.enums import BoxDirection, SetUpAct, SetUpPart, Stage
from labcases.enums.wax import WaxList
from labcases.management import walk_wax
from labcases.management.sample_tryin import bench_checked
from labcases.management.walk import Walk
from labcases.management.walk_teeth import have_teeth

Act = Callable[[Walk], object]

LAB, OFFICE = BoxDirection.TO_LABORATORY, BoxDirection.TO_OFFICE


@dataclass(frozen=True)
class Gap:
    """``text``, ``part`` and ``field`` as the gate gives them, ``passes`` who may go on."""

    name: str
    into: Stage
    text: str
    part: str
    field: str
    lose: Act
    mend: Act
    passes: str = "nobody"
    begin: Stage | None = None
    """Where the case waits before ``lose``; by default before ``into``."""

    def __str__(self) -> str:
        return f"{self.into}: {self.name}"


def both(*acts: Act) -> Act:
    def do(walk: Walk) -> None:
        for act in acts:
            act(walk)

    return do


# --- rows of the bench -------------------------------------------------------------------------


def mounting(**values: Any) -> Act:
    return lambda walk: bench.save_mounting(
        case=walk.reload(),
        version=walk.case.mounting.version,
        by=walk.hands.technician,
        values=values,
    )


def settings(**values: Any) -> Act:
    return lambda walk: bench.save_articulator(
        case=walk.reload(),
        version=walk.case.articulator.version,
        by=walk.hands.technician,
        values=values,
    )


def selection(**values: Any) -> Act:
    return lambda walk: bench.save_selection(
        case=walk.reload(),
        version=walk.case.selection.version,
        by=walk.hands.technician,
        values=values,
    )


def site(tooth: str, **values: Any) -> Act:
    return lambda walk: bench.save_site(
        case=walk.reload(),
        tooth=tooth,
        version=walk.case.sites.get(tooth=tooth).version,
        by=walk.hands.technician,
        values=values,
    )


def discard_teeth(key: str) -> Act:
    """Say that the set of a part is not used after all."""

    def do(walk: Walk) -> None:
        case = walk.reload()
        need = teeth_needed.need_of(case, key)
        row = teeth_needed.set_of(case, need)
        tooth_orders.discard(row=row, version=row.version, by=walk.hands.technician, why="chipped")

    return do


def order_teeth(key: str, **values: Any) -> Act:
    def do(walk: Walk) -> None:
        case = walk.reload()
        need = teeth_needed.need_of(case, key)
        told = {**teeth_needed.wanted(case, need.part), **values}
        tooth_orders.order(case=case, need=need, by=walk.hands.technician, values=told)

    return do


def here_teeth(key: str, **values: Any) -> Act:
    def do(walk: Walk) -> None:
        case = walk.reload()
        need = teeth_needed.need_of(case, key)
        told = {**teeth_needed.wanted(case, need.part), **values}
        tooth_orders.enter(case=case, need=need, by=walk.hands.technician, values=told)

    return do


def teeth_here(walk: Walk) -> None:
    have_teeth(walk.reload(), walk.hands.technician)


def order_arrives(walk: Walk) -> None:
    row = walk.reload().tooth_supplies.get(state="ordered")
    tooth_orders.arrived(row=row, version=row.version, by=walk.hands.technician, values={})


def erase(name: str) -> Act:
    """Take a part's only row away, as if it had never been entered."""
    return lambda walk: (
        type(walk.case)._meta.get_field(name).related_model.objects.filter(case=walk.case).delete()
    )


# --- the set-up log ----------------------------------------------------------------------------


def log(act: SetUpAct, **values: Any) -> Act:
    return lambda walk: walk.log(act, **values)


def foil(movement: str, *, as_wanted: bool | None) -> Act:
    return lambda walk: walk.foil(movement, as_wanted=as_wanted)


def strike(*acts: SetUpAct, **which: Any) -> Act:
    def do(walk: Walk) -> None:
        for entry in walk.case.setup_entries.filter(act__in=acts, struck_at=None, **which):
            bench.strike(entry=entry, reason="wrong case", by=walk.hands.technician)

    return do


def undone(act: SetUpAct) -> Act:
    """The last line of this act is undone by who logged it."""

    def do(walk: Walk) -> None:
        entry = walk.reload().history.filter(part="set-up log", act=act.label.lower()).last()
        undo.undo(case=walk.case, numbers=[entry.sequence], by=walk.hands.technician)

    return do


def done(part: SetUpPart, **values: Any) -> Act:
    return log(SetUpAct.PART_DONE, part=part, **values)


# --- what the office and the end of the work enter ------------------------------------------------


def wax(**values: Any) -> Act:
    """Save the wax and let the dentist approve it as it is then."""

    def do(walk: Walk) -> None:
        final_wax.save(
            case=walk.reload(),
            version=walk.case.final_wax.version,
            by=walk.hands.technician,
            values=values,
        )
        walk.approve_wax()

    return do


def answered(which: WaxList, **but: str) -> Act:
    """A checklist of the wax answered anew, approved as it is then."""

    def do(walk: Walk) -> None:
        case = walk.reload()
        answers = {line.key: "yes" for line in final_wax.lines(case, which)} | but
        final_wax.save_list(
            case=case,
            version=case.final_wax.version,
            by=walk.hands.technician,
            which=which,
            values={"answers": answers, "words": {}},
        )
        walk.approve_wax()

    return do


def unanswered(**but: str) -> Act:
    """Answers of the wax as no page leaves an approved one; an empty one is taken out."""

    def do(walk: Walk) -> None:
        row = walk.reload().final_wax
        told = {key: answer for key, answer in (row.answers | but).items() if answer}
        approval(answers=told)(walk)

    return do


def out_of_view(view: str) -> Act:
    """A photograph of the wax is taken out of view, the oldest of its view."""

    def do(walk: Walk) -> None:
        row = next(one for one in final_wax.photographs(walk.reload()) if one.view == view)
        files.take_out(attachment=row, reason="blurred", by=walk.hands.technician)

    return do


def photographed(walk: Walk) -> None:
    """What is lacking of the wax is photographed, and the dentist approves by that."""
    walk_wax.photograph(walk.reload(), walk.hands.technician)
    walk.approve_wax()


def another_photograph(walk: Walk) -> None:
    """The wax from in front once more."""
    files.add(
        case=walk.reload(),
        kind="final wax",
        view="intraoral front",
        upload=walk_wax.drawing("teeth-from-front.png"),
        by=walk.hands.technician,
    )


def approval(**values: Any) -> Act:
    """What no verb takes away alone."""
    return lambda walk: type(walk.case.final_wax).objects.filter(case=walk.case).update(**values)


def released(**values: Any) -> Act:
    """Save the release and let a second person look at it."""

    def do(walk: Walk) -> None:
        finished(**values)(walk)
        look(walk)

    return do


def finished(**values: Any) -> Act:
    return lambda walk: processing.save_release(
        case=walk.reload(),
        version=walk.case.release.version,
        by=walk.hands.technician,
        values=values,
    )


def look(walk: Walk) -> None:
    processing.look_again(
        case=walk.reload(), version=walk.case.release.version, by=walk.hands.manager
    )


def delivery(**values: Any) -> Act:
    return lambda walk: delivering.save(
        case=walk.reload(), version=walk.case.delivery.version, by=walk.hands.dentist, values=values
    )


def operated(**values: Any) -> Act:
    return lambda walk: delivering.save_surgery(
        case=walk.reload(), version=walk.case.surgery.version, by=walk.hands.dentist, values=values
    )


def arrived(**values: Any) -> Act:
    return lambda walk: delivering.save_arrival(
        case=walk.reload(),
        version=walk.case.arrival.version,
        by=walk.hands.office_desk,
        values=values,
    )


def revise(**values: Any) -> Act:
    def do(walk: Walk) -> None:
        dentist = walk.hands.dentist
        row = prescription.revise(case=walk.reload(), by=dentist)
        prescription.save(row=row, version=row.version, by=dentist, values=values)
        walk.sign()

    return do


# --- boxes -------------------------------------------------------------------------------------


def enter(stage: Stage) -> Act:
    return lambda walk: walk.enter(stage)


def go(stage: Stage) -> Act:
    """Move by the technician, wherever the walk's own road would lead."""
    return lambda walk: walk.move(stage, walk.hands.technician)


def checked(walk: Walk) -> None:
    """The base is looked at on the bench once more, and all is well."""
    walk.check_bench()


def bench_says(**answers: str) -> Act:
    """The bench check with these answers in place of yes."""

    def do(walk: Walk) -> None:
        case = walk.reload()
        row = bench_check.open_of(case)
        told = bench_checked(case.prescription.arch)["answers"] | answers
        bench_check.save(
            case=case,
            version=row.version if row else 0,
            by=walk.hands.technician,
            values={
                "answers": {key: answer for key, answer in told.items() if answer},
                "words": dict.fromkeys(answers, "rocks"),
            },
        )

    return do


def judged_before(outcome: str) -> Act:
    """A verdict of before verdicts sent a case back by themselves."""

    def do(walk: Walk) -> None:
        walk.case.try_ins.update(
            outcome=outcome, decided_by=walk.hands.dentist, decided_at=timezone.now()
        )

    return do


def judge(outcome: str) -> Act:
    return lambda walk: walk.judge_try_in(outcome)
