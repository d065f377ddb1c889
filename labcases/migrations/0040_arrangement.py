"""How a tooth is set otherwise than the natural one, and photographs at lines of the log."""

from decimal import Decimal

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0039_answers_on_paper"),
    ]

    operations = [
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
                    ("set otherwise", "Tooth set otherwise than the natural one"),
                    ("cusp in fossa", "Upper lingual cusp in its lower fossa"),
                    ("reduction", "Denture tooth reduced"),
                    ("pass", "Pass with foil"),
                    ("part done", "Part of the set-up done"),
                    ("note", "Note"),
                ],
                max_length=16,
            ),
        ),
        migrations.CreateModel(
            name="ArrangementChange",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "deviation",
                    models.CharField(
                        choices=[
                            ("further forward", "Further forward"),
                            ("further back", "Further back"),
                            ("longer", "Longer"),
                            ("shorter", "Shorter"),
                            ("space", "Space beside it opened or closed"),
                            ("turned", "Turned about its long axis"),
                            ("tipped", "Tipped to the side"),
                            ("other", "Otherwise, in words"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "amount_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "amount_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "wanted_by",
                    models.CharField(
                        choices=[
                            ("prescription", "The prescription"),
                            ("technician", "The technician"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "entry",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="arrangement",
                        to="labcases.setupentry",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("amount_mm__isnull", True),
                            models.Q(
                                ("amount_mm__gte", Decimal("0.1")),
                                ("amount_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="arrangementchange_amount_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("amount_deg__isnull", True),
                            models.Q(
                                ("amount_deg__gte", Decimal("0.5")),
                                ("amount_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="arrangementchange_amount_deg_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="LinePhotograph",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
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
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photographs",
                        to="labcases.setupentry",
                    ),
                ),
                (
                    "photograph",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lines",
                        to="labcases.attachment",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("entry", "photograph"), name="one_photograph_once_a_line"
                    )
                ],
            },
        ),
    ]
