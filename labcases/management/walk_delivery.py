"""What the office records of a denture that came: the arrival, the surgery, the delivery."""

from __future__ import annotations

from datetime import date

from django.utils import timezone

from labcases.domain import delivered, delivery, finishing
from labcases.domain.bench_check import YES
from labcases.enums.delivery import Liner, TemplateUse
from labcases.models import Case, User
from labcases.reference.checklists import lines_of
from labcases.reference.delivery import arrival_checklist, delivery_checklist


def check_arrival(case: Case, desk: User) -> None:
    answers = {line.key: YES for line in lines_of(arrival_checklist())}
    delivery.save_arrival(case=case, version=0, by=desk, values={"answers": answers})


def operate(case: Case, dentist: User, on: date | None = None) -> None:
    use = TemplateUse.USED if finishing.template_wanted(case) else TemplateUse.NONE
    delivery.save_surgery(
        case=case,
        version=0,
        by=dentist,
        values={
            "held_on": on or timezone.localdate(),
            "teeth_out": delivered.planned(case),
            "template_use": use,
            "bone_changed": False,
        },
    )


def deliver(case: Case, dentist: User, on: date | None = None) -> None:
    answers = {line.key: YES for line in lines_of(delivery_checklist())}
    delivery.save(
        case=case,
        version=0,
        by=dentist,
        values={
            "delivered_on": on or timezone.localdate(),
            "answers": answers,
            "liner_kind": Liner.NONE,
        },
    )


def report(case: Case, desk: User, dentist: User, on: date | None = None) -> None:
    """Everything that the gate into delivered asks of the office."""
    check_arrival(case, desk)
    operate(case, dentist, on)
    deliver(case, dentist, on)
