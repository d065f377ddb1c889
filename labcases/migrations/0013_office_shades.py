"""Let an office list its shade systems, a line each."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0012_laboratory_limits"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="shade_systems",
            field=models.TextField(blank=True, max_length=4000),
        ),
    ]
