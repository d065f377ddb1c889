"""Keep boxes that are lost, not ours or came unannounced, and what differences turned out to be."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0027_history_row"),
    ]

    operations = [
        migrations.AddField(
            model_name="box",
            name="announced",
            field=models.BooleanField(default=True),
        ),
        migrations.AddField(
            model_name="box",
            name="tracking",
            field=models.CharField(blank=True, max_length=80, verbose_name="tracking number"),
        ),
        migrations.AddField(
            model_name="box",
            name="trouble",
            field=models.CharField(
                blank=True,
                choices=[("lost", "Lost"), ("not ours", "Not ours, or of another case")],
                max_length=12,
            ),
        ),
        migrations.AddField(
            model_name="box",
            name="trouble_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="box",
            name="trouble_by",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="box",
            name="trouble_note",
            field=models.CharField(blank=True, max_length=200),
        ),
        migrations.AddField(
            model_name="box",
            name="turned_up_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.CreateModel(
            name="Settlement",
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
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("found", "Found after all"),
                            ("never packed", "Never packed: the sender still has it"),
                            ("lost", "Lost"),
                            ("not listed", "Packed, and not written on the list"),
                            ("miscounted", "Counted wrong: the list is right"),
                        ],
                        max_length=16,
                    ),
                ),
                ("note", models.CharField(max_length=200)),
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
                        related_name="settlements",
                        to="labcases.case",
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="settlements",
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
            },
        ),
    ]
