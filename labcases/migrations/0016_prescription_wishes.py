"""Ask on a prescription how the articulator is set, what comes back, and what follows."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0015_disinfection_on_arrival"),
    ]

    operations = [
        migrations.AddField(
            model_name="prescription",
            name="characterisation",
            field=models.CharField(blank=True, max_length=300),
        ),
        migrations.AddField(
            model_name="prescription",
            name="reline_plan",
            field=models.CharField(
                blank=True,
                choices=[
                    ("reline", "A reline when the ridge has settled"),
                    ("new denture", "A new denture in its place"),
                    ("at the reviews", "Decided at the reviews"),
                ],
                max_length=16,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="return_casts",
            field=models.BooleanField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="settings_text",
            field=models.CharField(blank=True, max_length=300),
        ),
        migrations.AddField(
            model_name="prescription",
            name="settings_wish",
            field=models.CharField(
                blank=True,
                choices=[
                    ("average values", "Average values, as the laboratory uses them"),
                    ("from the records", "From the check records that come along"),
                    ("as written", "As written below"),
                ],
                max_length=20,
            ),
        ),
    ]
