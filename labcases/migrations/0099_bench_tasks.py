"""Somebody does a job of a case, on a day."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0098_bench_minutes"),
    ]

    operations = [
        migrations.CreateModel(
            name="BenchTask",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                (
                    "job",
                    models.CharField(
                        choices=[
                            ("tray", "Tray"),
                            ("cast", "Cast, base and rim"),
                            ("mounting", "Mounting and verification"),
                            ("posterior", "Posterior set-up"),
                            ("anterior", "Anterior set-up on the trimmed cast"),
                            ("wax-up", "Wax-up"),
                            ("flasking", "Flasking and packing"),
                            ("remount", "Remount"),
                            ("finishing", "Finishing"),
                        ],
                        max_length=20,
                    ),
                ),
                ("planned_on", models.DateField(blank=True, null=True, verbose_name="planned day")),
                (
                    "minutes",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="minutes at the bench"
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bench_tasks",
                        to="labcases.case",
                    ),
                ),
                (
                    "changed_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "technician",
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
                "ordering": ("pk",),
                "constraints": [
                    models.UniqueConstraint(fields=("case", "job"), name="one_bench_task_a_job"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("minutes__isnull", True),
                            models.Q(("minutes__gte", 1), ("minutes__lte", 600)),
                            _connector="OR",
                        ),
                        name="benchtask_minutes_range",
                    ),
                ],
            },
        ),
    ]
