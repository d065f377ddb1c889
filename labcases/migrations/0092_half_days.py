"""Keep on which weekdays and single days a house is open for half the day."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0091_house_days"),
    ]

    operations = [
        migrations.AddField(
            model_name="organisation",
            name="half_weekdays",
            field=models.CharField(blank=True, max_length=7),
        ),
        migrations.AlterField(
            model_name="houseday",
            name="kind",
            field=models.CharField(
                choices=[
                    ("closed", "closed"),
                    ("open", "open all the same"),
                    ("half", "open half the day"),
                ],
                default="closed",
                max_length=10,
            ),
        ),
    ]
