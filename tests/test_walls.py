"""Nobody gets past the wall around a case: every address, every person, both methods.

`tests/walls.py` says what each of them gets, `tests/walls_world.py` who they are.
"""

import io
import logging
import re
from collections import Counter

import pytest
from django.db import transaction
from django.test import override_settings
from django.urls import get_resolver
from pypdf import PdfReader

from labcases.enums import Role
from labcases.models import HistoryEntry, Membership
from labcases.pdf_support import pdf_problem
from tests import needs, walls
from tests.fingerprints import fingerprint
from tests.walls_world import (
    ABSENT_CODE,
    PATIENT_NAME,
    build,
    column_of,
    same_answer,
    undone,
)

EVERYBODY = (
    *("anonymous", "nobody"),
    *(f"{house} {one}" for house in ("own", "neighbour", "stranger") for one in "DOTLM"),
)
#: For the second question of each address; the first one is asked by everybody.
OUTSIDE = ("nobody", "neighbour D", "neighbour T", "stranger O", "stranger M")
INSIDE = ("own D", "own O", "own T", "own L", "own M")
OFFICE = ("own D", "own O")
#: Addresses that name a secret; what a wrong one gets is a row of its own.
SECRET = ("join", "calendar_feed_file")
LABORATORY = ("own T", "own L", "own M")


@pytest.fixture(scope="module")
def _media(tmp_path_factory):
    """Where the photographs of the world lie, for every test of this file."""
    return tmp_path_factory.mktemp("media")


@pytest.fixture(scope="module")
def _built(django_db_setup, django_db_blocker, _media):
    """One world for the whole file; every test takes back what it did."""
    with django_db_blocker.unblock(), transaction.atomic():
        with override_settings(MEDIA_ROOT=_media):
            built = build()
        yield built
        transaction.set_rollback(True)


@pytest.fixture
def wall(_built, db, settings, _media):
    settings.MEDIA_ROOT = _media
    # Some thousand refusals: writing their log lines would take as long as asking for them.
    logging.disable(logging.WARNING)
    yield _built
    logging.disable(logging.NOTSET)


def resolver_names() -> list[str]:
    """Every address of the application by its name; one without a name is shown by its route."""
    return [pattern.name or str(pattern.pattern) for pattern in get_resolver().url_patterns]


def ask(wall, who, url, method, **options):
    return getattr(wall.client(who, **options), method.lower())(wall.address(url))


def says(answer, expected: str) -> bool:
    """Whether an answer is what a cell of the table says."""
    code, to = answer.status_code, answer.headers.get("Location", "")
    at_the_login = code == 302 and to.startswith("/login/")
    if "|" in expected:
        return any(says(answer, one) for one in expected.split("|"))
    if expected == "login":
        return at_the_login and "?next=" in to
    if expected == "out":
        return at_the_login and "?next=" not in to
    if expected == "ok":
        return code in walls.HANDLED and not at_the_login
    if expected == "pdf":
        return code == (503 if pdf_problem() else 200)
    return code == int(expected) and not at_the_login


def lacking_headers(answer) -> list[str]:
    """What an answer lacks of the headers that keep a browser from doing harm."""
    policy = answer.headers.get("Content-Security-Policy", "")
    return [
        name
        for name, there in {
            "policy": "default-src 'none'" in policy and "script-src 'self'" in policy,
            "no unsafe": "unsafe" not in policy and "*" not in policy,
            "frames": "frame-ancestors 'none'" in policy,
            "nosniff": answer.headers.get("X-Content-Type-Options") == "nosniff",
            "no-store": "no-store" in answer.headers.get("Cache-Control", ""),
            "referrer": answer.headers.get("Referrer-Policy") == "same-origin",
        }.items()
        if not there
    ]


def holds_name(text: str) -> bool:
    return any(word.lower() in text.lower() for word in PATIENT_NAME.split())


def text_of(answer) -> str:
    """What a person reads of an answer; nothing of a PDF or a picture."""
    kind = answer.headers.get("Content-Type", "")
    return (
        ""
        if "pdf" in kind or "zip" in kind or kind.startswith("image/")
        else answer.content.decode()
    )


def named(answer, who) -> list[str]:
    """Where the patient is named and must not be: only pages of the own office may, as text."""
    page = text_of(answer)
    places = [str(answer.headers), *re.findall(r"<title>.*?</title>", page, re.DOTALL)]
    places += re.findall(r"""(?:href|action|src)=["'][^"']*""", page)
    if who not in OFFICE:
        places.append(page)
    return [f"names the patient: {place[:60]}" for place in places if holds_name(place)]


def missing_page(wall, who) -> bytes:
    """What a person reads where there is nothing at all."""
    answer = wall.client(who).get(f"/cases/{ABSENT_CODE}/")
    assert answer.status_code == 404
    return same_answer(answer.content)


# The table


def test_every_address_of_the_resolver_stands_in_the_table_with_both_methods():
    listed = {(row.name, row.method) for row in walls.ROWS}

    assert listed == {(name, method) for name in resolver_names() for method in ("GET", "POST")}


def test_a_row_with_a_cell_too_few_is_refused():
    with pytest.raises(ValueError, match="shorter"):
        walls.read("case GET login 404 200 200 200 200 200 404")


def test_everybody_gets_what_the_table_says_and_no_refusal_changes_a_row(wall, capsys):
    before, entries = fingerprint(), HistoryEntry.objects.count()
    nothing = {who: missing_page(wall, who) for who in EVERYBODY if who != "anonymous"}
    # Nobody is sent to the login for the file of a feed.
    unknown = ask(wall, "anonymous", "calendar_feed_file:stopped", "GET")
    nothing["anonymous"] = same_answer(unknown.content)
    wrong, told = [], Counter()
    for row in walls.ROWS:
        for who in EVERYBODY:
            expected = row.cells[column_of(who)]
            cell = f"{who}: {row.method} {row.url}"
            with undone():
                answer = ask(wall, who, row.url, row.method)
                if not says(answer, expected):
                    wrong.append(f"{cell}: {answer.status_code}, not {expected}")
                if answer.status_code == 404 and same_answer(answer.content) != nothing[who]:
                    wrong.append(f"{cell}: the page of what is hidden differs from no page")
                may_change = row.method == "POST" and answer.status_code < 400
                refused = answer.status_code >= 400 or expected == "login"
                if (refused or not may_change) and fingerprint() != before:
                    wrong.append(f"{cell}: changed the database")
                if refused and HistoryEntry.objects.count() != entries:
                    wrong.append(f"{cell}: wrote history")
                wrong += [f"{cell}: lacks {name}" for name in lacking_headers(answer)]
                wrong += [f"{cell}: {place}" for place in named(answer, who)]
            told[expected] += 1

    with capsys.disabled():
        print(f" {told.total()} cells of the wall: {dict(sorted(told.items()))} ", end="")
    assert wrong == []
    assert told.total() == 17 * len(walls.ROWS)
    assert fingerprint() == before


def test_what_is_not_there_at_all_answers_as_what_belongs_to_others(wall):
    """The same addresses with a code or a number that nothing has: nobody can tell the two apart.

    The test above holds every page of what is hidden against the same page of nothing.
    """
    told_apart, compared = [], 0
    nothing = {who: missing_page(wall, who) for who in OUTSIDE}
    for row in (row for row in walls.ROWS if wall.arguments[row.url] and row.name not in SECRET):
        for who in OUTSIDE:
            browser = wall.client(who)
            with undone():
                absent = getattr(browser, row.method.lower())(wall.address_of_nothing(row.url))
            if not says(absent, row.cells[column_of(who)]):
                told_apart.append(f"{who}: {row.method} {row.url}: {absent.status_code}")
            if absent.status_code == 404 and same_answer(absent.content) != nothing[who]:
                told_apart.append(f"{who}: {row.method} {row.url}: another page")
            compared += 1

    assert told_apart == []
    assert compared >= 5 * 100


def test_a_row_of_another_case_is_not_reached_through_ones_own(wall):
    """Numbers of boxes, dates, questions and lines count only inside their own case."""
    reached = []
    for row in walls.ROWS:
        pk = wall.of_other_case.get(row.url.replace("box_send:", "box:"))
        if not isinstance(pk, int):
            # A word of a list, which is the same for every case.
            continue
        own = wall.arguments[row.url]
        for who in INSIDE:
            address = wall.address(row.url).replace(f"/{own[1]}/", f"/{pk}/")
            with undone():
                answer = getattr(wall.client(who), row.method.lower())(address)
            if answer.status_code not in (404, 405) and not says(answer, "403"):
                reached.append(f"{who}: {row.method} {address}: {answer.status_code}")

    assert reached == []


# Reading changes nothing, posting needs its token


def test_asking_only_for_the_headers_changes_nothing_either(wall):
    before = fingerprint()
    changed = []
    for row in (row for row in walls.ROWS if row.method == "GET"):
        for who in INSIDE:
            ask(wall, who, row.url, "HEAD")
            if fingerprint() != before:
                changed.append(f"{who}: {row.url}")

    assert changed == []


def test_a_post_without_its_token_is_refused_at_every_address(wall):
    before = fingerprint()
    passed = []
    for row in (row for row in walls.ROWS if row.method == "POST"):
        for who in ("anonymous", "own D", "own M"):
            answer = ask(wall, who, row.url, "POST", enforce_csrf_checks=True)
            if answer.status_code != 403 or lacking_headers(answer) or fingerprint() != before:
                passed.append(f"{who}: {row.url}: {answer.status_code}")

    assert passed == []


# What is taken away is gone at once


def case_rows(wall):
    return [row for row in walls.ROWS if wall.case.code in wall.arguments[row.url]]


def not_refused(wall, who, expected: set[int]) -> list[str]:
    """Addresses of the case that still let a person in, or changed something."""
    before = fingerprint()
    passed = []
    for row in case_rows(wall):
        with undone():
            answer = ask(wall, who, row.url, row.method)
            at_login = answer.headers.get("Location", "").startswith("/login/")
            refused = answer.status_code in expected and (answer.status_code != 302 or at_login)
            if not refused or fingerprint() != before:
                passed.append(f"{row.method} {row.url}: {answer.status_code}")
    return passed


@pytest.mark.parametrize("who", INSIDE)
def test_a_membership_that_is_stopped_counts_on_the_very_next_request(wall, who):
    browser = wall.client(who)
    assert browser.get(wall.address("case")).status_code == 200

    wall.users[who].memberships.update(active=False)

    assert browser.get(wall.address("case")).status_code == 404
    assert not_refused(wall, who, {404, 405}) == []


@pytest.mark.parametrize("who", INSIDE)
def test_a_person_who_is_disabled_is_signed_out_on_the_very_next_request(wall, who):
    browser = wall.client(who)
    assert browser.get(wall.address("case")).status_code == 200

    wall.users[who].is_active = False
    wall.users[who].save()
    try:
        assert browser.get(wall.address("case")).status_code == 302
        assert not_refused(wall, who, {302}) == []
    finally:
        wall.users[who].is_active = True


#: Everybody may enter a complaint, so who wrote one strikes it out in whatever role.
KEPT_BY_WHO_WROTE_IT = ("complaint_strike", "complaint_entry_strike")


@pytest.mark.parametrize(
    ("who", "first", "then", "like"),
    [
        ("own D", Role.DENTIST, Role.FRONT_DESK, "O"),
        ("own M", Role.MANAGER, Role.FRONT_DESK, "L"),
        ("own T", Role.TECHNICIAN, Role.FRONT_DESK, "L"),
    ],
)
def test_who_loses_one_of_two_roles_keeps_only_the_other_ones_acts(wall, who, first, then, like):
    """Every address of the case answers as it answers people who never had the first role."""
    held = wall.users[who].memberships.get(role=first)
    Membership.objects.create(user=held.user, organisation=held.organisation, role=then)
    assert ask(wall, who, "case", "GET").status_code == 200

    held.delete()

    wrong = []
    for row in case_rows(wall):
        if row.url in KEPT_BY_WHO_WROTE_IT:
            continue
        with undone():
            answer = ask(wall, who, row.url, row.method)
        if not says(answer, row.cells[like]):
            wrong.append(f"{row.method} {row.url}: {answer.status_code}, not {row.cells[like]}")
    assert wrong == []


# The patient's name: the table's answers are searched above, here what lies behind their links


def crawl(wall, who) -> dict[str, object]:
    """Every page that a person reaches from the table's addresses by following links."""
    browser = wall.client(who)
    waiting = [wall.address(row.url) for row in walls.ROWS if row.method == "GET"]
    seen = {}
    while waiting:
        address = waiting.pop()
        # The desk has a link to an earlier and a later week, for ever; papers come below.
        if address in seen or "week=" in address or ".pdf" in address:
            continue
        answer = seen[address] = browser.get(address)
        if answer.status_code == 302:
            waiting.append(answer.headers["Location"].partition("#")[0])
        links = re.findall(r'<a [^>]*href="(/[^"#]*)', text_of(answer))
        waiting += [link.replace("&amp;", "&") for link in links]
    return seen


@pytest.mark.parametrize("who", ["own D", "own T"])
def test_no_page_behind_a_link_names_the_patient_where_it_must_not(wall, who):
    seen = crawl(wall, who)

    assert sum(answer.status_code == 200 for answer in seen.values()) >= 50
    assert [
        (address, named(seen[address], who)) for address in seen if named(seen[address], who)
    ] == []


def test_the_office_reads_the_name_on_the_page_of_the_case(wall):
    """So that the searches for it are known to find something."""
    for who in OFFICE:
        assert holds_name(ask(wall, who, "case", "GET").content.decode())


@needs.pango
@pytest.mark.parametrize("who", LABORATORY)
def test_no_paper_of_the_laboratory_names_the_patient(wall, who):
    for kind in ("lab-slip", "try-in", "processing-handoff"):
        answer = wall.client(who).get(f"/cases/{wall.case.code}/papers/{kind}.pdf")
        paper = PdfReader(io.BytesIO(answer.content))
        text = " ".join([str(paper.metadata), *(page.extract_text() for page in paper.pages)])
        assert "P-100" in text
        assert not holds_name(text)
        assert not holds_name(str(answer.headers))


@pytest.mark.parametrize("who", [*LABORATORY, "own D"])
def test_nobody_finds_a_case_by_the_patients_name(wall, who):
    browser = wall.client(who)

    for typed in PATIENT_NAME.split():
        assert browser.get("/cases/", {"q": typed}).context["count"] == 0
    assert browser.get("/cases/", {"q": "P-100"}).context["count"] == 1
