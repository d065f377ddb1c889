"""Pictures that people send: what is taken, and why anything else is not.

What a file is, its first bytes say; its name and the type that the browser sends say nothing.
What is taken is drawn anew by ``_reencode.py``, so that only bytes of our own are ever kept.
"""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from threading import BoundedSemaphore
from typing import Any

from django.conf import settings
from django.core.files import File

MOST_PIXELS = 40_000_000
LONGEST_PX = 20_000
#: A little longer than the time that the process gives itself.
SECONDS = 40
SNIFFED_BYTES = 1024

JPEG, PNG = "JPEG", "PNG"
CONTENT_TYPE = "image/jpeg"
PROGRAM = Path(__file__).with_name("_reencode.py")

#: A large picture takes some hundred megabytes while it is drawn: one at a time in a process.
_TURN = BoundedSemaphore(1)

ASK_FOR = "Photographs and papers are taken as JPEG or PNG."
ELSE_SAVE = "Open it and save or export it as JPEG or PNG, then add that file."


class NotAccepted(Exception):
    """The file is not taken; the text says what it is and what to do."""


@dataclass(frozen=True)
class Picture:
    """A picture as it was drawn anew, with the digest of the file that was sent."""

    full: bytes
    small: bytes
    width_px: int
    height_px: int
    sent_sha256: str
    content_type: str = CONTENT_TYPE


def read(upload: File[bytes]) -> Picture:
    """Read a file that somebody sent, as a picture of our own.

    Parameters
    ----------
    upload : File
        What came with the form. Its name and its content type are not looked at.

    Raises
    ------
    NotAccepted
        It is no JPEG or PNG, too large, too many pixels, moving, or broken.
    """
    largest = settings.LARGEST_PICTURE_BYTES
    if (upload.size or 0) > largest:
        raise NotAccepted(
            f"The file is {_megabytes(upload.size or 0)} MB. Up to {largest // 1_000_000} MB are "
            "taken: choose a lower quality or size when you export it, then add it again."
        )
    upload.seek(0)
    sent = upload.read(largest + 1)
    if not sent:
        raise NotAccepted("The file is empty. Choose it again, or export it anew.")
    return _drawn_anew(sent, _kind_of(sent))


def _megabytes(size: int) -> str:
    return f"{size / 1_000_000:.0f}" if size >= 10_000_000 else f"{size / 1_000_000:.1f}"


def _kind_of(sent: bytes) -> str:
    """``JPEG`` or ``PNG`` by the first bytes, or the refusal that fits what it is."""
    if sent.startswith(b"\xff\xd8\xff"):
        return JPEG
    if sent.startswith(b"\x89PNG\r\n\x1a\n"):
        return PNG
    raise NotAccepted(_what_instead(sent[:SNIFFED_BYTES]))


def _what_instead(head: bytes) -> str:
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip().lower()
    if b"%pdf" in head.lower():
        return (
            "This is a PDF. A PDF can hold more than a page of paper, so it is not taken: "
            "photograph the paper, or export the page as JPEG or PNG, then add that file."
        )
    if head[4:8] == b"ftyp" and head[8:12] in _PHONES:
        return (
            "This is a picture in the format HEIC or AVIF. Set the camera to JPEG (the most "
            "compatible format), or export the photograph as JPEG, then add that file."
        )
    if head.startswith((b"GIF8", b"BM", b"II*\x00", b"MM\x00*")) or head[8:12] == b"WEBP":
        return f"This is a picture of another format. {ASK_FOR} {ELSE_SAVE}"
    if text.startswith(b"<") and b"<svg" in text:
        return f"This is an SVG drawing, which may hold a program. {ASK_FOR} {ELSE_SAVE}"
    if text.startswith(b"<"):
        return (
            f"This is a page of text or HTML, whatever its name says. {ASK_FOR} Choose the "
            "photograph itself."
        )
    if head.startswith(_PACKED_OR_PROGRAM):
        return (
            f"This is a packed file or a program, whatever its name says. {ASK_FOR} Unpack it, "
            "and choose the photograph itself."
        )
    return f"This file is no JPEG or PNG, whatever its name says. {ASK_FOR} {ELSE_SAVE}"


_PACKED_OR_PROGRAM = (
    *(b"PK\x03\x04", b"PK\x05\x06", b"Rar!", b"7z\xbc\xaf", b"\x1f\x8b"),
    *(b"MZ", b"\x7fELF", b"\xcf\xfa\xed\xfe", b"\xca\xfe\xba\xbe", b"#!"),
)
_PHONES = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis")

_REFUSALS = {
    "pixels": (
        f"The picture has more than {MOST_PIXELS // 1_000_000} million pixels, or one side is "
        f"longer than {LONGEST_PX} pixels. Make it smaller, then add it again."
    ),
    "moving": (
        "This PNG moves: it holds several pictures. Save the one that you mean as a still JPEG or "
        "PNG, then add that file."
    ),
    "broken": (
        "The picture is broken or not whole: it cannot be drawn to its end. Copy it from the "
        "camera or scanner once more, or export it anew as JPEG, then add that file."
    ),
}


def _drawn_anew(sent: bytes, kind: str) -> Picture:
    command = [sys.executable, "-I", str(PROGRAM), kind, str(MOST_PIXELS), str(LONGEST_PX)]
    with _TURN:
        try:
            done = subprocess.run(  # noqa: S603  (our own program, no word of it from outside)
                command, input=sent, capture_output=True, timeout=SECONDS, check=False
            )
        except subprocess.TimeoutExpired:
            raise NotAccepted(_REFUSALS["broken"]) from None
    line, _, parts = done.stdout.partition(b"\n")
    told: dict[str, Any] = (
        json.loads(line) if done.returncode == 0 and line else {"refused": "broken"}
    )
    if "refused" in told:
        raise NotAccepted(_REFUSALS[told["refused"]])
    return Picture(
        full=parts[: told["full"]],
        small=parts[told["full"] :],
        width_px=told["width"],
        height_px=told["height"],
        sent_sha256=hashlib.sha256(sent).hexdigest(),
    )
