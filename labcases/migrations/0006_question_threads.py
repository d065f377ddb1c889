"""Give every question a thread, and everybody a marker of how far it was read."""

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


def begin_threads(apps, schema_editor):
    """An answer that was given becomes the first entry of its thread."""
    entries = apps.get_model("labcases", "QuestionEntry").objects
    for row in apps.get_model("labcases", "Question").objects.all():
        row.asked_from = "laboratory" if row.waits_for == "office" else "office"
        row.waiting_since = row.asked_at
        if row.answered_at:
            row.said = 1
            entries.create(
                question=row,
                number=1,
                kind="answer",
                text=row.answer,
                by_id=row.answered_by_id,
                at=row.answered_at,
            )
        row.save(update_fields=["asked_from", "waiting_since", "said"])


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0005_callipers"),
    ]

    operations = [
        migrations.AddField(
            model_name="question",
            name="asked_from",
            field=models.CharField(
                choices=[("office", "Office"), ("laboratory", "Laboratory")],
                default="laboratory",
                max_length=12,
            ),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="question",
            name="blocking",
            field=models.BooleanField(default=True),
        ),
        migrations.AddField(
            model_name="question",
            name="box",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="questions",
                to="labcases.box",
            ),
        ),
        migrations.AddField(
            model_name="question",
            name="closed_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="question",
            name="closed_by",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="question",
            name="revision",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="questions",
                to="labcases.prescription",
            ),
        ),
        migrations.AddField(
            model_name="question",
            name="said",
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.AddField(
            model_name="question",
            name="tooth",
            field=models.CharField(blank=True, max_length=2),
        ),
        migrations.AddField(
            model_name="question",
            name="waiting_since",
            field=models.DateTimeField(default=django.utils.timezone.now),
            preserve_default=False,
        ),
        migrations.CreateModel(
            name="QuestionEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.PositiveIntegerField()),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("answer", "Answer"),
                            ("asked again", "Asked again"),
                            ("remark", "Remark"),
                            ("revision", "Revision begun"),
                        ],
                        max_length=12,
                    ),
                ),
                ("text", models.TextField(blank=True, max_length=1000)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "question",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="entries",
                        to="labcases.question",
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.prescription",
                    ),
                ),
            ],
            options={
                "ordering": ("question", "number"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("question", "number"), name="one_entry_per_place_in_a_thread"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="QuestionRead",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("said", models.PositiveIntegerField()),
                ("at", models.DateTimeField(auto_now=True)),
                (
                    "question",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reads",
                        to="labcases.question",
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("question", "user"), name="one_marker_per_reader"
                    )
                ],
            },
        ),
        migrations.RunPython(begin_threads, migrations.RunPython.noop),
    ]
