"""Walking the chained history of a laboratory: whether it stands as it was written.

A chain in one database shows what somebody changed in it afterwards. It does not stop a person
who rewrites all of it, head included; for that the head is kept elsewhere (``Head``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from django.db.models import QuerySet

from labcases import codes
from labcases.domain import redacting
from labcases.models import ChainHead, HistoryEntry, Organisation
from labcases.models.chain import START

AT_ONCE = 2000

ALTERED, MISSING, INSERTED, REORDERED, HEAD = (
    *("altered", "missing", "inserted", "re-ordered"),
    "head does not match",
)


@dataclass(frozen=True)
class Head:
    """How far a chain goes: what is kept elsewhere, and compared later."""

    laboratory: int
    sequence: int
    digest: str
    name: str = ""


@dataclass(frozen=True)
class Broken:
    """The first number at which a chain is not what was written."""

    sequence: int
    case: str
    what: str
    text: str

    def __str__(self) -> str:
        of = f", case {codes.grouped(self.case)}" if self.case else ""
        return f"entry {self.sequence}{of}: {self.what}. {self.text}"


@dataclass(frozen=True)
class Walked:
    """What a walk along the chain of a laboratory has found."""

    head: Head
    count: int
    broken: Broken | None = None


def laboratories() -> list[Organisation]:
    """Every organisation that has a history, or a head of one."""
    keys = set(HistoryEntry.objects.order_by().values_list("laboratory", flat=True).distinct())
    keys |= set(ChainHead.objects.values_list("laboratory", flat=True))
    keys |= set(HistoryEntry.objects.order_by().values_list("case__laboratory", flat=True))
    return list(Organisation.objects.filter(pk__in=keys).order_by("pk"))


def walk(laboratory: Organisation, kept: Head | None = None) -> Walked:
    """Walk a chain from its first entry to its head.

    Parameters
    ----------
    laboratory : Organisation
        Whose chain.
    kept : Head, optional
        A head that was kept elsewhere earlier; the entry of its number must still have
        its digest.
    """
    count, end, broken = 0, Head(laboratory.pk, 0, START, laboratory.name), None
    redacted = _redacted(laboratory)
    for row in _entries(laboratory).iterator(chunk_size=AT_ONCE):
        count += 1
        if broken is None:
            broken = _against(row, end, redacted)
        if broken is None and kept and kept.sequence == row.sequence:
            broken = _kept_differs(row, kept)
        end = replace(end, sequence=row.sequence, digest=row.digest)
    if broken is None:
        broken = _at_the_end(laboratory, end, kept)
    return Walked(end, count, broken)


def _entries(laboratory: Organisation) -> QuerySet[HistoryEntry]:
    return (
        HistoryEntry.objects.filter(laboratory=laboratory)
        .select_related("case")
        .order_by("sequence", "pk")
    )


def _redacted(laboratory: Organisation) -> dict[int, str]:
    """Entry -> digest of what an erasure left of it, as later entries of the chain say."""
    rows = HistoryEntry.objects.filter(laboratory=laboratory, part=redacting.PART)
    return redacting.digests(
        rows.order_by("sequence").values_list("sequence", "part", "act", "row")
    )


def _against(row: HistoryEntry, before: Head, redacted: Mapping[int, str]) -> Broken | None:
    """Whether an entry is as written, or as an erasure left it, and follows the one before."""
    expected = before.sequence + 1
    if row.sequence > expected:
        gone = (
            f"{expected}" if row.sequence == expected + 1 else f"{expected} to {row.sequence - 1}"
        )
        return Broken(expected, "", MISSING, f"Nothing stands at {gone}.")
    if row.sequence < expected:
        return _of(row, INSERTED, "Two entries have this number.")
    if row.case.laboratory_id != row.laboratory_id:
        return _of(row, INSERTED, "Its case belongs to another laboratory.")
    if row.made_digest() not in (row.digest, redacted.get(row.sequence)):
        return _as_what(row)
    if row.previous == before.digest:
        return None
    if row.sequence == 1:
        return _of(row, ALTERED, "The first entry says that another one stood before it.")
    earlier = _entries(row.laboratory).get(sequence=before.sequence)
    return _of(
        earlier,
        ALTERED,
        "It was written anew with a digest of its own; the next entry follows another one.",
    )


def _as_what(row: HistoryEntry) -> Broken:
    """Tell an entry whose digest is not that of what it says: moved, put in, or altered."""
    others = list(_entries(row.laboratory))
    was = _written_as(row, [other.sequence for other in others] + [len(others) + 1])
    if was is not None and was > row.sequence:
        if any(_written_as(one, [row.sequence]) for one in others if one.pk != row.pk):
            return _of(row, REORDERED, f"It was written as entry {was}.")
        return Broken(
            row.sequence, "", MISSING, f"What stands there now was written as entry {was}."
        )
    if was is not None:
        put_in = next((one for one in others if one.sequence == was), row)
        return _of(put_in, INSERTED, f"What was written as entry {was} now follows it.")
    changed = [one for one in others if one.pk != row.pk and one.made_digest() != one.digest]
    twin = next((one for one in changed if _says(one, row)), None)
    if twin is not None:
        return _of(row, REORDERED, f"It says what was written as entry {twin.sequence}.")
    if any(one.sequence > row.sequence and one.pk < row.pk for one in others):
        return _of(row, INSERTED, "It was stored after the entries that follow it.")
    return _of(row, ALTERED, "It does not say what its digest was made from.")


def _written_as(row: HistoryEntry, numbers: Iterable[int]) -> int | None:
    """The number under which an entry was written, if one of these."""
    kept = row.sequence
    try:
        for number in numbers:
            row.sequence = number
            if row.made_digest() == row.digest:
                return number
    finally:
        row.sequence = kept
    return None


def _says(place: HistoryEntry, row: HistoryEntry) -> bool:
    """Whether the digest at a place was made from what another entry says now."""
    told = HistoryEntry(
        case=row.case,
        at=row.at,
        by_id=row.by_id,
        position=row.position,
        act=row.act,
        part=row.part,
        changes=row.changes,
        reason=row.reason,
        row=row.row,
        sequence=place.sequence,
        previous=place.previous,
    )
    return told.made_digest() == place.digest


def _kept_differs(row: HistoryEntry, kept: Head) -> Broken | None:
    if row.digest == kept.digest:
        return None
    return _of(
        row, HEAD, f"The head that was kept has the digest {kept.digest}, this entry {row.digest}."
    )


def _at_the_end(laboratory: Organisation, end: Head, kept: Head | None) -> Broken | None:
    """Whether the chain ends where its head says, and not before a head that was kept."""
    stored = ChainHead.objects.filter(laboratory=laboratory).first()
    head = stored.sequence if stored else 0
    if head > end.sequence:
        return Broken(
            end.sequence + 1, "", MISSING, f"The head says that {head} entries were written."
        )
    if kept and kept.sequence > end.sequence:
        return Broken(
            end.sequence + 1,
            "",
            HEAD,
            f"The head that was kept says that {kept.sequence} entries were written; "
            f"{end.sequence} stand here.",
        )
    if end.sequence == 0:
        return None
    if head < end.sequence:
        extra = _entries(laboratory).filter(sequence__gt=head)[0]
        return _of(extra, INSERTED, f"The head says that {head} entries were written.")
    if stored and stored.digest != end.digest:
        last = _entries(laboratory).get(sequence=end.sequence)
        return _of(last, HEAD, "The last entry has another digest than the head.")
    return None


def _of(row: HistoryEntry, what: str, text: str) -> Broken:
    return Broken(row.sequence, row.case.code, what, text)


# --- heads that are kept elsewhere -------------------------------------------------------------

TITLE = "# number of the laboratory, entries, digest of the last one, name"


class NoHeadFile(Exception):
    """The text is none of kept heads; it says what is wrong and what to do."""


def head_lines(found: Iterable[Head]) -> Iterator[str]:
    """One line a laboratory, to be printed, mailed, or kept on another machine."""
    yield TITLE
    for head in found:
        yield f"{head.laboratory} {head.sequence} {head.digest} {head.name}"


def read_heads(text: str) -> dict[int, Head]:
    """Kept heads by laboratory.

    Raises
    ------
    NoHeadFile
        A line is none that ``head_lines`` writes.
    """
    found: dict[int, Head] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        words = line.split(maxsplit=3)
        whole = len(words) >= 3 and words[0].isdecimal() and words[1].isdecimal()
        if not whole or len(words[2]) != len(START):
            raise NoHeadFile(
                f'Line {number} is no kept head: "{line[:60]}". It has the number of the '
                "laboratory, the number of entries, and a digest of 64 characters. Name a file "
                "that --write-head has written."
            )
        head = Head(int(words[0]), int(words[1]), words[2], " ".join(words[3:]))
        found[head.laboratory] = head
    if not found:
        raise NoHeadFile("No kept head stands in it. Name a file that --write-head has written.")
    return found
