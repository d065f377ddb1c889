"""Keep jaw records as they were taken."""

from decimal import Decimal

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0009_impressions_and_casts"),
    ]

    operations = [
        migrations.CreateModel(
            name="TakenRecord",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("maximum intercuspation", "Maximum intercuspation"),
                            ("centric relation", "Centric relation"),
                            ("protrusive", "Protrusive"),
                            ("right lateral", "Right lateral"),
                            ("left lateral", "Left lateral"),
                        ],
                        max_length=24,
                    ),
                ),
                ("material", models.CharField(blank=True, max_length=80)),
                ("taken_at", models.DateTimeField()),
                ("taken_by", models.CharField(max_length=80)),
                (
                    "vertical_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="taken_records",
                        to="labcases.case",
                    ),
                ),
                (
                    "struck_by",
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
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("vertical_mm__isnull", True),
                            models.Q(
                                ("vertical_mm__gte", Decimal("20")),
                                ("vertical_mm__lte", Decimal("120")),
                            ),
                            _connector="OR",
                        ),
                        name="takenrecord_vertical_mm_range",
                    )
                ],
            },
        ),
    ]
