"""For each act that can be undone: a case at which it is possible, and the act itself."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from labcases.domain import (
    bench,
    casts,
    device_statement,
    disinfecting,
    files,
    final_wax,
    jaw_records,
    line_photographs,
    lots,
    prescription,
    proposing,
    records,
    remount,
    stages,
)
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.domain.calculations import record_proposals
from labcases.enums import BoxContent, BoxDirection, SetUpAct, Side, Stage
from labcases.enums.proposals import ProposalKind
from labcases.management.sample import GAP_RECORD, MOUNTING, POINT_RECORDS, SITE, WAX
from labcases.management.walk import Walk
from labcases.models import CastLook
from tests.labcases import compared, sent_files
from tests.labcases.domain import undone_at_the_end
from tests.labcases.domain.gaps import bench_says
from tests.labcases.domain.undone_curing import OF_CURING
from tests.labcases.domain.undone_planning import OF_PLANNING

D = Decimal
Doing = Callable[[Walk], Any]
S = Stage

# --- the acts -----------------------------------------------------------------------------------


def mounted(walk: Walk, **values: Any) -> None:
    row = getattr(walk.reload(), "mounting", None)
    bench.save_mounting(
        case=walk.case,
        version=row.version if row else 0,
        by=walk.hands.technician,
        values=values,
    )


def settings(walk: Walk, **values: Any) -> None:
    row = getattr(walk.reload(), "articulator", None)
    bench.save_articulator(
        case=walk.case,
        version=row.version if row else 0,
        by=walk.hands.technician,
        values={**(walk.settings if row is None else {}), **values},
    )


def acknowledge(walk: Walk) -> None:
    row = walk.reload().articulator
    bench.acknowledge_settings(case=walk.case, version=row.version, by=walk.hands.technician)


def adopt(walk: Walk) -> None:
    told = record_proposals(walk.reload())["gap"]
    records.adopt(
        case=walk.case,
        version=walk.case.articulator.version,
        method=told.method,
        digest=told.digest,
        fields=["condylar_right_deg"],
        by=walk.hands.technician,
    )


def selection(walk: Walk, **values: Any) -> None:
    row = getattr(walk.reload(), "selection", None)
    bench.save_selection(
        case=walk.case, version=row.version if row else 0, by=walk.hands.technician, values=values
    )


def site(walk: Walk, tooth: str = "16", **values: Any) -> None:
    row = walk.reload().sites.filter(tooth=tooth).first()
    bench.save_site(
        case=walk.case,
        tooth=tooth,
        version=row.version if row else 0,
        by=walk.hands.technician,
        values=values,
    )


def wax(walk: Walk, **values: Any) -> None:
    row = getattr(walk.reload(), "final_wax", None)
    final_wax.save(
        case=walk.case, version=row.version if row else 0, by=walk.hands.technician, values=values
    )


def impression(walk: Walk) -> Any:
    return casts.add_impression(
        case=walk.reload(),
        by=walk.hands.technician,
        values={"arch": "upper", "material": "alginate", "taken_at": timezone.now()},
    )


def cast(walk: Walk) -> Any:
    return casts.add_cast(
        case=walk.reload(),
        by=walk.hands.technician,
        values={"kind": "master", "arch": "upper", "gypsum": "type 4"},
    )


def look(walk: Walk) -> CastLook:
    found = walk.reload().casts.first() or cast(walk)
    return casts.look_at(cast=found, by=walk.hands.technician, values={"state": "good"})


def piece(walk: Walk) -> Any:
    return casts.add_piece(
        case=walk.reload(),
        by=walk.hands.technician,
        values={"kind": "rim", "arch": "upper", "design": "resin base, wax rim"},
    )


def jaw_record(walk: Walk) -> Any:
    return jaw_records.add(
        case=walk.reload(),
        by=walk.hands.technician,
        values={
            "kind": "centric relation",
            "material": "hard wax",
            "taken_at": timezone.now(),
            "taken_by": "Dora",
        },
    )


def check_record(walk: Walk) -> Any:
    return records.add(case=walk.reload(), by=walk.hands.technician, values=dict(POINT_RECORDS[0]))


def note(walk: Walk) -> Any:
    return bench.log(
        case=walk.reload(),
        by=walk.hands.technician,
        values={"act": SetUpAct.NOTE, "note": "wax chilled"},
    )


def struck(enter: Doing, strike: Callable[..., Any], name: str) -> tuple[Doing, Doing]:
    """A line that is there, and the act of striking it out."""
    kept: dict[int, Any] = {}

    def before(walk: Walk) -> None:
        kept[walk.case.pk] = enter(walk)

    def act(walk: Walk) -> None:
        strike(**{name: kept.pop(walk.case.pk)}, reason="wrong case", by=walk.hands.technician)

    return before, act


def photograph(walk: Walk) -> Any:
    return files.add(
        case=walk.reload(),
        kind="paper",
        upload=sent_files.sent(sent_files.jpeg((20, 20))),
        by=walk.hands.lab_desk,
    )


def front_photograph(walk: Walk) -> Any:
    return files.add(
        case=walk.reload(),
        kind="photograph",
        view="cast",
        upload=sent_files.sent(sent_files.jpeg((21, 20))),
        by=walk.hands.technician,
    )


def bound(walk: Walk) -> Any:
    case = walk.reload()
    return line_photographs.bind(
        entry=case.setup_entries.last(),
        photograph=case.attachments.last(),
        by=walk.hands.technician,
    )


def appointment(walk: Walk) -> None:
    cases.save_appointment(
        case=walk.reload(),
        appointment=None,
        version=0,
        by=walk.hands.office_desk,
        values={"kind": "review", "on": date(2031, 3, 12), "status": "booked"},
    )


def moved_appointment(walk: Walk) -> None:
    row = walk.reload().appointments.last()
    cases.save_appointment(
        case=walk.case,
        appointment=row,
        version=row.version,
        by=walk.hands.office_desk,
        values={"on": row.on + timedelta(days=2), "status": "dropped"},
    )


def confirm(walk: Walk) -> None:
    case = walk.reload()
    cases.confirm_surgery(case=case, version=case.version, by=walk.hands.dentist)


def tray(walk: Walk) -> None:
    case = walk.reload()
    cases.set_tray_number(
        case=case, version=case.version, tray_number="T-7", by=walk.hands.technician
    )


def hold(walk: Walk) -> None:
    cases.hold(case=walk.reload(), reason="cast broke", by=walk.hands.technician)


def ask(walk: Walk) -> Any:
    return asking.ask(
        case=walk.reload(),
        about="the shade",
        text="B2?",
        waits_for=Side.OFFICE,
        by=walk.hands.technician,
    )


def propose(walk: Walk) -> Any:
    return proposing.raise_proposal(
        case=walk.reload(),
        kind=ProposalKind.NATURAL,
        tooth="46",
        why="46 stands 1.2 mm above the plane.",
        by=walk.hands.technician,
    )


def shade(walk: Walk) -> None:
    row = walk.reload().prescription
    prescription.save(row=row, version=row.version, by=walk.hands.dentist, values={"shade": "A3"})


def disinfect(walk: Walk) -> None:
    disinfecting.log(
        item=walk.reload().boxes.first().items.first(),
        by=walk.hands.lab_desk,
        values={
            "agent": "hypochlorite",
            "label_minutes": 10,
            "actual_minutes": 10,
            "done_by": "Lena",
            "done_at": timezone.now(),
        },
    )


def nothing(_walk: Walk) -> None:
    """Nothing has to stand before."""


_LINES: dict[tuple[str, str], tuple[Stage, Doing, Doing]] = {}
for _part, _enter, _strike, _name in (
    ("impressions", impression, casts.strike, "row"),
    ("casts", cast, casts.strike, "row"),
    ("inspections of casts", look, casts.strike, "row"),
    ("trays, bases and rims", piece, casts.strike, "row"),
    ("jaw records", jaw_record, jaw_records.strike, "row"),
    ("check records", check_record, records.strike, "row"),
    ("set-up log", note, bench.strike, "entry"),
    ("device statement", undone_at_the_end.drawn_up, device_statement.strike, "row"),
    ("lots at the release", undone_at_the_end.lot_added, lots.strike, "row"),
    ("remount", undone_at_the_end.pin_read, remount.strike, "row"),
):
    _made = "*" if _part == "set-up log" else "entered"
    _LINES[_part, _made] = (S.ACCEPTED, cast if _enter is look else nothing, _enter)
    _LINES[_part, "struck out"] = (S.ACCEPTED, *struck(_enter, _strike, _name))

_LINES["set-up log", "photograph bound"] = (
    S.ACCEPTED,
    lambda walk: (note(walk), front_photograph(walk)),
    bound,
)
_TAKEN_OUT = struck(photograph, files.take_out, "attachment")

#: The row of the table -> the stage of the case, what stands before, and the act.
DOINGS: dict[tuple[str, str], tuple[Stage, Doing, Doing]] = {
    **_LINES,
    **OF_CURING,
    **OF_PLANNING,
    ("case", "changed"): (S.ACCEPTED, nothing, tray),
    ("case", "put on hold"): (S.ACCEPTED, nothing, hold),
    ("case", "taken off hold"): (
        S.ACCEPTED,
        hold,
        lambda walk: cases.resume(case=walk.reload(), by=walk.hands.technician),
    ),
    ("stage", "moved"): (
        S.ACCEPTED,
        nothing,
        lambda walk: stages.move(case=walk.reload(), to=S.MASTER_CAST, by=walk.hands.technician),
    ),
    ("dates", "entered"): (S.ACCEPTED, nothing, appointment),
    ("dates", "changed"): (S.ACCEPTED, appointment, moved_appointment),
    ("dates", "confirmed"): (S.ACCEPTED, nothing, confirm),
    ("prescription", "changed"): (S.DRAFT, nothing, shade),
    ("question", "asked"): (S.ACCEPTED, nothing, ask),
    ("proposal", "raised"): (S.ACCEPTED, nothing, propose),
    ("box", "packed"): (
        S.ACCEPTED,
        nothing,
        lambda walk: walk.pack(
            BoxDirection.TO_OFFICE, BoxContent.IMPRESSION, by=walk.hands.lab_desk
        ),
    ),
    ("disinfection", "entered"): (S.ACCEPTED, nothing, disinfect),
    ("photographs and papers", "added"): (S.ACCEPTED, nothing, photograph),
    ("photographs and papers", "taken out"): (S.ACCEPTED, *_TAKEN_OUT),
    ("mounting", "entered"): (S.MOUNTING, nothing, lambda walk: mounted(walk, **MOUNTING)),
    ("mounting", "changed"): (
        S.SETTINGS,
        nothing,
        lambda walk: mounted(walk, foil_points=4, pin_zero_mm=D("0.25")),
    ),
    ("articulator record", "entered"): (S.SETTINGS, nothing, settings),
    ("articulator record", "changed"): (
        S.SETTINGS,
        settings,
        lambda walk: settings(walk, condylar_right_deg=D("33.5")),
    ),
    ("articulator record", "adopted"): (
        S.SETTINGS,
        lambda walk: (
            settings(walk),
            records.add(case=walk.reload(), by=walk.hands.technician, values=dict(GAP_RECORD)),
        ),
        adopt,
    ),
    ("articulator record", "followed the marks"): (
        S.SETTINGS,
        lambda walk: (settings(walk), compared.kept_with_own_settings(walk)),
        compared.follow,
    ),
    ("articulator record", "acknowledged"): (
        S.SETTINGS,
        lambda walk: settings(walk, condylar_right_deg=D("60")),
        acknowledge,
    ),
    ("tooth selection", "entered"): (S.SETTINGS, nothing, lambda walk: selection(walk, shade="B2")),
    ("tooth selection", "changed"): (
        S.SET_UP,
        nothing,
        lambda walk: selection(walk, shade="A3"),
    ),
    ("site *", "entered"): (S.SETTINGS, nothing, lambda walk: site(walk, **SITE)),
    ("site *", "changed"): (S.SET_UP, nothing, lambda walk: site(walk, space_mm=D("8.25"))),
    ("bench check", "entered"): (S.SET_UP, nothing, lambda walk: walk.check_bench()),
    ("bench check", "changed"): (
        S.SET_UP,
        lambda walk: walk.check_bench(),
        bench_says(seat="no"),
    ),
    ("final wax", "entered"): (S.FINAL_WAX, nothing, lambda walk: wax(walk, **WAX)),
    ("final wax", "changed"): (
        S.FINAL_WAX,
        lambda walk: wax(walk, **WAX),
        lambda walk: wax(walk, overjet_mm=D("2.5")),
    ),
    **undone_at_the_end.SAVED,
}
