"""Answers and verdicts that count no longer although nothing that they stand on changed."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0031_incidents"),
    ]

    operations = [
        migrations.AddField(
            model_name="checkrun",
            name="taken_back",
            field=models.CharField(blank=True, max_length=200),
        ),
        migrations.AddField(
            model_name="tryin",
            name="taken_back",
            field=models.CharField(blank=True, max_length=200),
        ),
    ]
