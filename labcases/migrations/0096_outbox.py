# Mail that was decided: a row is written before its mail leaves.

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0095_mail_choice"),
    ]

    operations = [
        migrations.CreateModel(
            name="Reminder",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[("urgent", "Urgent mail"), ("digest", "Digest")], max_length=10
                    ),
                ),
                ("key", models.CharField(max_length=60)),
                ("day", models.DateField()),
                ("message_id", models.CharField(max_length=200, unique=True)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("leaving", "Not known whether it left"),
                            ("sent", "Sent"),
                            ("refused", "Did not leave; tried again with the next run"),
                        ],
                        default="leaving",
                        max_length=10,
                    ),
                ),
                ("leaving_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("tries", models.PositiveSmallIntegerField(default=1)),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reminders",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("-pk",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("user", "kind", "key"), name="one_mail_per_person_and_key"
                    )
                ],
            },
        ),
    ]
