"""Keep what foil leaves on each tooth of a pass, and the mark that a reduction was made for."""

import django.db.models.deletion
from django.db import migrations, models

import labcases.validators


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0035_setup_lines"),
    ]

    operations = [
        migrations.CreateModel(
            name="Mark",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "tooth",
                    models.CharField(max_length=2, validators=[labcases.validators.validate_tooth]),
                ),
                (
                    "strength",
                    models.CharField(
                        blank=True,
                        choices=[("light", "Light"), ("firm", "Firm"), ("heavy", "Heavy")],
                        max_length=8,
                    ),
                ),
                (
                    "cusps",
                    models.CharField(
                        blank=True,
                        choices=[("buccal", "Buccal"), ("lingual", "Lingual")],
                        max_length=8,
                    ),
                ),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="marks",
                        to="labcases.setupentry",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.AddField(
            model_name="setupentry",
            name="mark",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="reductions",
                to="labcases.mark",
            ),
        ),
        migrations.AddConstraint(
            model_name="mark",
            constraint=models.UniqueConstraint(
                fields=("entry", "tooth"), name="one_mark_per_tooth_and_pass"
            ),
        ),
    ]
