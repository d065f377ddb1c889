# Which mail each person wants.

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0099_bench_tasks"),
    ]

    operations = [
        migrations.AddField(
            model_name="user",
            name="mail_choice",
            field=models.CharField(
                choices=[
                    ("urgent and digest", "Urgent mail, and one digest a day"),
                    ("digest", "One digest a day"),
                    ("none", "No mail"),
                ],
                default="urgent and digest",
                max_length=20,
            ),
        ),
    ]
