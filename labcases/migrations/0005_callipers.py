"""Read teeth of both arches by callipers: cusps, widths, heights, in the place of facets."""

from decimal import Decimal

from django.db import migrations, models


def keep_facets(apps, schema_editor):
    """What was read of the facets of a tooth stands as its cusp angle: the steepest of them.

    The readings themselves stay in the history of the case.
    """
    for row in apps.get_model("labcases", "SiteMeasure").objects.all():
        read = [row.protrusive_facet_deg, row.working_facet_deg, row.balancing_facet_deg]
        read = [angle for angle in read if angle is not None]
        if read:
            row.cusp_angle_deg = max(read)
            row.save(update_fields=["cusp_angle_deg"])


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0004_selection_measures"),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name="sitemeasure",
            name="sitemeasure_protrusive_facet_deg_range",
        ),
        migrations.RemoveConstraint(
            model_name="sitemeasure",
            name="sitemeasure_working_facet_deg_range",
        ),
        migrations.RemoveConstraint(
            model_name="sitemeasure",
            name="sitemeasure_balancing_facet_deg_range",
        ),
        migrations.AddField(
            model_name="sitemeasure",
            name="buccolingual_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="sitemeasure",
            name="cusp_angle_deg",
            field=models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
        ),
        migrations.AddField(
            model_name="sitemeasure",
            name="mesiodistal_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="sitemeasure",
            name="tilt_deg",
            field=models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
        ),
        migrations.AddField(
            model_name="sitemeasure",
            name="tip_height_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="sitemeasure",
            name="tip_separation_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.RunPython(keep_facets, migrations.RunPython.noop),
        migrations.RemoveField(
            model_name="sitemeasure",
            name="balancing_facet_deg",
        ),
        migrations.RemoveField(
            model_name="sitemeasure",
            name="protrusive_facet_deg",
        ),
        migrations.RemoveField(
            model_name="sitemeasure",
            name="working_facet_deg",
        ),
        migrations.AddConstraint(
            model_name="sitemeasure",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("cusp_angle_deg__isnull", True),
                    models.Q(
                        ("cusp_angle_deg__gte", Decimal("0")),
                        ("cusp_angle_deg__lte", Decimal("60")),
                    ),
                    _connector="OR",
                ),
                name="sitemeasure_cusp_angle_deg_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="sitemeasure",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("tip_separation_mm__isnull", True),
                    models.Q(
                        ("tip_separation_mm__gte", Decimal("1")),
                        ("tip_separation_mm__lte", Decimal("12")),
                    ),
                    _connector="OR",
                ),
                name="sitemeasure_tip_separation_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="sitemeasure",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("mesiodistal_mm__isnull", True),
                    models.Q(
                        ("mesiodistal_mm__gte", Decimal("3")),
                        ("mesiodistal_mm__lte", Decimal("15")),
                    ),
                    _connector="OR",
                ),
                name="sitemeasure_mesiodistal_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="sitemeasure",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("buccolingual_mm__isnull", True),
                    models.Q(
                        ("buccolingual_mm__gte", Decimal("3")),
                        ("buccolingual_mm__lte", Decimal("15")),
                    ),
                    _connector="OR",
                ),
                name="sitemeasure_buccolingual_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="sitemeasure",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("tip_height_mm__isnull", True),
                    models.Q(
                        ("tip_height_mm__gte", Decimal("-8")), ("tip_height_mm__lte", Decimal("8"))
                    ),
                    _connector="OR",
                ),
                name="sitemeasure_tip_height_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="sitemeasure",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("tilt_deg__isnull", True),
                    models.Q(("tilt_deg__gte", Decimal("-30")), ("tilt_deg__lte", Decimal("30"))),
                    _connector="OR",
                ),
                name="sitemeasure_tilt_deg_range",
            ),
        ),
    ]
