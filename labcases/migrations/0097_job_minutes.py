"""A laboratory has minutes of its own for the jobs at its bench."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0101_desk_rows"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="job_minutes",
            field=models.JSONField(blank=True, default=dict),
        ),
    ]
