"""Writing the bundle of a case: one zip file, in the same order and with the same day in it."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import IO, Any

from labcases import codes
from labcases.domain import access, calculations, case_rows, erasing, figures, files
from labcases.domain.bundle import (
    FIGURES,
    FORMAT,
    HISTORY,
    KEYS,
    MANIFEST,
    PIECE,
    ROWS,
    VERSION,
)
from labcases.domain.case_rows import Plain
from labcases.models import Attachment, Case, Erasure, HistoryEntry, User
from labcases.outputs import bundle_tables, teeth_csv
from labcases.outputs.papers import PAPERS, NotPrinted
from labcases.outputs.pdf import PdfOff
from labcases.pdf_support import pdf_problem
from labcases.templatetags.units import long_date

#: No day of the file's making: the same case gives the same bytes.
DAY = (1980, 1, 1, 0, 0, 0)
PLAIN_FILE = 0o100644 << 16
NAME = "name"

NOTE = """Bundle of a case

manifest.json  every other file with its length and its SHA-256 digest, and what is left out
case.json      every row of the case; other rows are named by their keys
keys.json      what each key means, with units and choices
figures.json   height budget, vertical ledger and remount as they were worked out
history.json   the entries of this case, each with the digest that chains it
tables/        the rows again as tables (RFC 4180, UTF-8), and teeth, gaps and heights
papers/        the papers as PDF
photographs/   the pictures that the person who made the bundle may see

`manage.py read_bundle FILE` holds it against its digests and works the figures out again, on a
machine that has never seen the case. Record keeping and bench arithmetic: not for diagnosis or
treatment decisions. That no contact is predicted does not mean that there is none.
"""


@dataclass
class Made:
    """What was written: the digest of the manifest, and what the file does not have."""

    manifest_sha256: str
    files: int
    left_out: list[Plain] = field(default_factory=list)


class _Writer:
    def __init__(self, packed: zipfile.ZipFile) -> None:
        self.packed = packed
        self.files: list[Plain] = []

    def add(self, name: str, pieces: Iterable[bytes], *, packed: bool = True) -> None:
        """Write one file piece by piece, and keep its digest."""
        info = zipfile.ZipInfo(name, DAY)
        info.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
        info.create_system, info.external_attr = 3, PLAIN_FILE
        made, length = hashlib.sha256(), 0
        with self.packed.open(info, "w", force_zip64=not packed) as written:
            for piece in pieces:
                written.write(piece)
                made.update(piece)
                length += len(piece)
        self.files.append({"name": name, "bytes": length, "sha256": made.hexdigest()})

    def add_json(self, name: str, value: Any) -> None:
        self.add(name, [as_json(value)])


def as_json(value: Any) -> bytes:
    """JSON that people can read and that is the same each time."""
    return json.dumps(value, indent=1, sort_keys=True, ensure_ascii=False).encode() + b"\n"


def write(
    to: IO[bytes],
    *,
    case: Case,
    by: User,
    notation: str,
    size: str,
    at: datetime,
    identity: bool = False,
    papers: bool = True,
) -> Made:
    """Write the bundle of a case to an open file.

    Parameters
    ----------
    to : binary file
        Open for writing, with a position that can be moved.
    case, by, notation, size
        The case, who makes the bundle, and how papers are written for this person.
    at : datetime
        The time that stands in the manifest.
    identity : bool
        With the patient's name; the caller has asked ``access``.
    papers : bool
        With the papers as PDF, where this machine makes any.
    """
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as packed:
        writer = _Writer(packed)
        closed = erasing.of_case(case)
        rows = case_rows.of_case(case, identity=identity)
        left_out = [] if identity else [_apart(NAME, "no name of a patient is exported")]
        pictures = list(_pictures(case, by, left_out))
        _name_pictures(rows, pictures)
        writer.add("README.txt", [NOTE.encode()])
        writer.add_json(ROWS, rows)
        writer.add_json(KEYS, case_rows.keys())
        writer.add_json(FIGURES, figures.of_case(case))
        writer.add_json(HISTORY, _history(case))
        for name, table in bundle_tables.tables(rows):
            writer.add(f"tables/{name}.csv", [table])
        writer.add("tables/teeth.csv", [teeth_csv.content(case)])
        if papers and closed:
            left_out.append(_apart("papers", "withdrawn: erasure was asked for"))
        elif papers:
            _papers(writer, left_out, case, by=by, notation=notation, size=size)
        else:
            left_out.append(_apart("papers", "not asked for"))
        for name, picture in pictures:
            writer.add(name, _pieces(picture), packed=False)
        manifest = as_json(
            {
                "format": FORMAT,
                "format_version": VERSION,
                "case": case.code,
                "made_at": case_rows.plain(at),
                "made_by": by.full_name,
                "engine_version": calculations.ENGINE_VERSION,
                "files": sorted(writer.files, key=lambda one: str(one["name"])),
                "left_out": left_out,
                **({"restricted": restriction(closed)} if closed else {}),
            }
        )
        writer.add(MANIFEST, [manifest])
    return Made(hashlib.sha256(manifest).hexdigest(), len(writer.files) - 1, left_out)


def restriction(row: Erasure) -> str:
    """That a case is closed to work, who asked for it, and until when it is kept and why."""
    return (
        f"Erasure was asked for by {row.get_asked_by_display()} on {long_date(row.asked_on)}. "
        f"Patient code, name, pictures and papers are withdrawn. Kept until "
        f"{long_date(row.kept_until)}: {erasing.why(row)}"
    )


def file_name(case: Case) -> str:
    """The case code and nothing else: no name stands in a file's name."""
    return f"{codes.grouped(case.code)}-bundle.zip"


def _apart(what: str, why: str) -> Plain:
    return {"what": what, "why": why}


def _history(case: Case) -> Plain:
    """The entries of a case in the order of the laboratory, with all that their digests hold."""
    rows = HistoryEntry.objects.filter(case=case).order_by("sequence")
    return {
        "laboratory": case.laboratory.name,
        "entries": [case_rows.told(row, without=("case", "laboratory")) for row in rows],
    }


def _papers(
    writer: _Writer, left_out: list[Plain], case: Case, *, by: User, notation: str, size: str
) -> None:
    """Each paper, or that it is missing and why."""
    problem = pdf_problem()
    for paper in PAPERS.values():
        what = f"paper: {paper.kind.label}"
        if problem:
            left_out.append(_apart(what, f"this machine makes no PDFs: {problem}"))
            continue
        asked = size if size in paper.sizes else paper.sizes[0]
        try:
            made = paper.pdf(case, by=by, notation=notation, size=asked)
        except (PdfOff, NotPrinted) as off:
            left_out.append(_apart(what, str(off)))
            continue
        writer.add(f"papers/{paper.slug}.pdf", [made])


def _pictures(case: Case, by: User, left_out: list[Plain]) -> Iterator[tuple[str, Attachment]]:
    """Pictures that the person may see and whose file is as it was stored."""
    held = access.positions(by, case)
    for row in case.attachments.order_by("pk"):
        what = f"picture {row.pk} ({row.words})"
        if row.removed_at:
            left_out.append(_apart(what, "taken out of view"))
        elif not files.may_see(by, row, held):
            left_out.append(_apart(what, "a face that the patient has not agreed to showing"))
        elif _digest(row) != row.sha256:
            left_out.append(_apart(what, "its file is lost, or is not the one that was stored"))
        else:
            yield f"photographs/{row.pk:06d}.jpg", row


def _name_pictures(rows: Plain, pictures: list[tuple[str, Attachment]]) -> None:
    """Say of each picture under which name it lies in the bundle."""
    names = {row.pk: name for name, row in pictures}
    for told in rows["rows"].get("Attachment", []):
        told["in_bundle"] = names.get(told["key"], "")


def _digest(row: Attachment) -> str:
    made = hashlib.sha256()
    try:
        for piece in _pieces(row):
            made.update(piece)
    except FileNotFoundError:
        return ""
    return made.hexdigest()


def _pieces(row: Attachment) -> Iterator[bytes]:
    """A picture piece by piece: a whole one is never held."""
    with row.file.storage.open(str(row.file.name), "rb") as stored:
        while piece := stored.read(PIECE):
            yield piece
