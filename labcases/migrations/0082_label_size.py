"""A laboratory has labels of a size, both edges or none."""

from decimal import Decimal

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0087_delivery_on_paper"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="label_height_mm",
            field=models.PositiveSmallIntegerField(
                blank=True, null=True, verbose_name="height of labels, mm"
            ),
        ),
        migrations.AddField(
            model_name="organisation",
            name="label_width_mm",
            field=models.PositiveSmallIntegerField(
                blank=True, null=True, verbose_name="width of labels, mm"
            ),
        ),
        migrations.AddConstraint(
            model_name="organisation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("label_width_mm__isnull", True),
                    models.Q(
                        ("label_width_mm__gte", Decimal("25")),
                        ("label_width_mm__lte", Decimal("150")),
                    ),
                    _connector="OR",
                ),
                name="organisation_label_width_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="organisation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("label_height_mm__isnull", True),
                    models.Q(
                        ("label_height_mm__gte", Decimal("25")),
                        ("label_height_mm__lte", Decimal("150")),
                    ),
                    _connector="OR",
                ),
                name="organisation_label_height_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="organisation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("label_height_mm__isnull", True), ("label_width_mm__isnull", True)),
                    models.Q(("label_height_mm__isnull", False), ("label_width_mm__isnull", False)),
                    _connector="OR",
                ),
                name="organisation_label_has_both_edges",
            ),
        ),
    ]
