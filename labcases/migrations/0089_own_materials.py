# The materials that a laboratory keeps a list of.


import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0105_moved_dates"),
    ]

    operations = [
        migrations.CreateModel(
            name="OwnMaterial",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("called", models.CharField(max_length=120, verbose_name="name")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("base", "Denture base"),
                            ("liner", "Liner"),
                            ("repair", "Tooth repair"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "technique",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("flask and bath", "Flask and water bath"),
                            ("injection", "Injection"),
                            ("pour", "Pour"),
                            ("milled", "Milled"),
                            ("printed", "Printed"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "monomer",
                    models.CharField(
                        choices=[
                            ("yes", "Contains monomer"),
                            ("no", "Contains no monomer"),
                            ("unsaid", "The label does not say"),
                        ],
                        max_length=8,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
                ("stopped_at", models.DateTimeField(blank=True, null=True)),
                (
                    "stopped_why",
                    models.CharField(
                        blank=True, max_length=200, verbose_name="why it is used no more"
                    ),
                ),
                (
                    "changed_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "laboratory",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="own_materials",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("kind", "called", "pk"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("laboratory", "called"), name="one_row_per_own_material"
                    )
                ],
            },
        ),
    ]
