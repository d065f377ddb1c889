"""What the laboratory proposes to the dentist, and the dentist's answer."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models

from labcases.enums.proposals import (
    CARRIED_OUT,
    ProposalBasis,
    ProposalKind,
    ProposalState,
)
from labcases.models.base import Versioned, between, deg, mm
from labcases.models.case import Case
from labcases.validators import validate_tooth

NUMBERS = (
    *("before_mm", "proposed_mm", "answered_mm"),
    *("before_deg", "proposed_deg", "answered_deg"),
)
_NO_NUMBER = models.Q(**{f"{name}__isnull": True for name in NUMBERS})


class Proposal(Versioned):
    """One thing that waits for the dentist's yes, no or change.

    ``before`` is what stood when it was raised: the setting, the budget left, the agreed pin
    value. ``bound`` holds what else it was raised against, so that it can be told to be stale.
    A natural tooth is named as the place of a finding: such a row holds no number at all.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="proposals")
    number = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=16, choices=ProposalKind)
    state = models.CharField(max_length=12, choices=ProposalState, default=ProposalState.WAITING)
    field = models.CharField(max_length=24, blank=True)
    tooth = models.CharField(max_length=2, blank=True, validators=[validate_tooth])
    basis = models.CharField(max_length=20, choices=ProposalBasis, blank=True)
    why = models.TextField(max_length=1000)
    before_mm = mm(null=True, blank=True)
    proposed_mm = mm(null=True, blank=True)
    answered_mm = mm(null=True, blank=True)
    before_deg = deg(null=True, blank=True)
    proposed_deg = deg(null=True, blank=True)
    answered_deg = deg(null=True, blank=True)
    bound = models.JSONField(default=dict, blank=True)
    blocking = models.BooleanField(default=True)
    raised_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    raised_at = models.DateTimeField(auto_now_add=True)
    answer = models.TextField(max_length=1000, blank=True)
    hung = models.JSONField(default=list, blank=True)
    """What hung on the answer, in the sentences that stood on the page."""
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    answered_at = models.DateTimeField(null=True, blank=True)
    paper = models.ForeignKey(
        "labcases.SignedPaper", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signed_name = models.CharField(max_length=120, blank=True)
    licence_number = models.CharField(max_length=60, blank=True)
    digest = models.CharField(max_length=64, blank=True)
    """Of the revision in force and of what was answered, where the answer is a signature."""
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("number",)
        constraints = (
            models.UniqueConstraint(fields=("case", "number"), name="one_row_per_proposal"),
            *(between(name, "-10", "200") for name in NUMBERS if name.endswith("_mm")),
            *(between(name, "-90", "90") for name in NUMBERS if name.endswith("_deg")),
            models.CheckConstraint(
                name="proposal_natural_tooth_without_number",
                condition=~models.Q(kind=ProposalKind.NATURAL) | _NO_NUMBER,
            ),
            models.CheckConstraint(
                name="proposal_answered_whole",
                condition=models.Q(state__in=(ProposalState.WAITING, ProposalState.WITHDRAWN))
                | models.Q(answered_at__isnull=False)
                & (models.Q(answered_by__isnull=False) | models.Q(paper__isnull=False)),
            ),
            models.CheckConstraint(
                name="proposal_new_vertical_signed",
                condition=~models.Q(kind=ProposalKind.VERTICAL, state__in=CARRIED_OUT)
                | ~models.Q(digest="") & models.Q(answered_mm__isnull=False),
            ),
        )

    def __str__(self) -> str:
        return f"proposal {self.number} of {self.case}"

    @property
    def waits(self) -> bool:
        return self.state == ProposalState.WAITING

    @property
    def carried_out(self) -> bool:
        return self.state in CARRIED_OUT

    @property
    def in_deg(self) -> bool:
        return self.field.endswith("_deg")

    @property
    def before(self) -> Decimal | None:
        found: Decimal | None = self.before_deg if self.in_deg else self.before_mm
        return found

    @property
    def proposed(self) -> Decimal | None:
        found: Decimal | None = self.proposed_deg if self.in_deg else self.proposed_mm
        return found

    @property
    def answered(self) -> Decimal | None:
        found: Decimal | None = self.answered_deg if self.in_deg else self.answered_mm
        return found

    @property
    def answerer(self) -> str:
        """Who answered, or the paper that says it."""
        return self.paper.words if self.paper else str(self.answered_by)
