"""Keep what went wrong with a case, who read it, and who looked whose case it is."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import labcases.validators


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0030_approvals_on_paper"),
    ]

    operations = [
        migrations.CreateModel(
            name="Incident",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("struck_at", models.DateTimeField(blank=True, null=True)),
                ("struck_reason", models.CharField(blank=True, max_length=200)),
                ("kind", models.CharField(max_length=40)),
                ("title", models.CharField(max_length=120)),
                ("answer", models.CharField(blank=True, max_length=20)),
                ("answer_words", models.CharField(blank=True, max_length=120)),
                ("text", models.TextField(max_length=1000)),
                (
                    "teeth",
                    models.JSONField(
                        blank=True,
                        default=list,
                        validators=[labcases.validators.validate_tooth_list],
                    ),
                ),
                ("allergy", models.CharField(blank=True, max_length=200)),
                ("new_day", models.DateField(blank=True, null=True)),
                (
                    "stage_before",
                    models.CharField(
                        choices=[
                            ("draft", "Draft"),
                            ("sent", "Sent"),
                            ("accepted", "Accepted"),
                            ("tray", "Tray"),
                            ("master cast and rims", "Master cast and rims"),
                            ("jaw records", "Jaw records"),
                            ("mounting", "Mounting"),
                            ("settings", "Settings"),
                            ("set-up", "Set-up"),
                            ("try-in", "Try-in"),
                            ("final wax", "Final wax"),
                            ("processing", "Processing"),
                            ("remount", "Remount"),
                            ("finishing", "Finishing"),
                            ("released", "Released"),
                            ("dispatched", "Dispatched"),
                            ("received", "Received"),
                            ("delivered", "Delivered"),
                            ("in review", "In review"),
                            ("closed", "Closed"),
                            ("declined", "Declined"),
                            ("cancelled", "Cancelled"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "stage_after",
                    models.CharField(
                        choices=[
                            ("draft", "Draft"),
                            ("sent", "Sent"),
                            ("accepted", "Accepted"),
                            ("tray", "Tray"),
                            ("master cast and rims", "Master cast and rims"),
                            ("jaw records", "Jaw records"),
                            ("mounting", "Mounting"),
                            ("settings", "Settings"),
                            ("set-up", "Set-up"),
                            ("try-in", "Try-in"),
                            ("final wax", "Final wax"),
                            ("processing", "Processing"),
                            ("remount", "Remount"),
                            ("finishing", "Finishing"),
                            ("released", "Released"),
                            ("dispatched", "Dispatched"),
                            ("received", "Received"),
                            ("delivered", "Delivered"),
                            ("in review", "In review"),
                            ("closed", "Closed"),
                            ("declined", "Declined"),
                            ("cancelled", "Cancelled"),
                        ],
                        max_length=24,
                    ),
                ),
                ("revision", models.CharField(blank=True, max_length=40)),
                ("undid", models.JSONField(blank=True, default=list)),
                ("told", models.JSONField(blank=True, default=list)),
                ("days_lost", models.PositiveSmallIntegerField(default=0)),
                ("surgery_was", models.DateField(blank=True, null=True)),
                (
                    "reported_from",
                    models.CharField(
                        choices=[("office", "Office"), ("laboratory", "Laboratory")], max_length=12
                    ),
                ),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                ("done", models.TextField(blank=True, max_length=1000)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="incidents",
                        to="labcases.case",
                    ),
                ),
                (
                    "cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="incidents",
                        to="labcases.cast",
                    ),
                ),
                (
                    "closed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "question",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="incidents",
                        to="labcases.question",
                    ),
                ),
                (
                    "struck_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="IdentityLook",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "side",
                    models.CharField(
                        choices=[("office", "Office"), ("laboratory", "Laboratory")], max_length=12
                    ),
                ),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "incident",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="looks",
                        to="labcases.incident",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.CreateModel(
            name="IncidentRead",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "incident",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reads",
                        to="labcases.incident",
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.AddIndex(
            model_name="incident",
            index=models.Index(fields=["case", "id"], name="labcases_in_case_id_fdb50e_idx"),
        ),
        migrations.AddConstraint(
            model_name="identitylook",
            constraint=models.UniqueConstraint(
                fields=("incident", "by"), name="one_look_of_a_person"
            ),
        ),
        migrations.AddConstraint(
            model_name="incidentread",
            constraint=models.UniqueConstraint(
                fields=("incident", "user"), name="one_reading_of_an_incident"
            ),
        ),
    ]
