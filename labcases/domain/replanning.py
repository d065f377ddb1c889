"""Keeps what the desk says of open cases: made again whenever something changes it.

``history.turn`` asks for it at the end of every turn, for the cases of which history was written
in it, and ``house_history.enter`` where a house changes when it is open or how long it takes.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import date
from typing import Any

from django.db import connection, transaction
from django.db.models import Prefetch, Q, QuerySet, prefetch_related_objects

from labcases.domain import calendars, desk_rows, queries, review_state
from labcases.domain import question as asking
from labcases.domain.planning import Planner
from labcases.enums import ENDS, AppointmentStatus
from labcases.enums.proposals import ProposalState
from labcases.enums.teeth import TeethState
from labcases.models import (
    Appointment,
    Box,
    Case,
    ChainHead,
    DateMove,
    DeskRow,
    Organisation,
    Prescription,
    Proposal,
    Question,
    Remake,
    TeethSupply,
)
from labcases.models.question import WAITING

BATCH = 500
"""Cases that are planned from one round of questions to the database."""

_FIELDS = tuple(field.attname for field in DeskRow._meta.concrete_fields if not field.primary_key)
_COLUMNS = tuple(
    str(field.column) for field in DeskRow._meta.concrete_fields if not field.primary_key
)
_SAID = ("revision", "status", "route", "set_up_order", "try_in", "first_extraction_on")


def refresh(cases: Collection[int]) -> int:
    """Make again what is said of these cases, and of other open ones of their patients.

    A patient who has died silences all cases under one code.

    Returns
    -------
    int
        How many rows differed.
    """
    patients = Case.objects.filter(pk__in=cases).values("patient")
    beside = Q(patient__in=patients) & ~Q(stage__in=ENDS)
    return _remake(Case.objects.filter(Q(pk__in=cases) | beside))


def refresh_house(house: Organisation) -> int:
    """Make again what is said of every open case of a house, when its days have changed.

    Waits for the turn of every laboratory that is concerned, as acts on its cases do.
    """
    cases = Case.objects.filter(Q(office=house) | Q(laboratory=house)).exclude(stage__in=ENDS)
    with transaction.atomic():
        for key in sorted(set(cases.order_by().values_list("laboratory", flat=True))):
            ChainHead.objects.locked(key)
        return _remake(cases)


def remake() -> int:
    """Make again what is said of every case, one laboratory after the other."""
    differed = 0
    for key in Organisation.objects.order_by("pk").values_list("pk", flat=True):
        cases = Case.objects.filter(laboratory=key)
        said = Q(desk_rows__isnull=False) | ~Q(stage__in=ENDS)
        with transaction.atomic():
            ChainHead.objects.locked(key)
            differed += _remake(cases.filter(said).distinct())
    return differed


def _remake(cases: QuerySet[Case]) -> int:
    planner = Planner()
    differed = 0
    keys = list(cases.order_by("pk").values_list("pk", flat=True))
    for start in range(0, len(keys), BATCH):
        some = keys[start : start + BATCH]
        made = {
            _values(row): row
            for case in fetch(Case.objects.filter(pk__in=some))
            for row in desk_rows.of_case(case, planner)
        }
        stored = _stored(some)
        kept = {values for values, _key in stored}
        gone = [key for values, key in stored if values not in made]
        new = [row for values, row in made.items() if values not in kept]
        if gone:
            DeskRow.objects.filter(pk__in=gone).delete()
        _insert([_values(row) for row in new])
        differed += len(gone) + len(new)
    return differed


def _insert(rows: Sequence[tuple[Any, ...]]) -> None:
    """Store rows as they are: nothing of them is a default, and there may be very many."""
    if not rows:
        return
    name = connection.ops.quote_name
    columns = ", ".join(name(field) for field in _COLUMNS)
    marks = ", ".join(["%s"] * len(_COLUMNS))
    day = connection.ops.adapt_datefield_value
    with connection.cursor() as cursor:
        cursor.executemany(
            f"INSERT INTO {name(DeskRow._meta.db_table)} ({columns}) VALUES ({marks})",  # noqa: S608
            [[day(one) if isinstance(one, date) else one for one in row] for row in rows],
        )


def _values(row: DeskRow) -> tuple[Any, ...]:
    return tuple(getattr(row, name) for name in _FIELDS)


def _stored(cases: Collection[int]) -> list[tuple[tuple[Any, ...], int]]:
    rows = DeskRow.objects.filter(case__in=cases).values_list("pk", *_FIELDS)
    return [(tuple(values), key) for key, *values in rows.iterator(chunk_size=2000)]


def fetch(cases: QuerySet[Case]) -> list[Case]:
    """Cases with all that ``desk_rows.of_case`` reads, by the same few questions for any number."""
    rows = list(queries.with_columns(cases))
    going = [case for case in rows if case.is_open]
    prefetch_related_objects(going, *_wanted())
    delivered = [case for case in going if case.stage in review_state.REVIEWED]
    again = Prefetch("remakes", Remake.objects.select_related("case"))
    prefetch_related_objects(delivered, "review_entries", again)
    calendars.fetch(going)
    return rows


def _wanted() -> Iterator[Prefetch[Any]]:
    yield Prefetch("prescriptions", Prescription.objects.only("case", *_SAID))
    yield Prefetch(
        "proposals", Proposal.objects.filter(state=ProposalState.WAITING), "waiting_proposals"
    )
    yield Prefetch("questions", Question.objects.filter(WAITING), asking.THREADS)
    yield Prefetch("date_moves", DateMove.objects.filter(seen_at=None), "unseen_moves")
    live = Appointment.objects.exclude(status=AppointmentStatus.DROPPED)
    yield Prefetch("appointments", live, "live_appointments")
    yield Prefetch("boxes", Box.objects.filter(received_at__isnull=True), "boxes_under_way")
    yield Prefetch(
        "tooth_supplies", TeethSupply.objects.filter(state=TeethState.ORDERED), "ordered_teeth"
    )
