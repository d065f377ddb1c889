"""Shell and base of a hollow-ground tooth, and the figures of houses and tooth lines they go by."""

from decimal import Decimal

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0034_trimming"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="base_min_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="setupentry",
            name="base_mm",
            field=models.DecimalField(
                blank=True,
                decimal_places=2,
                max_digits=6,
                null=True,
                verbose_name="base under the tooth mm",
            ),
        ),
        migrations.AddField(
            model_name="setupentry",
            name="shell_left_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="toothselection",
            name="shell_min_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="toothselection",
            name="shell_over_fossa_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="toothselection",
            name="tooth_height_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
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
                    ("cusp in fossa", "Upper lingual cusp in its lower fossa"),
                    ("reduction", "Denture tooth reduced"),
                    ("pass", "Pass with foil"),
                    ("part done", "Part of the set-up done"),
                    ("note", "Note"),
                ],
                max_length=16,
            ),
        ),
        migrations.AddConstraint(
            model_name="organisation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("base_min_mm__isnull", True),
                    models.Q(
                        ("base_min_mm__gte", Decimal("0")), ("base_min_mm__lte", Decimal("10"))
                    ),
                    _connector="OR",
                ),
                name="organisation_base_min_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="setupentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("shell_left_mm__isnull", True),
                    models.Q(
                        ("shell_left_mm__gte", Decimal("0")), ("shell_left_mm__lte", Decimal("10"))
                    ),
                    _connector="OR",
                ),
                name="setupentry_shell_left_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="setupentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("base_mm__isnull", True),
                    models.Q(("base_mm__gte", Decimal("0")), ("base_mm__lte", Decimal("10"))),
                    _connector="OR",
                ),
                name="setupentry_base_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="toothselection",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("tooth_height_mm__isnull", True),
                    models.Q(
                        ("tooth_height_mm__gte", Decimal("0")),
                        ("tooth_height_mm__lte", Decimal("20")),
                    ),
                    _connector="OR",
                ),
                name="toothselection_tooth_height_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="toothselection",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("shell_over_fossa_mm__isnull", True),
                    models.Q(
                        ("shell_over_fossa_mm__gte", Decimal("0")),
                        ("shell_over_fossa_mm__lte", Decimal("10")),
                    ),
                    _connector="OR",
                ),
                name="toothselection_shell_over_fossa_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="toothselection",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("shell_min_mm__isnull", True),
                    models.Q(
                        ("shell_min_mm__gte", Decimal("0")), ("shell_min_mm__lte", Decimal("10"))
                    ),
                    _connector="OR",
                ),
                name="toothselection_shell_min_mm_range",
            ),
        ),
    ]
