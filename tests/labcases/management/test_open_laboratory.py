"""`manage.py open_laboratory` makes the first manager, who invites everybody else."""

import io
import sys

import pytest
from django.core.management import CommandError, call_command

from labcases.enums import Role
from labcases.models import DemoMark, Membership, Organisation, User

pytestmark = pytest.mark.django_db

GOOD = "four quiet bench mornings"


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
    assert capsys.readouterr().out == (
        "Tinsmith Row Laboratory is open. Ina Voss logs in as ina and invites the others.\n"
    )


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
