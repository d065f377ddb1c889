"""What keeps the engine from answering, in words for the bench."""

from __future__ import annotations


class CannotCompute(Exception):
    """Nothing was computed. ``part`` and ``field`` name the page that mends it."""

    def __init__(self, text: str, *, part: str, field: str = "") -> None:
        super().__init__(text)
        self.part = part
        self.field = field
