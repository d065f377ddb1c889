"""Generated posts to every form: ``python -m tests.fuzz_posts [how many] [seed]``.

The forms are found by opening the pages; nothing lists them. Whatever is sent, no page may fail,
a refusal says what is wrong and changes no row, and what is stored stays as its fields declare.
Each post is taken back, so that the next one finds the same world.
"""

from __future__ import annotations

import logging
import os
import random
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs, urlencode

if __name__ == "__main__":
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    import django

    django.setup()

from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import override_settings, setup_test_environment

from tests.posts import finding, judging, stored, values
from tests.posts.finding import Forms, Found
from tests.posts.reading import Form, Page
from tests.walls_world import Wall, build, undone

#: Each row of these forms is saved on its own: one that is refused keeps no other one back.
ROW_BY_ROW = {"sites"}
#: Beside so many posts an address is asked for with a changed query.
QUESTIONS = 0.2
#: Posts one after the other, each onto the page that the last one left.
STEPS = 3


@dataclass
class Told:
    """What came of all posts."""

    statuses: dict[str, Counter[int]] = field(default_factory=lambda: defaultdict(Counter))
    questions: dict[str, Counter[int]] = field(default_factory=lambda: defaultdict(Counter))
    wrong: dict[str, str] = field(default_factory=dict)
    """A complaint, and the first post that it came from."""
    last_refusal: dict[str, str] = field(default_factory=dict)

    @property
    def posts(self) -> int:
        return sum(counted.total() for counted in self.statuses.values())

    def never_taken(self) -> list[str]:
        """Forms that took no post at all: nothing of what they store was looked at."""
        return sorted(name for name, seen in self.statuses.items() if not judging.TAKEN & set(seen))


@contextmanager
def unhurried(media: str) -> Iterator[None]:
    """Sessions outlive the run, and pictures go to a folder of its own."""
    with override_settings(
        MEDIA_ROOT=media, SESSION_IDLE_MINUTES=10_000, SESSION_COOKIE_AGE=600_000
    ):
        logging.disable(logging.CRITICAL)
        try:
            yield
        finally:
            logging.disable(logging.NOTSET)


class Fuzz:
    """Fills in forms of one world at random, always in the same way for the same seed."""

    def __init__(self, wall: Wall, forms: Forms, seed: int) -> None:
        self.wall = wall
        self.forms = [forms.found[key] for key in sorted(forms.found)]
        self.pages = {who: sorted(seen) for who, seen in sorted(forms.pages.items())}
        self.read = forms.read
        self.draw = random.Random(seed)
        self.names = values.every_field_name()
        self.learned = values.Learned()
        self.told = Told()
        self.say: Callable[[str], None] = lambda _line: None
        with undone():
            self.before = stored.every_row()

    def run(self, count: int, say: Callable[[str], None] = lambda _line: None) -> Told:
        """So many posts, the same number to each form as far as it goes."""
        self.say = say
        while self.told.posts < count:
            say(f"{self.told.posts} posts, {len(self.told.wrong)} complaints")
            for found in self.forms:
                if self.told.posts >= count:
                    break
                with undone():
                    self._sequence(found)
                    if self.draw.random() < QUESTIONS:
                        self._question()
        return self.told

    def _sequence(self, found: Found) -> None:
        who, page = self.draw.choice(found.places)
        browser = self.wall.client(who)
        rows = self.before
        for _step in range(self.draw.choice((1, 1, 2, STEPS))):
            forms = self.read[who, page]
            if rows is not self.before:
                opened = browser.get(page)
                said = judging.complaints(page, "", opened, posted=False)
                self._note(found, who, page, {}, said)
                forms = Page(page, opened.content.decode()).forms
            form = finding.form_of(forms, found.key, self.draw)
            if form is None:
                return
            rows = self._post(found, who, browser, form, rows)

    def _question(self) -> None:
        """Change what an address asks for behind its question mark."""
        who = self.draw.choice(sorted(self.pages))
        asking = [page for page in self.pages[who] if "?" in page]
        if not asking:
            return
        page, _, query = self.draw.choice(asking).partition("?")
        asked = {
            key: held if self.draw.random() < 0.3 else [self.draw.choice(values.QUERIES)]
            for key, held in parse_qs(query).items()
        }
        answer = self.wall.client(who).get(page, asked)
        name = f"GET {finding.target_of(page)}?{'&'.join(sorted(asked))}"
        self.told.questions[name][answer.status_code] += 1
        for said in judging.complaints(page, "", answer, posted=False):
            self.told.wrong.setdefault(self._nameless(f"{name}: {said}"), f"{page} {asked}"[:600])

    def _post(
        self, found: Found, who: str, browser: Client, form: Form, rows: stored.Rows
    ) -> stored.Rows:
        data = values.filled(form, self.draw, self.learned, care=self.draw.choice((0.5, 0.9, 1)))
        if self.draw.random() < 0.7:
            data = values.spoiled(form, data, self.draw, self.names)
        address, button = values.pressed(form, self.draw)
        data |= button
        answer = send(browser, form, address, data)
        self.told.statuses[found.name][answer.status_code] += 1
        if answer.status_code in judging.REFUSALS:
            refused = Page(form.page, answer.content.decode())
            self.told.last_refusal[found.name] = " ".join(refused.refusal_words)[:300]
            for one in refused.forms:
                self.learned.listen(one)
        after = stored.every_row()
        if after == rows:
            after = rows
        name = finding.target_of(address)
        self._note(found, who, form.page, data, judging.complaints(address, name, answer))
        self._note(found, who, form.page, data, self._kept(name, answer, rows, after))
        if after is not rows:
            self._look_again(found, who, form, data, answer)
        return after

    def _kept(self, name: str, answer: Any, rows: stored.Rows, after: stored.Rows) -> Iterator[str]:
        """A refusal keeps every row; what was changed is as its fields declare."""
        if after is rows:
            return
        if answer.status_code >= 400 and name not in ROW_BY_ROW:
            touched = {model.__name__ for model, _pk in stored.changed(rows, after)}
            yield f"answered {answer.status_code} and changed {', '.join(sorted(touched))}"
        for model, pk in stored.changed(rows, after):
            yield from stored.faults(model, pk)

    def _look_again(
        self, found: Found, who: str, form: Form, data: values.Data, answer: Any
    ) -> None:
        """What was stored is shown: where it leads to, or on another page of the same case."""
        other = self.draw.choice(sorted(self.pages))
        case = "/".join(form.page.split("/")[:3]) + "/"
        inside = [page for page in self.pages[other] if page.startswith(case)]
        looks = [
            (who, answer.headers.get("Location", "")),
            (who, form.page),
            (other, self.draw.choice(inside or self.pages[other])),
        ]
        for person, page in self.draw.sample(looks, 2):
            if page:
                shown = self.wall.client(person).get(page)
                said = judging.complaints(page, "", shown, posted=False)
                self._note(found, who, form.page, data, (f"then {page}: {s}" for s in said))

    def _note(
        self, found: Found, who: str, page: str, data: values.Data, said: Iterable[str]
    ) -> None:
        for complaint in said:
            words = self._nameless(complaint)
            where = self._nameless(f"{found.name}: {words}")
            if where not in self.told.wrong:
                self.say(f"WRONG {where}")
            typed = {key: value for key, value in data.items() if not key.startswith("more")}
            self.told.wrong.setdefault(
                where, f"post {self.told.posts} by {who} on {page}: {str(typed)[:1500]}"
            )

    def _nameless(self, text: str) -> str:
        """Without codes, so that the same complaint is said once."""
        return " ".join(
            "/".join("CASE" if len(w) == 12 and w.isupper() else w for w in word.split("/"))
            for word in text.split(" ")
        )


def send(browser: Client, form: Form, address: str, data: values.Data) -> Any:
    """Send a form as a browser does."""
    if form.method == "get":
        return browser.get(address, data)
    if form.multipart:
        return browser.post(address, data)
    pairs = {key: [v for v in held if isinstance(v, str)] for key, held in data.items()}
    return browser.post(address, encoded(pairs), content_type="application/x-www-form-urlencoded")


def encoded(pairs: dict[str, list[str]]) -> str:
    return urlencode(pairs, doseq=True, errors="replace")


def mass_assignment(
    wall: Wall, forms: Forms, learned: values.Learned, seed: int, *, every: int = 1
) -> tuple[list[str], int]:
    """Send every form twice, once with every column's name as well: both must do the same.

    Parameters
    ----------
    wall, forms : Wall, Forms
        The world, and what was found in it.
    learned : Learned
        Limits that are known by now.
    seed : int
        The same seed sends the same posts.
    every : int
        2 sends every second form.

    Returns
    -------
    list of str, int
        Forms that listened to more than they ask for, and how many were taken at all.
    """
    names, wrong, taken = values.every_field_name(), [], 0
    for key in sorted(key for key in forms.found if key[1] == "post")[::every]:
        found = forms.found[key]
        draw = random.Random(f"{seed} {key}")
        who, page = draw.choice(found.places)
        form = finding.form_of(forms.read[who, page], key, draw)
        data = values.filled(form, draw, learned, care=1)
        address, button = values.pressed(form, draw)
        data |= button
        same = [other for other in forms.found if other[0] == key[0]]
        own = {one for other in same for one in other[2]} | {
            button.partition("=")[0] for other in same for button in other[3]
        }
        rest = [name for name in names if name not in own]
        # Above the limit of fields nothing is read at all, and the post would show nothing.
        room = settings.DATA_UPLOAD_MAX_NUMBER_FIELDS - sum(len(v) for v in data.values())
        rest = draw.sample(rest, min(len(rest), max(0, room - 1)))
        more = {name: [draw.choice(values.EXTRA_VALUES)] for name in rest}
        results = []
        for sent in (data, data | more):
            with undone():
                for files in (v for held in sent.values() for v in held if hasattr(v, "seek")):
                    files.seek(0)
                answer = send(wall.client(who), form, address, sent)
                results.append((answer.status_code, stored.settled(stored.every_row())))
        taken += results[0][0] in judging.TAKEN
        if results[0][1] != results[1][1]:
            tables = [t for t, held in results[0][1].items() if held != results[1][1][t]]
            wrong.append(f"{found.name}: {results[0][0]} and {results[1][0]}, {tables}")
    return wrong, taken


def report(forms: Forms, told: Told) -> None:
    for name, counted in sorted({**told.questions, **told.statuses}.items()):
        said = ", ".join(f"{status}: {times}" for status, times in sorted(counted.items()))
        print(f"{counted.total():>6}  {name}  [{said}]")
    print(f"{len(forms.found)} forms, {told.posts} posts")
    for name in told.never_taken():
        print(f"never taken: {name}: {told.last_refusal.get(name, '')}")
    for complaint, first in sorted(told.wrong.items()):
        print(f"WRONG {complaint}\n      {first}")


def main(arguments: list[str]) -> int:
    count = int(arguments[0]) if arguments else 10_000
    seed = int(arguments[1]) if len(arguments) > 1 else 1
    setup_test_environment()
    connection.creation.create_test_db(verbosity=0)
    started = time.perf_counter()
    try:
        with tempfile.TemporaryDirectory() as media, unhurried(media):
            wall = build()
            forms = finding.find(wall, finding.more_cases(wall))
            print(
                f"{sum(map(len, forms.pages.values()))} pages opened, {len(forms.found)} forms "
                f"found in {time.perf_counter() - started:.0f} s",
                flush=True,
            )
            unreached = finding.addresses_that_take_posts(wall) - forms.targets()
            fuzz = Fuzz(wall, forms, seed)
            told = fuzz.run(count, lambda line: print(line, file=sys.stderr, flush=True))
            wrong, taken = mass_assignment(wall, forms, fuzz.learned, seed)
    finally:
        connection.creation.destroy_test_db(settings.DATABASES["default"]["NAME"], verbosity=0)
    report(forms, told)
    for name in sorted(unreached):
        print(f"WRONG no page has a form for {name}")
    for one in wrong:
        print(f"WRONG listens to more than it asks: {one}")
    print(
        f"{taken} forms sent with every column's name; {time.perf_counter() - started:.0f} s, "
        f"seed {seed}, {len(told.wrong) + len(wrong)} complaints"
    )
    return 1 if told.wrong or wrong or unreached else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
