"""What counts as a verified mounting, what to mind of one, and keeping the ones before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from labcases.domain import casts
from labcases.domain.cautions import PRACTICE, Caution
from labcases.enums import JawRecord, ReturnTo, Verification
from labcases.models import Case, Cast, Mounting, Organisation, PastMounting, User
from labcases.models.articulator import MOUNTING_FACTS, MountingFacts

POINTS_AT_LEAST = 3
AGREED, NOT_AGREED, OPEN = "agreed", "not agreed", "not verified yet"

# How each record is verified; another way says nothing of it.
WAYS: dict[str, tuple[Verification, ...]] = {
    JawRecord.MAXIMUM_INTERCUSPATION: (Verification.FOIL,),
    JawRecord.CENTRIC_RELATION: (Verification.SECOND_RECORD, Verification.SPLIT_CAST),
}


@dataclass(frozen=True)
class Limits:
    """What a laboratory verifies mountings by (common practice, no source)."""

    agree_mm: Decimal
    foil_um: int

    @property
    def agree(self) -> str:
        """The limit without trailing noughts: "0.3 mm"."""
        return f"{self.agree_mm.normalize():f} mm"


USUAL = Limits(agree_mm=Decimal("0.3"), foil_um=8)


def limits_of(laboratory: Organisation) -> Limits:
    """What the laboratory has set for itself."""
    return Limits(agree_mm=laboratory.records_agree_mm, foil_um=laboratory.foil_um)


@dataclass(frozen=True)
class Verdict:
    """Whether a mounting is verified, why not, and the limit that it was held to."""

    word: str
    text: str
    held_to: str = ""

    @property
    def whole(self) -> str:
        return f"{self.text} {self.held_to}".strip()


def judge(row: MountingFacts, limits: Limits = USUAL) -> Verdict:
    """Hold what was verified against what the jaw record of the mounting asks for.

    Parameters
    ----------
    row : MountingFacts
        A mounting, or one of the past.
    limits : Limits
        What the laboratory of the case has set.
    """
    if row.jaw_record not in WAYS:
        return Verdict(OPEN, "Choose the jaw record; it says how the mounting is verified.")
    if not row.verified_by_method:
        return Verdict(OPEN, "Nobody has said how the mounting was verified.")
    if row.verified_by_method not in WAYS[row.jaw_record]:
        ways = " or ".join(
            str(Verification(way).label).partition(" (")[0].lower() for way in WAYS[row.jaw_record]
        )
        record = JawRecord(row.jaw_record).label.lower()
        return Verdict(OPEN, f"A mounting in {record} is verified another way: {ways}.")
    judged = {
        Verification.FOIL: _foil,
        Verification.SECOND_RECORD: _second_record,
        Verification.SPLIT_CAST: _split_cast,
    }
    return judged[Verification(row.verified_by_method)](row, limits)


def judge_of(case: Case) -> Verdict | None:
    """The verdict on the mounting that counts, by its own laboratory; none where none is there."""
    row: Mounting | None = getattr(case, "mounting", None)
    return None if row is None else judge(row, limits_of(case.laboratory))


def _foil(row: MountingFacts, limits: Limits) -> Verdict:
    held_to = f"Foil of the laboratory: {limits.foil_um} µm ({PRACTICE})."
    if row.foil_points is None:
        return Verdict(OPEN, "Enter at how many spread points foil is held.")
    if row.foil_points < POINTS_AT_LEAST:
        return Verdict(
            NOT_AGREED,
            f"Foil is held at {row.foil_points} of at least {POINTS_AT_LEAST} spread points.",
            held_to,
        )
    if not row.foil_pairs:
        return Verdict(OPEN, "Name the pairs of teeth that hold foil.")
    return Verdict(AGREED, f"Foil is held at {row.foil_points} points: {row.foil_pairs}.", held_to)


def _second_record(row: MountingFacts, limits: Limits) -> Verdict:
    held_to = f"Limit of the laboratory: {limits.agree} ({PRACTICE})."
    if row.agreement_mm is None:
        return Verdict(OPEN, "Enter by how much the second record differs.")
    said = f"{Decimal(row.agreement_mm).normalize():f} mm"
    if row.agreement_mm > limits.agree_mm:
        text = f"The second record differs by {said}; up to {limits.agree} agrees."
        return Verdict(NOT_AGREED, text, held_to)
    return Verdict(AGREED, f"The second record differs by {said}.", held_to)


def _split_cast(row: MountingFacts, _limits: Limits) -> Verdict:
    if row.split_cast_closes:
        return Verdict(AGREED, "The split cast closes.")
    return Verdict(NOT_AGREED, "The split cast does not close, or that it does is not ticked.")


# -- the mountings before ----------------------------------------------------------------------


def has_anything(row: MountingFacts) -> bool:
    """Whether somebody mounted: a transfer, a pin reading, or a verification."""
    return bool(row.transfer or row.verified_by_method or row.pin_zero_mm is not None)


def keep_as_past(*, row: Mounting, by: User, reason: str, asked: str = "") -> PastMounting:
    """Keep a mounting as it stands now, before another one takes its place."""
    verdict = judge(row, limits_of(row.case.laboratory))
    return PastMounting.objects.create(
        case=row.case,
        number=row.number,
        ended_by=by,
        reason=reason,
        asked=asked,
        verdict=verdict.word,
        said=verdict.whole,
        **{name: getattr(row, name) for name in MOUNTING_FACTS},
    )


# -- cautions ----------------------------------------------------------------------------------


def cautions(case: Case) -> list[Caution]:
    """What the casts, the records and the settings say against the mounting; nothing blocks."""
    row: Mounting | None = getattr(case, "mounting", None)
    return [] if row is None else list(_against(case, row))


def _against(case: Case, row: Mounting) -> Iterator[Caution]:
    for cast in (row.upper_cast, row.lower_cast):
        if cast is not None:
            yield from _of_cast(cast, inspected=row.casts_inspected)
    record = row.record
    if record is not None:
        if record.struck_at:
            yield _caution(
                "record-struck-out",
                "The jaw record of this mounting is struck out. Choose the one that counts.",
            )
        if row.jaw_record and record.kind != row.jaw_record:
            yield _caution(
                "record-of-another-kind",
                f"The mounting says {row.get_jaw_record_display().lower()}, its jaw record is of "
                f"{record.get_kind_display().lower()}. Correct the one that is wrong.",
            )
        last = case.past_mountings.filter(asked=ReturnTo.NEW_RECORD).last()
        if last is not None and record.taken_at < last.ended_at:
            yield _caution(
                "record-is-the-old-one",
                f"A new jaw record was asked for after mounting {last.number}; this one was taken "
                "before that.",
            )
    settings = getattr(case, "articulator", None)
    plane = row.reference_plane
    if settings is not None and plane and plane != settings.reference_plane:
        yield _caution(
            "planes-differ",
            f"The casts are mounted to the {row.get_reference_plane_display().lower()}, the "
            f"settings are read against the {settings.get_reference_plane_display().lower()}. "
            "Angles against two planes differ by the tilt between them: enter it with the "
            "settings.",
        )


def _of_cast(cast: Cast, *, inspected: bool) -> Iterator[Caution]:
    name = f"The {casts.name_of(cast)}"
    if cast.struck_at:
        yield _caution(
            "cast-struck-out", f"{name} is mounted and struck out. Choose the cast that counts."
        )
    elif casts.is_broken(cast):
        yield _caution(
            "mounted-cast-broken", f"{name} is mounted and broken. Mount a new one, and verify it."
        )
    elif inspected and casts.last_look(cast) is None:
        yield _caution(
            "cast-not-inspected",
            f"Both casts are ticked as inspected; no inspection of the {casts.name_of(cast)} is "
            "entered.",
        )


def _caution(code: str, text: str) -> Caution:
    return Caution(code, text, PRACTICE)


def mounted_by(case: Case) -> dict[int, list[str]]:
    """Jaw record -> the mountings that it was used for, with their casts, the oldest first."""
    rows: list[Mounting | PastMounting] = list(
        case.past_mountings.select_related("upper_cast", "lower_cast")
    )
    current: Mounting | None = getattr(case, "mounting", None)
    if current is not None:
        rows.append(current)
    found: dict[int, list[str]] = {}
    for row in rows:
        if row.record_id is None:
            continue
        mounted = [casts.name_of(one) for one in (row.upper_cast, row.lower_cast) if one]
        on = f": {' against '.join(mounted)}" if mounted else ""
        found.setdefault(row.record_id, []).append(f"mounting {row.number}{on}")
    return found
