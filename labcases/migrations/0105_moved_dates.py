"""Dates that one house moved, until the other one has seen them."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0092_half_days"),
    ]

    operations = [
        migrations.CreateModel(
            name="DateMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("what", models.CharField(max_length=30)),
                ("before", models.DateField(blank=True, null=True)),
                ("after", models.DateField(blank=True, null=True)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "told",
                    models.CharField(
                        choices=[("office", "Office"), ("laboratory", "Laboratory")], max_length=12
                    ),
                ),
                ("seen_at", models.DateTimeField(blank=True, null=True)),
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
                        related_name="date_moves",
                        to="labcases.case",
                    ),
                ),
                (
                    "seen_by",
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
                "indexes": [
                    models.Index(
                        condition=models.Q(("seen_at", None)), fields=["case"], name="unseen"
                    )
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("seen_at__isnull", True), ("seen_by__isnull", True)),
                            models.Q(("seen_at__isnull", False), ("seen_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="datemove_seen_by_somebody",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("after__isnull", True), ("before__isnull", True), _negated=True
                        ),
                        name="datemove_changes_something",
                    ),
                ],
            },
        ),
    ]
