"""The office records how the denture came, the surgery as it was, and the delivery."""

from decimal import Decimal

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import labcases.validators


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0052_device_statement"),
    ]

    operations = [
        migrations.RenameModel("DeliveryReport", "Delivery"),
        migrations.AddField("delivery", "reported", models.BooleanField(default=True)),
        migrations.AddField("delivery", "answers", models.JSONField(blank=True, default=dict)),
        migrations.AddField("delivery", "words", models.JSONField(blank=True, default=dict)),
        migrations.AddField(
            "delivery",
            "vertical_rest_mm",
            models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            "delivery",
            "vertical_mm",
            models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField("delivery", "centric", models.JSONField(blank=True, default=list)),
        migrations.AddField(
            "delivery",
            "adjusted",
            models.JSONField(
                blank=True,
                default=list,
                validators=[labcases.validators.validate_tooth_list],
            ),
        ),
        migrations.AddField(
            "delivery",
            "adjusted_words",
            models.CharField(blank=True, max_length=300, verbose_name="how they were adjusted"),
        ),
        migrations.AddField(
            "delivery",
            "relieved",
            models.CharField(
                blank=True, max_length=300, verbose_name="relieved on the fitting surface"
            ),
        ),
        migrations.AddField(
            "delivery",
            "liner_kind",
            models.CharField(
                blank=True,
                choices=[
                    ("none", "Nothing"),
                    ("tissue conditioner", "Tissue conditioner"),
                    ("soft liner", "Soft liner"),
                ],
                max_length=24,
            ),
        ),
        migrations.AddField(
            "delivery", "liner_product", models.CharField(blank=True, max_length=80)
        ),
        migrations.AddField("delivery", "liner_lot", models.CharField(blank=True, max_length=80)),
        migrations.AddField("delivery", "liner_placed_on", models.DateField(blank=True, null=True)),
        migrations.AddField(
            "delivery",
            "liner_until",
            models.DateField(blank=True, null=True, verbose_name="liner looked at or changed by"),
        ),
        migrations.AddField(
            "delivery",
            "first_check_on",
            models.DateField(blank=True, null=True, verbose_name="first check booked for"),
        ),
        migrations.AddField("delivery", "done_at", models.DateTimeField(null=True)),
        migrations.AddField(
            "delivery",
            "done_by",
            models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            "delivery",
            "paper",
            models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.signedpaper",
            ),
        ),
        migrations.CreateModel(
            name="ArrivalCheck",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("answers", models.JSONField(blank=True, default=dict)),
                ("words", models.JSONField(blank=True, default=dict)),
                ("done_at", models.DateTimeField(null=True)),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="arrival",
                        to="labcases.case",
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
                    "done_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "paper",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.signedpaper",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Surgery",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                (
                    "held_on",
                    models.DateField(blank=True, null=True, verbose_name="day of the surgery"),
                ),
                (
                    "teeth_out",
                    models.JSONField(
                        blank=True,
                        default=list,
                        validators=[labcases.validators.validate_tooth_list],
                    ),
                ),
                (
                    "why_otherwise",
                    models.CharField(blank=True, max_length=300, verbose_name="why other teeth"),
                ),
                (
                    "template_use",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("used", "Used, and what blanched was relieved"),
                            ("not used", "Came with the denture, and was not used"),
                            ("none", "None came with the denture"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "template_words",
                    models.CharField(blank=True, max_length=300, verbose_name="where it blanched"),
                ),
                ("bone_changed", models.BooleanField(null=True)),
                (
                    "bone_words",
                    models.CharField(
                        blank=True, max_length=300, verbose_name="where bone was changed"
                    ),
                ),
                ("note", models.TextField(blank=True, max_length=1000)),
                ("done_at", models.DateTimeField(null=True)),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="surgery",
                        to="labcases.case",
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
                    "done_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "paper",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.signedpaper",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.AddConstraint(
            model_name="delivery",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("vertical_rest_mm__isnull", True),
                    models.Q(
                        ("vertical_rest_mm__gte", Decimal("20")),
                        ("vertical_rest_mm__lte", Decimal("120")),
                    ),
                    _connector="OR",
                ),
                name="delivery_vertical_rest_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="delivery",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("vertical_mm__isnull", True),
                    models.Q(
                        ("vertical_mm__gte", Decimal("20")), ("vertical_mm__lte", Decimal("120"))
                    ),
                    _connector="OR",
                ),
                name="delivery_vertical_mm_range",
            ),
        ),
    ]
