"""Keep impressions, casts, their inspections, and what is made on them."""

from decimal import Decimal

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0008_prescription_content"),
    ]

    operations = [
        migrations.CreateModel(
            name="Cast",
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
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("study", "Study cast"),
                            ("master", "Master cast"),
                            ("working", "Working cast"),
                            ("opposing", "Opposing cast"),
                            ("duplicate", "Duplicate"),
                            ("trimmed", "Trimmed cast"),
                        ],
                        max_length=12,
                    ),
                ),
                ("gypsum", models.CharField(blank=True, max_length=8)),
                ("product", models.CharField(blank=True, max_length=80)),
                (
                    "water_ml",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=6, null=True),
                ),
                (
                    "powder_g",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=6, null=True),
                ),
                (
                    "set_minutes",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                ("separated_minutes", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("poured_by", models.CharField(blank=True, max_length=80)),
                ("lot", models.CharField(blank=True, max_length=60)),
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
                        related_name="casts",
                        to="labcases.case",
                    ),
                ),
                (
                    "made_from",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="made",
                        to="labcases.cast",
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
            },
        ),
        migrations.CreateModel(
            name="CastLook",
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
                ("bubbles", models.BooleanField(default=False)),
                ("chipped", models.BooleanField(default=False)),
                ("rocks", models.BooleanField(default=False)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("good", "Good"),
                            ("mended", "Mended"),
                            ("broken", "Broken: a new one is needed"),
                        ],
                        max_length=8,
                    ),
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
                        related_name="cast_looks",
                        to="labcases.case",
                    ),
                ),
                (
                    "cast",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="looks",
                        to="labcases.cast",
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
            },
        ),
        migrations.CreateModel(
            name="Impression",
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
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                ("material", models.CharField(max_length=32)),
                ("product", models.CharField(blank=True, max_length=80)),
                ("tray", models.CharField(blank=True, max_length=80)),
                ("taken_at", models.DateTimeField()),
                ("poured_at", models.DateTimeField(blank=True, null=True)),
                ("label_earliest_minutes", models.PositiveIntegerField(blank=True, null=True)),
                ("label_latest_minutes", models.PositiveIntegerField(blank=True, null=True)),
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
                        related_name="impressions",
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
            },
        ),
        migrations.AddField(
            model_name="cast",
            name="impression",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="casts",
                to="labcases.impression",
            ),
        ),
        migrations.CreateModel(
            name="Piece",
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
                            ("custom tray", "Custom tray"),
                            ("record base", "Record base"),
                            ("rim", "Record base with rim"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                ("design", models.CharField(blank=True, max_length=80)),
                ("material", models.CharField(blank=True, max_length=80)),
                (
                    "front_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "back_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("lot", models.CharField(blank=True, max_length=60)),
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
                        related_name="pieces",
                        to="labcases.case",
                    ),
                ),
                (
                    "cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="pieces",
                        to="labcases.cast",
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
            },
        ),
        migrations.AddConstraint(
            model_name="impression",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("poured_at__isnull", True),
                    ("poured_at__gte", models.F("taken_at")),
                    _connector="OR",
                ),
                name="impression_poured_after_taken",
            ),
        ),
        migrations.AddConstraint(
            model_name="cast",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("water_ml__isnull", True),
                    models.Q(("water_ml__gte", Decimal("1")), ("water_ml__lte", Decimal("2000"))),
                    _connector="OR",
                ),
                name="cast_water_ml_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="cast",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("powder_g__isnull", True),
                    models.Q(("powder_g__gte", Decimal("1")), ("powder_g__lte", Decimal("5000"))),
                    _connector="OR",
                ),
                name="cast_powder_g_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="cast",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("set_minutes__isnull", True),
                    models.Q(
                        ("set_minutes__gte", Decimal("0.5")), ("set_minutes__lte", Decimal("240"))
                    ),
                    _connector="OR",
                ),
                name="cast_set_minutes_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="piece",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("front_mm__isnull", True),
                    models.Q(("front_mm__gte", Decimal("0")), ("front_mm__lte", Decimal("40"))),
                    _connector="OR",
                ),
                name="piece_front_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="piece",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("back_mm__isnull", True),
                    models.Q(("back_mm__gte", Decimal("0")), ("back_mm__lte", Decimal("40"))),
                    _connector="OR",
                ),
                name="piece_back_mm_range",
            ),
        ),
    ]
