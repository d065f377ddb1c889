"""People at a real browser: each logs in, fills pages and reads what is there."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from pypdf import PdfReader

from tests.factories import PASSWORD

AXE_RULES = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    }
}


class Person:
    """One person in a browser of their own; errors and outside requests are complaints."""

    def __init__(self, browser: Any, address: str, username: str) -> None:
        self.address = address
        self.page = browser.new_context().new_page()
        self.page.set_default_timeout(10_000)
        self.complaints: list[str] = []
        # A refused form answers 4xx on purpose and the browser says so; nothing else may.
        self.page.on(
            "console",
            lambda said: (
                self.complaints.append(said.text)
                if said.type == "error" and "status of 4" not in said.text
                else None
            ),
        )
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("request", self._watch)
        self.open("/login/")
        self.page.fill("#id_username", username)
        self.page.fill("#id_password", PASSWORD)
        self.page.click("main button[type=submit]")

    def _watch(self, request: Any) -> None:
        if not request.url.startswith((self.address, "data:", "blob:")):
            self.complaints.append(f"asked for {request.url}")

    def open(self, path: str) -> None:
        self.page.goto(f"{self.address}{path}")

    def fill(self, fields: Mapping[str, str]) -> None:
        """Fill a form as a person does: text is typed, choices are chosen, boxes are ticked."""
        for name, value in fields.items():
            box = self.page.locator(f"main [name='{name}']:not([type=hidden])").first
            box.evaluate("e => { const part = e.closest('details'); if (part) part.open = true }")
            kind = box.evaluate("e => e.tagName == 'SELECT' ? 'select' : e.type")
            if kind == "radio":
                self.page.check(f"main [name='{name}'][value='{value}']")
            elif kind == "checkbox":
                box.set_checked(value == "yes")
            elif kind == "select":
                box.select_option(value)
            else:
                box.fill(value)

    def press(self, button: str) -> None:
        self.page.get_by_role("button", name=button, exact=True).first.click()

    @property
    def text(self) -> str:
        """What the page says, every run of blanks made one."""
        words = re.sub(r"\s+", " ", self.page.inner_text("main"))
        return words.replace("\N{NON-BREAKING HYPHEN}", "-")

    def row(self, start: str) -> str:
        """The text of the first table row that starts with a word."""
        for row in self.page.locator("main tr").all():
            words = re.sub(r"\s+", " ", row.inner_text()).strip()
            words = words.replace("\N{NON-BREAKING HYPHEN}", "-")
            if words.startswith(start):
                return words
        raise AssertionError(f"no row starts with {start}: {self.text[:2000]}")

    def pdf(self, path: str) -> str:
        """The text of a paper, fetched with this person's own session."""
        answer = self.page.request.get(f"{self.address}{path}")
        assert answer.status == 200, answer.status
        pages = PdfReader(io.BytesIO(answer.body())).pages
        words = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
        return words.replace("\N{NON-BREAKING HYPHEN}", "-")

    def accessible(self) -> list[str]:
        """What axe finds wrong with the page, in words."""
        found = Axe().run(self.page, options=AXE_RULES).response["violations"]
        return [f"{self.page.url}: {row['id']} at {row['nodes'][0]['target']}" for row in found]
