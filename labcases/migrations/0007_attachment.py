"""Keep photographs and papers of a case."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import labcases.models.files


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0006_question_threads"),
    ]

    operations = [
        migrations.CreateModel(
            name="Attachment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("photograph", "Photograph"),
                            ("paper prescription", "Paper prescription, signed"),
                            ("paper", "Another paper"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "view",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("face", "Face"),
                            ("smile", "Smile"),
                            ("profile", "Profile"),
                            ("intraoral front", "Teeth from in front"),
                            ("intraoral right", "Teeth from the right"),
                            ("intraoral left", "Teeth from the left"),
                            ("cast", "Cast"),
                            ("other", "Something else"),
                        ],
                        max_length=20,
                    ),
                ),
                ("caption", models.CharField(blank=True, max_length=120)),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("file", models.FileField(upload_to=labcases.models.files.random_name)),
                ("small", models.FileField(upload_to=labcases.models.files.random_name)),
                ("content_type", models.CharField(default="image/jpeg", max_length=20)),
                ("width_px", models.PositiveIntegerField()),
                ("height_px", models.PositiveIntegerField()),
                ("size_bytes", models.PositiveIntegerField()),
                ("sha256", models.CharField(max_length=64)),
                ("small_sha256", models.CharField(max_length=64)),
                ("sent_sha256", models.CharField(max_length=64)),
                ("agreement_at", models.DateTimeField(blank=True, null=True)),
                ("removed_at", models.DateTimeField(blank=True, null=True)),
                ("removed_reason", models.CharField(blank=True, max_length=200)),
                (
                    "agreement_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attachments",
                        to="labcases.case",
                    ),
                ),
                (
                    "removed_by",
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
                "ordering": ("at", "id"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "photograph"), models.Q(("view", ""), _negated=True)),
                            models.Q(models.Q(("kind", "photograph"), _negated=True), ("view", "")),
                            _connector="OR",
                        ),
                        name="attachment_view_of_photograph",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("removed_at__isnull", True),
                                ("removed_by__isnull", True),
                                ("removed_reason", ""),
                            ),
                            models.Q(
                                ("removed_at__isnull", False),
                                ("removed_by__isnull", False),
                                models.Q(("removed_reason", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="attachment_removed_whole",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("agreement_at__isnull", True), ("agreement_by__isnull", True)
                            ),
                            models.Q(
                                ("agreement_at__isnull", False), ("agreement_by__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="attachment_agreement_whole",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("removed_at__isnull", True)),
                        fields=("case", "sent_sha256"),
                        name="one_attachment_per_file",
                    ),
                ],
            },
        ),
    ]
