"""The page of the bundle, as people meet it."""

from __future__ import annotations

import html
import io
import json
import zipfile

import pytest
from django.urls import reverse

from labcases.domain import bundle, exporting
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def ask(client, user, case, **typed):
    client.force_login(user)
    return client.post(reverse("bundle", args=[case.code]), typed)


def read(client, user, case) -> str:
    client.force_login(user)
    return html.unescape(client.get(reverse("bundle", args=[case.code])).content.decode())


def files(answer) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content))) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def test_a_bundle_is_fetched_kept_nowhere_and_stands_in_the_history(here, client, tmp_path):
    case = here.walk(patient_name="Ada Quill").case

    answer = ask(client, here.mona, case)

    assert answer["Content-Type"] == "application/zip"
    assert "no-store" in answer["Cache-Control"]
    assert f'filename="{case.code[:4]}-' in answer["Content-Disposition"]
    path = tmp_path / "case.zip"
    path.write_bytes(b"".join(answer.streaming_content))
    found = bundle.read(path)
    assert found.whole
    page = read(client, here.mona, case)
    assert f"SHA-256 {found.manifest_sha256}" in page
    assert "Mona Ridley, without the name" in page


def test_only_the_office_may_ask_for_the_name(here, client):
    case = here.walk(patient_name="Ada Quill").case

    of_laboratory = files(ask(client, here.mona, case, with_name="on"))
    of_office = files(ask(client, here.farah, case, with_name="on"))

    assert not [name for name, content in of_laboratory.items() if b"Quill" in content]
    assert json.loads(of_office["case.json"])["patient"]["name"] == "Ada Quill"
    assert "With the patient's name" not in read(client, here.mona, case)
    assert "With the patient's name" in read(client, here.dora, case)


def test_who_may_not_export_reads_who_does(here, client):
    case = here.walk().case

    page = read(client, here.tomas, case)

    assert "The dentist, the office desk and the laboratory's manager make a bundle." in page
    assert "Make the bundle" not in page
    assert ask(client, here.tomas, case).status_code == 403


def test_a_case_that_moved_on_gives_no_file(here, client, monkeypatch):
    case = here.walk().case
    numbers = iter((1, 2))
    monkeypatch.setattr(exporting, "last_entry", lambda _case: next(numbers))

    answer = ask(client, here.dora, case)

    assert answer.status_code == 409
    assert "Somebody changed this case while its bundle was made." in answer.content.decode()


def test_it_says_how_long_the_case_is_kept(here, client):
    case = here.walk().case

    assert "At least 10 years from delivery, by the longest rule" in read(client, here.dora, case)
