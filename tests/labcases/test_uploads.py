"""How much of a request is read: people are told in words, and memory and disk stay small."""

import io
from urllib.parse import urlencode

import pytest
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.test import RequestFactory
from django.urls import path

from labcases.uploads import RequestLimit
from tests.labcases import sent_files as made


@login_not_required
def measured(request):
    """Says what the form got of a file."""
    upload = request.FILES.get("upload")
    if upload is None:
        return HttpResponse("nothing came")
    return HttpResponse(
        f"{request.POST.get('caption', 'a cast')}: {upload.size} told, {len(upload.read())} kept"
    )


urlpatterns = [path("measured", measured, name="login")]


@pytest.fixture(autouse=True)
def _own_urls(settings):
    settings.ROOT_URLCONF = __name__
    settings.LARGEST_PICTURE_BYTES = 1_000_000
    settings.LARGEST_REQUEST_BYTES = 3_000_000


def sent(client, length):
    return client.post("/measured", {"caption": "a cast", "upload": made.sent(b"x" * length)})


@pytest.mark.parametrize("length", [1, 64_000, 1_000_000])
def test_a_file_that_may_be_taken_arrives_whole(client, length):
    assert sent(client, length).content.decode() == f"a cast: {length} told, {length} kept"


def test_of_a_file_that_is_too_long_the_rest_is_counted_and_thrown_away(client):
    answer = sent(client, 2_500_000).content.decode()

    kept = int(answer.split()[-2])
    assert answer.startswith("a cast: 2500000 told, ")
    assert 1_000_000 <= kept <= 1_100_000


def test_a_request_beyond_every_form_is_answered_before_it_is_read(client):
    answer = sent(client, 3_100_000)

    assert answer.status_code == 413
    said = answer.content.decode()
    assert "That is too much at once" in said
    assert "A photograph or scan may have 1 MB." in said
    assert "no-store" in answer["Cache-Control"]
    assert "default-src 'none'" in answer["Content-Security-Policy"]


@pytest.mark.parametrize(
    "typed", [{f"box{number}": "1" for number in range(1100)}, {"caption": "y" * 2_600_000}]
)
def test_more_boxes_or_text_than_any_form_has_is_refused_in_words(client, typed):
    answer = client.post("/measured", urlencode(typed), "application/x-www-form-urlencoded")

    assert answer.status_code == 400
    assert "Nothing of it was stored." in answer.content.decode()


def test_nothing_of_a_request_that_is_too_long_is_touched():
    class Untouchable(io.BytesIO):
        def read(self, *_args):
            raise AssertionError("it was read")

    request = RequestFactory().post("/measured")
    request.META["CONTENT_LENGTH"] = "3000001"
    request._stream = Untouchable()

    assert RequestLimit(lambda _request: HttpResponse("in"))(request).status_code == 413


@pytest.mark.parametrize("told", ["", "0", "3000000", "-5", "many"])
def test_a_length_within_the_limit_or_none_goes_on(told):
    request = RequestFactory().get("/measured")
    request.META["CONTENT_LENGTH"] = told

    assert RequestLimit(lambda _request: HttpResponse("in"))(request).content == b"in"


def test_a_request_that_does_not_say_how_long_it_is_is_read_as_an_empty_one(client):
    form = (
        b'--b\r\nContent-Disposition: form-data; name="upload"; filename="a.jpg"\r\n'
        b"Content-Type: image/jpeg\r\n\r\nxxx\r\n--b--\r\n"
    )
    kind = "multipart/form-data; boundary=b"

    told = client.generic("POST", "/measured", form, kind)
    untold = client.generic("POST", "/measured", form, kind, CONTENT_LENGTH="")

    assert told.content == b"a cast: 3 told, 3 kept"
    assert untold.content == b"nothing came"
