"""Time the pour of a cast of its own, where an impression was poured more than once."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0019_house_calendars"),
    ]

    operations = [
        migrations.AddField(
            model_name="cast",
            name="poured_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
    ]
