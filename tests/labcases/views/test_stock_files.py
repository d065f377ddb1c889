"""Taking a file into the stock by its pages, and saving the stock as one."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from labcases.models import StockFile, ToothSet
from tests.factories import World, world
from tests.labcases.domain.test_stock_table import HEAD, ROW, file, with_cell
from tests.labcases.tooth_stock import BACK, on_shelf
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


def choose(user, cast, content: bytes):
    upload = SimpleUploadedFile("stock.csv", content, content_type="text/csv")
    return logged_in(user).post(
        reverse("stock_file_choose", args=[cast.laboratory.pk]), {"upload": upload}, follow=True
    )


def digest_in(answer) -> str:
    return answer.content.decode().partition('name="digest" value="')[2][:64]


def take_in(user, digest: str):
    one = StockFile.objects.latest("pk")
    return logged_in(user).post(
        reverse("stock_file", args=[one.pk]), {"digest": digest}, follow=True
    )


def test_the_limits_and_columns_are_said_before_anything_is_chosen(cast):
    answer = logged_in(cast.lena).get(reverse("stock_file_choose", args=[cast.laboratory.pk]))

    words = text_of(answer)
    assert "CSV in UTF-8, comma or semicolon, up to 50000 rows and 20 MB." in words
    assert "cusp_angle_deg (may be empty)" in words
    assert "Teeth are never read by number." in words


def test_each_row_is_shown_and_nothing_is_taken_in_yet(cast):
    on_shelf(cast, BACK)

    words = text_of(choose(cast.lena, cast, file(ROW, with_cell("lot", "P-09"))))

    assert "2 rows, looked at" in words
    assert "2 Alder, upper, posterior, 20 S, B2, resin, P-08 Changed" in words
    assert "count: 1 to 3" in words
    assert "3 Alder, upper, posterior, 20 S, B2, resin, P-09 New 3 on the shelf" in words
    assert ToothSet.objects.get().count == 1


def test_what_was_shown_is_taken_in(cast):
    shown = choose(cast.lena, cast, file(ROW))

    answer = take_in(cast.lena, digest_in(shown))

    assert "The file is taken in: 1 new, 0 changed, 0 the same." in text_of(answer)
    assert ToothSet.objects.get().count == 3
    one = StockFile.objects.get()
    after = logged_in(cast.mona).get(reverse("stock_file", args=[one.pk]))
    assert "Lena Marsh took this file in" in text_of(after)


def test_the_second_time_says_that_nothing_would_change(cast):
    take_in(cast.lena, digest_in(choose(cast.lena, cast, file(ROW))))

    again = choose(cast.lena, cast, file(ROW))

    assert "Nothing would change: every row stands in the stock as the file says it." in (
        text_of(again)
    )
    assert "Take the file in" not in text_of(again)


def test_a_row_that_cannot_be_read_is_named_and_nothing_can_be_taken_in(cast):
    answer = choose(cast.lena, cast, file(ROW, with_cell("count", "many")))

    words = text_of(answer)
    assert "1 row cannot be read, so nothing of this file can be taken in." in words
    assert "3 not read Refused count: It says many. Enter a whole number from 0 to 10000." in words
    assert "Take the file in" not in words
    refused = take_in(cast.lena, "0" * 64)
    assert refused.status_code == 409
    assert "1 row is refused, so nothing was taken in." in text_of(refused)
    assert not ToothSet.objects.exists()


def test_rows_are_shown_by_outcome_and_by_pages(cast):
    rows = [with_cell("lot", f"P-{n}") for n in range(120)]
    choose(cast.lena, cast, file(*rows, with_cell("arch", "top")))
    at = reverse("stock_file", args=[StockFile.objects.get().pk])

    refused = text_of(logged_in(cast.lena).get(at, {"show": "refused"}))
    second = text_of(logged_in(cast.lena).get(at, {"show": "new", "page": "2"}))

    assert "It says top. Enter upper or lower." in refused
    assert "P-5 New" not in refused
    assert "101 to 120 of 120" in second
    assert "P-119 New" in second


def test_a_stock_that_changed_meanwhile_is_shown_anew(cast):
    on_shelf(cast, BACK)
    shown = choose(cast.lena, cast, file(ROW))
    ToothSet.objects.update(count=2, version=2)

    answer = take_in(cast.lena, digest_in(shown))

    assert answer.status_code == 409
    assert "The stock changed since you looked at this file." in text_of(answer)
    assert "count: 2 to 3" in text_of(answer)
    assert ToothSet.objects.get().count == 2


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty. Choose another one."),
        (file(ROW).decode().encode("utf-16"), "The file is UTF-16. Save it as CSV in UTF-8"),
        (b"a,b\r\n1,2\r\n", "The first row lacks line, arch, part, mould, shade, material, lot"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_at_its_box(cast, content, sentence):
    answer = choose(cast.lena, cast, content)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not StockFile.objects.exists()


def test_no_file_and_one_that_is_too_large_are_refused(cast, settings):
    none = logged_in(cast.lena).post(reverse("stock_file_choose", args=[cast.laboratory.pk]))
    assert none.status_code == 422
    assert "Choose the file." in text_of(none)

    settings.LARGEST_PICTURE_BYTES = 1_000_000
    large = choose(cast.lena, cast, file(ROW) + b"\r\n" * 600_000)
    assert large.status_code == 422
    assert "The file has 1.2 MB. Up to 1 MB are taken: split it." in text_of(large)


def test_the_stock_is_saved_in_the_columns_of_a_file(cast):
    on_shelf(cast, BACK, line="=1+1")

    answer = logged_in(cast.tomas).get(reverse("stock_export", args=[cast.laboratory.pk]))

    assert answer["Content-Type"] == "text/csv; charset=utf-8; header=present"
    assert answer["Content-Disposition"].startswith('attachment; filename="tooth-stock-20')
    assert answer.content == (
        b"\xef\xbb\xbf" + HEAD.encode() + b"\r\n"
        b"'=1+1,upper,posterior,20 S,B2,resin,P-08,20,30,,,drawer 5,1\r\n"
    )


def test_what_was_saved_changes_nothing_when_it_is_taken_in(cast):
    on_shelf(cast, BACK, line="=1+1")
    saved = logged_in(cast.tomas).get(reverse("stock_export", args=[cast.laboratory.pk]))

    answer = choose(cast.lena, cast, saved.content)

    assert "Nothing would change" in text_of(answer)


@pytest.mark.parametrize("who", ["dora", "farah", "olga"])
def test_nobody_else_takes_a_file_in_or_saves_one(cast, who):
    choose(cast.lena, cast, file(ROW))
    user, laboratory = getattr(cast, who), cast.laboratory.pk

    assert choose(user, cast, file(ROW)).status_code == 404
    assert take_in(user, "0" * 64).status_code == 404
    export = logged_in(user).get(reverse("stock_export", args=[laboratory]))
    assert export.status_code == 404
