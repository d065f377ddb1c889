"""How many questions the lists and the page of a case ask of the database, whatever there is."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from labcases.domain import linking, proposing
from labcases.domain import question as asking
from labcases.domain.queries import AT_THE_BENCH
from labcases.enums import Arch, Route, Side, Stage
from labcases.enums.proposals import ProposalKind
from labcases.management.walk import Walk, natural, teeth_of
from labcases.models import Case
from tests.factories import World, world
from tests.labcases.domain.test_incident import report

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LOWER = {
    "arch": Arch.LOWER,
    "teeth": teeth_of(Arch.LOWER, Route.CONVENTIONAL),
    "opposing": natural(Arch.UPPER),
    "lower_border": "as marked",
}


def add(here: World, stage: Stage, code: str, **prescribed: object) -> Walk:
    """A case with a question and a proposal that it does not wait for, and with a report."""
    walk = here.walk(patient_code=code)
    walk.to(stage, **prescribed)
    asking.ask(
        case=walk.case,
        about="the shade",
        text="B2?",
        waits_for=Side.OFFICE,
        blocking=False,
        by=here.tomas,
    )
    if stage != Stage.RELEASED:
        proposing.raise_proposal(
            case=walk.reload(),
            kind=ProposalKind.NATURAL,
            tooth="16" if prescribed else "46",
            why="It stands out.",
            blocking=False,
            by=here.tomas,
        )
    report(walk, "wrong-box", here.lena)
    return walk


def asked(here: World, case: Case) -> dict[tuple[str, str], int]:
    found = {}
    for name in ("mona", "farah"):
        client = Client()
        client.force_login(getattr(here, name))
        pages = {page: reverse(page) for page in ("bench", "desk", "cases")}
        for page, url in {**pages, "case": reverse("case", args=[case.code])}.items():
            client.get(url)
            with CaptureQueriesContext(connection) as context:
                answer = client.get(url)
            if answer.status_code == 200:
                found[name, page] = len(context)
    return found


def test_one_case_and_many_ask_the_same_few_questions():
    here = world()
    case = add(here, Stage.SET_UP, "first").reload()
    few = asked(here, case)

    for place, stage in enumerate(AT_THE_BENCH):
        add(here, stage, f"at-{place}")
    # Two arches that are released together, one that has ended and is news, one that waits.
    upper = add(here, Stage.FINISHING, "both").reload()
    lower = add(here, Stage.FINISHING, "both", **LOWER).reload()
    linking.link(case=upper, other=lower, by=here.mona)
    report(add(here, Stage.MOUNTING, "ended"), "surgery-cancelled", here.dora, "end")
    asking.ask(case=case, about="a", text="b", waits_for=Side.OFFICE, by=here.tomas)
    many = asked(here, Case.objects.get(pk=case.pk))

    # One case at the set-up needs less beside it than cases at every stage.
    assert few.pop(("mona", "bench")) == 16
    assert few == {page: count for page, count in many.items() if page != ("mona", "bench")}
    assert many == {
        ("mona", "bench"): 27,
        ("mona", "desk"): 10,
        ("mona", "cases"): 11,
        ("mona", "case"): 44,
        ("farah", "desk"): 10,
        ("farah", "cases"): 11,
        ("farah", "case"): 45,
    }
