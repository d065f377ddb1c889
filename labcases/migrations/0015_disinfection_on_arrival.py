"""Keep who disinfected what leaves, and what is disinfected after it came."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0014_history_chain"),
    ]

    operations = [
        migrations.AddField(
            model_name="boxitem",
            name="disinfected_by",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.CreateModel(
            name="Disinfection",
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
                ("agent", models.CharField(max_length=80)),
                ("label_minutes", models.PositiveSmallIntegerField()),
                ("actual_minutes", models.PositiveSmallIntegerField()),
                ("done_by", models.CharField(max_length=120)),
                ("done_at", models.DateTimeField()),
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
                        related_name="disinfections",
                        to="labcases.case",
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="disinfections",
                        to="labcases.boxitem",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("actual_minutes__gte", 1), ("label_minutes__gte", 1)),
                        name="disinfection_minutes_range",
                    )
                ],
            },
        ),
    ]
