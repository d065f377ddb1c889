"""Registering the shared tablets and PCs of a laboratory, and stopping them."""

from __future__ import annotations

import hashlib
import logging
import secrets
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from labcases.domain import access, house_history
from labcases.models import BenchDevice, Organisation, User

PART = "bench devices"

# Which device came and went: numbers only, names stand in the database.
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Registered:
    """A new device and the token of its cookie, which is stored nowhere else."""

    device: BenchDevice
    token: str


def may_keep(user: User, laboratory: Organisation) -> bool:
    """Whether a person registers and stops devices, and ends what others begin work with."""
    return laboratory.is_laboratory and access.may_in(user, "keep bench devices", laboratory)


def digest(token: str) -> str:
    """What is stored of a random token; it is too long to be guessed from it."""
    return hashlib.sha256(token.encode()).hexdigest()


def register(*, laboratory: Organisation, called: str, place: str, by: User) -> Registered:
    """Make a token of 256 random bits for the browser that the manager sits at."""
    token = secrets.token_urlsafe(32)
    with transaction.atomic():
        row = BenchDevice.objects.create(
            organisation=laboratory,
            called=called,
            place=place,
            token_digest=digest(token),
            registered_by=by,
        )
        house_history.enter(
            organisation=laboratory,
            by=by,
            act="registered",
            part=PART,
            changes={called: ["", place]},
        )
    log.info("person %s registered bench device %s", by.pk, row.pk)
    return Registered(row, token)


def stop(*, device: BenchDevice, by: User) -> None:
    """Nobody works on it by PIN or badge from the next request on."""
    with transaction.atomic():
        written = BenchDevice.objects.filter(pk=device.pk, stopped_at__isnull=True).update(
            stopped_at=timezone.now()
        )
        if not written:
            return
        house_history.enter(
            organisation=device.organisation,
            by=by,
            act="stopped",
            part=PART,
            changes={device.called: [device.place, ""]},
        )
    log.info("person %s stopped bench device %s", by.pk, device.pk)


def find(token: str) -> BenchDevice | None:
    """The device of a token, unless it was stopped."""
    return (
        BenchDevice.objects.select_related("organisation")
        .filter(token_digest=digest(token), stopped_at__isnull=True)
        .first()
    )


def people_of(laboratory: Organisation) -> list[User]:
    """Who works at the bench of a laboratory now, by name."""
    return list(
        User.objects.filter(
            is_active=True,
            memberships__organisation=laboratory,
            memberships__active=True,
            memberships__role__in=access.BENCH_ROLES,
        )
        .distinct()
        .order_by("full_name", "pk")
    )
