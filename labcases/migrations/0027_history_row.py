"""Keep with an entry which row changed and what stood there before, for an undo.

The column is empty for what was written before. It is added without building the table anew,
so the guard of the table stays.
"""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("labcases", "0026_stock_files")]

    operations = [
        migrations.AddField(
            model_name="historyentry",
            name="row",
            field=models.JSONField(blank=True, default=None, editable=False, null=True),
        ),
    ]
