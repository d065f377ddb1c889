# Shared tablets and PCs of a laboratory, and PIN and badge of its people.

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0082_label_size"),
    ]

    operations = [
        migrations.CreateModel(
            name="BenchDevice",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("called", models.CharField(max_length=40)),
                ("place", models.CharField(max_length=60)),
                ("token_digest", models.CharField(max_length=64, unique=True)),
                ("registered_at", models.DateTimeField(auto_now_add=True)),
                ("stopped_at", models.DateTimeField(blank=True, null=True)),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bench_devices",
                        to="labcases.organisation",
                    ),
                ),
                (
                    "registered_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("called", "pk"),
            },
        ),
        migrations.CreateModel(
            name="BenchKey",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(choices=[("pin", "PIN"), ("badge", "badge")], max_length=10),
                ),
                ("secret_digest", models.CharField(max_length=200)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bench_keys",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("-pk",),
            },
        ),
        migrations.CreateModel(
            name="PinTries",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("wrong", models.PositiveSmallIntegerField(default=0)),
                (
                    "device",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="tries",
                        to="labcases.benchdevice",
                    ),
                ),
                (
                    "key",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="tries",
                        to="labcases.benchkey",
                    ),
                ),
            ],
        ),
        migrations.AddIndex(
            model_name="benchkey",
            index=models.Index(fields=["kind", "secret_digest"], name="bench_key_kept"),
        ),
        migrations.AddConstraint(
            model_name="benchkey",
            constraint=models.UniqueConstraint(
                condition=models.Q(("ended_at__isnull", True)),
                fields=("user", "kind"),
                name="one_bench_key_of_a_kind",
            ),
        ),
        migrations.AddConstraint(
            model_name="pintries",
            constraint=models.UniqueConstraint(
                fields=("key", "device"), name="one_count_of_pin_tries"
            ),
        ),
    ]
