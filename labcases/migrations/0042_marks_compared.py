"""Keep what marks of foil say against the prediction, and what was decided about it."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0041_try_in_measured"),
    ]

    operations = [
        migrations.CreateModel(
            name="MarksCompared",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("inputs", models.JSONField()),
                ("inputs_digest", models.CharField(max_length=64)),
                ("findings", models.JSONField()),
                ("engine_version", models.CharField(max_length=20)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "decision",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("proposed", "Proposed to the dentist"),
                            ("left", "Left"),
                        ],
                        max_length=12,
                    ),
                ),
                ("decided_at", models.DateTimeField(blank=True, null=True)),
                ("reason", models.CharField(blank=True, max_length=200)),
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
                        related_name="marks_compared",
                        to="labcases.case",
                    ),
                ),
                (
                    "decided_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "proposal",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.proposal",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("decision", "left"), _negated=True),
                            models.Q(("reason", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="marks_left_with_a_reason",
                    )
                ],
            },
        ),
    ]
