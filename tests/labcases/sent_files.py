"""Files as people send them, made for the tests: good ones, and ones that mean harm."""

from __future__ import annotations

import io
import stat
import struct
import zipfile
import zlib
from functools import cache

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageCms, PngImagePlugin

RED, GREEN, BLUE, WHITE = (200, 30, 30), (30, 160, 60), (30, 60, 200), (255, 255, 255)
GPS = {1: "N", 2: (53.0, 20.0, 30.0), 3: "W", 4: (6.0, 15.0, 40.0)}
#: What must never be found again in anything that leaves.
SECRET = b"Quendoline Zaffrane"
PAGE = b"<html><script>alert(document.cookie)</script></html>"


def picture(size=(120, 80), colour=RED, mode="RGB") -> Image.Image:
    return Image.new("RGB", size, colour).convert(mode)


def encoded(image: Image.Image, kind="JPEG", **options) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def jpeg(size=(120, 80), colour=RED, **options) -> bytes:
    return encoded(picture(size, colour), **options)


def sent(data: bytes, name="photo.jpg", content_type="image/jpeg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, content_type)


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width, height, *, depth=8, colour_type=2, raw: bytes | None = None, extra=b"") -> bytes:
    """A PNG by hand, so that its header may promise what it does not hold."""
    header = struct.pack(">IIBBBBB", width, height, depth, colour_type, 0, 0, 0)
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            chunk(b"IHDR", header),
            extra,
            chunk(b"IDAT", zlib.compress(b"" if raw is None else raw, 9)),
            chunk(b"IEND", b""),
        )
    )


def bomb(side: int) -> bytes:
    """A small file of side x side white pixels, whole and valid: 1 bit each."""
    row = b"\0" + b"\xff" * ((side + 7) // 8)
    squeeze = zlib.compressobj(9)
    data = b"".join(squeeze.compress(row) for _ in range(side)) + squeeze.flush()
    header = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        chunk(kind, body) for kind, body in ((b"IHDR", header), (b"IDAT", data), (b"IEND", b""))
    )


def told_everything() -> bytes:
    """A JPEG with place, date, device, comment, a small version inside, a profile, and XMP."""
    image = picture()
    exif = image.getexif()
    exif[0x010E] = SECRET.decode()
    exif[0x0110] = "Camera 9"
    exif.get_ifd(0x8825).update(GPS)
    return encoded(
        image,
        exif=exif,
        comment=SECRET,
        icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(),
        xmp=b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>" + SECRET + b"</x:xmpmeta>",
    )


def told_in_png() -> bytes:
    told = PngImagePlugin.PngInfo()
    told.add_text("Author", SECRET.decode())
    told.add_itxt("Comment", SECRET.decode(), zip=True)
    exif = picture().getexif()
    exif[0x0110] = "Camera 9"
    exif.get_ifd(0x8825).update(GPS)
    return encoded(picture(), "PNG", pnginfo=told, exif=exif)


def profile_of_linear_light() -> bytes:
    """An ICC profile by hand: the primaries of sRGB, but numbers that count light itself."""

    def number(value: float) -> bytes:
        return struct.pack(">i", round(value * 65536))

    def xyz(*values: float) -> bytes:
        return b"XYZ \0\0\0\0" + b"".join(number(value) for value in values)

    straight = b"curv" + bytes(8)
    tags = {
        b"wtpt": xyz(0.9642, 1.0, 0.8249),
        b"rXYZ": xyz(0.4361, 0.2225, 0.0139),
        b"gXYZ": xyz(0.3851, 0.7169, 0.0971),
        b"bXYZ": xyz(0.1431, 0.0606, 0.7141),
        **dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), straight),
    }
    start = 128 + 4 + 12 * len(tags)
    table, body = b"", b""
    for name, data in tags.items():
        table += name + struct.pack(">II", start + len(body), len(data))
        body += data
    head = struct.pack(
        ">I4sI4s4s4s", start + len(body), bytes(4), 0x02100000, b"mntr", b"RGB ", b"XYZ "
    )
    head += bytes(12) + b"acsp" + bytes(28) + number(0.9642) + number(1.0) + number(0.8249)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def turned(orientation: int) -> bytes:
    """A picture that shows red, green / blue, white once its orientation is applied."""
    upright = Image.new("RGB", (64, 32))
    for place, colour in (((0, 0), RED), ((32, 0), GREEN), ((0, 16), BLUE), ((32, 16), WHITE)):
        upright.paste(colour, (*place, place[0] + 32, place[1] + 16))
    # How the camera held it: what undoes the turn that its orientation asks for.
    back = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }
    held = upright.transpose(back[orientation]) if orientation in back else upright
    exif = held.getexif()
    exif[0x0112] = orientation
    return encoded(held, exif=exif, quality=95)


def moving() -> bytes:
    return encoded(
        picture(), "PNG", save_all=True, append_images=[picture(colour=BLUE)], duration=100
    )


#: What is no picture that is taken, whatever it is called, and a word of the refusal.
NO_PICTURE = {
    "svg": (b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>", "SVG"),
    "svg with a heading": (b"<?xml version='1.0'?>\n<svg onload='alert(1)'/>", "SVG"),
    "html": (PAGE, "HTML"),
    "html behind a mark": (b"\xef\xbb\xbf \n<!DOCTYPE html>" + PAGE, "HTML"),
    "pdf": (b"%PDF-1.7\n1 0 obj<</S/JavaScript/JS(app.alert(1))>>", "PDF"),
    "pdf behind a line": (b"\n\n%PDF-1.4\n", "PDF"),
    "program of Windows": (b"MZ\x90\0" + b"\0" * 60, "program"),
    "program of Linux": (b"\x7fELF\x02\x01\x01", "program"),
    "script": (b"#!/bin/sh\nrm -rf /", "program"),
    "program of macOS": (b"\xcf\xfa\xed\xfe\x07\0\0\x01" + b"\0" * 40, "program"),
    "packed drawing": (b"\x1f\x8b\x08\0" + b"\0" * 40, "packed"),
    "zip": (b"PK\x03\x04" + b"\0" * 40, "packed"),
    "heic": (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC"),
    "gif": (b"GIF89a\x01\0\x01\0", "another format"),
    "webp": (b"RIFF\x20\0\0\0WEBPVP8 ", "another format"),
    "bmp": (b"BM" + b"\0" * 60, "another format"),
    "tiff": (b"II*\0\x08\0\0\0", "another format"),
    "words": (b"only some words", "no JPEG or PNG"),
    "nothing but zeros": (b"\0" * 100, "no JPEG or PNG"),
    "a picture behind html": (PAGE + jpeg(), "HTML"),
}
NAMES = ("photo.jpg", "photo.png", "photo.jpg.html")


def packed(*files: tuple[str, bytes], link: str = "") -> bytes:
    """A ZIP of some files, and of a link to somewhere else if one is named."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files:
            archive.writestr(name, data)
        if link:
            entry = zipfile.ZipInfo("photo.jpg")
            entry.create_system, entry.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
            archive.writestr(entry, link)
    return out.getvalue()


@cache
def archives() -> dict[str, bytes]:
    """Packed files that mean harm to whoever unpacks them; nobody here ever does."""
    small = packed(("photo.jpg", jpeg()))
    found = {
        "a picture": small,
        "a thousand to one": packed(("photo.jpg", b"\0" * 4_000_000)),
        "ten thousand entries": packed(*((f"{number}.jpg", b"") for number in range(10_000))),
        "a way up": packed(("../../photo.jpg", jpeg())),
        "an address from the root": packed(("/etc/cron.d/photo", b"* * * * *")),
        "a link": packed(link="/etc/passwd"),
        "one inside another": packed(("photo.zip", packed(("photo.zip", small)))),
        "a page": packed(("photo.jpg", PAGE)),
        "nothing": packed(),
        "behind a picture's name": packed((f"photo.jpg{chr(0)}.exe", b"MZ")),
    }
    assert len(found["a thousand to one"]) < 4_000_000 / 900
    return found


ARCHIVES = (
    *("a picture", "a thousand to one", "ten thousand entries", "a way up"),
    *("an address from the root", "a link", "one inside another", "a page", "nothing"),
    "behind a picture's name",
)
