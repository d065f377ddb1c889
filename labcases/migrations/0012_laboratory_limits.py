"""Let a laboratory set what its mountings are verified by, and keep past verdicts in words."""

from decimal import Decimal

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0011_past_mountings"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="foil_um",
            field=models.PositiveSmallIntegerField(default=8),
        ),
        migrations.AddField(
            model_name="organisation",
            name="records_agree_mm",
            field=models.DecimalField(decimal_places=2, default=Decimal("0.3"), max_digits=6),
        ),
        migrations.AddField(
            model_name="pastmounting",
            name="said",
            field=models.CharField(blank=True, max_length=400),
        ),
        migrations.AddConstraint(
            model_name="organisation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("records_agree_mm__isnull", True),
                    models.Q(
                        ("records_agree_mm__gte", Decimal("0.05")),
                        ("records_agree_mm__lte", Decimal("1")),
                    ),
                    _connector="OR",
                ),
                name="organisation_records_agree_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="organisation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("foil_um__isnull", True),
                    models.Q(("foil_um__gte", Decimal("5")), ("foil_um__lte", Decimal("40"))),
                    _connector="OR",
                ),
                name="organisation_foil_um_range",
            ),
        ),
    ]
