"""Log lines that a machine can read."""

import json
import logging

from labcases.logs import JsonLines, OneTimeLinks, RequestNumber, request_number


def line(**extra):
    record = logging.LogRecord("labcases", logging.WARNING, __file__, 1, "case %s", ("7Q2K",), None)
    record.__dict__.update(extra)
    RequestNumber().filter(record)
    return record


def test_a_line_is_json_with_the_number_of_its_request():
    token = request_number.set("abc-123")
    try:
        read = json.loads(JsonLines().format(line()))
    finally:
        request_number.reset(token)

    assert read.pop("time").endswith("+00:00")
    assert read == {
        "level": "WARNING",
        "logger": "labcases",
        "request": "abc-123",
        "text": "case 7Q2K",
    }


def test_a_fault_keeps_its_traceback_on_the_same_line():
    try:
        raise RuntimeError("a fault of ours")
    except RuntimeError as fault:
        text = JsonLines().format(line(exc_info=(RuntimeError, fault, fault.__traceback__)))

    assert "\n" not in text
    assert "a fault of ours" in json.loads(text)["traceback"]


def test_outside_a_request_the_number_is_a_dash():
    assert json.loads(JsonLines().format(line()))["request"] == "-"


def test_a_line_never_shows_the_secret_of_an_invitation():
    record = logging.LogRecord(
        "django.request",
        logging.WARNING,
        __file__,
        1,
        "%s: %s",
        ("Unprocessable Entity", "/join/Zm9yLXlvdS1vbmx5/"),
        None,
    )

    assert OneTimeLinks().filter(record)
    assert json.loads(JsonLines().format(record))["text"] == "Unprocessable Entity: /join/.../"
