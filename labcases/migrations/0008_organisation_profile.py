"""Let an organisation choose the profile of its place."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0007_attachment"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="profile",
            field=models.CharField(blank=True, max_length=20),
        ),
    ]
