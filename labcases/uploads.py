"""How much of a request is read, before any page has a say in it."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.core.files.uploadhandler import TemporaryFileUploadHandler
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

GetResponse = Callable[[HttpRequest], HttpResponse]


class RequestLimit:
    """Answers 413 to a request that is longer than any form of ours, and reads nothing of it.

    It stands before the check of the form's token, which reads the whole form: also people
    who are not signed in can make it do so. A request that does not say how long it is is
    read as an empty one.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        told = str(request.META.get("CONTENT_LENGTH") or "0")
        if told.isdecimal() and int(told) > settings.LARGEST_REQUEST_BYTES:
            context = {"most": settings.LARGEST_PICTURE_BYTES // 1_000_000}
            return render(request, "413.html", context, status=413)
        return self.get_response(request)


class CutOff(TemporaryFileUploadHandler):
    """Writes a file to the disk as it arrives, and no more of it than any file that is taken.

    The rest is thrown away, but counted: the form sees how long the file really was, refuses it
    in words, and everything else that was typed is still there.
    """

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes | None:
        if start <= settings.LARGEST_PICTURE_BYTES:
            super().receive_data_chunk(raw_data, start)
        return None
