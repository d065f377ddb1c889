"""`manage.py demo`: one database of its own, filled once, never a real one."""

import io
import os
import re
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.templatetags.static import static

from labcases.domain import checks, explaining, profiles
from labcases.enums import CheckKind
from labcases.management import demo_stories
from labcases.management.commands.demo import Command
from labcases.management.demo_case import load_demo
from labcases.management.demo_stories import Stories
from labcases.models import Case, DemoMark, Organisation, PrescribingDefaults, User
from labcases.outputs import ledger_view, marks_view
from tests.factories import world

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def demo_settings(settings, tmp_path):
    """As `manage.py demo` sets them, with the data of this test."""
    settings.DEMO = True
    settings.DATA_DIR = tmp_path
    settings.STATIC_ROOT = tmp_path / "static"
    return tmp_path


def demo(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the command as a person does, with its data in a folder of this test."""
    return subprocess.run(
        [sys.executable, "manage.py", "demo", "--no-serve", *arguments],
        cwd=ROOT,
        env={**os.environ, "DATA_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "labcases.settings"},
        capture_output=True,
        text=True,
        check=False,
    )


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def ask_until_it_listens(address: str) -> str:
    """Return a page that answers "not found", which needs no login."""
    for _ in range(100):
        try:
            urllib.request.urlopen(address)  # noqa: S310 - an address of this machine
        except urllib.error.HTTPError as answer:
            return answer.read().decode()
        except urllib.error.URLError:
            time.sleep(0.1)
    raise AssertionError(f"nothing answered on {address}")


def logins(output: str) -> list[str]:
    return [line for line in output.splitlines() if re.search(r"  \w{4}-\w{4}-\w{4}-\w{4}  ", line)]


def serve_once(folder: Path) -> tuple[list[str], str]:
    """Start it as README says; return its lines up to the address, and a page from there."""
    port = free_port()
    with subprocess.Popen(
        [sys.executable, "-u", "manage.py", "demo", "--port", str(port)],
        cwd=ROOT,
        env={**os.environ, "DATA_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "labcases.settings"},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as server:
        try:
            address = f"http://127.0.0.1:{port}/"
            said = []
            for line in server.stdout:
                said.append(line)
                if line == f"Open {address} in a browser on this machine. Ctrl-C stops.\n":
                    return said, ask_until_it_listens(f"{address}no-such-page")
        finally:
            server.kill()
    raise AssertionError(f"it ended without serving: {said}")


def test_demo_loads_once_serves_says_the_same_logins_again_and_starts_over_when_told(tmp_path):
    lines, page = serve_once(tmp_path)
    again = demo(tmp_path)
    fresh = demo(tmp_path, "--fresh")

    first = "".join(lines)
    assert "Loading invented people and their cases ..." in first
    assert "DEMO - invented people" in first
    assert "DEMO - invented people" in page
    # Links in mail lead to where it was served.
    address = re.search(r"Open (http://127\.0\.0\.1:\d+)/ in", first)[1]
    mail = subprocess.run(
        [sys.executable, "manage.py", "remind", "--show"],
        cwd=ROOT,
        env={
            **os.environ,
            "DATA_DIR": str(tmp_path),
            "DEMO": "1",
            "DJANGO_SETTINGS_MODULE": "labcases.settings",
        },
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert f"No mail, or only the digest: {address}/mail/" in mail
    assert len(logins(first)) >= 4

    assert again.returncode == 0, again.stderr
    assert "Loading" not in again.stdout
    assert "Collecting" not in again.stdout
    assert logins(again.stdout) == logins(first)

    assert fresh.returncode == 0, fresh.stderr
    assert len(logins(fresh.stdout)) == len(logins(first))
    assert set(logins(fresh.stdout)).isdisjoint(logins(first))

    # Everything that it made stands in the folder of the demonstration.
    assert [path.name for path in tmp_path.iterdir()] == ["demo"]
    assert (tmp_path / "demo" / "people.json").stat().st_mode & 0o077 == 0


@pytest.mark.both_databases
@pytest.mark.django_db
def test_demo_refuses_a_database_that_holds_real_accounts(demo_settings):
    User.objects.create(username="real.person", full_name="Real Person")

    with pytest.raises(CommandError) as refusal:
        call_command("demo", "--no-serve")

    assert str(refusal.value) == (
        f"The database in {demo_settings} holds accounts that the demonstration did not make. It"
        " loads into a database of its own only; nothing was changed. Move that folder away, or"
        " name another with DATA_DIR."
    )
    assert list(User.objects.values_list("username", flat=True)) == ["real.person"]
    assert not Organisation.objects.exists()


@pytest.mark.django_db
def test_starting_over_refuses_to_remove_an_account_made_since(demo_settings):
    User.objects.create(username="dora", full_name="Dora Ellwood")
    User.objects.create(username="made.since", full_name="Made Since")
    DemoMark.objects.create(usernames=["dora"])

    with pytest.raises(CommandError, match="holds 1 accounts that the demonstration did not make"):
        call_command("demo", "--no-serve", "--fresh")

    assert User.objects.count() == 2


@pytest.mark.django_db
def test_demo_never_touches_the_database_of_real_cases(settings):
    settings.DEMO = False

    with pytest.raises(CommandError, match="This is not the demonstration's database"):
        call_command("demo", "--no-serve")

    assert not User.objects.exists()


PLAIN = "django.contrib.staticfiles.storage.StaticFilesStorage"
WITH_MANIFEST = "whitenoise.storage.CompressedManifestStaticFilesStorage"


def collect(settings, backend: str) -> str:
    """What the command says while it collects for pages that use this store of static files."""
    settings.STORAGES = {**settings.STORAGES, "staticfiles": {"BACKEND": backend}}
    command = Command(stdout=io.StringIO())
    command.folder = Path(settings.DATA_DIR)
    command.collect_static()
    return command.stdout.getvalue()


def test_a_demo_that_was_made_with_debug_is_collected_anew_without_it(demo_settings, settings):
    assert "Collecting" in collect(settings, PLAIN)
    assert collect(settings, PLAIN) == ""
    assert "Collecting" in collect(settings, WITH_MANIFEST)
    assert static("css/base.css").startswith("/static/css/base.")
    assert static("css/base.css") != "/static/css/base.css"


def test_a_manifest_that_is_gone_is_written_again(demo_settings, settings):
    collect(settings, WITH_MANIFEST)
    assert collect(settings, WITH_MANIFEST) == ""
    (demo_settings / "static" / "staticfiles.json").unlink()

    assert "Collecting" in collect(settings, WITH_MANIFEST)
    assert (demo_settings / "static" / "staticfiles.json").is_file()


@pytest.mark.django_db
def test_the_offices_of_the_demonstration_stand_in_two_places_with_a_profile_each():
    load_demo()

    kept = {one.name: one.holiday_region for one in Organisation.objects.all()}
    assert kept == {
        "Foxglove Lane Dental Office": "gb-eng",
        "Harbour Bridge Dental Office": "us",
        "Millrace Denture Laboratory": "gb-eng",
        "Osier Row Dental Practice": "",
    }
    chosen = {one.name: one.profile for one in Organisation.objects.all()}
    assert chosen == {
        "Foxglove Lane Dental Office": "eu",
        "Harbour Bridge Dental Office": "us-mt",
        "Millrace Denture Laboratory": "eu",
        "Osier Row Dental Practice": "",
    }
    both = Case.objects.filter(patient__code="HB-0311").get()
    assert [one.title for one in profiles.chosen(both)] == ["Montana, USA", "European Union"]


@pytest.mark.django_db
def test_dentists_of_the_demonstration_have_defaults_and_one_draft_is_filled_with_them():
    load_demo()

    assert list(
        PrescribingDefaults.objects.order_by("user__username").values_list(
            "user__username", "base_material", "scheme"
        )
    ) == [
        ("dora", "heat-cured resin", "balanced"),
        ("pavel", "heat-cured resin", "lingualised"),
    ]
    draft = Case.objects.get(patient__code="FL-1055").prescription
    assert (draft.status, draft.base_material, draft.shade) == ("draft", "heat-cured resin", "A3")


@pytest.fixture
def stories() -> Stories:
    here = world()
    return Stories(
        laboratory=here.laboratory,
        offices=(here.office, here.other_office),
        hands=(here.hands, here.hands),
    )


@pytest.mark.django_db
def test_the_story_of_the_over_erupted_molar_shows_an_interference_and_a_proposal_of_each_sort(
    stories,
):
    demo_stories.interference(stories)

    case = Case.objects.get(patient__code="FL-1042")
    check = checks.latest(case, CheckKind.CLEARANCE)
    assert not check.stale
    states = {
        (row["excursion"], tooth["tooth"]): (tooth["state"], tooth["place"])
        for row in check.run.findings["excursions"]
        for tooth in row["teeth"]
    }
    assert states["left", "15"] == ("interference", "46")
    assert "15" in [row["tooth"] for row in check.run.findings["reduction"]]
    rows = marks_view.build_context(case, "ISO 3950")["mark_rows"]
    assert [(row.movement, row.tooth, row.opposing, row.word) for row in rows] == [
        ("Centric", "16", "46", "Go by the foil"),
        ("Right lateral", "16", "46", "Go by the foil"),
        ("Right lateral", "24", "35", "Go by the foil"),
        ("Right lateral", "25", "36", "Reduce"),
        ("Left lateral", "16", "46", "Go by the foil"),
        ("Left lateral", "15", "46", "Re-set, do not grind"),
        ("Protrusive", "16", "46", "Go by the foil"),
    ]
    compared = explaining.latest(case)
    pin_rows = ledger_view.build_context(case, "ISO 3950")["pin_rows"]
    assert (compared.explained.kind, compared.stale) == ("explained", False)
    assert (compared.explained.best.tooth, compared.open) == ("16", True)
    left = {str(one.movement): one for one in compared.explained.movements}["left lateral"]
    assert (left.seen, left.seen_contact) == (("15",), ("16",))
    assert [str(one.what) for one in pin_rows] == ["Pin opened", "Pin read", "Pin read"]
    assert [one.open for one in pin_rows] == [False, False, True]


@pytest.mark.django_db
def test_the_story_without_height_is_short_over_a_tooth_that_stands_out_of_its_row(stories):
    demo_stories.no_height(stories)

    case = Case.objects.get(patient__code="FL-1043")
    height = checks.latest(case, CheckKind.HEIGHT).run.findings["rows"]
    assert [row["tooth"] for row in height if row["verdict"] == "short"] == ["26"]
    assert case.sites.get(tooth="36").tip_height_mm == 2
