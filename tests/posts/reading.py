"""The forms of a page as a browser sees them: fields, choices, hidden values, buttons."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

VOID = {"input", "br", "hr", "img", "link", "meta", "source", "col", "wbr", "area", "base"}
BOXES = ("checkbox", "radio")


@dataclass
class Field:
    """One name of a form. ``sent`` is what the browser sends when nobody touches it."""

    name: str
    kind: str
    sent: list[str] = field(default_factory=list)
    choices: list[str] = field(default_factory=list)
    unit: str = ""
    numeric: bool = False
    hint: str = ""
    """The help text, and after a refusal what it says at the field."""
    many: bool = False


@dataclass
class Form:
    """One form of a page."""

    page: str
    action: str
    method: str
    multipart: bool
    fields: dict[str, Field] = field(default_factory=dict)
    buttons: list[tuple[str, str, str]] = field(default_factory=list)
    """Name, value, and where this button sends the form instead."""

    def sent(self) -> dict[str, list[str]]:
        """What a browser sends when a person presses the button at once."""
        return {name: list(one.sent) for name, one in self.fields.items() if one.sent}


class Page(HTMLParser):
    """Reads the forms, ids, links and refusals of a page."""

    def __init__(self, address: str, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.address = address
        self.forms: list[Form] = []
        self.ids: set[str] = set()
        self.links: list[str] = []
        self.refusal_links: list[str] = []
        self.refusal_words: list[str] = []
        self.marked_fields = 0
        self._open: list[str] = []
        self._form: Form | None = None
        self._by_id: dict[str, Form] = {}
        self._select: tuple[Field, bool] | None = None
        self._area: Field | None = None
        self._option: list[str] | None = None
        self._hints: dict[str, list[str]] = {}
        self._described: list[tuple[Field, str]] = []
        self._hint_depth: list[tuple[int, str]] = []
        self._refusal_depth = 0
        self.feed(text)
        self.close()
        for one, told in self._described:
            words = [" ".join(self._hints.get(name, ())) for name in told.split()]
            one.hint = " ".join(" ".join(words).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag not in VOID:
            self._open.append(tag)
        if "id" in told:
            self.ids.add(told["id"])
            if told["id"].endswith(("_helptext", "_help", "_error")):
                self._hint_depth.append((len(self._open), told["id"]))
                self._hints.setdefault(told["id"], [])
        if "data-refusals" in told and not self._refusal_depth:
            self._refusal_depth = len(self._open)
        self.marked_fields += "field-error" in told.get("class", "").split()
        if tag == "a" and "href" in told:
            self.links.append(told["href"])
            if self._refusal_depth:
                self.refusal_links.append(told["href"])
        handle = getattr(self, f"_start_{tag}", None)
        if handle:
            handle(told)

    def handle_endtag(self, tag: str) -> None:
        if tag not in self._open:
            return
        while self._open:
            depth, last = len(self._open), self._open.pop()
            self._hint_depth = [one for one in self._hint_depth if one[0] < depth]
            if self._refusal_depth == depth:
                self._refusal_depth = 0
            if last == tag:
                break
        if tag == "form":
            self._form = None
        elif tag == "select":
            self._end_select()
        elif tag == "textarea":
            self._area = None

    def handle_data(self, data: str) -> None:
        for _depth, name in self._hint_depth:
            self._hints[name].append(data)
        if self._refusal_depth and data.strip():
            self.refusal_words.append(data.strip())
        if self._area is not None:
            # A browser leaves out the first line break.
            self._area.sent[0] += data.removeprefix("\n") if not self._area.sent[0] else data

    # -- what a form holds --------------------------------------------------------------

    def _start_form(self, told: dict[str, str]) -> None:
        self._form = Form(
            page=self.address,
            action=told.get("action") or self.address,
            method=told.get("method", "get").lower(),
            multipart="multipart" in told.get("enctype", ""),
        )
        self.forms.append(self._form)
        if "id" in told:
            self._by_id[told["id"]] = self._form

    def _owner(self, told: dict[str, str]) -> Form | None:
        return self._by_id.get(told["form"]) if "form" in told else self._form

    def _field(self, told: dict[str, str], kind: str) -> Field | None:
        form, name = self._owner(told), told.get("name", "")
        if form is None or not name or "disabled" in told:
            return None
        one = form.fields.setdefault(name, Field(name=name, kind=kind))
        one.unit = one.unit or told.get("data-unit", "")
        one.numeric = one.numeric or told.get("inputmode") in ("numeric", "decimal")
        one.many = one.many or "multiple" in told
        if told.get("aria-describedby"):
            self._described.append((one, told["aria-describedby"]))
        return one

    def _start_input(self, told: dict[str, str]) -> None:
        kind = told.get("type", "text").lower()
        if kind in ("submit", "image", "button", "reset"):
            if kind == "submit":
                self._start_button(told)
            return
        one = self._field(told, kind)
        if one is None:
            return
        if kind in BOXES:
            value = told.get("value", "on")
            one.many = one.many or (kind == "checkbox" and bool(one.choices))
            one.choices.append(value)
            if "checked" in told:
                one.sent.append(value)
        elif kind != "file":
            one.sent.append(told.get("value", ""))

    def _start_button(self, told: dict[str, str]) -> None:
        form = self._owner(told)
        if form is not None and told.get("type", "submit") == "submit":
            form.buttons.append(
                (told.get("name", ""), told.get("value", ""), told.get("formaction", ""))
            )

    def _start_select(self, told: dict[str, str]) -> None:
        one = self._field(told, "select")
        self._select = None if one is None else (one, "multiple" in told)

    def _start_option(self, told: dict[str, str]) -> None:
        if self._select is not None:
            one, _many = self._select
            one.choices.append(told.get("value", ""))
            if "selected" in told:
                one.sent.append(told.get("value", ""))

    def _end_select(self) -> None:
        if self._select is not None:
            one, many = self._select
            if not one.sent and not many and one.choices:
                one.sent.append(one.choices[0])
        self._select = None

    def _start_textarea(self, told: dict[str, str]) -> None:
        self._area = self._field(told, "textarea")
        if self._area is not None:
            self._area.sent.append("")


def shape(form: Form, name: str) -> tuple[Any, ...]:
    """What makes two forms the same one: where they go and what they ask, whatever the row."""
    buttons = {re.sub(r"\d+", "#", f"{called}={value}") for called, value, _to in form.buttons}
    fields = {re.sub(r"\d+", "#", one) for one in form.fields if one != "csrfmiddlewaretoken"}
    return name, form.method, tuple(sorted(fields)), tuple(sorted(buttons))
