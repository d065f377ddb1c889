"""What is taken as a picture, what is refused in which words, and what is left of it."""

import hashlib
import random
import subprocess
import sys

import pytest
from PIL import Image, ImageCms, ImageFile

from labcases.domain import pictures
from tests.labcases import sent_files as made


def read(data, name="photo.jpg", content_type="image/jpeg"):
    return pictures.read(made.sent(data, name, content_type))


def refusal(data, **told):
    with pytest.raises(pictures.NotAccepted) as refused:
        read(data, **told)
    return str(refused.value)


def near(found, wanted, by=12):
    return all(abs(a - b) <= by for a, b in zip(found, wanted, strict=True))


# Taken


@pytest.mark.parametrize(
    ("mode", "kind"),
    [
        *(("RGB", "JPEG"), ("L", "JPEG"), ("CMYK", "JPEG"), ("RGB", "PNG"), ("L", "PNG")),
        *(("P", "PNG"), ("1", "PNG"), ("RGBA", "PNG"), ("LA", "PNG")),
    ],
)
def test_every_kind_of_colours_is_taken_and_drawn_anew_as_a_jpeg(mode, kind):
    found = read(made.encoded(made.picture((90, 60), made.WHITE, mode), kind))

    assert (found.width_px, found.height_px, found.content_type) == (90, 60, "image/jpeg")
    image = made.opened(found.full)
    assert (image.format, image.size) == ("JPEG", (90, 60))
    assert near(image.convert("RGB").getpixel((30, 30)), made.WHITE, 3)


@pytest.mark.parametrize(
    ("colour_type", "raw", "wanted"),
    [
        (0, b"\0" + (32768).to_bytes(2, "big"), (128, 128, 128)),
        (2, b"\0" + b"".join(v.to_bytes(2, "big") for v in (51200, 7680, 7680)), made.RED),
        (6, b"\0" + b"".join(v.to_bytes(2, "big") for v in (0, 0, 0, 0)), made.WHITE),
    ],
)
def test_sixteen_bits_are_cut_to_eight_and_not_to_white(colour_type, raw, wanted):
    found = read(made.png(1, 1, depth=16, colour_type=colour_type, raw=raw))

    assert near(made.opened(found.full).convert("RGB").getpixel((0, 0)), wanted)


def test_what_is_transparent_becomes_white_paper():
    found = read(made.encoded(Image.new("RGBA", (20, 20), (0, 0, 0, 0)), "PNG"))

    assert made.opened(found.full).getpixel((10, 10)) == made.WHITE


def test_ink_on_paper_stays_grey_and_legible():
    page = Image.new("1", (200, 100), 1)
    page.paste(0, (50, 40, 150, 44))

    image = made.opened(read(made.encoded(page, "PNG")).full)

    assert image.mode == "L"
    assert image.getpixel((100, 42)) < 40
    assert image.getpixel((100, 80)) > 230


def test_colours_of_another_profile_are_turned_into_those_of_a_screen():
    """A number that counts light itself stands for a far brighter grey on a screen."""
    image = made.picture((20, 20), (55, 55, 55))

    turned = read(made.encoded(image, icc_profile=made.profile_of_linear_light()))

    assert near(made.opened(turned.full).getpixel((10, 10)), (128, 128, 128), 2)


@pytest.mark.parametrize("space", ["sRGB", "LAB", None])
def test_a_profile_that_says_nothing_new_or_does_not_fit_is_passed_by(space):
    profile = b"no profile"
    if space:
        profile = ImageCms.ImageCmsProfile(ImageCms.createProfile(space)).tobytes()

    found = read(made.encoded(made.picture((20, 20), (55, 55, 55)), icc_profile=profile))

    assert near(made.opened(found.full).getpixel((10, 10)), (55, 55, 55), 2)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_stands_upright_however_the_camera_was_held(orientation):
    image = made.opened(read(made.turned(orientation)).full)

    assert image.size == (64, 32)
    for place, colour in (
        ((16, 8), made.RED),
        ((48, 8), made.GREEN),
        ((16, 24), made.BLUE),
        ((48, 24), made.WHITE),
    ):
        assert near(image.getpixel(place), colour, 25)


def test_the_small_version_fits_the_page_and_keeps_its_proportions():
    found = read(made.jpeg((1200, 600)))

    assert made.opened(found.full).size == (1200, 600)
    assert made.opened(found.small).size == (480, 240)
    assert made.opened(read(made.jpeg((60, 40))).small).size == (60, 40)


def test_of_a_picture_pair_of_a_telephone_the_first_is_taken():
    pair = made.encoded(
        made.picture(), "MPO", save_all=True, append_images=[made.picture(colour=made.BLUE)]
    )

    assert near(made.opened(read(pair).full).getpixel((50, 50)), made.RED)


# Nothing else comes along


@pytest.mark.parametrize("data", [made.told_everything(), made.told_in_png()], ids=["jpeg", "png"])
def test_place_device_comments_and_profiles_are_gone(data):
    assert made.SECRET in data or b"Author" in data
    assert made.opened(data).getexif().get_ifd(0x8825) != {}
    found = read(data)

    for part in (found.full, found.small):
        image = made.opened(part)
        assert dict(image.getexif()) == {}
        assert set(image.info) == {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        for word in (made.SECRET, b"Exif", b"ICC_PROFILE", b"adobe", b"Camera", b"Author"):
            assert word not in part


def test_a_page_behind_the_last_byte_of_a_picture_does_not_come_along():
    found = read(made.jpeg() + made.PAGE)

    assert b"script" not in found.full + found.small
    assert found.full == read(made.jpeg()).full


def test_a_page_inside_a_comment_or_a_chunk_does_not_come_along():
    in_comment = read(made.jpeg(comment=made.PAGE))
    raw = b"\0" + b"\xff\0\0" * 4
    in_chunk = read(made.png(4, 1, raw=raw, extra=made.chunk(b"teXt", made.PAGE)))

    assert b"script" not in in_comment.full + in_chunk.full + in_chunk.small


def test_the_digest_is_of_the_file_that_was_sent():
    data = made.jpeg()

    assert read(data).sent_sha256 == hashlib.sha256(data).hexdigest()


# Refused in words


@pytest.mark.parametrize("name", made.NAMES)
@pytest.mark.parametrize("case", made.NO_PICTURE)
def test_what_is_no_jpeg_or_png_is_refused_by_what_it_holds(case, name):
    data, word = made.NO_PICTURE[case]

    for content_type in ("image/jpeg", "image/png"):
        said = refusal(data, name=name, content_type=content_type)
        assert word in said
        assert "JPEG" in said


def test_sixty_files_that_are_no_picture_are_refused_by_content():
    assert len(made.NO_PICTURE) * len(made.NAMES) == 60


@pytest.mark.parametrize("name", ["photo.jpg", "photo.png", "photos.zip", "photo.jpg.zip"])
@pytest.mark.parametrize("archive", made.ARCHIVES)
def test_forty_packed_files_are_refused_and_none_is_unpacked(archive, name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    said = refusal(made.archives()[archive], name=name)

    assert said.startswith("This is a packed file or a program, whatever its name says.")
    assert list(tmp_path.rglob("*")) == []


def test_the_packed_files_are_forty():
    assert len(made.ARCHIVES) * 4 == 40
    assert set(made.ARCHIVES) == set(made.archives())


def test_a_picture_is_taken_whatever_it_is_called():
    for name, content_type in (
        ("page.html", "text/html"),
        ("photo.jpg.exe", "application/x-msdownload"),
        ("../../etc/passwd", ""),
        ("photo.svg", "image/svg+xml"),
    ):
        assert read(made.jpeg(), name, content_type).width_px == 120


def test_a_pdf_says_how_to_send_the_paper_instead():
    assert refusal(made.NO_PICTURE["pdf"][0]) == (
        "This is a PDF. A PDF can hold more than a page of paper, so it is not taken: photograph "
        "the paper, or export the page as JPEG or PNG, then add that file."
    )


@pytest.mark.parametrize("side", [13_000, 20_000])
def test_a_small_file_of_very_many_pixels_is_refused_before_it_is_drawn(side):
    data = made.bomb(side)
    assert len(data) < 80_000

    assert refusal(data).startswith("The picture has more than 40 million pixels")


def test_a_header_that_promises_too_much_is_refused_by_the_header_alone():
    for width, height in ((30_000, 100), (100, 30_000), (2**31 - 1, 2**31 - 1), (10_000, 4_001)):
        assert "Make it smaller" in refusal(made.png(width, height))


def test_as_many_pixels_as_are_allowed_are_drawn():
    found = read(made.bomb(6_320))

    assert found.width_px * found.height_px == 39_942_400


def test_a_moving_picture_is_refused():
    assert refusal(made.moving()).startswith("This PNG moves")


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9, 0.99])
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_truncated_picture_is_refused_at_whatever_byte_it_ends(kind, share):
    whole = made.encoded(Image.effect_noise((200, 150), 60), kind)

    assert refusal(whole[: int(len(whole) * share)]).startswith("The picture is broken")


def test_a_truncated_picture_is_refused_after_a_paper_was_printed_too(monkeypatch):
    """The printing library lets truncated pictures pass in the process that imports it."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    whole = made.encoded(Image.effect_noise((200, 150), 60))

    assert refusal(whole[: len(whole) // 2]).startswith("The picture is broken")


@pytest.mark.parametrize(
    "data",
    [
        b"\xff\xd8\xff",
        b"\xff\xd8\xff\xe0" + b"\0" * 200,
        b"\x89PNG\r\n\x1a\n",
        made.png(50, 50, raw=b""),
        made.png(0, 0),
        made.png(50, 50, depth=7, raw=b"\0" * 900),
        made.jpeg()[:20] + b"\xff" * 500,
    ],
)
def test_bytes_that_only_begin_like_a_picture_are_refused(data):
    assert "then add" in refusal(data)


def test_an_empty_file_is_refused():
    assert refusal(b"") == "The file is empty. Choose it again, or export it anew."


def test_a_file_that_is_too_long_is_refused_before_it_is_read(settings):
    settings.LARGEST_PICTURE_BYTES = 5_000_000
    upload = made.sent(b"")
    upload.size = 31_400_000

    with pytest.raises(pictures.NotAccepted, match=r"The file is 31 MB\. Up to 5 MB are taken"):
        pictures.read(upload)


def test_a_program_that_hangs_or_dies_leaves_a_refusal(monkeypatch):
    def ran(*_args, **_options):
        raise subprocess.TimeoutExpired("draw", 1)

    with monkeypatch.context() as patch:
        patch.setattr(pictures.subprocess, "run", ran)
        assert refusal(made.jpeg()).startswith("The picture is broken")
    with monkeypatch.context() as patch:
        patch.setattr(pictures, "PROGRAM", pictures.PROGRAM.with_name("_no_such_program.py"))
        assert refusal(made.jpeg()).startswith("The picture is broken")


def test_the_program_imports_nothing_of_the_project():
    done = subprocess.run(
        [sys.executable, "-I", str(pictures.PROGRAM), "JPEG", "1000", "100"],
        input=made.jpeg((10, 10)),
        capture_output=True,
        cwd="/",
        check=True,
    )

    line, _, parts = done.stdout.partition(b"\n")
    assert b'"width": 10' in line
    assert parts.startswith(b"\xff\xd8\xff")
    assert done.stderr == b""


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_pictures_with_bytes_turned_at_random_are_drawn_clean_or_refused(kind):
    """Each is sent to the whole way in, so that also what kills the program must be a refusal."""
    data = made.told_everything() if kind == "JPEG" else made.told_in_png()
    dice = random.Random(7)
    drawn, refused = 0, 0
    for _ in range(25):
        broken = bytearray(data)
        for _ in range(dice.randint(1, 8)):
            broken[dice.randrange(8, len(broken))] = dice.randrange(256)
        try:
            found = read(bytes(broken))
        except pictures.NotAccepted:
            refused += 1
        else:
            drawn += 1
            assert made.opened(found.full).format == "JPEG"
            assert b"Zaffrane" not in found.full + found.small

    assert drawn + refused == 25
    assert refused > 5
