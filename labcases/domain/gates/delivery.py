"""What must be recorded at the office before a case counts as delivered.

A delivery that nobody reported, and that was settled so after 14 days, is asked nothing more.
"""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import bench_check, calendars, delivered, disinfecting, finishing
from labcases.domain.gates.missing import Missing
from labcases.enums import BoxContent
from labcases.models import ArrivalCheck, Case, Delivery, Surgery
from labcases.reference.checklists import lines_of
from labcases.reference.delivery import arrival_checklist, delivery_checklist


def arrival_checked(case: Case) -> Iterator[Missing]:
    if delivered.settled_unreported(case):
        return
    for item in disinfecting.of_case(case):
        if item.box.comes_to == "office" and item.content == BoxContent.DENTURE:
            yield Missing(
                "The denture came with no disinfection or one that was too short. Disinfect it "
                "and log it before it goes into a mouth.",
                "boxes",
            )
    row: ArrivalCheck | None = getattr(case, "arrival", None)
    open_lines = bench_check.silent(row, lines_of(arrival_checklist()))
    if open_lines:
        yield Missing(
            f"Check the denture as it arrived: {_many(len(open_lines))} not answered.", "arrival"
        )
    elif row and delivered.came_since(case, row):
        yield Missing("The denture came again since it was checked. Check it again.", "arrival")


def surgery_recorded(case: Case) -> Iterator[Missing]:
    if delivered.settled_unreported(case):
        return
    row: Surgery | None = getattr(case, "surgery", None)
    if row is None or row.held_on is None:
        yield Missing("Enter the surgery as it was: its day, and the teeth.", "surgery", "held_on")
        return
    if finishing.template_wanted(case) and not row.template_use:
        yield Missing("Say whether the surgical template was used.", "surgery", "template_use")
    if any(delivered.otherwise(case, row)) and not delivered.reported_otherwise(case):
        yield Missing(
            "The teeth that came out are not those of the plan. Report it, so that the laboratory "
            "knows.",
            "incidents",
        )


def delivery_reported(case: Case) -> Iterator[Missing]:
    if delivered.settled_unreported(case):
        return
    row: Delivery | None = getattr(case, "delivery", None)
    if row is None or row.delivered_on is None:
        yield Missing("Enter the day of delivery.", "delivery", "delivered_on")
    elif row.delivered_on > calendars.today_of(case.office):
        yield Missing("The day of delivery lies ahead. Correct it.", "delivery", "delivered_on")
    open_lines = bench_check.silent(row, lines_of(delivery_checklist()))
    if open_lines:
        yield Missing(
            f"Answer the checklist of the delivery: {_many(len(open_lines))} not answered.",
            "delivery",
        )


def _many(count: int) -> str:
    return "1 line is" if count == 1 else f"{count} lines are"
