"""Keep in which time zone a house is."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0106_healing_reason"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="time_zone",
            field=models.CharField(blank=True, max_length=64),
        ),
    ]
