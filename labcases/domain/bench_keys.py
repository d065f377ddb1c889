"""PIN and badge: what a person begins work on a bench device with, beside the password."""

from __future__ import annotations

import logging
import re
import secrets

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from labcases.domain import access, bench_devices, house_history
from labcases.enums import BenchKeyKind
from labcases.models import BenchDevice, BenchKey, Organisation, PinTries, User

PART = "PIN and badge"
#: As many wrong ones in a row lock a PIN on that device: a PIN of four digits has 10 000 values,
#: so five tries find one in two thousand.
TRIES = 5
#: 40 digits are 132 random bits. Digits only: a scanner types them alike on most keyboards.
BADGE_DIGITS = 40
_PIN = re.compile(r"[0-9]{4,8}")

# Who locked a PIN and where: numbers only, names stand in the database.
log = logging.getLogger(__name__)


class PinRefused(Exception):
    """Nobody begins work by this PIN; the text says what to do."""


def check_pin(pin: str) -> str:
    """Return the PIN.

    Raises
    ------
    ValueError
        It is not 4 to 8 digits, or all of them are the same.
    """
    if not _PIN.fullmatch(pin):
        raise ValueError("A PIN is 4 to 8 digits and nothing else. Choose another.")
    if len(set(pin)) == 1:
        raise ValueError("All digits of this PIN are the same. Choose another.")
    return pin


def may_have(user: User) -> bool:
    """Whether a person works at the bench of some laboratory."""
    return bool(_laboratories(user))


def of(user: User) -> dict[str, BenchKey]:
    """The PIN and the badge of a person, by kind, as far as they have them."""
    return {row.kind: row for row in user.bench_keys.filter(ended_at__isnull=True)}


def set_pin(*, user: User, pin: str) -> BenchKey:
    """Give oneself a PIN in place of the one before; wrong tries are counted anew.

    Raises
    ------
    ValueError
        It is no PIN.
    """
    return _make(user, BenchKeyKind.PIN, make_password(check_pin(pin)))


def make_badge(*, user: User) -> str:
    """Give oneself a badge in place of the one before; its digits are stored nowhere."""
    code = "".join(secrets.choice("0123456789") for _ in range(BADGE_DIGITS))
    _make(user, BenchKeyKind.BADGE, bench_devices.digest(code))
    return code


def end(*, person: User, laboratory: Organisation, by: User) -> bool:
    """End the PIN and the badge of a person; what was begun by them ends with the next request.

    Returns
    -------
    bool
        Whether there was any.
    """
    with transaction.atomic():
        rows = list(
            person.bench_keys.select_for_update().filter(ended_at__isnull=True).order_by("pk")
        )
        if not rows:
            return False
        BenchKey.objects.filter(pk__in=[row.pk for row in rows]).update(ended_at=timezone.now())
        words = " and ".join(k.label for k in BenchKeyKind if k in {row.kind for row in rows})
        house_history.enter(
            organisation=laboratory,
            by=by,
            act="ended",
            part=PART,
            changes={str(person): [words, ""]},
        )
    return True


def try_pin(*, user: User, device: BenchDevice, pin: str) -> BenchKey:
    """The key of a person whose PIN this is.

    A try is counted before it is looked at, so that many at once are no way around the count.

    Raises
    ------
    PinRefused
        There is no PIN, it is another one, or it is locked on this device.
    """
    key = of(user).get(BenchKeyKind.PIN)
    if key is None:
        raise PinRefused(
            f"{user} has no PIN. Log in with the password, and set one under PIN and badge."
        )
    count, _ = PinTries.objects.get_or_create(key=key, device=device)
    rows = PinTries.objects.filter(pk=count.pk)
    if not rows.filter(wrong__lt=TRIES).update(wrong=F("wrong") + 1):
        raise PinRefused(_locked(user))
    if check_password(pin, key.secret_digest):
        rows.update(wrong=0)
        return key
    left = TRIES - rows.values_list("wrong", flat=True)[0]
    if left <= 0:
        log.warning("the PIN of person %s is locked on bench device %s", user.pk, device.pk)
        raise PinRefused(_locked(user))
    raise PinRefused(
        f"That is not the PIN of {user}. {left} more wrong "
        f"{'try' if left == 1 else 'tries'} and it is locked on this device."
    )


def of_badge(*, code: str, device: BenchDevice) -> BenchKey | None:
    """The badge that was scanned, of somebody who works at the bench of this laboratory."""
    row = (
        BenchKey.objects.select_related("user")
        .filter(
            kind=BenchKeyKind.BADGE,
            secret_digest=bench_devices.digest(code.strip()),
            ended_at__isnull=True,
        )
        .first()
    )
    known = row is not None and row.user in bench_devices.people_of(device.organisation)
    return row if known else None


def password_used(user: User) -> None:
    """Whoever logged in with the password may use their PIN again everywhere."""
    PinTries.objects.filter(key__user=user, wrong__gt=0).update(wrong=0)


def goes_on(*, key: int, user: User) -> bool:
    """Whether what a person began work by still counts."""
    return BenchKey.objects.filter(pk=key, user=user, ended_at__isnull=True).exists()


def _locked(user: User) -> str:
    return (
        f"The PIN of {user} is locked on this device after {TRIES} wrong tries. "
        "Log in with the password; after that the PIN works again."
    )


def _laboratories(user: User) -> list[Organisation]:
    return [one for one in access.organisations(user, access.BENCH_ROLES) if one.is_laboratory]


def _make(user: User, kind: BenchKeyKind, secret_digest: str) -> BenchKey:
    with transaction.atomic():
        # Two at once wait here for one another.
        User.objects.select_for_update().get(pk=user.pk)
        user.bench_keys.filter(kind=kind, ended_at__isnull=True).update(ended_at=timezone.now())
        row = BenchKey.objects.create(user=user, kind=kind, secret_digest=secret_digest)
        for laboratory in _laboratories(user):
            house_history.enter(
                organisation=laboratory,
                by=user,
                act="set",
                part=PART,
                changes={str(user): ["", row.get_kind_display()]},
            )
    return row
