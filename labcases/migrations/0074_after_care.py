"""Let an office enter its telephone for emergencies, and a text of its own for patients."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0077_complaints"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="emergency_telephone",
            field=models.CharField(
                blank=True, max_length=40, verbose_name="telephone for emergencies"
            ),
        ),
        migrations.AddField(
            model_name="organisation",
            name="after_care",
            field=models.TextField(blank=True, max_length=6000, verbose_name="after-care text"),
        ),
    ]
