"""Numbers, dates and teeth as people read them. Display only: rounding happens nowhere else.

A number shows at most two decimals in millimetres and one in degrees, keeps its leading zero,
drops trailing zeros ("0.5", not ".5" or "0.50") and stands a space before its unit, which never
breaks away from it. Nothing measured is shown as 0: an empty value gives an empty text.
"""

import re
from datetime import date, datetime
from decimal import ROUND_HALF_EVEN, Decimal, InvalidOperation

from django import template
from django.template.defaultfilters import stringfilter
from django.utils import timezone

from labcases import codes
from labcases import notation as teeth

register = template.Library()

NO_BREAK = "\N{NO-BREAK SPACE}"
NO_BREAK_HYPHEN = "\N{NON-BREAKING HYPHEN}"
MINUS = "\N{MINUS SIGN}"

Number = Decimal | float | int | str | None

# English names whatever the server's locale, so that no paper reads "12-Mrz-2027".
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_DATE = re.compile(rf"\b\d{{2}}-(?:{'|'.join(MONTHS)})(?:-\d{{4}})?\b")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def _decimal(value: Number) -> Decimal | None:
    if value is None or value == "" or isinstance(value, bool):
        return None
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        return None
    return number if number.is_finite() else None


def _plain(number: Decimal, places: int) -> str:
    """Write a number without trailing zeros, and without a minus before zero."""
    rounded = number.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    text = f"{abs(rounded):f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{MINUS}{text}" if rounded < 0 else text


def _with_unit(value: Number, *, places: int, unit: str) -> str:
    number = _decimal(value)
    return "" if number is None else f"{_plain(number, places)}{NO_BREAK}{unit}"


@register.filter
def mm(value: Number) -> str:
    """Millimetres, to a hundredth at most: "0.5 mm"."""
    return _with_unit(value, places=2, unit="mm")


@register.filter
def signed_mm(value: Number) -> str:
    """Millimetres with the sign always shown, zero apart: "+0.3 mm"."""
    number = _decimal(value)
    if number is None:
        return ""
    text = _plain(number, 2)
    sign = "" if text == "0" or text.startswith(MINUS) else "+"
    return f"{sign}{text}{NO_BREAK}mm"


@register.filter
def deg(value: Number) -> str:
    """Degrees, to a tenth at most: "30.5 deg".

    In letters, because the raised sign of a photocopied paper reads as a nought.
    """
    return _with_unit(value, places=1, unit="deg")


@register.filter
def deg_within(value: Number, deviation: Number) -> str:
    """Degrees with their standard deviation where there is one: "30 ± 1.5 deg"."""
    sure, about = _decimal(deviation), _decimal(value)
    if sure is None or about is None:
        return deg(value)
    return f"{_plain(about, 1)} ± {_plain(sure, 1)}{NO_BREAK}deg".replace(" ", NO_BREAK)


@register.filter
def number(value: Number, places: int = 2) -> str:
    """Write a bare number by the same rules, for a column whose head names the unit."""
    found = _decimal(value)
    return "" if found is None else _plain(found, places)


def _day(value: date | datetime | None) -> date | None:
    if isinstance(value, datetime):
        return timezone.localtime(value).date() if timezone.is_aware(value) else value.date()
    return value if isinstance(value, date) else None


@register.filter(is_safe=True)
@stringfilter
def unbroken(text: str) -> str:
    """A sentence in which no date breaks at the end of a line: hyphens that stay whole."""
    return _DATE.sub(lambda found: found[0].replace("-", NO_BREAK_HYPHEN), text)


def long_date(value: date | datetime | None) -> str:
    """A date that reads one way only: "12-Mar-2027"."""
    day = _day(value)
    return "" if day is None else f"{day.day:02d}-{MONTHS[day.month - 1]}-{day.year}"


def due_date(value: date | datetime | None) -> str:
    """A date that something is due on, with its weekday: "Fri 12-Mar-2027"."""
    day = _day(value)
    return "" if day is None else f"{WEEKDAYS[day.weekday()]}{NO_BREAK}{long_date(day)}"


def long_time(value: datetime | None) -> str:
    """Date and time of day here: "12-Mar-2027 14:32"."""
    if not isinstance(value, datetime):
        return ""
    here = timezone.localtime(value) if timezone.is_aware(value) else value
    return f"{long_date(here)}{NO_BREAK}{here:%H:%M}"


@register.filter
def weekday(value: date | datetime | None) -> str:
    """Three letters of the weekday: "Fri"."""
    day = _day(value)
    return "" if day is None else WEEKDAYS[day.weekday()]


def day_month(value: date | datetime | None) -> str:
    """Day and month where the year stands nearby: "12-Mar"."""
    day = _day(value)
    return "" if day is None else f"{day.day:02d}-{MONTHS[day.month - 1]}"


# On pages and papers a date stays in one piece; where it is stored, compared or typed into a box
# it has plain hyphens.
for _write in (long_date, due_date, long_time, day_month):
    register.filter(_write.__name__, lambda value, write=_write: unbroken(write(value)))


@register.filter
def tooth(value: str | None, notation: str = "ISO 3950") -> str:
    """Tooth in the reader's notation, the other one beside it: "16 (Universal 3)"."""
    return teeth.show(value, notation).replace(" ", NO_BREAK) if value else ""


@register.filter
def tooth_number(value: str | None, notation: str = "ISO 3950") -> str:
    """Write the number alone, where the head of the column names the notation: "16", or "3"."""
    if not value:
        return ""
    return teeth.universal(value) if notation == "Universal" else value


@register.filter
def tooth_words(value: str | None, notation: str = "ISO 3950") -> str:
    """Number and name, so that a slip of a digit is seen: "11, upper right central incisor"."""
    return f"{tooth_number(value, notation)}, {teeth.name(value)}" if value else ""


@register.filter
def grouped(code: str | None) -> str:
    """Case code in groups of four, as it is read aloud: "7Q2K-9A3B-C4DH"."""
    return codes.grouped(code) if code else ""
