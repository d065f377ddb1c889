"""Keep what a person prescribes as a rule."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0008_organisation_profile"),
    ]

    operations = [
        migrations.CreateModel(
            name="PrescribingDefaults",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "base_material",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("heat-cured resin", "Heat-cured resin"),
                            ("cold-cured resin", "Cold-cured resin"),
                            ("injection resin", "Injection resin"),
                            ("milled resin", "Milled resin"),
                            ("printed resin", "Printed resin"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "tooth_material",
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
                ("shade_system", models.CharField(blank=True, max_length=60)),
                (
                    "scheme",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("balanced", "Balanced"),
                            ("lingualised", "Lingualised"),
                            ("group", "Group function"),
                            ("canine", "Canine guidance"),
                            ("flat", "Flat (no cusps)"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "flange",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("full flange", "Full labial flange"),
                            ("partial flange", "Partial labial flange"),
                            ("socketed", "Open face, teeth set into the sockets"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "try_in",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("wanted", "Wanted"),
                            ("waived", "Waived by the dentist"),
                            ("not possible", "Not possible on this route"),
                        ],
                        max_length=16,
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True)),
                (
                    "user",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="prescribing_defaults",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
    ]
