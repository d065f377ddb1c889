"""`manage.py open_laboratory` makes the first manager, who invites everybody else."""

import io
import sys

import pytest
from django.core.management import CommandError, call_command

from labcases.enums import Role
from labcases.models import DemoMark, Membership, Organisation, User

pytestmark = pytest.mark.django_db

GOOD = "four quiet bench mornings"


@pytest.fixture(autouse=True)
def _no_password_around(monkeypatch):
    monkeypatch.delenv("OPEN_LABORATORY_PASSWORD", raising=False)


def open_laboratory(monkeypatch, password=GOOD):
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{password}\n"))
    call_command(
        "open_laboratory",
        "--name=Tinsmith Row Laboratory",
        "--username=ina",
        "--full-name=Ina Voss",
    )


def test_the_laboratory_opens_with_its_manager(monkeypatch, capsys):
    open_laboratory(monkeypatch)

    membership = Membership.objects.get()
    assert (membership.organisation.name, membership.role) == (
        "Tinsmith Row Laboratory",
        Role.MANAGER,
    )
    assert membership.organisation.is_laboratory
    assert membership.user.check_password(GOOD)
    said = capsys.readouterr().out
    assert "Tinsmith Row Laboratory is open. Ina Voss logs in as ina.\n" in said
    assert "invite the others, link the offices" in said


@pytest.mark.parametrize(
    ("password", "words"),
    [
        ("too short", "It must contain at least 15 characters."),
        ("123456789987654321", "This password is too common."),
    ],
)
def test_a_weak_password_is_refused_and_nothing_is_made(monkeypatch, password, words):
    with pytest.raises(CommandError) as refusal:
        open_laboratory(monkeypatch, password)

    assert words in str(refusal.value)
    assert not User.objects.exists()
    assert not Organisation.objects.exists()


def test_a_taken_user_name_is_refused(monkeypatch):
    open_laboratory(monkeypatch)

    with pytest.raises(CommandError, match='The user name "ina" is taken'):
        open_laboratory(monkeypatch)


def test_a_database_with_the_demonstration_is_refused(monkeypatch):
    DemoMark.objects.create(usernames=["dora"])

    with pytest.raises(CommandError, match="This database holds the demonstration"):
        open_laboratory(monkeypatch)

    assert not User.objects.exists()


class Terminal(io.StringIO):
    """A person who sits at the keyboard."""

    def isatty(self):
        return True


def test_what_is_not_given_is_asked_for_at_a_terminal(monkeypatch):
    typed = iter(["", "Tinsmith Row Laboratory", "", "Ina Voss", "ina"])
    asked = []
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr("builtins.input", lambda question: asked.append(question) or next(typed))
    monkeypatch.setattr("getpass.getpass", lambda question: GOOD)

    call_command("open_laboratory")

    membership = Membership.objects.get()
    assert (membership.organisation.name, membership.user.username) == (
        "Tinsmith Row Laboratory",
        "ina",
    )
    assert asked == [
        "Name of the laboratory: ",
        "Name of the laboratory: ",
        "Its address, for papers (may stay empty): ",
        "Your name, for papers: ",
        "User name, to log in with: ",
    ]


def test_two_different_passwords_make_nothing(monkeypatch):
    typed = iter([GOOD, "four quiet bench evenings"])
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr("getpass.getpass", lambda question: next(typed))

    with pytest.raises(CommandError, match="The two passwords differ"):
        call_command(
            "open_laboratory", "--name=N", "--address=", "--username=ina", "--full-name=Ina Voss"
        )

    assert not User.objects.exists()


def test_a_script_gives_the_password_by_a_variable(monkeypatch):
    monkeypatch.setenv("OPEN_LABORATORY_PASSWORD", GOOD)

    call_command(
        "open_laboratory", "--no-input", "--name=N", "--username=ina", "--full-name=Ina Voss"
    )

    assert User.objects.get().check_password(GOOD)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--username=ina", "--full-name=Ina Voss"], "Give --name; nothing was made."),
        (["--name=N", "--username=ina"], "Give --full-name; nothing was made."),
        (
            ["--name=N", "--username=ina", "--full-name=Ina Voss"],
            "Set OPEN_LABORATORY_PASSWORD; nothing was made.",
        ),
    ],
)
def test_a_script_is_told_what_it_left_out(options, words):
    with pytest.raises(CommandError, match=words):
        call_command("open_laboratory", "--no-input", *options)

    assert not Organisation.objects.exists()


def test_a_user_name_that_differs_in_capitals_only_is_taken(monkeypatch):
    User.objects.create_user("Ina", password=GOOD, full_name="Ina Voss")

    with pytest.raises(CommandError, match='The user name "ina" is taken'):
        open_laboratory(monkeypatch)
