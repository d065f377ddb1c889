"""Why a dentist goes on after less than three weeks of healing."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0094_calendar_feeds"),
    ]

    operations = [
        migrations.AddField(
            model_name="prescription",
            name="healing_reason",
            field=models.CharField(
                blank=True, max_length=300, verbose_name="why so little healing"
            ),
        ),
    ]
