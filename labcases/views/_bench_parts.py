"""The parts of a case that the laboratory writes, folded to a line each."""

from __future__ import annotations

from django.utils import timezone

from labcases.domain import bench_check as bench_checks
from labcases.domain import (
    checks,
    device_statement,
    ledger,
    queries,
    remount_ledger,
    teeth_needed,
    tooth_dates,
    undoing,
)
from labcases.domain import final_wax as wax_rules
from labcases.domain import mounting as mounting_rules
from labcases.domain import remount as remounting
from labcases.domain import teeth as tooth_lists
from labcases.domain.gates import finished
from labcases.enums import CheckKind, SetUpPart, Stage, TryInWish
from labcases.models import Case
from labcases.templatetags.units import deg, deg_within, long_date, long_time, mm
from labcases.views._folded import Part, many, pairs, url_of

_STAGES = tuple(Stage)
BEFORE_FINISHING = _STAGES[: _STAGES.index(Stage.FINISHING)]
AFTER_FINISHING = _STAGES[_STAGES.index(Stage.RELEASED) : _STAGES.index(Stage.DECLINED)]


def mounting(case: Case) -> Part:
    row = getattr(case, "mounting", None)
    verdict = mounting_rules.judge_of(case)
    if row is None or verdict is None:
        return Part("mounting", "Mounting", url_of("mounting", case), "Nothing entered", done=False)
    to_mind = mounting_rules.cautions(case)
    return Part(
        "mounting",
        "Mounting",
        url_of("mounting", case),
        f"Mounting {row.number}: {verdict.text}",
        done=verdict.word == mounting_rules.AGREED,
        word={
            mounting_rules.AGREED: "Verified",
            mounting_rules.NOT_AGREED: "Not agreed",
        }.get(verdict.word, ""),
        mark="warning" if verdict.word == mounting_rules.NOT_AGREED or to_mind else "",
        pairs=[
            *pairs(
                row,
                (
                    *("casts_inspected", "cast_note", "upper_cast", "lower_cast", "transfer"),
                    *("reference_plane", "jaw_record", "record", "record_medium", "pin_zero_mm"),
                    *("foil_pairs", "foil_points", "agreement_mm"),
                ),
            ),
            *([{"label": "Held to", "value": verdict.held_to}] if verdict.held_to else []),
            *({"label": "To mind", "value": one.text} for one in to_mind),
        ],
    )


def settings(case: Case) -> Part:
    row = getattr(case, "articulator", None)
    if row is None:
        return Part("settings", "Settings", url_of("settings", case), "Nothing entered", done=False)
    line = (
        "Condylar inclination right "
        f"{deg_within(row.condylar_right_deg, row.condylar_right_sd_deg)}, left "
        f"{deg_within(row.condylar_left_deg, row.condylar_left_sd_deg)}; incisal table "
        f"{deg(row.incisal_table_deg)}"
    )
    fields = (
        *("origin", "intercondylar_mm", "bennett_right_deg", "bennett_right_sd_deg"),
        *("bennett_left_deg", "bennett_left_sd_deg"),
        *("side_shift_right_mm", "side_shift_left_mm", "wing_right_deg", "wing_left_deg"),
        *("table_on", "front_guide", "overjet_mm", "overbite_mm", "reference_plane"),
        "pin_opening_mm",
    )
    return Part(
        "settings",
        "Settings",
        url_of("settings", case),
        line,
        done=True,
        word="Entered",
        pairs=pairs(row, fields),
    )


def teeth(case: Case) -> Part:
    row = getattr(case, "selection", None)
    if row is None:
        return Part("teeth", "Denture teeth", url_of("teeth", case), "Nothing chosen", done=False)
    here = teeth_needed.in_hand(case)
    late = tooth_dates.warnings(case, queries.plan_of(case), timezone.localdate())
    moulds = [mould for mould in (row.anterior_mould, row.posterior_mould) if mould]
    chosen = ", ".join(moulds) or "No mould entered"
    return Part(
        "teeth",
        "Denture teeth",
        url_of("teeth", case),
        " ".join([f"{chosen}.", late]) if late else chosen,
        done=here,
        mark="warning" if late else "",
        word="In hand" if here else "Not in hand",
        pairs=[
            *pairs(row, ("shade", "material", "cusp_angle_deg")),
            *(
                {"label": one.get_part_display(), "value": teeth_needed.in_words(one)}
                for one in teeth_needed.standing(case)
            ),
        ],
    )


def sites(case: Case) -> Part:
    wanted = tooth_lists.posterior_sites(case.prescription)
    rows = {row.tooth: row for row in case.sites.all()}
    known = [t for t in wanted if t in rows and (rows[t].ample or rows[t].space_mm is not None)]
    return Part(
        "sites",
        "Sites",
        url_of("sites", case),
        f"{len(known)} of {many(len(wanted), 'posterior site', 'posterior sites')} measured "
        "or ample",
        done=bool(wanted) and len(known) == len(wanted),
        pairs=[
            {
                "label": f"Site {tooth}",
                "value": "Ample" if rows[tooth].ample else str(mm(rows[tooth].space_mm)),
            }
            for tooth in known
        ],
    )


def check(case: Case) -> Part:
    url = url_of("check", case)
    shown = checks.latest(case, CheckKind.CLEARANCE)
    if shown is None:
        return Part("check", "Clearance check", url, "Not computed", done=False)
    return Part(
        "check",
        "Clearance check",
        url,
        f"Computed {long_time(shown.run.at)} by {shown.run.by}",
        done=not shown.stale,
        word="Stale" if shown.stale else "Computed",
        stale=shown.stale,
        pairs=[{"label": "Changed since", "value": "; ".join(shown.changed)}]
        if shown.stale
        else [],
    )


def setup(case: Case) -> Part:
    done = ledger.parts_done(case)
    balance = ledger.balance(case)
    said = [f"{part.label}: {'done' if part in done else 'not done'}" for part in SetUpPart]
    if balance.reading_mm is not None:
        said.append(
            f"pin {mm(balance.reading_mm)}, agreed {mm(balance.agreed_mm)}: "
            f"{'balanced' if balance.balanced else 'not balanced'}"
        )
    last = ledger.standing(case)[-5:]
    return Part(
        "setup",
        "Set-up log",
        url_of("setup", case),
        "; ".join(said),
        done=len(done) == len(SetUpPart),
        pairs=[
            {"label": long_time(entry.at), "value": f"{entry.get_act_display()} ({entry.by})"}
            for entry in reversed(last)
        ],
    )


def bench_check(case: Case) -> Part:
    """What was checked before the base leaves, or before the last try-in."""
    url = url_of("bench_check", case)
    row = bench_checks.shown(case)
    if row is None or row.done_at is None:
        none = case.prescription.try_in in (TryInWish.WAIVED, TryInWish.NOT_POSSIBLE)
        return Part(
            "bench-check",
            "Bench check",
            url,
            "No try-in, so none is asked for" if none else "Not checked",
            done=None if none else False,
        )
    lines = bench_checks.asked(case)
    wrong = bench_checks.refused(row, lines)
    stale = row.try_in_id is None and bench_checks.outdated_since(case, row) is not None
    said = f"Checked by {row.done_by} on {long_date(row.done_at)}"
    if row.try_in_id:
        said += f", for try-in {row.try_in.number}" if row.try_in else ""
    return Part(
        "bench-check",
        "Bench check",
        url,
        said,
        done=not (wrong or bench_checks.silent(row, lines) or stale),
        stale=stale,
        pairs=[{"label": line.text, "value": f"No: {row.words[line.key]}"} for line in wrong],
    )


def final_wax(case: Case) -> Part:
    row = getattr(case, "final_wax", None)
    url = url_of("final_wax", case)
    if row is None:
        return Part("final-wax", "Final wax", url, "Nothing entered", done=False)
    approved = row.approved_at is not None
    otherwise = bool(wax_rules.trimmed_otherwise(case, row))
    stale = approved and (otherwise or not undoing.wax_approval_stands(case))
    line = (
        f"Approved {row.approved} on {long_date(row.approved_at)}"
        if approved
        else "Waits for the dentist's approval"
    )
    if otherwise:
        line += ", and the cast is trimmed otherwise since"
    fields = (
        *("duplicate_made", "bone_change_planned", "flange_kind", "flange_decision"),
        *("undercut_kind", "undercut_decision", "insertion", "template_wanted"),
        *("overjet_mm", "overbite_mm", "incisal_display_mm", "midline_offset_mm"),
        *("central_length_mm", "note"),
    )
    return Part(
        "final-wax",
        "Final wax",
        url,
        line,
        done=approved and not stale,
        stale=stale,
        pairs=pairs(row, fields),
    )


def handoff(case: Case) -> Part:
    row = case.handoffs.last()
    url = url_of("handoff", case)
    if row is None:
        return Part("handoff", "Processing handoff", url, "Not handed over", done=False)
    return Part(
        "handoff",
        "Processing handoff",
        url,
        f"Handed over by {row.by} on {long_date(row.at)}, revision {row.revision}",
        done=True,
        word=f"Handoff {row.number}",
        pairs=pairs(row, ("base_material", "base_product", "base_lot", "index_made", "note")),
    )


def remount(case: Case) -> Part:
    """Where the pin stands after processing, and the lines that were logged last."""
    url = url_of("remount", case)
    told = remount_ledger.of(case)
    if told.rise_mm is None:
        return Part("remount", "Remount", url, "The pin is not read", done=False)
    said = f"Pin {remounting.off_words(told.rise_mm)}"
    if told.accepted_mm:
        said += ", accepted"
    return Part(
        "remount",
        "Remount",
        url,
        said,
        done=told.balanced,
        mark="warning" if told.lacks_cause else "",
        word="Balanced" if told.balanced else "Not balanced",
        pairs=[
            {"label": long_time(row.at), "value": f"{remounting.in_words(row)} ({row.by})"}
            for row in reversed(remount_ledger.standing(case)[-5:])
        ],
    )


def finishing(case: Case) -> Part:
    """Mark and template; the text of the mark stands on the page of the finishing alone."""
    url = url_of("finishing", case)
    row = getattr(case, "finishing", None)
    open_items = list(finished(case))
    said = "Mark and template are as wanted" if row else "Nothing is asked of mark and template"
    if open_items:
        said = open_items[0].text
    if row is None and case.stage in BEFORE_FINISHING:
        said = f"Not begun. {said}"
    return Part(
        "finishing",
        "Finishing",
        url,
        said,
        # Where nothing is asked, the stage alone says that it is behind the case.
        done=not open_items and (row is not None or case.stage in AFTER_FINISHING),
        pairs=pairs(row, ("template_lot", "template_mm", "note")) if row else [],
    )


def release(case: Case) -> Part:
    row = getattr(case, "release", None)
    url = url_of("release", case)
    if row is None:
        return Part("release", "Release", url, "Nothing entered", done=False)
    looked = row.second_look_at is not None
    line = f"Second look by {row.second_look_by}" if looked else "No second look yet"
    return Part(
        "release",
        "Release",
        url,
        line,
        done=looked,
        pairs=pairs(row, ("agent", "label_minutes", "actual_minutes")),
    )


def statement(case: Case) -> Part:
    """The statement with the denture; nothing is open where no chosen place asks for one."""
    url = url_of("statement", case)
    row = device_statement.standing(case)
    if row is None:
        asked = bool(device_statement.asking(case))
        line = "Not drawn up" if asked else "No chosen place asks for one"
        return Part("statement", "Device statement", url, line, done=False if asked else None)
    return Part(
        "statement",
        "Device statement",
        url,
        f"Statement {row.number} by {row.by} on {long_date(row.at)}, revision {row.revision}",
        done=True,
        stale=bool(device_statement.outdated(case, row)),
    )
