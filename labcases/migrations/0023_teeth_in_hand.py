"""Keep where the teeth of a case come from and whether they are here."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import labcases.validators


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0022_tooth_stock"),
    ]

    operations = [
        migrations.CreateModel(
            name="TeethSupply",
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
                (
                    "tooth",
                    models.CharField(
                        blank=True, max_length=2, validators=[labcases.validators.validate_tooth]
                    ),
                ),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("stock", "From stock"),
                            ("order", "Ordered"),
                            ("here", "Here, not from stock"),
                        ],
                        max_length=8,
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("ordered", "Ordered"),
                            ("in hand", "In hand"),
                            ("set aside", "Taken for an earlier revision"),
                            ("put back", "Put back"),
                            ("not used", "Not used"),
                            ("cancelled", "Order cancelled"),
                        ],
                        max_length=12,
                    ),
                ),
                ("line", models.CharField(blank=True, max_length=80)),
                ("mould", models.CharField(blank=True, max_length=80)),
                ("shade", models.CharField(blank=True, max_length=30)),
                (
                    "material",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("resin", "Resin"),
                            ("composite", "Composite resin"),
                            ("porcelain", "Porcelain"),
                        ],
                        max_length=12,
                    ),
                ),
                ("lot", models.CharField(blank=True, max_length=120)),
                ("supplier", models.CharField(blank=True, max_length=80)),
                ("ordered_on", models.DateField(blank=True, null=True)),
                ("lead_days", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("arrived_on", models.DateField(blank=True, null=True)),
                ("counted", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("differences", models.CharField(blank=True, max_length=200)),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("ended_why", models.CharField(blank=True, max_length=240)),
                ("revision", models.PositiveIntegerField(default=1)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="tooth_supplies",
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
                    "tooth_set",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="supplies",
                        to="labcases.toothset",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.AddConstraint(
            model_name="teethsupply",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state__in", ("ordered", "in hand"))),
                fields=("case", "arch", "part", "tooth"),
                name="one_standing_supply_per_part",
            ),
        ),
    ]
