"""Let a day, a try-in and a final wax rest on a signed paper."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0029_linked_cases"),
    ]

    operations = [
        migrations.AddField(
            model_name="case",
            name="surgery_paper",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.signedpaper",
            ),
        ),
        migrations.AddField(
            model_name="finalwax",
            name="paper",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.signedpaper",
            ),
        ),
        migrations.AddField(
            model_name="tryin",
            name="paper",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.signedpaper",
            ),
        ),
    ]
