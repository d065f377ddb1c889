"""Two cases of one patient that make both arches: one surgery day, released together."""

from __future__ import annotations

from django.db import models

from labcases.models.base import LogLine
from labcases.models.case import Case

STANDING = models.Q(struck_at__isnull=True)


class CaseLink(LogLine):
    """A link is made once and unlinked with a reason; ``first`` was opened before ``second``.

    A case stands in one link at a time. The database holds that for each side; across the
    sides the verb does, which waits for its turn.
    """

    first = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="links_from")
    second = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="links_to")

    class Meta(LogLine.Meta):
        constraints = (
            models.UniqueConstraint(fields=("first",), condition=STANDING, name="one_link_first"),
            models.UniqueConstraint(fields=("second",), condition=STANDING, name="one_link_second"),
            models.CheckConstraint(
                condition=models.Q(first__lt=models.F("second")), name="link_in_order"
            ),
        )

    def __str__(self) -> str:
        return f"{self.first} and {self.second}"
