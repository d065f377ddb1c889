"""`manage.py open_laboratory`: the first organisation and its first manager."""

import getpass
import os
import sys
from argparse import ArgumentParser
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from labcases.domain.people import open_laboratory
from labcases.models import DemoMark, User

PASSWORD_VARIABLE = "OPEN_LABORATORY_PASSWORD"  # noqa: S105 - the name of a variable

#: Option: what is asked for at a terminal, and whether it may stay empty.
QUESTIONS = {
    "name": ("Name of the laboratory", False),
    "address": ("Its address, for papers (may stay empty)", True),
    "full_name": ("Your name, for papers", False),
    "username": ("User name, to log in with", False),
}


class Command(BaseCommand):
    """Everybody else comes in by a link that this manager, or a person invited so, hands out."""

    help = (
        "Open a laboratory with its first manager. What is not given is asked for; the password is"
        f" asked for without showing it, read from a pipe, or taken from {PASSWORD_VARIABLE}."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--name", help="the laboratory's name")
        parser.add_argument("--address", help="its address, for papers")
        parser.add_argument("--username", help="what the manager types to log in")
        parser.add_argument("--full-name", help="the manager's name, for papers")
        parser.add_argument(
            "--no-input",
            action="store_true",
            help=f"ask nothing: refuse when an option or {PASSWORD_VARIABLE} is missing",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if DemoMark.objects.exists():
            raise CommandError(
                "This database holds the demonstration. Name another with DATABASE_URL or DATA_DIR."
            )
        asks = sys.stdin.isatty() and not options["no_input"]
        given = {name: self.answer(name, options[name], asks=asks) for name in QUESTIONS}
        username = self.free_username(given["username"])
        password = self.password(no_input=options["no_input"])
        try:
            validate_password(password, User(username=username, full_name=given["full_name"]))
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        open_laboratory(**{**given, "username": username}, password=password)
        self.stdout.write(
            f"{given['name']} is open. {given['full_name']} logs in as {username}.\n"
            "What to do next, on the laboratory's page: invite the others, link the offices that"
            " send cases, and choose tooth numbers and paper size."
        )

    def answer(self, name: str, value: str | None, *, asks: bool) -> str:
        """Take what was given as an option, or ask for it."""
        question, may_be_empty = QUESTIONS[name]
        while value is None and asks:
            typed = input(f"{question}: ").strip()
            value = typed if typed or may_be_empty else None
        value = (value or "").strip()
        if not value and not may_be_empty:
            raise CommandError(f"Give --{name.replace('_', '-')}; nothing was made.")
        column = {"name": 120, "full_name": 120, "username": 150}.get(name)
        if column and len(value) > column:
            raise CommandError(
                f"--{name.replace('_', '-')} has {len(value)} characters. Give {column} or fewer."
            )
        return value

    def free_username(self, typed: str) -> str:
        """Refuse a user name that is taken, or that differs from another in capitals only."""
        username = str(User.normalize_username(typed))
        try:
            User.username_validator(username)
        except ValidationError as error:
            raise CommandError(
                f'The user name "{username}" holds a character that is not allowed. Use letters,'
                " digits and @ . + - _ only."
            ) from error
        if User.objects.filter(username__iexact=username).exists():
            raise CommandError(f'The user name "{username}" is taken. Choose another.')
        return username

    def password(self, *, no_input: bool) -> str:
        """Never on the command line, where other users of the machine could read it."""
        kept = os.environ.get(PASSWORD_VARIABLE)
        if kept:
            return kept
        if no_input:
            raise CommandError(f"Set {PASSWORD_VARIABLE}; nothing was made.")
        if not sys.stdin.isatty():
            return sys.stdin.readline().rstrip("\n")
        password = getpass.getpass("Password (15 characters or more): ")
        if getpass.getpass("The same again: ") != password:
            raise CommandError("The two passwords differ. Nothing was made; start again.")
        return password
