from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0046_approved_trims"),
    ]

    operations = [
        migrations.AddField(
            model_name="mark",
            name="in_excursions",
            field=models.CharField(
                blank=True,
                choices=[
                    ("yes", "Yes, it marks there too"),
                    ("no", "No, only in centric"),
                    ("not known", "Not known yet"),
                ],
                default="",
                max_length=12,
            ),
            preserve_default=False,
        ),
    ]
