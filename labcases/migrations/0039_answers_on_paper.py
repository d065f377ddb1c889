"""Keep the answer to a proposal as something that a signed paper says."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0038_proposals"),
    ]

    operations = [
        migrations.AlterField(
            model_name="signedpaper",
            name="says",
            field=models.CharField(
                choices=[
                    ("prescription", "Prescription"),
                    ("surgery day", "Surgery day confirmed"),
                    ("try-in", "Outcome of the try-in"),
                    ("waiver of the try-in", "Waiver of the try-in"),
                    ("final wax", "Approval of final wax and trimming"),
                    ("gate", "Going on without what is open"),
                    ("proposal", "Answer to a proposal"),
                ],
                max_length=24,
            ),
        ),
    ]
