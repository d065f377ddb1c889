"""What the bench must have done: mounting, settings, teeth, height, set-up."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import bench_check, calculations, ledger, teeth, teeth_needed, tryin_boxes
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.domain.mounting import AGREED, judge, limits_of
from labcases.enums import JawRecord, Movement, SetUpPart
from labcases.models import Case


def mounted(case: Case) -> Iterator[Missing]:
    row = getattr(case, "mounting", None)
    if row is None:
        yield Missing("Enter the mounting.", "mounting", passable=MANAGER)
        return
    if not row.casts_inspected:
        yield Missing("Inspect the casts and tick it.", "mounting", "casts_inspected", MANAGER)
    if not row.transfer:
        yield Missing("Say how the upper cast was transferred.", "mounting", "transfer", MANAGER)
    if row.pin_zero_mm is None:
        yield Missing("Read the pin at mounting.", "mounting", "pin_zero_mm", MANAGER)
    limits = limits_of(case.laboratory)
    agreed = judge(row, limits).word == AGREED
    if row.jaw_record == JawRecord.MAXIMUM_INTERCUSPATION:
        if not agreed:
            yield Missing(
                "In maximum intercuspation the mounting is verified when at least three spread "
                "points and the pairs you name hold foil. Enter both.",
                "mounting",
                "foil_points",
                MANAGER,
            )
    elif row.jaw_record == JawRecord.CENTRIC_RELATION:
        if not agreed:
            yield Missing(
                "In centric relation the mounting is verified when a second record agrees within "
                f"{limits.agree} or the split cast closes. Enter which.",
                "mounting",
                "agreement_mm",
                MANAGER,
            )
    else:
        yield Missing("Choose the jaw record of the mounting.", "mounting", "jaw_record", MANAGER)


def settings_valid(case: Case) -> Iterator[Missing]:
    record = getattr(case, "articulator", None)
    if record is None:
        yield Missing("Enter the articulator record.", "settings", passable=MANAGER)
        return
    findings = calculations.settings_findings(record)
    if findings.refusal:
        yield Missing(findings.refusal, "settings", findings.field)
    elif findings.warnings and record.acknowledged != findings.digest:
        count = len(findings.warnings)
        many = "unusual setting" if count == 1 else f"{count} unusual settings"
        yield Missing(
            f"Read and acknowledge the {many}.",
            "settings",
            "acknowledge",
            MANAGER,
        )


def teeth_in_hand(case: Case) -> Iterator[Missing]:
    if teeth_needed.chosen_of(case) is None:
        yield Missing("Enter the tooth selection.", "teeth", passable=MANAGER)
        return
    for gap in teeth_needed.gaps(case):
        yield Missing(gap.text, "teeth", gap.need.key, MANAGER)


def height_known(case: Case) -> Iterator[Missing]:
    rows = {row.tooth: row for row in calculations.height_budget(case).rows}
    for tooth in teeth.posterior_sites(case.prescription):
        row = rows.get(tooth)
        if row is None or row.verdict == "not measured":
            yield Missing(
                f"Measure the space at {tooth}, or tick it as ample.",
                "sites",
                f"{tooth}-space_mm",
                MANAGER,
            )
        elif row.verdict == "short":
            yield Missing(
                f"At {tooth} the height is short by {row.short_by_mm:.2f} mm. Choose a way out "
                "and measure again.",
                "sites",
                f"{tooth}-space_mm",
                MANAGER,
            )


def posterior_done(case: Case) -> Iterator[Missing]:
    done = ledger.parts_done(case)
    if SetUpPart.POSTERIOR not in done:
        yield Missing("The posterior teeth are not logged as done.", "setup", "part", MANAGER)
    elif not ledger.separable_base(case):
        yield Missing(
            "The posterior teeth must stand on a base that comes off the cast, so that they can "
            "be tried in alone.",
            "setup",
            "separable_base",
            MANAGER,
        )


def passes_as_wanted(case: Case) -> Iterator[Missing]:
    last = ledger.last_passes(case)
    for movement in Movement:
        entry = last.get(movement)
        if entry is None:
            yield Missing(
                f"No pass is logged for {movement.label.lower()}.", "passes", "movement", MANAGER
            )
        elif entry.as_wanted is None:
            yield Missing(
                f"Say whether the last pass in {movement.label.lower()} was as the scheme wants.",
                "passes",
                "movement",
                MANAGER,
            )
        elif not entry.as_wanted:
            yield Missing(
                f"The last pass in {movement.label.lower()} was not as the scheme wants.",
                "passes",
                "movement",
                MANAGER,
            )


def ledger_balanced(case: Case, passable: str | None = None) -> Iterator[Missing]:
    balance = ledger.balance(case)
    if balance.reading_mm is None:
        yield Missing("Read the pin and log it.", "setup", "after_mm", passable)
    elif not balance.balanced:
        yield Missing(
            f"The pin stands {balance.from_zero_mm:.2f} mm from pin zero and "
            f"{balance.agreed_mm:.2f} mm is agreed. Bring it back and log the reading.",
            "setup",
            "after_mm",
            passable,
        )


def pin_as_agreed(case: Case) -> Iterator[Missing]:
    yield from ledger_balanced(case, MANAGER)


def both_parts_done(case: Case) -> Iterator[Missing]:
    done = ledger.parts_done(case)
    for part in SetUpPart:
        if part not in done:
            yield Missing(f"The {part.value} teeth are not logged as done.", "setup", "part")


def bench_checked(case: Case) -> Iterator[Missing]:
    """Before the base leaves, the laboratory has looked at it, and nothing was wrong."""
    row = bench_check.open_of(case)
    if row is None:
        yield Missing(
            "Check the base on the bench before it leaves for the try-in.",
            "bench_check",
            passable=MANAGER,
        )
        return
    lines = bench_check.asked(case)
    silent = bench_check.silent(row, lines)
    if silent:
        yield Missing(
            f"Answer every line of the bench check; {len(silent)} of {len(lines)} are open.",
            "bench_check",
            f"answer_{silent[0].key}",
            MANAGER,
        )
    for line in bench_check.refused(row, lines):
        yield Missing(
            f"The bench check says no: {line.text}. Mend it and check again.",
            "bench_check",
            f"answer_{line.key}",
            MANAGER,
        )
    if bench_check.outdated_since(case, row):
        yield Missing(
            "The set-up log has changed since the bench check. Check the base again and save it.",
            "bench_check",
            passable=MANAGER,
        )


def base_back(case: Case) -> Iterator[Missing]:
    """A base that went out for a try-in has come back."""
    if tryin_boxes.is_away(case):
        yield Missing(
            f"{tryin_boxes.whereabouts(case)} Take in the box that brings it back.",
            "boxes",
            passable=MANAGER,
        )
