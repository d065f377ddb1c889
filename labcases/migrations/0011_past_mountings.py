"""Name casts, record and plane of a mounting, and keep the mountings before it."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0010_taken_records"),
    ]

    operations = [
        migrations.AddField(
            model_name="mounting",
            name="lower_cast",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.cast",
            ),
        ),
        migrations.AddField(
            model_name="mounting",
            name="number",
            field=models.PositiveSmallIntegerField(default=1),
        ),
        migrations.AddField(
            model_name="mounting",
            name="record",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.takenrecord",
            ),
        ),
        migrations.AddField(
            model_name="mounting",
            name="reference_plane",
            field=models.CharField(
                blank=True,
                choices=[
                    ("axis plane", "Axis plane of the articulator"),
                    ("ala-tragus plane", "Ala-tragus plane"),
                    ("occlusal plane", "Occlusal plane"),
                ],
                max_length=20,
            ),
        ),
        migrations.AddField(
            model_name="mounting",
            name="upper_cast",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.cast",
            ),
        ),
        migrations.CreateModel(
            name="PastMounting",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("casts_inspected", models.BooleanField(default=False)),
                ("cast_note", models.CharField(blank=True, max_length=200)),
                (
                    "transfer",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("arbitrary face-bow", "Arbitrary face-bow"),
                            ("kinematic face-bow", "Kinematic face-bow"),
                            ("average values", "Average values, no transfer"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "reference_plane",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("axis plane", "Axis plane of the articulator"),
                            ("ala-tragus plane", "Ala-tragus plane"),
                            ("occlusal plane", "Occlusal plane"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "jaw_record",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("maximum intercuspation", "Maximum intercuspation"),
                            ("centric relation", "Centric relation"),
                        ],
                        max_length=24,
                    ),
                ),
                ("record_medium", models.CharField(blank=True, max_length=80)),
                (
                    "pin_zero_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "verified_by_method",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("foil", "Foil held at spread points (maximum intercuspation)"),
                            ("second record", "Second record agrees"),
                            ("split cast", "Split cast closes"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "foil_pairs",
                    models.CharField(
                        blank=True,
                        help_text="Pairs that hold foil, for example 16/46, 26/36.",
                        max_length=120,
                    ),
                ),
                ("foil_points", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "agreement_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("split_cast_closes", models.BooleanField(default=False)),
                ("number", models.PositiveSmallIntegerField()),
                ("verdict", models.CharField(max_length=20)),
                (
                    "asked",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("new mounting", "New mounting"),
                            ("new record", "New jaw record"),
                        ],
                        max_length=16,
                    ),
                ),
                ("reason", models.CharField(max_length=240)),
                ("ended_at", models.DateTimeField(auto_now_add=True)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="past_mountings",
                        to="labcases.case",
                    ),
                ),
                (
                    "ended_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "lower_cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.cast",
                    ),
                ),
                (
                    "record",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.takenrecord",
                    ),
                ),
                (
                    "upper_cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.cast",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
    ]
