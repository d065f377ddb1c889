"""Finds every form: through the resolver's addresses and the links of the pages themselves."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from typing import Any
from urllib.parse import parse_qs, urljoin, urlsplit

from django.urls import Resolver404, get_resolver, resolve
from django.utils import timezone

from labcases.domain import bench, linking, signed_papers
from labcases.domain import case as cases
from labcases.enums import Notation, Stage
from labcases.enums.opponent import HeightReading
from labcases.management import paper_walk
from labcases.management.walk import Hands, Walk, start
from labcases.models import Organisation
from tests import walls
from tests.posts.reading import Form, Page, shape
from tests.walls_world import Wall, undone

OWN = ("own D", "own O", "own T", "own L", "own M")
EVERYBODY = ("anonymous", *OWN)
#: Of one form so many places are kept: other people, other cases, other rows.
PLACES = 6

#: Before which further stage a case waits, so that its pages show other forms.
STAGES = (Stage.SENT, Stage.PROCESSING, Stage.RELEASED, Stage.DELIVERED)
#: Who opens the pages of these cases: between them they may do everything.
WRITERS = ("own D", "own M")


@dataclass
class Found:
    """A form with the people and pages that it was found on."""

    key: tuple[Any, ...]
    places: list[tuple[str, str]] = field(default_factory=list)
    pages: set[str] = field(default_factory=set)

    @property
    def name(self) -> str:
        """For reading: where it goes, and its first fields."""
        target, method, fields, buttons = self.key
        asks = [one for one in fields if one not in ("version", "next")] or [*buttons]
        more = f" +{len(asks) - 4}" if len(asks) > 4 else ""
        return f"{method.upper()} {target} ({', '.join(asks[:4])}{more})"


@dataclass
class Forms:
    """Everything that was found, and the addresses that were looked at."""

    found: dict[tuple[Any, ...], Found] = field(default_factory=dict)
    pages: dict[str, set[str]] = field(default_factory=dict)
    """Person -> pages that opened."""
    read: dict[tuple[str, str], list[Form]] = field(default_factory=dict)
    """Person and page -> the forms on it, as they stand before anything is sent."""

    def targets(self) -> set[str]:
        """Names of the addresses that some form posts to."""
        return {key[0].partition(" ")[0] for key in self.found if key[1] == "post"}


def target_of(address: str) -> str:
    """The name of an address, with the words in it that are no number and no code."""
    try:
        match = resolve(urlsplit(address).path)
    except Resolver404:
        return "nowhere"
    words = [str(v) for k, v in match.kwargs.items() if k not in ("code", "secret", "pk")]
    return " ".join([str(match.url_name), *(w for w in words if not w.isdecimal())])


def _alike(who: str, address: str) -> tuple[Any, ...]:
    """Pages that hold the same forms, but for the row: a few of each are looked at."""
    parts = urlsplit(address)
    match = resolve(parts.path)
    kept = tuple(sorted((k, v) for k, v in match.kwargs.items() if not isinstance(v, int)))
    return who, match.url_name, kept, tuple(sorted(parse_qs(parts.query)))


def starting_points(wall: Wall, codes: Iterable[str]) -> list[str]:
    """Every address that the resolver has, for the case of the wall and for other cases."""
    found = []
    for row in walls.ROWS:
        if row.method != "GET":
            continue
        address = wall.address(row.url)
        found.append(address)
        if wall.arguments[row.url] == [wall.case.code]:
            found += [address.replace(wall.case.code, code) for code in codes]
    return list(dict.fromkeys(found))


def find(
    wall: Wall,
    codes: Iterable[str] = (),
    people: Iterable[str] = EVERYBODY,
    *,
    rows: int = 3,
    writers: Iterable[str] = WRITERS,
) -> Forms:
    """Open every page that each person may see, follow its links, and keep its forms.

    Parameters
    ----------
    wall : Wall
        People, and the case whose addresses are known.
    codes : iterable of str
        Other cases to look at.
    people : iterable of str
        Who opens the pages.
    writers : iterable of str
        Who of them also opens the pages of the other cases.
    rows : int
        Of pages that differ only in the row that they are about, so many are opened.
    """
    forms = Forms()
    for who in people:
        first = starting_points(wall, codes if who in writers else ())
        _look_around(wall, who, first, forms, rows)
    return forms


def _look_around(wall: Wall, who: str, waiting: list[str], forms: Forms, rows: int) -> None:
    browser = wall.client(who)
    seen: dict[tuple[Any, ...], int] = {}
    done: set[str] = set()
    waiting = waiting[::-1]
    while waiting:
        address = waiting.pop()
        if address in done or ".pdf" in address:
            continue
        done.add(address)
        try:
            alike = _alike(who, address)
        except Resolver404:
            continue
        seen[alike] = seen.get(alike, 0) + 1
        if seen[alike] > rows:
            continue
        with undone():
            answer = browser.get(address)
        if answer.status_code in (301, 302):
            waiting.append(urljoin(address, answer.headers["Location"]).partition("#")[0])
        if answer.status_code != 200 or "html" not in answer.headers.get("Content-Type", ""):
            continue
        forms.pages.setdefault(who, set()).add(address)
        page = Page(address, answer.content.decode())
        forms.read[who, address] = page.forms
        for form in page.forms:
            keep(forms, who, form)
        waiting += [
            urljoin(address, link).partition("#")[0]
            for link in page.links
            if re.match(r"[/?]", link)
        ]


def keep(forms: Forms, who: str, form: Form) -> None:
    """Note a form and where it was found."""
    key = shape(form, target_of(form.action))
    one = forms.found.setdefault(key, Found(key))
    if len(one.places) < PLACES and (who, form.page) not in one.places:
        one.places.append((who, form.page))
    one.pages.add(target_of(form.page))


def form_of(forms: list[Form], key: tuple[Any, ...], draw: Any) -> Form | None:
    """The form of this kind among those of a page; one of them where rows have one each."""
    same = [form for form in forms if shape(form, target_of(form.action)) == key]
    return draw.choice(same) if same else None


def addresses_that_take_posts(wall: Wall) -> set[str]:
    """Names of the addresses that answer a post at all, whoever sends it."""
    return {
        row.name
        for row in walls.ROWS
        if row.method == "POST" and set(row.cells.values()) - {"405", "404", "login"}
    }


def names_of_the_resolver() -> set[str]:
    return {str(pattern.name) for pattern in get_resolver().url_patterns}


def more_cases(wall: Wall, *, far: bool = True) -> list[str]:
    """Codes of cases beside the one of the wall, of the same two houses.

    Parameters
    ----------
    wall : Wall
        Whose people take part.
    far : bool
        Also cases that wait before further stages. Without, only a draft that is on hold.
    """
    hands = Hands(*(wall.users[who] for who in OWN))
    # The two houses number teeth differently, so that both ways of reading them are sent to.
    Organisation.objects.filter(pk=wall.case.laboratory_id).update(notation=Notation.UNIVERSAL)

    def opened(patient_code: str) -> Walk:
        return start(
            office=wall.case.office,
            laboratory=wall.case.laboratory,
            hands=hands,
            patient_code=patient_code,
            surgery_on=timezone.localdate() + timedelta(days=120),
        )

    held = opened("P-900")
    held.prescribe(over_eruption_mm={"46": "1.6"}, over_eruption_by=HeightReading.MOUNTED)
    # Of a mark in centric it is asked whether its cusp marks in the excursions.
    held.foil("centric", "16", "46", as_wanted=False)
    cases.hold(case=held.reload(), reason="the patient is ill", by=hands.dentist)
    # One pair of cases is linked, another could be.
    linking.open_other(case=held.reload(), by=hands.dentist)
    single = [opened("P-905").case.code for _ in range(2)]
    near = [held.case.code, single[0], *_from_paper(wall)]
    _another_count(wall)
    if not far:
        return near
    empty, unusual = opened("P-901"), opened("P-902")
    unusual.ready(Stage.SET_UP)
    record = unusual.reload().articulator
    bench.save_articulator(
        case=unusual.case,
        version=record.version,
        by=hands.technician,
        values={"condylar_left_deg": Decimal(66)},
    )
    further = [opened(f"P-91{number}").ready(stage) for number, stage in enumerate(STAGES)]
    return [*near, *(one.code for one in (empty.case, unusual.case, *further))]


def _from_paper(wall: Wall) -> list[str]:
    """A case whose paper is typed and waits for a second look, and one not typed yet."""
    desk, found = wall.users["own L"], []
    for patient_code in ("P-903", "P-904"):
        case = paper_walk.open_case(
            office=wall.case.office,
            laboratory=wall.case.laboratory,
            patient_code=patient_code,
            by=desk,
        )
        found.append(case)
    paper = found[0].signed_papers.get()
    paper_walk.type_in(paper, by=desk)
    signed_papers.add_page(paper=paper, picture=paper_walk.drawn_page(b"another"), by=desk)
    paper_walk.hand_over(paper, by=desk)
    return [case.code for case in found]


def _another_count(wall: Wall) -> None:
    """A stock file that would change something, so that its page asks whether to take it in."""
    for file in wall.case.laboratory.stock_files.all():
        lines = bytes(file.content).decode().split("\r\n")
        lines[1] = f"{lines[1].rpartition(',')[0]},7"
        type(file).objects.filter(pk=file.pk).update(content="\r\n".join(lines).encode())
