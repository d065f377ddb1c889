"""People, the organisations they work in, and how they come in."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar

from django.conf import settings
from django.contrib.auth.models import AbstractUser
from django.db import models

from labcases.enums import HouseDayKind, Notation, OrganisationKind, PaperSize, Role, Side
from labcases.enums.reminders import MailChoice
from labcases.models.base import between, mm


class User(AbstractUser):
    """A person who can log in. Roles live in memberships, never here."""

    first_name = None  # type: ignore[assignment]
    last_name = None  # type: ignore[assignment]
    full_name = models.CharField(max_length=120)
    licence_number = models.CharField(
        max_length=60, blank=True, help_text="Offered when a prescription is signed."
    )
    mail_choice = models.CharField(max_length=20, choices=MailChoice, default=MailChoice.URGENT)
    """Which reminders go to the address; none go where there is no address."""

    REQUIRED_FIELDS: ClassVar[list[str]] = ["full_name"]

    def __str__(self) -> str:
        return self.full_name or self.username

    def get_full_name(self) -> str:
        return self.full_name

    def get_short_name(self) -> str:
        return self.full_name

    @property
    def initials(self) -> str:
        return "".join(word[0] for word in self.full_name.split()).upper()[:3]


class Organisation(models.Model):
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=20, choices=OrganisationKind)
    address = models.TextField(blank=True)
    notation = models.CharField(max_length=20, choices=Notation, default=Notation.ISO_3950)
    paper_size = models.CharField(max_length=10, choices=PaperSize, default=PaperSize.A4)
    profile = models.CharField(max_length=20, blank=True)
    """What the law of its place asks: a key of ``domain/profiles.py``, or none chosen."""
    shade_systems = models.TextField(max_length=4000, blank=True)
    """An office's own shade systems, a line each; ``domain/shades.py`` reads it."""
    emergency_telephone = models.CharField("telephone for emergencies", max_length=40, blank=True)
    """Where patients of an office call after surgery; no after-care sheet prints without it."""
    after_care = models.TextField("after-care text", max_length=6000, blank=True)
    """An office's own text for its patients; ``domain/after_care.py`` reads it."""
    # What a laboratory verifies mountings by: common practice, no source, and its own to change.
    records_agree_mm = mm(default=Decimal("0.3"))
    foil_um = models.PositiveSmallIntegerField(default=8)
    base_min_mm = mm(null=True, blank=True)
    """The least base that this house wants under a tooth; nothing is built in."""
    label_width_mm = models.PositiveSmallIntegerField("width of labels, mm", null=True, blank=True)
    label_height_mm = models.PositiveSmallIntegerField(
        "height of labels, mm", null=True, blank=True
    )
    """The labels that a laboratory prints for casts and boxes; ``domain/label_sizes.py``."""
    open_weekdays = models.CharField(max_length=7, default="12345")
    """ISO numbers of the weekdays on which it is open: Monday is 1, Sunday 7."""
    time_zone = models.CharField(max_length=64, blank=True)
    """Where its clocks hang: an IANA name; the zone of the server where it is empty."""
    half_weekdays = models.CharField(max_length=7, blank=True)
    """Those among them on which it is open for half the day."""
    holiday_region = models.CharField(max_length=12, blank=True)
    """Its list of public holidays: a key of ``reference/holidays.py``, or none chosen."""
    opens_at = models.TimeField(null=True, blank=True)
    closes_at = models.TimeField(null=True, blank=True)
    """The hours of an open day, where they are entered."""
    stage_days = models.JSONField(default=dict, blank=True)
    """Own working days of a piece of work, by its value; ``domain/stage_plan.py``."""
    stage_names = models.JSONField(default=dict, blank=True)
    """What a laboratory calls a stage, by the stage's key, which never changes."""
    job_minutes = models.JSONField(default=dict, blank=True)
    """A laboratory's own minutes of a job at the bench, by the job's key; ``bench_plan.py``."""
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("name",)
        constraints = (
            between("records_agree_mm", "0.05", "1"),
            between("foil_um", "5", "40"),
            between("base_min_mm", "0", "10"),
            between("label_width_mm", "25", "150"),
            between("label_height_mm", "25", "150"),
            models.CheckConstraint(
                name="organisation_label_has_both_edges",
                condition=models.Q(label_width_mm__isnull=True, label_height_mm__isnull=True)
                | models.Q(label_width_mm__isnull=False, label_height_mm__isnull=False),
            ),
            models.CheckConstraint(
                name="organisation_opens_before_it_closes",
                condition=models.Q(opens_at__isnull=True, closes_at__isnull=True)
                | models.Q(
                    opens_at__isnull=False,
                    closes_at__isnull=False,
                    opens_at__lt=models.F("closes_at"),
                ),
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def is_laboratory(self) -> bool:
        return self.kind in (OrganisationKind.LABORATORY, OrganisationKind.BOTH)

    @property
    def is_office(self) -> bool:
        return self.kind in (OrganisationKind.OFFICE, OrganisationKind.BOTH)


class HouseDay(models.Model):
    """A day on which a house is open otherwise than its week and its public holidays say."""

    organisation = models.ForeignKey(Organisation, on_delete=models.PROTECT, related_name="days")
    on = models.DateField()
    kind = models.CharField(max_length=10, choices=HouseDayKind, default=HouseDayKind.CLOSED)
    reason = models.CharField(max_length=80)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("on",)
        constraints = (
            models.UniqueConstraint(fields=("organisation", "on"), name="one_house_day_per_day"),
        )

    def __str__(self) -> str:
        return f"{self.organisation} {self.get_kind_display()} on {self.on:%Y-%m-%d}"


class Membership(models.Model):
    """Joins a person to an organisation with one role; several rows for several roles."""

    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="memberships"
    )
    organisation = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="memberships"
    )
    role = models.CharField(max_length=20, choices=Role)
    active = models.BooleanField(default=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("organisation", "user")
        constraints = (
            models.UniqueConstraint(
                fields=("user", "organisation", "role"), name="one_membership_per_role"
            ),
        )

    def __str__(self) -> str:
        return f"{self.user}, {self.role}, {self.organisation}"


class OfficeLink(models.Model):
    """An office that may send cases to a laboratory."""

    office = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="laboratory_links"
    )
    laboratory = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="office_links"
    )
    active = models.BooleanField(default=True)
    road_days = models.PositiveSmallIntegerField(default=1)
    """Open days of the receiver that a box is on the road between the two."""
    road_set_side = models.CharField(max_length=12, choices=Side, blank=True)
    road_set_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("office", "laboratory"), name="one_link_per_pair"),
            models.CheckConstraint(
                name="officelink_road_days_range", condition=models.Q(road_days__lte=20)
            ),
        )

    def __str__(self) -> str:
        return f"{self.office} sends to {self.laboratory}"


class Invitation(models.Model):
    """A one-time link: into an organisation with a role, or for a new office.

    Only a digest of the secret is stored. With ``opens_office`` the person who
    follows the link opens an office of their own, linked to ``organisation``.
    """

    organisation = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="invitations"
    )
    role = models.CharField(max_length=20, choices=Role)
    opens_office = models.BooleanField(default=False)
    invited_name = models.CharField(max_length=120)
    secret_digest = models.CharField(max_length=64, unique=True)
    created_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="invitations_made"
    )
    created_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    used_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="invitations_used",
    )
    withdrawn = models.BooleanField(default=False)

    class Meta:
        ordering = ("-created_at",)

    def __str__(self) -> str:
        return f"{self.invited_name}, {self.role}, {self.organisation}"


class DemoMark(models.Model):
    """Stands in a database that the demo filled, and names the accounts it made."""

    loaded_at = models.DateTimeField(auto_now_add=True)
    usernames = models.JSONField(default=list)

    def __str__(self) -> str:
        return f"Demo loaded {self.loaded_at:%Y-%m-%d %H:%M}"
