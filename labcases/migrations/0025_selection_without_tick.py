"""A tooth selection says what was chosen; what is here stands in rows of its own."""

from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0024_ticked_teeth"),
    ]

    operations = [
        migrations.RemoveField(
            model_name="toothselection",
            name="in_hand",
        ),
        migrations.RemoveField(
            model_name="toothselection",
            name="lots",
        ),
    ]
