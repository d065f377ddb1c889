"""`manage.py open_laboratory`: the first organisation and its first manager."""

import getpass
import sys
from argparse import ArgumentParser
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from labcases.domain.people import open_laboratory
from labcases.models import DemoMark, User


class Command(BaseCommand):
    """Everybody else comes in by a link that this manager, or a person invited so, hands out."""

    help = (
        "Open a laboratory with its first manager. The password is asked for, or read from a pipe."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--name", required=True, help="the laboratory's name")
        parser.add_argument("--address", default="", help="its address, for papers")
        parser.add_argument("--username", required=True, help="what the manager types to log in")
        parser.add_argument("--full-name", required=True, help="the manager's name, for papers")

    def handle(self, *args: Any, **options: Any) -> None:
        if DemoMark.objects.exists():
            raise CommandError(
                "This database holds the demonstration. Name another with DATABASE_URL or DATA_DIR."
            )
        username = User.normalize_username(options["username"])
        if User.objects.filter(username=username).exists():
            raise CommandError(f'The user name "{username}" is taken. Choose another.')
        password = self.ask_password()
        try:
            validate_password(password, User(username=username, full_name=options["full_name"]))
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        open_laboratory(
            name=options["name"],
            address=options["address"],
            username=username,
            full_name=options["full_name"],
            password=password,
        )
        self.stdout.write(
            f"{options['name']} is open. {options['full_name']} logs in as {username} and invites"
            " the others."
        )

    def ask_password(self) -> str:
        """Ask twice at a terminal; never on the command line, where other users could read it."""
        if not sys.stdin.isatty():
            return sys.stdin.readline().rstrip("\n")
        password = getpass.getpass("Password (15 characters or more): ")
        if getpass.getpass("The same again: ") != password:
            raise CommandError("The two passwords differ. Nothing was made; start again.")
        return password
