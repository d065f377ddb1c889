"""Log lines that a machine can read, each with the number of its request.

Names, notes and whatever else a case holds are never logged: lines carry codes only.
"""

import json
import logging
import re
from contextvars import ContextVar
from datetime import UTC, datetime

#: Set by the middleware for the time of one request; "-" outside of requests.
request_number: ContextVar[str] = ContextVar("request_number", default="-")


class RequestNumber(logging.Filter):
    """Adds the request's number to every line."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.request_number = request_number.get()
        return True


class OneTimeLinks(logging.Filter):
    """Blanks the secret of an invitation or a feed, which stands in the address of a line."""

    secret = re.compile(r"(/join/|/feeds/)[^/\s\"?&]+")

    def filter(self, record: logging.LogRecord) -> bool:
        text = record.getMessage()
        if self.secret.search(text):
            record.msg = self.secret.sub(r"\1...", text)
            record.args = None
        return True


class JsonLines(logging.Formatter):
    """One JSON object a line, times in UTC."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "request": getattr(record, "request_number", "-"),
            "text": record.getMessage(),
        }
        if record.exc_info:
            line["traceback"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False)
