"""`manage.py replan`: make again what the desk keeps of open cases."""

from typing import Any

from django.core.management.base import BaseCommand

from labcases.domain import replanning


class Command(BaseCommand):
    """Make the rows of the desk again, and say how many differed from what was kept."""

    help = (
        "Plan every open case again and keep what the desk says of it. Each act does so for its "
        "own case, so 0 rows differ in a healthy database; run it after an upgrade or a restore."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        differed = replanning.remake()
        rows = "1 row" if differed == 1 else f"{differed} rows"
        self.stdout.write(f"Planned every open case again: {rows} differed.")
