"""Keep what the laboratory proposes to the dentist, and what the dentist answers."""

from decimal import Decimal

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import labcases.validators


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0037_marks_of_old_passes"),
    ]

    operations = [
        migrations.AlterField(
            model_name="articulatorrecord",
            name="origin",
            field=models.CharField(
                choices=[
                    ("prescribed", "Prescribed by the dentist"),
                    ("check records", "From check records"),
                    ("average", "Average values"),
                    ("approved", "Approved by the dentist"),
                ],
                default="prescribed",
                max_length=16,
            ),
        ),
        migrations.CreateModel(
            name="Proposal",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("number", models.PositiveSmallIntegerField()),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("setting", "Change of a setting"),
                            ("reduction", "Reduction beyond the budget"),
                            ("natural tooth", "Natural tooth as the place of a finding"),
                            ("vertical", "New vertical"),
                            ("arrangement", "Deviation from the natural arrangement"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "Waits for the dentist"),
                            ("yes", "Yes"),
                            ("no", "No"),
                            ("change", "Yes, with a change"),
                            ("withdrawn", "Withdrawn"),
                        ],
                        default="waiting",
                        max_length=12,
                    ),
                ),
                ("field", models.CharField(blank=True, max_length=24)),
                (
                    "tooth",
                    models.CharField(
                        blank=True, max_length=2, validators=[labcases.validators.validate_tooth]
                    ),
                ),
                (
                    "basis",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("check record", "A check record says so"),
                            ("marks", "It explains the marks"),
                            ("instrument limit", "The instrument cannot be set to it"),
                            ("other", "Something else"),
                        ],
                        max_length=20,
                    ),
                ),
                ("why", models.TextField(max_length=1000)),
                (
                    "before_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "proposed_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "answered_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "before_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "proposed_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "answered_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                ("bound", models.JSONField(blank=True, default=dict)),
                ("blocking", models.BooleanField(default=True)),
                ("raised_at", models.DateTimeField(auto_now_add=True)),
                ("answer", models.TextField(blank=True, max_length=1000)),
                ("hung", models.JSONField(blank=True, default=list)),
                ("answered_at", models.DateTimeField(blank=True, null=True)),
                ("signed_name", models.CharField(blank=True, max_length=120)),
                ("licence_number", models.CharField(blank=True, max_length=60)),
                ("digest", models.CharField(blank=True, max_length=64)),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn_reason", models.CharField(blank=True, max_length=200)),
                (
                    "answered_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="proposals",
                        to="labcases.case",
                    ),
                ),
                (
                    "changed_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "paper",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.signedpaper",
                    ),
                ),
                (
                    "raised_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "withdrawn_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("number",),
                "constraints": [
                    models.UniqueConstraint(fields=("case", "number"), name="one_row_per_proposal"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("answered_mm__isnull", True),
                            models.Q(
                                ("answered_mm__gte", Decimal("-10")),
                                ("answered_mm__lte", Decimal("200")),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_answered_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "natural tooth"), _negated=True),
                            models.Q(
                                ("answered_deg__isnull", True),
                                ("answered_mm__isnull", True),
                                ("before_deg__isnull", True),
                                ("before_mm__isnull", True),
                                ("proposed_deg__isnull", True),
                                ("proposed_mm__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_natural_tooth_without_number",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ("waiting", "withdrawn")),
                            models.Q(
                                ("answered_at__isnull", False),
                                models.Q(
                                    ("answered_by__isnull", False),
                                    ("paper__isnull", False),
                                    _connector="OR",
                                ),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_answered_whole",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("kind", "vertical"),
                                ("state__in", ("yes", "change")),
                                _negated=True,
                            ),
                            models.Q(
                                models.Q(("digest", ""), _negated=True),
                                ("answered_mm__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_new_vertical_signed",
                    ),
                ],
            },
        ),
    ]
