"""Keep when a house is open, and how long a box is on the road."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0018_opponent_of_old_charts"),
    ]

    operations = [
        migrations.CreateModel(
            name="ClosedDay",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on", models.DateField()),
                ("reason", models.CharField(max_length=80)),
                ("at", models.DateTimeField(auto_now_add=True)),
            ],
            options={
                "ordering": ("on",),
            },
        ),
        migrations.AddField(
            model_name="officelink",
            name="road_days",
            field=models.PositiveSmallIntegerField(default=1),
        ),
        migrations.AddField(
            model_name="officelink",
            name="road_set_by",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="officelink",
            name="road_set_side",
            field=models.CharField(
                blank=True,
                choices=[("office", "Office"), ("laboratory", "Laboratory")],
                max_length=12,
            ),
        ),
        migrations.AddField(
            model_name="organisation",
            name="open_weekdays",
            field=models.CharField(default="12345", max_length=7),
        ),
        migrations.AddConstraint(
            model_name="officelink",
            constraint=models.CheckConstraint(
                condition=models.Q(("road_days__lte", 20)), name="officelink_road_days_range"
            ),
        ),
        migrations.AddField(
            model_name="closedday",
            name="by",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="closedday",
            name="organisation",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="closed_days",
                to="labcases.organisation",
            ),
        ),
        migrations.AddConstraint(
            model_name="closedday",
            constraint=models.UniqueConstraint(
                fields=("organisation", "on"), name="one_closing_per_day"
            ),
        ),
    ]
