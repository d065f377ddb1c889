"""Encodes one picture anew. Started as a program of its own, and imports nothing of the project.

A decoder of pictures is a large program in C that reads what strangers send. Here it has a
process with limits, and settings that no other library has touched: the printing library lets
truncated pictures pass for the whole process that imports it.

Reads the picture from standard input; writes one line of JSON and then, when it was not
refused, the picture and its small version. What comes out was drawn from pixels: nothing of
what stood beside them (place, date, device, comments, a page of HTML behind the last byte)
is there any more.
"""

from __future__ import annotations

import io
import json
import sys
import warnings
from dataclasses import dataclass

from PIL import Image, ImageCms, ImageOps

LONGEST_SMALL_PX = 480
QUALITY = 90
SMALL_QUALITY = 80
LONGEST_PROFILE_BYTES = 1_000_000
SECONDS = 20
MEMORY_BYTES = 1_500_000_000
#: Depth is cut to 8 bits: more cannot be shown, and a JPEG does not hold it.
SIXTEEN_BIT_STEPS = 256


class Refused(Exception):
    """Why the picture is not taken, as one word that the caller turns into a sentence."""


@dataclass(frozen=True)
class Encoded:
    """The picture, its small version, and how many pixels the picture has."""

    full: bytes
    small: bytes
    width_px: int
    height_px: int


def reencode(sent: bytes, *, kind: str, most_pixels: int, longest_px: int) -> Encoded:
    """Draw a picture anew from its pixels.

    Parameters
    ----------
    sent : bytes
        The file.
    kind : str
        ``JPEG`` or ``PNG``: the only decoder that is asked.
    most_pixels, longest_px : int
        Limits that the header is held against before anything is decoded.

    Raises
    ------
    Refused
        ``pixels``, ``moving`` or ``broken``.
    """
    # Our own limit is lower than the library's and is asked below, before anything is decoded.
    warnings.simplefilter("ignore", Image.DecompressionBombWarning)
    try:
        picture = Image.open(io.BytesIO(sent), formats=(kind,))
    except Image.DecompressionBombError:
        raise Refused("pixels") from None
    if picture.width * picture.height > most_pixels or max(picture.size) > longest_px:
        raise Refused("pixels")
    if kind == "PNG" and getattr(picture, "is_animated", False):
        raise Refused("moving")
    picture.load()
    drawn = _plain_colours(ImageOps.exif_transpose(picture))
    # The encoder would write a comment that it finds here.
    drawn.info = {}
    small = drawn.copy()
    small.thumbnail((LONGEST_SMALL_PX, LONGEST_SMALL_PX), Image.Resampling.LANCZOS)
    return Encoded(_jpeg(drawn, QUALITY), _jpeg(small, SMALL_QUALITY), *drawn.size)


def _plain_colours(picture: Image.Image) -> Image.Image:
    """Grey or red, green and blue of 8 bits each, on white where it was transparent."""
    profile = picture.info.get("icc_profile")
    if picture.mode.startswith("I"):
        picture = picture.point(lambda value: value * (1 / SIXTEEN_BIT_STEPS)).convert("L")
    if picture.has_transparency_data:
        above = picture.convert("RGBA")
        picture = Image.new("RGB", picture.size, "white")
        picture.paste(above, mask=above)
    elif picture.mode in ("1", "L"):
        return picture.convert("L")
    elif picture.mode == "P":
        picture = picture.convert("RGB")
    return _as_srgb(picture, profile)


def _as_srgb(picture: Image.Image, profile: object) -> Image.Image:
    """Colours as every screen shows them; a profile that does not fit the picture is passed by."""
    if isinstance(profile, bytes) and len(profile) <= LONGEST_PROFILE_BYTES:
        try:
            turned = ImageCms.profileToProfile(
                picture,
                ImageCms.ImageCmsProfile(io.BytesIO(profile)),
                ImageCms.createProfile("sRGB"),
                outputMode="RGB",
            )
        except (ImageCms.PyCMSError, OSError, ValueError):
            turned = None
        if turned is not None:
            return turned
    return picture.convert("RGB")


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality, subsampling=0)
    return out.getvalue()


def _limit_this_process() -> None:
    """Let the system end a picture that wants too much; Windows has no such limits."""
    try:
        import resource  # noqa: PLC0415  (only where the system has it)
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))


def main() -> None:
    kind, most_pixels, longest_px = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    _limit_this_process()
    sent = sys.stdin.buffer.read()
    told: dict[str, str | int]
    parts: tuple[bytes, ...] = ()
    try:
        made = reencode(sent, kind=kind, most_pixels=most_pixels, longest_px=longest_px)
    except Refused as refused:
        told = {"refused": str(refused)}
    except (Exception, MemoryError) as broken:
        # Whatever a decoder falls over means the same to the person: the file is broken.
        told = {"refused": "broken", "why": type(broken).__name__}
    else:
        told = {"width": made.width_px, "height": made.height_px, "full": len(made.full)}
        parts = (made.full, made.small)
    sys.stdout.buffer.write(json.dumps(told).encode() + b"\n" + b"".join(parts))


if __name__ == "__main__":
    main()
