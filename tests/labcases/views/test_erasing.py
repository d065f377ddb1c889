"""The request for erasure as people meet it, and what a restricted case still shows."""

from __future__ import annotations

import html
import io
import json
import zipfile

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import bundle
from labcases.enums import Stage
from labcases.models import Case, ReleaseLot
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def ended(here) -> Case:
    case = here.walk(patient_code="MQ-4417", patient_name="Odile Marchbank").to(Stage.ACCEPTED)
    ReleaseLot.objects.create(case=case, by=here.tomas, lot_of="base", lot="R-882")
    Case.objects.filter(pk=case.pk).update(stage=Stage.CANCELLED)
    return Case.objects.get(pk=case.pk)


def read(client, user, name: str, *args, status: int = 200, **query) -> str:
    client.force_login(user)
    answer = client.get(reverse(name, args=args), query, follow=True)
    assert answer.status_code == status
    return html.unescape(answer.content.decode())


def ask(client, user, case, **given):
    client.force_login(user)
    told = {"asker": "patient", "day": timezone.localdate().isoformat(), "read_code": "MQ-4417"}
    return client.post(reverse("erasure", args=[case.code]), told | given)


def test_the_dentist_takes_it_in_and_reads_the_pseudonym(here, client, ended):
    assert "Restrict the cases of MQ-4417" in read(client, here.dora, "erasure", ended.code)

    answer = ask(client, here.dora, ended)

    assert answer.status_code == 302
    page = read(client, here.dora, "erasure", ended.code)
    assert "The patient stands here as PSEUDONYM-" in page
    assert "Erasure was asked for by the patient" in page
    assert "R-882" in page
    assert "MQ-4417" not in page
    assert "Marchbank" not in page


def test_what_is_typed_wrong_changes_nothing_and_says_so(here, client, ended):
    answer = ask(client, here.dora, ended, read_code="MQ-1")
    assert answer.status_code == 422
    assert "that is not the patient code of this case" in answer.content.decode()
    assert 'value="MQ-1"' in answer.content.decode()
    assert ask(client, here.dora, ended, asker="").status_code == 422
    assert not Case.objects.get(pk=ended.pk).restricted


def test_others_read_who_does_it(here, client, ended):
    page = read(client, here.farah, "erasure", ended.code)
    assert "The dentist takes in such a request" in page
    assert "Restrict the cases" not in page
    assert ask(client, here.farah, ended).status_code == 403


def test_an_open_case_is_named(here, client):
    case = here.walk(patient_code="MQ-4417").case
    assert "close or cancel first" in read(client, here.dora, "erasure", case.code)
    assert ask(client, here.dora, case).status_code == 422


@pytest.mark.parametrize("name", ["case", "prescription", "history", "files", "setup", "papers"])
def test_every_page_of_work_leads_to_what_is_kept(here, client, ended, name):
    ask(client, here.dora, ended)
    page = read(client, here.mona, name, ended.code)
    assert "is restricted: erasure was asked for" in page
    assert "<h1>Case" in page


def test_nothing_is_posted_to_it_any_more(here, client, ended):
    ask(client, here.dora, ended)
    before = ended.history.count()
    client.force_login(here.mona)
    answer = client.post(reverse("case_hold", args=[ended.code]), {"reason": "away"})
    assert answer.status_code == 302
    assert answer.headers["Location"] == reverse("erasure", args=[ended.code])
    assert ended.history.count() == before


def test_a_recall_still_finds_it_by_its_lot_and_the_search_not_by_the_old_code(here, client, ended):
    ask(client, here.dora, ended)
    traced = read(client, here.mona, "lots", here.laboratory.pk, lot="R-882")
    assert "1 case with lot R-882" in traced
    assert "PSEUDONYM-" in traced
    assert "No case matches" in read(client, here.dora, "cases", q="MQ-4417", ended="on")


def test_its_bundle_says_so_and_still_verifies(here, client, ended, tmp_path):
    ask(client, here.dora, ended)
    answer = client.post(reverse("bundle", args=[ended.code]), {"with_papers": "on"})
    path = tmp_path / "case.zip"
    path.write_bytes(b"".join(answer.streaming_content))

    found = bundle.read(path)

    assert found.whole, (found.history, found.other)
    assert found.restricted.startswith("Erasure was asked for by the patient on ")
    assert "papers: withdrawn: erasure was asked for" in found.left_out
    with zipfile.ZipFile(io.BytesIO(path.read_bytes())) as packed:
        texts = b"".join(packed.read(name) for name in packed.namelist())
        rows = json.loads(packed.read("case.json"))
    assert b"MQ-4417" not in texts
    assert b"Marchbank" not in texts
    assert rows["patient"]["code"].startswith("PSEUDONYM-")


def test_the_register_names_day_and_reason(here, client, ended):
    assert "Nobody asked for erasure" in read(client, here.mona, "erasures", here.laboratory.pk)
    ask(client, here.dora, ended)
    page = read(client, here.mona, "erasures", here.laboratory.pk)
    assert "Kept 10 years from the day on which it was cancelled" in page
    assert "not yet" in page
