"""The bundle of a case: what lies in the file, and reading one that somebody brings.

A bundle is a zip file. ``manifest.json`` names every other file with its length and its SHA-256
digest; the digest of the manifest itself stands in the history of the case that was exported.
Nothing in here asks a database.
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from labcases import notation
from labcases.domain import calculations, figures, rebuilt, redacting
from labcases.domain.case_rows import Plain
from labcases.enums import CheckKind
from labcases.models import chain

FORMAT = "bundle of a case"
VERSION = 1
MANIFEST, ROWS, KEYS, FIGURES, HISTORY = (
    *("manifest.json", "case.json", "keys.json", "figures.json"),
    "history.json",
)
PIECE = 1 << 16
"""So much of a file is held at once."""

# Limits of what is read; a case of a hundred photographs stays far below each.
MOST_FILES = 2_000
MOST_BYTES = 4 * 1024**3
MOST_JSON_BYTES = 32 * 1024**2
MOST_RATIO = 200
"""A text of zeros is packed to a thousandth; rows of a case to about a fifteenth."""

NEAR = 1e-9
"""Numbers of the engine may differ by so much from one processor to another."""

_NAME = re.compile(r"(?:(?:papers|photographs|tables)/)?[A-Za-z0-9][A-Za-z0-9_-]{0,80}\.[a-z]{2,4}")
_PLACE = {tooth: n for n, tooth in enumerate((*notation.UPPER, *notation.LOWER))}
_HOW = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


class NoBundle(Exception):
    """The file is not opened; the text says why, and what to do."""


@dataclass
class Findings:
    """What reading a bundle has found."""

    case: str = ""
    made_at: str = ""
    engine: str = ""
    manifest_sha256: str = ""
    files: int = 0
    missing: list[str] = field(default_factory=list)
    extra: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)
    restricted: str = ""
    """Why the case is closed to work, where erasure was asked for."""
    entries: int = 0
    history: list[str] = field(default_factory=list)
    """What of the history is not as its digests say."""
    same: list[str] = field(default_factory=list)
    other: list[str] = field(default_factory=list)
    """Figures that come out as they stand in the file, and those that do not."""

    @property
    def whole(self) -> bool:
        return not (self.missing or self.extra or self.changed or self.history or self.other)


def read(path: Path) -> Findings:
    """Hold a bundle against its manifest, its history against its digests, and compute anew.

    Raises
    ------
    NoBundle
        It is no bundle, or one that is not safe to open. Nothing of it was written anywhere.
    """
    try:
        with zipfile.ZipFile(path) as packed:
            found, rows, told = _read(packed)
    except (OSError, zipfile.BadZipFile, RuntimeError, EOFError) as wrong:
        raise NoBundle(
            f"{path.name} cannot be opened as a zip file: {wrong}. Fetch the bundle again."
        ) from wrong
    if rows and told:
        _figures(found, rows, told)
    return found


def _read(packed: zipfile.ZipFile) -> tuple[Findings, Plain, Plain]:
    """What the digests say; then the rows and the figures, where they are as they were made."""
    listed = packed.infolist()
    refuse_unsafe(listed)
    names = {one.filename for one in listed}
    if MANIFEST not in names:
        raise NoBundle(f"No {MANIFEST} lies in it, so it is no bundle of a case.")
    manifest = _json(packed, MANIFEST)
    told = _files_of(manifest)
    found = Findings(
        case=str(manifest.get("case", "")),
        made_at=str(manifest.get("made_at", "")),
        engine=str(manifest.get("engine_version", "")),
        manifest_sha256=_digest(packed, MANIFEST)[0],
        files=len(told),
        missing=sorted(told.keys() - names),
        extra=sorted(names - told.keys() - {MANIFEST}),
        restricted=str(manifest.get("restricted", "")),
        left_out=[f"{one['what']}: {one['why']}" for one in manifest.get("left_out", [])],
    )
    for name in sorted(told.keys() & names):
        try:
            if _digest(packed, name) != told[name]:
                found.changed.append(name)
        except zipfile.BadZipFile:
            found.changed.append(name)
    unread = {*found.missing, *found.changed}
    if HISTORY not in unread:
        _history(found, _json(packed, HISTORY))
    if {ROWS, FIGURES} & unread:
        return found, {}, {}
    return found, _json(packed, ROWS), _json(packed, FIGURES)


def refuse_unsafe(listed: list[zipfile.ZipInfo]) -> None:
    """Refuse names, lengths and kinds that no bundle has, before a byte is unpacked.

    Raises
    ------
    NoBundle
        The text names the first file that is not as it may be.
    """
    if len(listed) > MOST_FILES:
        raise NoBundle(f"{len(listed)} files lie in it; a bundle has {MOST_FILES} at most.")
    if sum(one.file_size for one in listed) > MOST_BYTES:
        raise NoBundle(f"It would unpack to more than {MOST_BYTES // 1024**3} GB.")
    seen: set[str] = set()
    for one in listed:
        name = one.filename
        if not _NAME.fullmatch(name):
            raise NoBundle(f"{name[:60]!r} is no name of a file in a bundle.")
        if name.casefold() in seen:
            raise NoBundle(f"{name} lies in it twice.")
        seen.add(name.casefold())
        kind = one.external_attr >> 16 & 0o170000
        if one.is_dir() or kind not in (0, 0o100000):
            raise NoBundle(f"{name} is no plain file.")
        if one.flag_bits & 0x1 or one.compress_type not in _HOW:
            raise NoBundle(f"{name} is locked or packed in a way that no bundle is.")
        if one.file_size > PIECE and one.file_size > MOST_RATIO * max(1, one.compress_size):
            raise NoBundle(f"{name} would unpack to more than {MOST_RATIO} times its length.")
        if name.endswith(".json") and one.file_size > MOST_JSON_BYTES:
            raise NoBundle(f"{name} is longer than {MOST_JSON_BYTES // 1024**2} MB.")


def _files_of(manifest: Plain) -> dict[str, tuple[str, int]]:
    """Name -> digest and length, as the manifest says."""
    try:
        if (manifest["format"], manifest["format_version"]) != (FORMAT, VERSION):
            raise NoBundle(
                f"It is a {str(manifest['format'])[:40]}, version {manifest['format_version']}; "
                f"this reads a {FORMAT}, version {VERSION}."
            )
        told = {str(f["name"]): (str(f["sha256"]), int(f["bytes"])) for f in manifest["files"]}
        if not all({"what", "why"} <= set(one) for one in manifest.get("left_out", [])):
            raise ValueError
    except (KeyError, TypeError, ValueError) as wrong:
        raise NoBundle(f"{MANIFEST} does not say what one says.") from wrong
    return told


def _digest(packed: zipfile.ZipFile, name: str) -> tuple[str, int]:
    """SHA-256 and length of one file, read piece by piece."""
    made, length = hashlib.sha256(), 0
    with packed.open(name) as unpacked:
        while piece := unpacked.read(PIECE):
            made.update(piece)
            length += len(piece)
    return made.hexdigest(), length


def _json(packed: zipfile.ZipFile, name: str) -> Plain:
    try:
        found = json.loads(packed.read(name))
    except (ValueError, RecursionError) as wrong:
        raise NoBundle(f"{name} is no JSON text.") from wrong
    if not isinstance(found, dict):
        raise NoBundle(f"{name} does not say what one says.")
    return found


# --- the part of the chain ---------------------------------------------------------------------


def _history(found: Findings, told: Plain) -> None:
    """Each entry against its digest, and against the one before where that is of this case."""
    try:
        before: Plain | None = None
        less = redacting.digests(
            (one["sequence"], one["part"], one["act"], one["row"]) for one in told["entries"]
        )
        for entry in told["entries"]:
            found.entries += 1
            number = entry["sequence"]
            if before and number <= before["sequence"]:
                found.history.append(f"entry {number} stands out of its order")
            if (
                before
                and number == before["sequence"] + 1
                and entry["previous"] != before["digest"]
            ):
                found.history.append(f"entry {number} does not follow entry {number - 1}")
            if digest_of(entry, case=found.case) not in (entry["digest"], less.get(number)):
                found.history.append(f"entry {number} does not say what its digest was made from")
            before = entry
    except (KeyError, TypeError, ValueError, AttributeError) as wrong:
        found.history.append(f"it cannot be read: {wrong!r}")


def digest_of(entry: Plain, *, case: str) -> str:
    """The digest that belongs to what an entry in a bundle says."""
    return chain.digest(
        previous=entry["previous"],
        sequence=entry["sequence"],
        case=case,
        at=datetime.fromisoformat(entry["at"]),
        by=entry["by"],
        position=entry["position"],
        act=entry["act"],
        part=entry["part"],
        changes=entry["changes"],
        reason=entry["reason"],
        row=entry["row"],
    )


# --- the figures -------------------------------------------------------------------------------


def _figures(found: Findings, rows: Plain, told: Plain) -> None:
    """Answers of the engine and figures, computed anew from the rows in the file."""
    for name, kept, now in computed(rows, told):
        if isinstance(now, Exception):
            found.other.append(f"{name}: {now}")
        elif alike(kept, now):
            found.same.append(name)
        else:
            found.other.append(f"{name}: comes out otherwise ({differs(kept, now)})")


def computed(rows: Plain, told: Plain) -> Iterator[tuple[str, Any, Any]]:
    """Name, value in the file, and value computed from its rows, one after the other."""
    wrong = (calculations.CannotCompute, rebuilt.NotRows, KeyError, TypeError, ValueError)
    listed = rows.get("rows", {})
    for kind, name in (("CheckRun", ""), ("MarksCompared", "comparison of marks")):
        for run in listed.get(kind, []):
            now: Any
            try:
                title = name or f"{CheckKind(run['kind']).label.lower()}"
                title = f"{title} of {str(run['at'])[:10]}, row {run['key']}"
                asked = in_mouth_order(run["inputs"])
                if name:
                    now = calculations.compare_marks(asked)
                else:
                    now = calculations.answer(CheckKind(run["kind"]), asked)
                kept = run["findings"]
            except wrong as problem:
                title, kept, now = f"answer of the engine ({kind})", None, problem
            yield title, kept, now
    try:
        now_all = figures.of_case(rebuilt.case_of(rows))
    except wrong as problem:
        yield "figures", None, problem
        return
    for part in figures.FIGURES:
        yield part.replace("_", " "), told.get(part), now_all[part]


def in_mouth_order(told: Any) -> Any:
    """Inputs as the engine was asked: some databases give teeth back in another order."""
    if not isinstance(told, dict):
        return told
    keys = sorted(told, key=_PLACE.__getitem__) if told and told.keys() <= _PLACE.keys() else told
    return {key: in_mouth_order(told[key]) for key in keys}


def alike(kept: Any, now: Any) -> bool:
    """Whether two values say the same; numbers that come from a processor to within ``NEAR``."""
    return not differs(kept, now)


def differs(kept: Any, now: Any, path: str = "") -> str:
    """The first place at which two values differ, in words; empty where they say the same."""
    if isinstance(kept, dict) and isinstance(now, dict):
        for key in sorted({*kept, *now}):
            if key not in kept or key not in now:
                return f"{path}{key} stands in one of them alone"
            if told := differs(kept[key], now[key], f"{path}{key} "):
                return told
        return ""
    if isinstance(kept, list) and isinstance(now, (list, tuple)):
        if len(kept) != len(now):
            return f"{path}{len(kept)} lines, now {len(now)}"
        pairs = enumerate(zip(kept, now, strict=True), start=1)
        return next(
            (t for n, (one, other) in pairs if (t := differs(one, other, f"{path}{n} "))), ""
        )
    if _number(kept) and _number(now):
        near = abs(kept - now) <= NEAR * max(1.0, abs(kept), abs(now))
        return "" if near else f"{path}{kept:g}, now {now:g}"
    return "" if kept == now else f"{path}{str(kept)[:40]}, now {str(now)[:40]}"


def _number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
