"""Keep whose public holidays a house keeps, and on which of them it works all the same."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0100_days_of_work"),
    ]

    operations = [
        migrations.RemoveConstraint(model_name="closedday", name="one_closing_per_day"),
        migrations.RenameModel(old_name="ClosedDay", new_name="HouseDay"),
        migrations.AlterField(
            model_name="houseday",
            name="organisation",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="days",
                to="labcases.organisation",
            ),
        ),
        migrations.AddField(
            model_name="houseday",
            name="kind",
            field=models.CharField(
                choices=[("closed", "closed"), ("open", "open all the same")],
                default="closed",
                max_length=10,
            ),
        ),
        migrations.AddConstraint(
            model_name="houseday",
            constraint=models.UniqueConstraint(
                fields=("organisation", "on"), name="one_house_day_per_day"
            ),
        ),
        migrations.AddField(
            model_name="organisation",
            name="holiday_region",
            field=models.CharField(blank=True, max_length=12),
        ),
    ]
