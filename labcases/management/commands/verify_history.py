"""`manage.py verify_history`: whether the history of each laboratory stands as it was written."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from labcases.domain import chain
from labcases.domain.chain import Head, Walked
from labcases.models import Organisation

REWRITTEN = (
    "A chain in one database does not stop somebody who rewrites all of it. Keep the head "
    "elsewhere every day (--write-head), and compare with it (--head)."
)


class Command(BaseCommand):
    """Walk every chain, name the first entry that is not as written, and compare kept heads."""

    help = (
        "Walk the chained history of each laboratory. Prints how many entries it has, the number "
        "and the digest of the last one; ends with 1 and names the first entry that was altered, "
        "taken out, put in or moved. " + REWRITTEN
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--laboratory", help="only this one: its name, or its number")
        parser.add_argument("--head", type=Path, help="compare with heads that were kept in a file")
        parser.add_argument(
            "--write-head", type=Path, help="write the heads to a file, to be kept elsewhere"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        kept = self.kept(options["head"]) if options["head"] else {}
        found = [
            chain.walk(laboratory, kept.get(laboratory.pk))
            for laboratory in self.asked(options["laboratory"])
        ]
        for walked in found:
            self.stdout.write(in_words(walked))
        broken = [walked for walked in found if walked.broken]
        gone = [] if options["laboratory"] else self.gone(kept, found)
        for head in gone:
            self.stdout.write(
                f"{head.name} ({head.laboratory}): {chain.HEAD}. The head that was kept says that "
                f"{head.sequence} entries were written; none stands here."
            )
        if broken or gone:
            raise CommandError(
                f"{len(broken) + len(gone)} of the histories are not as they were written. Keep "
                "this database as it is, and compare it with a copy from before."
                + (" No head was written." if options["write_head"] else "")
            )
        if not found:
            self.stdout.write("No laboratory has a history yet.")
        if options["write_head"]:
            self.keep(options["write_head"], found)
        elif not options["head"]:
            self.stdout.write(REWRITTEN)

    def asked(self, wanted: str | None) -> list[Organisation]:
        """All laboratories with a history, or the one that is named."""
        laboratories = chain.laboratories()
        if wanted is None:
            return laboratories
        found = [one for one in laboratories if wanted in (one.name, str(one.pk))]
        if len(found) == 1:
            return found
        told = ", ".join(f"{one.name} ({one.pk})" for one in laboratories) or "none yet"
        raise CommandError(
            f"{'No' if not found else 'More than one'} laboratory with a history is called "
            f'"{wanted}". Give its name or its number: {told}.'
        )

    def kept(self, path: Path) -> dict[int, Head]:
        try:
            return chain.read_heads(path.read_text(encoding="utf-8"))
        except OSError as problem:
            raise CommandError(f"{path} cannot be read: {problem.strerror}.") from None
        except (UnicodeDecodeError, chain.NoHeadFile) as problem:
            raise CommandError(f"{path} holds no heads. {problem}") from None

    def gone(self, kept: dict[int, Head], found: list[Walked]) -> list[Head]:
        """Kept heads of laboratories that have no history here at all."""
        here = {walked.head.laboratory for walked in found}
        return [head for key, head in sorted(kept.items()) if key not in here and head.sequence]

    def keep(self, path: Path, found: list[Walked]) -> None:
        text = "\n".join(chain.head_lines(walked.head for walked in found)) + "\n"
        try:
            path.write_text(text, encoding="utf-8")
        except OSError as problem:
            raise CommandError(f"{path} cannot be written: {problem.strerror}.") from None
        self.stdout.write(f"Heads written to {path}. Keep them on another machine or on paper.")


def in_words(walked: Walked) -> str:
    """One laboratory in a line, and what is wrong with it in a second one."""
    head = walked.head
    name = f"{head.name} ({head.laboratory})"
    if walked.broken:
        return f"{name}: {walked.count} entries\n  {walked.broken}"
    return f"{name}: {walked.count} entries, head {head.sequence} {head.digest}"
