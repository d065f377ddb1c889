"""Cases about which nothing leaves by itself any more."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0032_taken_back"),
    ]

    operations = [
        migrations.AddField(
            model_name="case",
            name="silent",
            field=models.BooleanField(default=False),
        ),
    ]
