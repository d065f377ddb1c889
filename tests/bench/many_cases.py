"""A laboratory with thousands of cases, stored by bulk inserts: a tenth of them open.

The rows are those that the desk reads. Nothing is walked and no history is written, so nothing
else may be asked of these cases. The same number gives the same rows.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from django.utils import timezone

from labcases import codes
from labcases.enums import (
    AppointmentKind,
    AppointmentStatus,
    Arch,
    BoxDirection,
    OrganisationKind,
    PrescriptionStatus,
    Route,
    SetUpOrder,
    Side,
    Stage,
    TryInWish,
)
from labcases.management.walk import teeth_of
from labcases.models import (
    Appointment,
    Box,
    Case,
    Delivery,
    Incident,
    OfficeLink,
    Organisation,
    Patient,
    Prescription,
    Question,
    ReviewEntry,
    TeethSupply,
)
from tests.factories import World

OFFICES = 40
BATCH = 2000
OPEN_STAGES = (
    *(Stage.DRAFT, Stage.SENT, Stage.ACCEPTED, Stage.MASTER_CAST, Stage.JAW_RECORDS),
    *(Stage.MOUNTING, Stage.SETTINGS, Stage.SET_UP, Stage.TRY_IN, Stage.FINAL_WAX),
    *(Stage.PROCESSING, Stage.FINISHING, Stage.RELEASED, Stage.DISPATCHED, Stage.RECEIVED),
    *(Stage.DELIVERED, Stage.IN_REVIEW),
)
GONE_BY = {stage: place for place, stage in enumerate(OPEN_STAGES)}


def build(here: World, *, cases: int, going: int, first: int = 0) -> None:
    """Store ``cases`` cases of the world's laboratory, ``going`` of them open.

    ``first`` is the number of the first one, where others were stored before.
    """
    draw = random.Random(20261128 + first)
    offices = [here.office, *_offices(here)]
    numbers = range(first, first + cases)
    patients = Patient.objects.bulk_create(
        (Patient(office=offices[n % len(offices)], code=f"B-{n}") for n in numbers), BATCH
    )
    rows = Case.objects.bulk_create(
        (_case(here, draw, patient, is_open=n < going) for n, patient in enumerate(patients)),
        BATCH,
    )
    Prescription.objects.bulk_create((_prescription(draw, case) for case in rows), BATCH)
    open_ones = [case for case in rows if case.is_open]
    for model, make in (
        (Appointment, _appointments),
        (Question, _questions),
        (Box, _boxes),
        (TeethSupply, _supplies),
        (Delivery, _deliveries),
        (Incident, _incidents),
    ):
        found: list[Any] = [row for case in open_ones for row in make(here, draw, case)]
        model._default_manager.bulk_create(found, BATCH)
    ReviewEntry.objects.bulk_create(
        (
            ReviewEntry(
                case=case, act="seen", review="first", by=here.dora, happened_on=case.surgery_on
            )
            for case in open_ones
            if case.stage == Stage.IN_REVIEW and case.surgery_on
        ),
        BATCH,
    )


def _offices(here: World) -> list[Organisation]:
    if kept := list(Organisation.objects.filter(name__startswith="Quay ")):
        return kept
    found = Organisation.objects.bulk_create(
        Organisation(name=f"Quay {number} Office", kind=OrganisationKind.OFFICE)
        for number in range(1, OFFICES)
    )
    OfficeLink.objects.bulk_create(
        OfficeLink(office=office, laboratory=here.laboratory, road_days=1 + office.pk % 2)
        for office in found
    )
    return found


def _case(here: World, draw: random.Random, patient: Patient, *, is_open: bool) -> Case:
    now, today = timezone.now(), timezone.localdate()
    stage = draw.choice(OPEN_STAGES) if is_open else Stage.CLOSED
    # Later stages are nearer to their surgery; some are late all the same.
    ahead = 90 - 6 * GONE_BY[stage] + draw.randint(-12, 25) if is_open else -draw.randint(30, 2000)
    confirmed = is_open and draw.random() < 0.7
    resting = is_open and draw.random() < 0.03
    return Case(
        code=codes.new_code(),
        office_id=patient.office_id,
        laboratory=here.laboratory,
        patient=patient,
        stage=stage,
        stage_since=now - timedelta(days=draw.randint(0, 9)),
        surgery_on=None if is_open and draw.random() < 0.03 else today + timedelta(days=ahead),
        surgery_confirmed_at=now if confirmed else None,
        surgery_confirmed_by=here.dora if confirmed else None,
        on_hold=resting,
        hold_reason="The patient is away." if resting else "",
        changed_by=here.dora,
    )


def _prescription(draw: random.Random, case: Case) -> Prescription:
    route = draw.choice((Route.CONVENTIONAL, Route.CONVENTIONAL, Route.INTERIM))
    drafted = case.stage == Stage.DRAFT
    return Prescription(
        case=case,
        revision=1,
        status=PrescriptionStatus.DRAFT if drafted else PrescriptionStatus.SIGNED,
        arch=draw.choice(Arch.values),
        route=route,
        set_up_order=draw.choice(SetUpOrder.values),
        teeth=teeth_of(Arch.UPPER, route),
        try_in=draw.choice((TryInWish.WANTED, TryInWish.WANTED, TryInWish.WAIVED)),
    )


def _appointments(here: World, draw: random.Random, case: Case) -> Iterator[Appointment]:
    if case.surgery_on is None or draw.random() < 0.5:
        return
    kind, before = draw.choice(((AppointmentKind.TRY_IN, 12), (AppointmentKind.REVIEW, -1)))
    yield Appointment(
        case=case,
        kind=kind,
        on=case.surgery_on - timedelta(days=before),
        status=AppointmentStatus.BOOKED,
        changed_by=here.farah,
    )


def _questions(here: World, draw: random.Random, case: Case) -> Iterator[Question]:
    if draw.random() < 0.1:
        since = timezone.now() - timedelta(hours=draw.randint(1, 90))
        yield Question(
            case=case,
            about="the shade",
            text="B1 or B2?",
            waits_for=draw.choice(Side.values),
            asked_by=here.tomas,
            asked_from=Side.LABORATORY,
            waiting_since=since,
            blocking=draw.random() < 0.8,
        )


def _boxes(here: World, draw: random.Random, case: Case) -> Iterator[Box]:
    """Boxes on the way; one in fifty is lost."""
    if case.stage not in (Stage.SENT, Stage.DISPATCHED, Stage.JAW_RECORDS):
        return
    outward = case.stage != Stage.SENT
    lost = draw.random() < 0.02
    yield Box(
        case=case,
        direction=BoxDirection.TO_OFFICE if outward else BoxDirection.TO_LABORATORY,
        packed_by=here.farah,
        sent_by=here.farah,
        sent_at=timezone.now() - timedelta(days=draw.randint(0, 5)),
        trouble="lost" if lost else "",
        trouble_note="The courier has no trace of it." if lost else "",
        trouble_at=timezone.now() if lost else None,
        trouble_by=here.lena if lost else None,
    )


def _supplies(here: World, draw: random.Random, case: Case) -> Iterator[TeethSupply]:
    if case.stage in (Stage.ACCEPTED, Stage.MASTER_CAST, Stage.MOUNTING) and draw.random() < 0.3:
        yield TeethSupply(
            case=case,
            arch="upper",
            part="posterior",
            source="supplier",
            state="ordered",
            supplier="a supplier",
            ordered_on=timezone.localdate() - timedelta(days=draw.randint(0, 12)),
            lead_days=draw.randint(3, 10),
            changed_by=here.lena,
        )


def _deliveries(here: World, _draw: random.Random, case: Case) -> Iterator[Delivery]:
    if case.stage in (Stage.DELIVERED, Stage.IN_REVIEW) and case.surgery_on:
        yield Delivery(case=case, delivered_on=case.surgery_on, changed_by=here.dora)


def _incidents(here: World, draw: random.Random, case: Case) -> Iterator[Incident]:
    if draw.random() < 0.02:
        yield Incident(
            case=case,
            kind="denture-broken",
            title="A denture tooth came off",
            text="Found at the bench.",
            stage_before=case.stage,
            stage_after=case.stage,
            told=["office", "laboratory"],
            reported_from=Side.LABORATORY,
            by=here.tomas,
        )
