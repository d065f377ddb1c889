"""`manage.py erase_due`: what may go today; with `--act` it goes."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from labcases import codes
from labcases.domain import erasing_due
from labcases.domain.erasing_due import Due
from labcases.templatetags.units import long_date


class Command(BaseCommand):
    """Erase cases whose time of keeping is over and for which erasure was asked."""

    help = (
        "List the cases for which erasure was asked and whose time of keeping is over, with what "
        "would go. With --act, erase them: code, dates and the reason stay, and the history still "
        "verifies. Run it once a day. Back-ups made before still hold what is erased here: run it "
        "after each restore."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--act", action="store_true", help="erase, not only list")

    def handle(self, *args: Any, **options: Any) -> None:
        found = erasing_due.due(timezone.localdate())
        if not found:
            self.stdout.write("Nothing is due: no request for erasure has come to its day.")
            return
        for one in found:
            if options["act"]:
                erasing_due.erase(one.row)
            self.stdout.write(in_words(one, acted=options["act"]))
        if not options["act"]:
            self.stdout.write("Nothing was erased. Run it with --act to erase them.")


def in_words(one: Due, *, acted: bool) -> str:
    """One case, a line."""
    said = "erased" if acted else "would be erased"
    return (
        f"{codes.grouped(one.row.case.code)}: {one.rows} rows and {one.files} files {said}; asked "
        f"on {long_date(one.row.asked_on)}, kept until {long_date(one.row.kept_until)}"
    )
