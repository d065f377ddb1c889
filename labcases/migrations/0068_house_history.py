import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

from labcases.models.guard import guard_houses_statements, unguard_houses_statements


def guard(apps, schema_editor):
    for statement in guard_houses_statements(schema_editor.connection.vendor):
        schema_editor.execute(statement)


def unguard(apps, schema_editor):
    for statement in unguard_houses_statements(schema_editor.connection.vendor):
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0053_delivery"),
    ]

    operations = [
        migrations.CreateModel(
            name="HouseEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ("position", models.CharField(blank=True, max_length=100)),
                ("act", models.CharField(max_length=40)),
                ("part", models.CharField(max_length=40)),
                ("changes", models.JSONField(blank=True, default=dict)),
                ("reason", models.CharField(blank=True, max_length=200)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="house_entries",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("-id",),
                "indexes": [
                    models.Index(fields=["organisation", "-id"], name="house_entry_newest")
                ],
            },
        ),
        migrations.RunPython(guard, unguard),
    ]
