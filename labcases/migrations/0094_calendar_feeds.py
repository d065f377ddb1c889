# Calendar feeds of a person, and what each of them has told.

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0090_complaints_struck_out"),
    ]

    operations = [
        migrations.CreateModel(
            name="CalendarFeed",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("called", models.CharField(max_length=40)),
                ("kinds", models.JSONField(default=list)),
                ("token_digest", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("expires_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("last_fetched_at", models.DateTimeField(blank=True, null=True)),
                (
                    "organisation",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.organisation",
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="calendar_feeds",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("-pk",),
            },
        ),
        migrations.CreateModel(
            name="FeedEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("uid", models.CharField(max_length=100)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("jaw records", "Jaw records"),
                            ("try-in", "Try-in"),
                            ("surgery", "Surgery"),
                            ("delivery", "Delivery to the office"),
                            ("review", "Reviews"),
                            ("latest days", "Latest days of the plan"),
                        ],
                        max_length=20,
                    ),
                ),
                ("summary", models.CharField(max_length=120)),
                ("on", models.DateField()),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("tentative", "Tentative"),
                            ("confirmed", "Confirmed"),
                            ("cancelled", "Cancelled"),
                        ],
                        max_length=12,
                    ),
                ),
                ("sequence", models.PositiveIntegerField(default=0)),
                ("changed_at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "feed",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="entries",
                        to="labcases.calendarfeed",
                    ),
                ),
            ],
            options={
                "ordering": ("on", "uid"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("feed", "uid"), name="one_entry_per_feed_and_uid"
                    )
                ],
            },
        ),
    ]
