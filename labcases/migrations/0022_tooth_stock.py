"""Keep the tooth stock of a laboratory, with a line for every change."""

from decimal import Decimal

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0021_signed_papers"),
    ]

    operations = [
        migrations.CreateModel(
            name="ToothSet",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("line", models.CharField(max_length=80)),
                (
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                (
                    "part",
                    models.CharField(
                        choices=[("posterior", "Posterior teeth"), ("anterior", "Anterior teeth")],
                        max_length=12,
                    ),
                ),
                ("mould", models.CharField(max_length=80)),
                ("shade", models.CharField(max_length=30)),
                (
                    "material",
                    models.CharField(
                        choices=[
                            ("resin", "Resin"),
                            ("composite", "Composite resin"),
                            ("porcelain", "Porcelain"),
                        ],
                        max_length=12,
                    ),
                ),
                ("lot", models.CharField(blank=True, max_length=60)),
                (
                    "cusp_angle_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "together_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "shell_min_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("expires_on", models.DateField(blank=True, null=True)),
                ("shelf", models.CharField(blank=True, max_length=40)),
                ("count", models.PositiveIntegerField(default=0)),
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
                    "laboratory",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="tooth_sets",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("arch", "part", "line", "mould", "shade", "material", "lot", "pk"),
            },
        ),
        migrations.CreateModel(
            name="StockLine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "act",
                    models.CharField(
                        choices=[
                            ("added", "Added"),
                            ("counted", "Counted"),
                            ("changed", "Changed"),
                            ("taken", "Taken"),
                            ("put back", "Put back"),
                            ("imported", "From a file"),
                        ],
                        max_length=12,
                    ),
                ),
                ("before", models.PositiveIntegerField()),
                ("after", models.PositiveIntegerField()),
                ("changes", models.JSONField(blank=True, default=dict)),
                ("why", models.CharField(blank=True, max_length=240)),
                ("at", models.DateTimeField(auto_now_add=True)),
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
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stock_lines",
                        to="labcases.case",
                    ),
                ),
                (
                    "tooth_set",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lines",
                        to="labcases.toothset",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.AddConstraint(
            model_name="toothset",
            constraint=models.UniqueConstraint(
                fields=("laboratory", "line", "arch", "part", "mould", "shade", "material", "lot"),
                name="one_row_per_kind_of_set",
            ),
        ),
        migrations.AddConstraint(
            model_name="toothset",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("cusp_angle_deg__isnull", True),
                    models.Q(
                        ("cusp_angle_deg__gte", Decimal("0")),
                        ("cusp_angle_deg__lte", Decimal("60")),
                    ),
                    _connector="OR",
                ),
                name="toothset_cusp_angle_deg_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="toothset",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("together_mm__isnull", True),
                    models.Q(
                        ("together_mm__gte", Decimal("15")), ("together_mm__lte", Decimal("150"))
                    ),
                    _connector="OR",
                ),
                name="toothset_together_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="toothset",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("shell_min_mm__isnull", True),
                    models.Q(
                        ("shell_min_mm__gte", Decimal("0")), ("shell_min_mm__lte", Decimal("10"))
                    ),
                    _connector="OR",
                ),
                name="toothset_shell_min_mm_range",
            ),
        ),
    ]
