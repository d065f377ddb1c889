"""Ask what the denture meets as a whole, and how far natural teeth stand out of the plane."""

from django.db import migrations, models

import labcases.validators


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0016_prescription_wishes"),
    ]

    operations = [
        migrations.AddField(
            model_name="prescription",
            name="opponent",
            field=models.CharField(
                blank=True,
                choices=[
                    ("natural teeth", "Natural teeth"),
                    ("natural front teeth", "Natural front teeth only"),
                    ("partial denture worn", "Natural teeth and a partial denture that is worn"),
                    (
                        "partial denture being made",
                        "Natural teeth and a partial denture that is being made",
                    ),
                    ("complete denture worn", "A complete denture that is worn"),
                    ("complete denture being made", "A complete denture that is being made"),
                    ("nothing", "No tooth and no denture"),
                ],
                max_length=28,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="over_eruption_by",
            field=models.CharField(
                blank=True,
                choices=[
                    ("flat plate on the cast", "Callipers and a flat plate, on the cast"),
                    ("mounted cast", "On the mounted cast, against the plane of the articulator"),
                    ("straight edge in the mouth", "A straight edge in the mouth"),
                    ("by eye", "Estimated by eye"),
                ],
                max_length=28,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="over_eruption_mm",
            field=models.JSONField(
                blank=True, default=dict, validators=[labcases.validators.validate_over_eruption]
            ),
        ),
    ]
