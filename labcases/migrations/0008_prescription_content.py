"""Ask on a prescription for verticals, pockets, photographs, post-dam, marks and wishes."""

from decimal import Decimal

from django.db import migrations, models

import labcases.validators


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0008_prescribing_defaults"),
    ]

    operations = [
        migrations.AddField(
            model_name="prescription",
            name="canine_lines_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="central_length_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="central_width_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="identification",
            field=models.CharField(
                blank=True,
                choices=[
                    ("none", "No mark"),
                    ("patient code", "The patient code"),
                    ("case code", "The case code"),
                    ("office text", "A text that the office gives at finishing"),
                ],
                max_length=16,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="interalar_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="lower_border",
            field=models.CharField(
                blank=True,
                choices=[
                    ("as the impression", "Where the impression ends"),
                    ("as marked", "Where the dentist marked it on the cast"),
                    ("ask", "Ask the dentist before the final wax"),
                ],
                max_length=20,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="mould_form",
            field=models.CharField(
                blank=True,
                choices=[
                    ("natural", "As the natural teeth"),
                    ("square", "Square"),
                    ("tapering", "Tapering"),
                    ("ovoid", "Ovoid"),
                    ("mixed", "Mixed"),
                ],
                max_length=12,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="natural_changes",
            field=models.CharField(
                blank=True,
                choices=[
                    ("none", "None: natural teeth stay as they are"),
                    ("as listed", "Those that the dentist lists, and no others"),
                ],
                max_length=12,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="natural_changes_text",
            field=models.CharField(blank=True, max_length=300),
        ),
        migrations.AddField(
            model_name="prescription",
            name="photographs",
            field=models.JSONField(
                blank=True, default=list, validators=[labcases.validators.validate_photographs]
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="post_dam",
            field=models.CharField(
                blank=True,
                choices=[
                    ("carved by the dentist", "Carved by the dentist on the cast"),
                    ("drawn by the dentist", "Drawn by the dentist, carved by the technician"),
                    ("by the mark", "Carved by the technician, at the mark in the impression"),
                ],
                max_length=24,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="probing_mm",
            field=models.JSONField(
                blank=True, default=dict, validators=[labcases.validators.validate_probing]
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="shade_light",
            field=models.CharField(
                blank=True,
                choices=[
                    ("daylight", "Daylight"),
                    ("daylight lamp", "Daylight lamp"),
                    ("room light", "Room light"),
                ],
                max_length=16,
            ),
        ),
        migrations.AddField(
            model_name="prescription",
            name="smile_display_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="template_wanted",
            field=models.BooleanField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="vertical_occlusion_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="vertical_read_at",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name="prescription",
            name="vertical_rest_mm",
            field=models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
        ),
        migrations.AddField(
            model_name="prescription",
            name="vertical_wish",
            field=models.CharField(
                blank=True,
                choices=[
                    ("as the teeth", "As the natural teeth hold it now"),
                    ("as the record", "As the jaw record shows"),
                ],
                max_length=16,
            ),
        ),
        migrations.AddConstraint(
            model_name="prescription",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("smile_display_mm__isnull", True),
                    models.Q(
                        ("smile_display_mm__gte", Decimal("-10")),
                        ("smile_display_mm__lte", Decimal("25")),
                    ),
                    _connector="OR",
                ),
                name="prescription_smile_display_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="prescription",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("vertical_rest_mm__isnull", True),
                    models.Q(
                        ("vertical_rest_mm__gte", Decimal("20")),
                        ("vertical_rest_mm__lte", Decimal("120")),
                    ),
                    _connector="OR",
                ),
                name="prescription_vertical_rest_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="prescription",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("vertical_occlusion_mm__isnull", True),
                    models.Q(
                        ("vertical_occlusion_mm__gte", Decimal("20")),
                        ("vertical_occlusion_mm__lte", Decimal("120")),
                    ),
                    _connector="OR",
                ),
                name="prescription_vertical_occlusion_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="prescription",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("interalar_mm__isnull", True),
                    models.Q(
                        ("interalar_mm__gte", Decimal("20")), ("interalar_mm__lte", Decimal("60"))
                    ),
                    _connector="OR",
                ),
                name="prescription_interalar_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="prescription",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("canine_lines_mm__isnull", True),
                    models.Q(
                        ("canine_lines_mm__gte", Decimal("20")),
                        ("canine_lines_mm__lte", Decimal("70")),
                    ),
                    _connector="OR",
                ),
                name="prescription_canine_lines_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="prescription",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("central_width_mm__isnull", True),
                    models.Q(
                        ("central_width_mm__gte", Decimal("3")),
                        ("central_width_mm__lte", Decimal("15")),
                    ),
                    _connector="OR",
                ),
                name="prescription_central_width_mm_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="prescription",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("central_length_mm__isnull", True),
                    models.Q(
                        ("central_length_mm__gte", Decimal("5")),
                        ("central_length_mm__lte", Decimal("20")),
                    ),
                    _connector="OR",
                ),
                name="prescription_central_length_mm_range",
            ),
        ),
    ]
