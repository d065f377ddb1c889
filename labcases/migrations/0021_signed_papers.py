"""Add papers signed by hand, and the dentists of offices that send nothing else."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0020_second_pours"),
    ]

    operations = [
        migrations.CreateModel(
            name="PaperDentist",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("licence_number", models.CharField(blank=True, max_length=60)),
                (
                    "office",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="paper_dentists",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.CreateModel(
            name="SignedPaper",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                (
                    "says",
                    models.CharField(
                        choices=[
                            ("prescription", "Prescription"),
                            ("surgery day", "Surgery day confirmed"),
                            ("try-in", "Outcome of the try-in"),
                            ("waiver of the try-in", "Waiver of the try-in"),
                            ("final wax", "Approval of final wax and trimming"),
                            ("gate", "Going on without what is open"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("being typed", "Being typed"),
                            ("to be confirmed", "Typed, to be confirmed by a second member"),
                            ("confirmed", "Confirmed"),
                            ("given up", "Given up"),
                        ],
                        default="being typed",
                        max_length=16,
                    ),
                ),
                ("said", models.JSONField(blank=True, default=dict)),
                ("said_digest", models.CharField(blank=True, max_length=64)),
                ("signed_name", models.CharField(blank=True, max_length=120)),
                ("licence_number", models.CharField(blank=True, max_length=60)),
                ("signed_on", models.DateField(blank=True, null=True)),
                ("typed_at", models.DateTimeField(blank=True, null=True)),
                ("confirmed_at", models.DateTimeField(blank=True, null=True)),
                ("sent_back_at", models.DateTimeField(blank=True, null=True)),
                ("sent_back_reason", models.CharField(blank=True, max_length=200)),
                ("given_up_reason", models.CharField(blank=True, max_length=200)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signed_papers",
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
                    "confirmed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "pages",
                    models.ManyToManyField(
                        blank=True, related_name="signed_papers", to="labcases.attachment"
                    ),
                ),
                (
                    "prescription",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="labcases.prescription",
                    ),
                ),
                (
                    "sent_back_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "typed_by",
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
                "ordering": ("id",),
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("state", "given up"), _negated=True),
                        fields=("prescription",),
                        name="one_paper_per_revision",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "confirmed"), _negated=True),
                            models.Q(
                                ("confirmed_at__isnull", False),
                                ("confirmed_by__isnull", False),
                                ("signed_on__isnull", False),
                                ("typed_by__isnull", False),
                                models.Q(("signed_name", ""), _negated=True),
                                models.Q(("licence_number", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="signedpaper_confirmed_whole",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("prescription__isnull", False), ("says", "prescription")),
                            models.Q(
                                models.Q(("says", "prescription"), _negated=True),
                                ("prescription__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="signedpaper_revision_of_prescription",
                    ),
                ],
            },
        ),
    ]
