"""`manage.py read_bundle FILE`: whether a bundle is whole, and says the same figures."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from labcases import codes
from labcases.domain import bundle
from labcases.domain.calculations import ENGINE_VERSION


class Command(BaseCommand):
    """Read a bundle back without any database."""

    help = (
        "Hold the bundle of a case against the digests in its manifest, its entries of the history "
        "against theirs, and work its figures out again. Needs no database. Ends with 1 and names "
        "what is changed, missing or extra."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the bundle, a zip file")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            found = bundle.read(options["file"])
        except bundle.NoBundle as refused:
            raise CommandError(str(refused)) from None
        for line in in_words(found):
            self.stdout.write(line)
        if not found.whole:
            raise CommandError("The bundle is not as it was made, or does not say the same.")
        self.stdout.write("Whole: every file is as it was made, and every figure comes out again.")


def in_words(found: bundle.Findings) -> list[str]:
    """What was found, a line each."""
    told = [
        f"Case {codes.grouped(found.case)}, made {found.made_at}, {found.files} files",
        f"Manifest SHA-256 {found.manifest_sha256}",
        "  The history of the case names the same digest, if this is the file that was exported.",
    ]
    if found.restricted:
        told.append(f"RESTRICTED: {found.restricted}")
    for words, names in (
        ("changed", found.changed),
        ("missing", found.missing),
        ("extra", found.extra),
    ):
        told += [f"{words}: {name}" for name in names]
    told += [f"left out when it was made: {one}" for one in found.left_out]
    told.append(f"History: {found.entries} entries, {len(found.history)} not as written")
    told += [f"  {one}" for one in found.history]
    if found.engine != ENGINE_VERSION:
        told.append(f"Computed by engine {found.engine}; this one is {ENGINE_VERSION}.")
    told += [f"same: {one}" for one in found.same]
    told += [f"not the same: {one}" for one in found.other]
    return told
