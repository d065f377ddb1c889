"""`manage.py clean_files`: stored pictures that no case knows, and rows whose picture is gone."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from labcases import codes
from labcases.domain import files


class Command(BaseCommand):
    """A process that was ended between file and row leaves the file; this erases it."""

    help = (
        "Erase stored pictures that no case knows and that are older than an hour, and name the "
        "pictures whose file is gone."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--dry-run", action="store_true", help="say it, and erase nothing")

    def handle(self, *args: Any, **options: Any) -> None:
        left = files.without_row()
        for name in left:
            self.stdout.write(name)
        if options["dry_run"]:
            self.stdout.write(f"{len(left)} of the stored files belong to no case. None erased.")
        else:
            files.erase(left)
            self.stdout.write(f"{len(left)} of the stored files belonged to no case. Erased.")
        lost = files.without_file()
        for row in lost:
            self.stdout.write(f"case {codes.grouped(row.case.code)}, {row.words}: its file is gone")
        if lost:
            self.stdout.write(
                f"{len(lost)} of the pictures have lost their file. Bring the folder of uploads "
                "back from a copy, or take them out of view and add them again."
            )
