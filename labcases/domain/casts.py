"""Impressions, casts, inspections, trays, bases and rims: entering them, and what to mind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from datetime import datetime
from typing import Any, TypeVar

from django.db.models import Model
from django.utils import timezone

from labcases.domain import history, pouring, striking
from labcases.domain.cautions import PRACTICE, Caution
from labcases.enums import CastKind, CastState
from labcases.models import Case, Cast, CastLook, Impression, Piece, User
from labcases.reference import materials
from labcases.templatetags.units import long_time, mm, number

IMPRESSIONS, CASTS, INSPECTIONS, PIECES = (
    *("impressions", "casts", "inspections of casts"),
    "trays, bases and rims",
)

MADE_FROM_ANOTHER = (CastKind.DUPLICATE, CastKind.TRIMMED)
"""Kinds that are made from a cast, not from an impression."""

NOT_BEFORE_TAKEN = "It was poured before it was taken. Check both times."


class AlreadyPoured(Exception):
    """The impression was poured or struck out before."""


def add_impression(*, case: Case, by: User, values: Mapping[str, Any]) -> Impression:
    with history.turn(case):
        row = Impression.objects.create(case=case, by=by, **values)
        history.write_line(row=row, part=IMPRESSIONS, line=in_words(row), by=by)
    return row


def pour(*, row: Impression, at: datetime, by: User) -> Impression:
    """Say when an impression was poured. It is said once; a wrong line is struck out.

    Raises
    ------
    AlreadyPoured
        Somebody said it before, or struck the line out.
    ValueError
        It lies before the impression was taken.
    """
    if at < row.taken_at:
        raise ValueError(NOT_BEFORE_TAKEN)
    with history.turn(row.case):
        written = Impression.objects.filter(
            pk=row.pk, poured_at__isnull=True, struck_at__isnull=True
        ).update(poured_at=at)
        if not written:
            raise AlreadyPoured(
                "This impression is poured or struck out already. Look at it again."
            )
        row.refresh_from_db()
        history.write_line(row=row, part=IMPRESSIONS, line=in_words(row), by=by, act="poured")
    return row


def add_cast(*, case: Case, by: User, values: Mapping[str, Any]) -> Cast:
    """Enter a cast; its pour is that of its impression as well, where none was entered yet."""
    impression, at = values.get("impression"), values.get("poured_at")
    with history.turn(case):
        if impression is not None and at is not None and impression.poured_at is None:
            with suppress(AlreadyPoured):  # by somebody else, a moment ago
                pour(row=impression, at=at, by=by)
        row = Cast.objects.create(case=case, by=by, **values)
        history.write_line(row=row, part=CASTS, line=in_words(row), by=by)
    return row


def look_at(*, cast: Cast, by: User, values: Mapping[str, Any]) -> CastLook:
    """Inspect a cast. The last inspection that stands says in which state it is."""
    with history.turn(cast.case):
        row = CastLook.objects.create(case=cast.case, cast=cast, by=by, **values)
        history.write_line(row=row, part=INSPECTIONS, line=in_words(row), by=by)
    return row


def add_piece(*, case: Case, by: User, values: Mapping[str, Any]) -> Piece:
    with history.turn(case):
        row = Piece.objects.create(case=case, by=by, **values)
        history.write_line(row=row, part=PIECES, line=in_words(row), by=by)
    return row


Line = TypeVar("Line", Impression, Cast, CastLook, Piece)

_PARTS: dict[type[Model], str] = {
    Impression: IMPRESSIONS,
    Cast: CASTS,
    CastLook: INSPECTIONS,
    Piece: PIECES,
}


def strike(*, row: Line, reason: str, by: User) -> Line:
    """Strike a line out, with a reason; it stays readable and counts no longer."""
    part = _PARTS[type(row)]
    return striking.strike_out(row=row, part=part, line=in_words(row), reason=reason, by=by)


# -- words ----------------------------------------------------------------------------------


def name_of(cast: Cast) -> str:
    """Upper master cast, lot 7; the lot tells two of a kind apart."""
    kind = cast.get_kind_display().lower()
    noun = kind if "cast" in kind else f"{kind} cast"
    lot = f", {cast.lot}" if cast.lot else ""
    return f"{cast.get_arch_display().lower()} {noun}{lot}"


def in_words(row: Impression | Cast | CastLook | Piece) -> str:
    """What a line says, for its row on the page and for the history."""
    if isinstance(row, Impression):
        said = _impression(row)
    elif isinstance(row, Cast):
        said = _cast(row)
    elif isinstance(row, CastLook):
        said = _look(row)
    else:
        said = _piece(row)
    text = ", ".join(part for part in (*said, row.note) if part)
    return text[:1].upper() + text[1:]


def _impression(row: Impression) -> Iterable[str]:
    yield f"{row.get_arch_display()} impression"
    yield materials.impression_materials()[row.material].label.lower()
    yield row.product
    yield f"tray: {row.tray}" if row.tray else ""
    yield f"taken {long_time(row.taken_at)}"
    yield f"poured {long_time(row.poured_at)}" if row.poured_at else "not poured yet"
    if row.label_earliest_minutes:
        yield f"label: wait {pouring.span(row.label_earliest_minutes)}"
    if row.label_latest_minutes is not None:
        yield f"label: pour within {pouring.span(row.label_latest_minutes)}"


def _cast(row: Cast) -> Iterable[str]:
    yield name_of(row)
    yield f"from the {name_of(row.made_from)}" if row.made_from else ""
    yield f"from the impression of {long_time(row.impression.taken_at)}" if row.impression else ""
    yield f"poured {long_time(row.poured_at)}" if row.poured_at else ""
    if row.gypsum:
        yield f"{materials.gypsum_types()[row.gypsum].label.lower()}"
    yield row.product
    if row.water_ml and row.powder_g:
        yield f"{number(row.water_ml)} ml to {number(row.powder_g)} g"
    yield f"set after {number(row.set_minutes)} min" if row.set_minutes else ""
    yield f"separated after {row.separated_minutes} min" if row.separated_minutes else ""
    yield f"poured by {row.poured_by}" if row.poured_by else ""


def _look(row: CastLook) -> Iterable[str]:
    found = [
        word
        for word, there in (
            ("bubbles", row.bubbles),
            ("a chipped tooth", row.chipped),
            ("it rocks", row.rocks),
        )
        if there
    ]
    yield f"{name_of(row.cast)}: {CastState(row.state).value}"
    if found or row.state == CastState.GOOD:
        yield ", ".join(found) if found else "no bubbles, no chipped tooth, does not rock"


def _piece(row: Piece) -> Iterable[str]:
    yield f"{row.get_arch_display()} {row.get_kind_display().lower()}"
    yield f"on the {name_of(row.cast)}" if row.cast else ""
    yield row.design
    yield row.material
    yield f"{mm(row.front_mm)} high in front" if row.front_mm is not None else ""
    yield f"{mm(row.back_mm)} behind" if row.back_mm is not None else ""
    yield row.lot


# -- what stands ----------------------------------------------------------------------------


def standing(case: Case) -> list[Cast]:
    """Casts that are not struck out, the oldest first."""
    return list(
        case.casts.filter(struck_at__isnull=True)
        .select_related("impression", "made_from")
        .prefetch_related("looks")
    )


def last_look(cast: Cast) -> CastLook | None:
    """The last inspection that stands; nothing where nobody looked."""
    looks = [look for look in cast.looks.all() if look.struck_at is None]
    return max(looks, key=lambda look: look.pk, default=None)


def state_of(cast: Cast) -> str:
    look = last_look(cast)
    return CastState(look.state).label if look else "Not inspected"


def is_broken(cast: Cast) -> bool:
    look = last_look(cast)
    return look is not None and look.state == CastState.BROKEN


# -- cautions -------------------------------------------------------------------------------


def cautions(case: Case) -> list[Caution]:
    """Everything about impressions and casts that a reader should weigh; nothing blocks."""
    now = timezone.now()
    found: list[Caution] = []
    for impression in case.impressions.filter(struck_at__isnull=True):
        found.extend(pouring.of_pour(impression, now=now).cautions)
    casts = standing(case)
    for cast in casts:
        found.extend(of_cast(cast))
    found.extend(pouring.untimed(casts))
    found.extend(_broken(casts))
    found.extend(_duplicates(case, casts))
    return found


def of_cast(cast: Cast) -> list[Caution]:
    """What its mix and its times say, each named by the cast it belongs to."""
    again = pouring.of_second_pour(cast)
    about = [
        *(again.cautions if again else ()),
        *pouring.of_mix(cast.gypsum, water_ml=cast.water_ml, powder_g=cast.powder_g),
        *pouring.of_setting(
            cast.gypsum, set_minutes=cast.set_minutes, separated_minutes=cast.separated_minutes
        ),
    ]
    name = _title(cast)
    found = [Caution(one.code, f"{name}: {_lower(one.text)}", one.source) for one in about]
    if cast.impression and cast.impression.struck_at:
        found.append(
            Caution(
                "impression-struck-out",
                f"{name}: the impression that it was poured from is struck out. Strike the cast "
                "out as well, or enter it from the right impression.",
                PRACTICE,
            )
        )
    return found


def _broken(casts: list[Cast]) -> list[Caution]:
    """A broken cast asks for a new one until a later one of its kind stands."""
    return [
        Caution(
            "cast-broken",
            f"{_title(cast)} is broken. Make a new one, and inspect it.",
            PRACTICE,
        )
        for cast in casts
        if is_broken(cast)
        and not any(
            other.pk > cast.pk
            and (other.arch, other.kind) == (cast.arch, cast.kind)
            and not is_broken(other)
            for other in casts
        )
    ]


def _duplicates(case: Case, casts: list[Cast]) -> list[Caution]:
    """Trimming destroys what a cast shows of the natural teeth; a duplicate keeps it."""
    arch = case.prescription.arch
    own = [cast for cast in casts if cast.arch == arch and not is_broken(cast)]
    untouched = [
        cast
        for cast in own
        if cast.kind == CastKind.DUPLICATE
        and (cast.made_from is None or cast.made_from.kind != CastKind.TRIMMED)
    ]
    trimmed = [cast for cast in own if cast.kind == CastKind.TRIMMED]
    if trimmed:
        if any(cast.pk < trimmed[0].pk for cast in untouched):
            return []
        text = (
            f"{_title(trimmed[0])}: no duplicate from before the trimming is entered. Enter it if "
            "there is one; what the natural teeth looked like cannot be read off a trimmed cast."
        )
    elif untouched or not any(c.kind in (CastKind.MASTER, CastKind.WORKING) for c in own):
        return []
    else:
        text = (
            f"Make a duplicate of the {arch} cast before it is trimmed: trimming destroys what it "
            "shows of the natural teeth."
        )
    return [Caution("no-duplicate", text, PRACTICE)]


def _title(cast: Cast) -> str:
    name = name_of(cast)
    return name[:1].upper() + name[1:]


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
