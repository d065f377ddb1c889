"""What is typed into a form: likely values, and those that a form must refuse or keep harmless."""

from __future__ import annotations

import random
import re
from datetime import timedelta
from typing import Any

from django.apps import apps
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from labcases.templatetags.units import long_date
from tests.factories import PASSWORD
from tests.labcases import sent_files
from tests.posts.reading import BOXES, Field, Form

Data = dict[str, list[Any]]

#: Raw, these would be alive on a page; escaped they are harmless.
ALIVE = (
    '<script>alert("fz1")</script>',
    "\"><img src=x onerror=alert('fz2')>",
    "'><svg/onload=alert(`fz3`)>",
    "</textarea></title><b fz4>",
    '<a href="javascript:fz5()">',
)
#: A template that was run would show the product.
TEMPLATES = (
    "{{ 719393*8011 }}",
    "{% debug %}",
    "${719393*8011}",
    "<%= 719393*8011 %>",
    "#{719393*8011}",
)
PRODUCT = "5763057323"
FORMULAS = ("=1+fz6", "+fz6", "-fz6", "@SUM(fz6)", "\tfz6", '=HYPERLINK("http://fz6","x")')
UNICODE = (
    "\u202efdp.gnp\u202c",
    "a\u200bb\u200c\u200d\ufeff",
    "nul\x00inside",
    "\U0001f9b7\U0001f468\u200d\U0001f52c \U00020000",
    "e\u0301 \u00e9 \u212b",
    "\u0663\u0664",
    "\ud7ff\ufffd\uffff",
    "\x1b[31m\x07\x08\x7f\x85\u2028",
    "line\r\none\rtwo\n",
    "\u00a0\u2003 ",
)
QUOTES = ("'; DROP TABLE labcases_case; --", "' OR 1=1 --", '"', "\\", "%s %(a)s {0} {x}", "%00")
NUMBERS = (
    *("0", "-0", "-1", "1", "0.001", "-0.01", "1e5", "1E-7", "1e400", "NaN", "sNaN", "Infinity"),
    *("-Infinity", "1_000", "\u00bd", "\u00b2", "\u0663", "0x10", "1,5", "1,5,5", "1.5.5", " 5 "),
    *("32767", "32768", "2147483647", "2147483648", "9223372036854775808", "9" * 4400, "--5"),
    *("5 mm", "5mm mm", "1" * 30, "0." + "3" * 60, "٫5", "12e", "+7", "1/2"),
)
DAYS = (
    *("31-Feb-2027", "0001-01-01", "9999-12-31", "1-Jan-10000", "2027-02-30", "29-Feb-2027"),
    *("12-Mar-2027", "1-Jan-2000", "31-Dec-2100", "1-Jan-1999", "1-Jan-2101", "03/04/2027"),
    *("12-Mar-2027 14:05", "23:59", "24:00", "00:00", "12-Mar-2027 99:99", "0-Jan-2027", "today"),
    *("1-Jan-2000 00:00", "31-Dec-2100 23:59", "Mon 12-Mar-2027", "\u0661\u0662-Mar-2027"),
)
TEETH = (
    *("11 12", "11,12;13", "99", "1", "32", "0", "51", "75 85", "16 16 16", "none", "11 none"),
    *("\u0661\u0661", "\u00b2", "A", "T", "1 " * 3000, "9" * 5000, "16-18", "16/46"),
)
HUGE = ("x" * 10_000, "\U0001f9b7" * 3000, "word " * 4000, "a" * 255, "a" * 256, "\n" * 5000)
WORDS = ("as agreed", "Shade A in daylight", "own round", "see the photograph", "L-2291, T-118")

ODD = (
    *("", " ", *ALIVE, *TEMPLATES, *FORMULAS, *UNICODE, *QUOTES, *NUMBERS, *DAYS, *TEETH, *HUGE),
    *("true", "false", "on", "null", "None", "[]", "{}", '{"a": 1}', "yes", "no", "stored"),
)
#: Behind the question mark of an address.
QUERIES = (
    *ODD,
    *("9999-W52", "0001-W01", "9999-12-31", "0001-01-01", "2027-W54", "31-Dec-2100", "1-Jan-2000"),
)
#: A request that is too long for any form, now and then.
TOO_LONG = "y" * 2_600_000

_EXAMPLE = re.compile(r"[Ff]or example:? ([^.;()]+)")
_LIMITS = re.compile(r"Enter (-?\d+(?:\.\d+)?) to (-?\d+(?:\.\d+)?)")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def every_field_name() -> list[str]:
    """The name of every column of every table, for posts that send more than a form has."""
    return sorted(
        {
            name
            for model in apps.get_app_config("labcases").get_models()
            for column in model._meta.concrete_fields
            for name in (column.name, column.attname)
        }
    )


EXTRA_VALUES = ("1", "2", "True", "mass fz7", "2027-03-12", "closed", "signed", "manager", "office")


class Learned(dict[str, tuple[float, float]]):
    """Limits that refusals named, by field: what a person knows after the first try."""

    def listen(self, form: Form) -> None:
        """Read the limits of a form that came back refused."""
        for one in form.fields.values():
            found = _LIMITS.search(one.hint)
            if found:
                self[_rowless(one.name)] = float(found[1]), float(found[2])

    def of(self, one: Field) -> tuple[float, float] | None:
        found = _LIMITS.search(one.hint)
        told = (float(found[1]), float(found[2])) if found else None
        return told or self.get(_rowless(one.name))


def _rowless(name: str) -> str:
    return re.sub(r"\d+", "#", name)


def likely(one: Field, draw: random.Random, learned: Learned) -> list[Any]:
    """What a careful person may enter."""
    if one.kind in (*BOXES, "select"):
        return _chosen(one, draw)
    if one.kind == "hidden" or (one.sent and one.sent[0] and draw.random() < 0.6):
        return list(one.sent)
    if one.kind == "file":
        return [picture(draw)]
    if one.kind == "password":
        return [PASSWORD]
    limits = learned.of(one)
    if limits or one.numeric or one.unit:
        return [_number(one, draw, limits)]
    return [_typed(one, draw)]


def _chosen(one: Field, draw: random.Random) -> list[Any]:
    if one.kind == "checkbox" and not one.many:
        return draw.choice(([], one.choices[:1]))
    if one.many:
        return [value for value in one.choices if draw.random() < 0.5]
    real = [value for value in one.choices if value]
    if draw.random() < 0.3 or not real:
        return list(one.sent)
    return [draw.choice(real)]


def _number(one: Field, draw: random.Random, limits: tuple[float, float] | None) -> str:
    if limits is None:
        named = [float(found) for found in _NUMBER.findall(one.hint)]
        limits = (min(named), max(named)) if named else (1, 10)
    places = 0 if one.unit in ("", "min", "days") else 1
    return f"{draw.uniform(*limits):.{places}f}"


def _typed(one: Field, draw: random.Random) -> str:
    name, example, now = one.name.lower(), _EXAMPLE.search(one.hint), timezone.localtime()
    if name.endswith("username"):
        return draw.choice(("dora", f"new.person{draw.randrange(10_000)}"))
    if name.endswith("_code"):
        return f"P-{draw.randrange(10_000)}"
    if "-Mar-" in one.hint or name.endswith(("_on", "-on", "_at")) or name == "on":
        if ":" in one.hint or name.endswith("_at"):
            earlier = now - timedelta(minutes=draw.choice((0, 0, 5, 600)))
            return f"{long_date(earlier.date())} {earlier:%H:%M}"
        return long_date(now.date() + timedelta(days=draw.choice((-40, -3, 0, 30, 150))))
    if example and draw.random() < 0.8:
        return example[1].strip()
    if "teeth" in name or "tooth" in name:
        return draw.choice(("16", "26", "14 15", "none", ""))
    return draw.choice(WORDS)


def picture(draw: random.Random) -> SimpleUploadedFile:
    """A photograph; each of another size, so that none was sent before."""
    return sent_files.sent(sent_files.jpeg((draw.randrange(8, 60), draw.randrange(8, 60))))


def odd_file(draw: random.Random) -> Any:
    """Something that is no photograph, or not what it says it is."""
    good = sent_files.jpeg((9, 9))
    name = draw.choice(
        ("a.jpg", "../../x.jpg", "\u202egpj.exe", "x" * 300 + ".jpg", "=1+fz6.jpg", ". .", "a.svg")
    )
    data = draw.choice(
        (
            *(b"", b"GIF89a", good[: len(good) // 2], b"\x00" * 1000, sent_files.PAGE, good),
            b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
        )
    )
    return sent_files.sent(data, name, draw.choice(("image/jpeg", "text/html", "", "x" * 200)))


def near_bounds(one: Field, draw: random.Random) -> str:
    """A number on, just inside or just outside of what the help text names."""
    found = _NUMBER.findall(one.hint)
    if not found:
        return draw.choice(NUMBERS)
    step = draw.choice((0, 0.01, -0.01, 0.1, -0.1, 1, -1, 0.001))
    return f"{float(draw.choice(found)) + step:g}"


def odd(one: Field, draw: random.Random) -> list[Any]:
    """What should not be there, or only just."""
    if one.kind == "file":
        return [odd_file(draw) if draw.random() < 0.8 else "no file but text"]
    if (one.numeric or one.unit) and draw.random() < 0.6:
        return [near_bounds(one, draw) if draw.random() < 0.6 else draw.choice(NUMBERS)]
    if "-Mar-" in one.hint and draw.random() < 0.5:
        return [draw.choice(DAYS)]
    if draw.random() < 0.002:
        return [TOO_LONG]
    return [draw.choice(ODD)]


def filled(form: Form, draw: random.Random, learned: Learned, *, care: float = 0.9) -> Data:
    """A form as a careful person fills it in: some boxes, and most empty rows, stay empty."""
    data: Data = {}
    left_empty = {row: draw.random() < 0.75 for row in _empty_rows(form)}
    for name, one in form.fields.items():
        alone = left_empty.get(_row_of(name), False) or draw.random() >= care
        value = list(one.sent) if alone else likely(one, draw, learned)
        if value:
            data[name] = value
    return data


def _row_of(name: str) -> str:
    found = re.match(r"(.*\d+)-", name)
    return found[1] if found else ""


def _empty_rows(form: Form) -> list[str]:
    """Rows of a table of which nothing was typed yet."""
    rows: dict[str, bool] = {}
    for name, one in form.fields.items():
        row = _row_of(name)
        if row and one.kind != "hidden":
            rows[row] = rows.get(row, True) and not any(one.sent)
    return [row for row, empty in rows.items() if empty]


def pressed(form: Form, draw: random.Random) -> tuple[str, dict[str, list[str]]]:
    """The button that is pressed: where the form goes, and what it adds."""
    if not form.buttons:
        return form.action, {}
    name, value, elsewhere = draw.choice(form.buttons)
    return elsewhere or form.action, {name: [value]} if name else {}


def spoiled(form: Form, data: Data, draw: random.Random, names: list[str]) -> Data:
    """The same with one to four things wrong."""
    data = {name: list(value) for name, value in data.items()}
    own = [name for name in form.fields if name != "csrfmiddlewaretoken"]
    for _ in range(draw.choice((1, 1, 1, 2, 4))):
        # A form that asks for nothing is sent with more than it asks for.
        how = draw.random() if own else draw.uniform(0.845, 0.93)
        name = draw.choice(own) if own else ""
        if how < 0.68:
            data[name] = odd(form.fields[name], draw)
        elif how < 0.76:
            data.pop(name, None)
        elif how < 0.84:
            data[name] = [*data.get(name, [""]), *odd(form.fields[name], draw)]
        elif how < 0.847:
            data |= {f"more{number}": ["1"] for number in range(1100)}
        elif how < 0.93:
            extra = draw.sample(names, 8)
            data |= {key: [draw.choice(EXTRA_VALUES)] for key in extra if key not in form.fields}
        else:
            data[f"keep-{name}"] = [draw.choice(("stored", "yours", "neither"))]
            data["clash"] = [draw.choice((name, "version", "no such field"))]
    return data
