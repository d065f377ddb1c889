"""What was cut from the cast for front teeth: the way, and how much at each tooth."""

from decimal import Decimal

import django.db.models.deletion
from django.db import migrations, models

import labcases.validators


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0033_silent_cases"),
    ]

    operations = [
        migrations.AlterField(
            model_name="finalwax",
            name="trim_method",
            field=models.CharField(
                blank=True,
                choices=[
                    ("one by one", "One tooth at a time"),
                    ("alternate", "Every second tooth"),
                    ("side first", "One side of the arch first"),
                    ("all at once", "All teeth at once"),
                    ("socketed", "Into the sockets, open face"),
                    ("pocket depth", "To the depth of the pockets"),
                    ("staged", "In stages, from the gingival margin"),
                    ("thirds", "By thirds of the labial height"),
                    ("surgical", "As the bone will be cut at surgery"),
                    ("other", "Another way"),
                ],
                max_length=16,
            ),
        ),
        migrations.AlterField(
            model_name="setupentry",
            name="act",
            field=models.CharField(
                choices=[
                    ("base adapted", "Base adapted, stabilised and sealed"),
                    ("pin opened", "Pin opened"),
                    ("pin reading", "Pin read"),
                    ("base reduced", "Base reduced at a site"),
                    ("hollow-ground", "Tooth hollow-ground"),
                    ("cast trimmed", "Stone teeth cut and cast trimmed"),
                    ("tooth set", "Teeth set in wax"),
                    ("reduction", "Denture tooth reduced"),
                    ("pass", "Pass with foil"),
                    ("part done", "Part of the set-up done"),
                    ("note", "Note"),
                ],
                max_length=16,
            ),
        ),
        migrations.CreateModel(
            name="CastTrim",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "method",
                    models.CharField(
                        choices=[
                            ("one by one", "One tooth at a time"),
                            ("alternate", "Every second tooth"),
                            ("side first", "One side of the arch first"),
                            ("all at once", "All teeth at once"),
                            ("socketed", "Into the sockets, open face"),
                            ("pocket depth", "To the depth of the pockets"),
                            ("staged", "In stages, from the gingival margin"),
                            ("thirds", "By thirds of the labial height"),
                            ("surgical", "As the bone will be cut at surgery"),
                            ("other", "Another way"),
                        ],
                        max_length=16,
                    ),
                ),
                ("words", models.CharField(blank=True, max_length=200)),
                (
                    "entry",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="trim",
                        to="labcases.setupentry",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="ToothTrim",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "tooth",
                    models.CharField(max_length=2, validators=[labcases.validators.validate_tooth]),
                ),
                ("place", models.PositiveSmallIntegerField()),
                ("labial_mm", models.DecimalField(decimal_places=2, max_digits=6)),
                (
                    "crest_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "palatal_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("apical_third", models.BooleanField(default=False)),
                (
                    "trim",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="teeth",
                        to="labcases.casttrim",
                    ),
                ),
            ],
            options={
                "ordering": ("place",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("trim", "tooth"), name="one_trim_per_tooth_of_a_line"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("labial_mm__isnull", True),
                            models.Q(
                                ("labial_mm__gte", Decimal("0")), ("labial_mm__lte", Decimal("10"))
                            ),
                            _connector="OR",
                        ),
                        name="toothtrim_labial_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("crest_mm__isnull", True),
                            models.Q(
                                ("crest_mm__gte", Decimal("0")), ("crest_mm__lte", Decimal("10"))
                            ),
                            _connector="OR",
                        ),
                        name="toothtrim_crest_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("palatal_mm__isnull", True),
                            models.Q(
                                ("palatal_mm__gte", Decimal("0")),
                                ("palatal_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="toothtrim_palatal_mm_range",
                    ),
                ],
            },
        ),
    ]
