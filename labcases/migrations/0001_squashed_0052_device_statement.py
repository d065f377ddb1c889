"""All tables up to the device statement in one step, for a database that begins here."""

from decimal import Decimal

import django.contrib.auth.models
import django.contrib.auth.validators
import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

import labcases.models.files
import labcases.validators
from labcases.models.guard import guard_statements, unguard_statements


def guard(apps, schema_editor):
    run(guard_statements(schema_editor.connection.vendor), schema_editor)


def unguard(apps, schema_editor):
    run(unguard_statements(schema_editor.connection.vendor), schema_editor)


def run(statements, schema_editor):
    for statement in statements:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    replaces = [
        ("labcases", "0001_first"),
        ("labcases", "0002_history_guard"),
        ("labcases", "0003_check_records"),
        ("labcases", "0004_selection_measures"),
        ("labcases", "0005_callipers"),
        ("labcases", "0006_question_threads"),
        ("labcases", "0007_attachment"),
        ("labcases", "0008_organisation_profile"),
        ("labcases", "0008_prescribing_defaults"),
        ("labcases", "0008_prescription_content"),
        ("labcases", "0009_impressions_and_casts"),
        ("labcases", "0010_taken_records"),
        ("labcases", "0011_past_mountings"),
        ("labcases", "0012_laboratory_limits"),
        ("labcases", "0013_office_shades"),
        ("labcases", "0014_history_chain"),
        ("labcases", "0015_disinfection_on_arrival"),
        ("labcases", "0016_prescription_wishes"),
        ("labcases", "0017_opponent"),
        ("labcases", "0018_opponent_of_old_charts"),
        ("labcases", "0019_house_calendars"),
        ("labcases", "0020_second_pours"),
        ("labcases", "0021_signed_papers"),
        ("labcases", "0022_tooth_stock"),
        ("labcases", "0023_teeth_in_hand"),
        ("labcases", "0024_ticked_teeth"),
        ("labcases", "0025_selection_without_tick"),
        ("labcases", "0026_stock_files"),
        ("labcases", "0027_history_row"),
        ("labcases", "0028_box_differences"),
        ("labcases", "0029_linked_cases"),
        ("labcases", "0030_approvals_on_paper"),
        ("labcases", "0031_incidents"),
        ("labcases", "0032_taken_back"),
        ("labcases", "0033_silent_cases"),
        ("labcases", "0034_trimming"),
        ("labcases", "0035_setup_lines"),
        ("labcases", "0036_foil_marks"),
        ("labcases", "0037_marks_of_old_passes"),
        ("labcases", "0038_proposals"),
        ("labcases", "0039_answers_on_paper"),
        ("labcases", "0040_arrangement"),
        ("labcases", "0041_try_in_measured"),
        ("labcases", "0042_marks_compared"),
        ("labcases", "0043_orders_held_up"),
        ("labcases", "0044_final_wax_checklists"),
        ("labcases", "0045_proposal_limits"),
        ("labcases", "0046_approved_trims"),
        ("labcases", "0047_mark_in_excursions"),
        ("labcases", "0048_processing_record"),
        ("labcases", "0049_remount_log"),
        ("labcases", "0050_remounts_of_before"),
        ("labcases", "0051_finishing"),
        ("labcases", "0052_device_statement"),
    ]

    initial = True

    dependencies = [
        ("auth", "0012_alter_user_first_name_max_length"),
    ]

    operations = [
        migrations.CreateModel(
            name="DemoMark",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("loaded_at", models.DateTimeField(auto_now_add=True)),
                ("usernames", models.JSONField(default=list)),
            ],
        ),
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
                    "in_excursions",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("yes", "Yes, it marks there too"),
                            ("no", "No, only in centric"),
                            ("not known", "Not known yet"),
                        ],
                        max_length=12,
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.CreateModel(
            name="User",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("password", models.CharField(max_length=128, verbose_name="password")),
                (
                    "last_login",
                    models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                ),
                (
                    "is_superuser",
                    models.BooleanField(
                        default=False,
                        help_text="Designates that this user has all permissions without explicitly assigning them.",
                        verbose_name="superuser status",
                    ),
                ),
                (
                    "username",
                    models.CharField(
                        error_messages={"unique": "A user with that username already exists."},
                        help_text="Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.",
                        max_length=150,
                        unique=True,
                        validators=[django.contrib.auth.validators.UnicodeUsernameValidator()],
                        verbose_name="username",
                    ),
                ),
                (
                    "email",
                    models.EmailField(blank=True, max_length=254, verbose_name="email address"),
                ),
                (
                    "is_staff",
                    models.BooleanField(
                        default=False,
                        help_text="Designates whether the user can log into this admin site.",
                        verbose_name="staff status",
                    ),
                ),
                (
                    "is_active",
                    models.BooleanField(
                        default=True,
                        help_text="Designates whether this user should be treated as active. Unselect this instead of deleting accounts.",
                        verbose_name="active",
                    ),
                ),
                (
                    "date_joined",
                    models.DateTimeField(
                        default=django.utils.timezone.now, verbose_name="date joined"
                    ),
                ),
                ("full_name", models.CharField(max_length=120)),
                (
                    "licence_number",
                    models.CharField(
                        blank=True,
                        help_text="Offered when a prescription is signed.",
                        max_length=60,
                    ),
                ),
                (
                    "groups",
                    models.ManyToManyField(
                        blank=True,
                        help_text="The groups this user belongs to. A user will get all permissions granted to each of their groups.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.group",
                        verbose_name="groups",
                    ),
                ),
                (
                    "user_permissions",
                    models.ManyToManyField(
                        blank=True,
                        help_text="Specific permissions for this user.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.permission",
                        verbose_name="user permissions",
                    ),
                ),
            ],
            options={
                "verbose_name": "user",
                "verbose_name_plural": "users",
                "abstract": False,
            },
            managers=[
                ("objects", django.contrib.auth.models.UserManager()),
            ],
        ),
        migrations.CreateModel(
            name="Box",
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
                    "direction",
                    models.CharField(
                        choices=[
                            ("to the laboratory", "To the laboratory"),
                            ("to the office", "To the office"),
                        ],
                        max_length=20,
                    ),
                ),
                ("courier", models.CharField(blank=True, max_length=80)),
                (
                    "tracking",
                    models.CharField(blank=True, max_length=80, verbose_name="tracking number"),
                ),
                ("announced", models.BooleanField(default=True)),
                ("packed_at", models.DateTimeField(auto_now_add=True)),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("received_at", models.DateTimeField(blank=True, null=True)),
                (
                    "trouble",
                    models.CharField(
                        blank=True,
                        choices=[("lost", "Lost"), ("not ours", "Not ours, or of another case")],
                        max_length=12,
                    ),
                ),
                ("trouble_note", models.CharField(blank=True, max_length=200)),
                ("trouble_at", models.DateTimeField(blank=True, null=True)),
                ("turned_up_at", models.DateTimeField(blank=True, null=True)),
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
                    "packed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "received_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "sent_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "trouble_by",
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
                "ordering": ("packed_at", "id"),
            },
        ),
        migrations.CreateModel(
            name="BoxItem",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "content",
                    models.CharField(
                        choices=[
                            ("impression", "Impression"),
                            ("cast", "Cast"),
                            ("jaw record", "Jaw record"),
                            ("face-bow record", "Face-bow record"),
                            ("rim", "Record base with rim"),
                            ("tray", "Tray"),
                            ("wax set-up", "Wax set-up"),
                            ("denture", "Denture"),
                            ("template", "Surgical template"),
                            ("photographs", "Photographs"),
                        ],
                        max_length=20,
                    ),
                ),
                ("count", models.PositiveSmallIntegerField(default=1)),
                ("agent", models.CharField(blank=True, max_length=80)),
                ("label_minutes", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("actual_minutes", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("disinfected_by", models.CharField(blank=True, max_length=120)),
                ("received_count", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "box",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="items",
                        to="labcases.box",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("count__gte", 1)), name="boxitem_count_range"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Case",
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
                    "code",
                    models.CharField(
                        max_length=12,
                        unique=True,
                        validators=[labcases.validators.validate_case_code],
                    ),
                ),
                (
                    "stage",
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
                        default="draft",
                        max_length=24,
                    ),
                ),
                ("stage_since", models.DateTimeField(default=django.utils.timezone.now)),
                ("surgery_on", models.DateField(blank=True, null=True)),
                ("surgery_confirmed_at", models.DateTimeField(blank=True, null=True)),
                ("on_hold", models.BooleanField(default=False)),
                ("hold_reason", models.CharField(blank=True, max_length=200)),
                ("silent", models.BooleanField(default=False)),
                ("tray_number", models.CharField(blank=True, max_length=20)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
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
                    "surgery_confirmed_by",
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
                "ordering": ("surgery_on", "id"),
            },
        ),
        migrations.AddField(
            model_name="box",
            name="case",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="boxes",
                to="labcases.case",
            ),
        ),
        migrations.CreateModel(
            name="Attachment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("photograph", "Photograph"),
                            ("final wax", "Final wax"),
                            ("paper prescription", "Paper prescription, signed"),
                            ("paper", "Another paper"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "view",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("face", "Face"),
                            ("smile", "Smile"),
                            ("profile", "Profile"),
                            ("intraoral front", "Teeth from in front"),
                            ("intraoral right", "Teeth from the right"),
                            ("intraoral left", "Teeth from the left"),
                            ("cast", "Cast"),
                            ("other", "Something else"),
                        ],
                        max_length=20,
                    ),
                ),
                ("caption", models.CharField(blank=True, max_length=120)),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("file", models.FileField(upload_to=labcases.models.files.random_name)),
                ("small", models.FileField(upload_to=labcases.models.files.random_name)),
                ("content_type", models.CharField(default="image/jpeg", max_length=20)),
                ("width_px", models.PositiveIntegerField()),
                ("height_px", models.PositiveIntegerField()),
                ("size_bytes", models.PositiveIntegerField()),
                ("sha256", models.CharField(max_length=64)),
                ("small_sha256", models.CharField(max_length=64)),
                ("sent_sha256", models.CharField(max_length=64)),
                ("agreement_at", models.DateTimeField(blank=True, null=True)),
                ("removed_at", models.DateTimeField(blank=True, null=True)),
                ("removed_reason", models.CharField(blank=True, max_length=200)),
                (
                    "agreement_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "removed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attachments",
                        to="labcases.case",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "id"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("kind__in", ("photograph", "final wax")),
                                models.Q(("view", ""), _negated=True),
                            ),
                            models.Q(
                                models.Q(("kind__in", ("photograph", "final wax")), _negated=True),
                                ("view", ""),
                            ),
                            _connector="OR",
                        ),
                        name="attachment_view_of_photograph",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("removed_at__isnull", True),
                                ("removed_by__isnull", True),
                                ("removed_reason", ""),
                            ),
                            models.Q(
                                ("removed_at__isnull", False),
                                ("removed_by__isnull", False),
                                models.Q(("removed_reason", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="attachment_removed_whole",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("agreement_at__isnull", True), ("agreement_by__isnull", True)
                            ),
                            models.Q(
                                ("agreement_at__isnull", False), ("agreement_by__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="attachment_agreement_whole",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("removed_at__isnull", True)),
                        fields=("case", "sent_sha256"),
                        name="one_attachment_per_file",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ArticulatorRecord",
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
                    "origin",
                    models.CharField(
                        choices=[
                            ("prescribed", "Prescribed by the dentist"),
                            ("check records", "From check records"),
                            ("average", "Average values"),
                            ("approved", "Approved by the dentist"),
                        ],
                        default="prescribed",
                        max_length=16,
                    ),
                ),
                (
                    "intercondylar_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("110"), max_digits=6),
                ),
                ("condylar_right_deg", models.DecimalField(decimal_places=1, max_digits=5)),
                ("condylar_left_deg", models.DecimalField(decimal_places=1, max_digits=5)),
                ("bennett_right_deg", models.DecimalField(decimal_places=1, max_digits=5)),
                ("bennett_left_deg", models.DecimalField(decimal_places=1, max_digits=5)),
                (
                    "condylar_right_sd_deg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=5,
                        null=True,
                        verbose_name="condylar right deviation deg",
                    ),
                ),
                (
                    "condylar_left_sd_deg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=5,
                        null=True,
                        verbose_name="condylar left deviation deg",
                    ),
                ),
                (
                    "bennett_right_sd_deg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=5,
                        null=True,
                        verbose_name="bennett right deviation deg",
                    ),
                ),
                (
                    "bennett_left_sd_deg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=1,
                        max_digits=5,
                        null=True,
                        verbose_name="bennett left deviation deg",
                    ),
                ),
                (
                    "side_shift_right_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("0"), max_digits=6),
                ),
                (
                    "side_shift_left_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("0"), max_digits=6),
                ),
                ("incisal_table_deg", models.DecimalField(decimal_places=1, max_digits=5)),
                ("wing_right_deg", models.DecimalField(decimal_places=1, max_digits=5)),
                ("wing_left_deg", models.DecimalField(decimal_places=1, max_digits=5)),
                (
                    "table_on",
                    models.CharField(
                        choices=[("upper", "Upper member"), ("lower", "Lower member")],
                        default="lower",
                        max_length=8,
                    ),
                ),
                (
                    "front_guide",
                    models.CharField(
                        choices=[
                            ("table", "The incisal table"),
                            ("stone teeth", "Stone front teeth"),
                            ("denture teeth", "Planned denture front teeth"),
                        ],
                        default="table",
                        max_length=16,
                    ),
                ),
                (
                    "overjet_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("2"), max_digits=6),
                ),
                (
                    "overbite_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("2"), max_digits=6),
                ),
                (
                    "reference_plane",
                    models.CharField(
                        choices=[
                            ("axis plane", "Axis plane of the articulator"),
                            ("ala-tragus plane", "Ala-tragus plane"),
                            ("occlusal plane", "Occlusal plane"),
                        ],
                        default="axis plane",
                        max_length=20,
                    ),
                ),
                (
                    "plane_tilt_deg",
                    models.DecimalField(decimal_places=1, default=Decimal("0"), max_digits=5),
                ),
                (
                    "incisal_x_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("80"), max_digits=6),
                ),
                (
                    "incisal_z_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("-32"), max_digits=6),
                ),
                (
                    "pin_x_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "pin_z_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "pin_opening_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("0"), max_digits=6),
                ),
                (
                    "pin_agreed_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("0"), max_digits=6),
                ),
                ("acknowledged", models.CharField(blank=True, max_length=64)),
                (
                    "acknowledged_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
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
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="articulator",
                        to="labcases.case",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("intercondylar_mm__isnull", True),
                            models.Q(
                                ("intercondylar_mm__gte", Decimal("80")),
                                ("intercondylar_mm__lte", Decimal("140")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_intercondylar_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("condylar_right_deg__isnull", True),
                            models.Q(
                                ("condylar_right_deg__gte", Decimal("0")),
                                ("condylar_right_deg__lte", Decimal("75")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_condylar_right_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("condylar_left_deg__isnull", True),
                            models.Q(
                                ("condylar_left_deg__gte", Decimal("0")),
                                ("condylar_left_deg__lte", Decimal("75")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_condylar_left_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("bennett_right_deg__isnull", True),
                            models.Q(
                                ("bennett_right_deg__gte", Decimal("0")),
                                ("bennett_right_deg__lte", Decimal("40")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_bennett_right_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("bennett_left_deg__isnull", True),
                            models.Q(
                                ("bennett_left_deg__gte", Decimal("0")),
                                ("bennett_left_deg__lte", Decimal("40")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_bennett_left_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("condylar_right_sd_deg__isnull", True),
                            models.Q(
                                ("condylar_right_sd_deg__gte", Decimal("0")),
                                ("condylar_right_sd_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_condylar_right_sd_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("condylar_left_sd_deg__isnull", True),
                            models.Q(
                                ("condylar_left_sd_deg__gte", Decimal("0")),
                                ("condylar_left_sd_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_condylar_left_sd_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("bennett_right_sd_deg__isnull", True),
                            models.Q(
                                ("bennett_right_sd_deg__gte", Decimal("0")),
                                ("bennett_right_sd_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_bennett_right_sd_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("bennett_left_sd_deg__isnull", True),
                            models.Q(
                                ("bennett_left_sd_deg__gte", Decimal("0")),
                                ("bennett_left_sd_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_bennett_left_sd_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("side_shift_right_mm__isnull", True),
                            models.Q(
                                ("side_shift_right_mm__gte", Decimal("0")),
                                ("side_shift_right_mm__lte", Decimal("4")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_side_shift_right_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("side_shift_left_mm__isnull", True),
                            models.Q(
                                ("side_shift_left_mm__gte", Decimal("0")),
                                ("side_shift_left_mm__lte", Decimal("4")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_side_shift_left_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("incisal_table_deg__isnull", True),
                            models.Q(
                                ("incisal_table_deg__gte", Decimal("0")),
                                ("incisal_table_deg__lte", Decimal("60")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_incisal_table_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("wing_right_deg__isnull", True),
                            models.Q(
                                ("wing_right_deg__gte", Decimal("0")),
                                ("wing_right_deg__lte", Decimal("45")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_wing_right_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("wing_left_deg__isnull", True),
                            models.Q(
                                ("wing_left_deg__gte", Decimal("0")),
                                ("wing_left_deg__lte", Decimal("45")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_wing_left_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("overjet_mm__isnull", True),
                            models.Q(
                                ("overjet_mm__gte", Decimal("-10")),
                                ("overjet_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_overjet_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("overbite_mm__isnull", True),
                            models.Q(
                                ("overbite_mm__gte", Decimal("-10")),
                                ("overbite_mm__lte", Decimal("12")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_overbite_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("plane_tilt_deg__isnull", True),
                            models.Q(
                                ("plane_tilt_deg__gte", Decimal("-30")),
                                ("plane_tilt_deg__lte", Decimal("30")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_plane_tilt_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("incisal_x_mm__isnull", True),
                            models.Q(
                                ("incisal_x_mm__gte", Decimal("40")),
                                ("incisal_x_mm__lte", Decimal("150")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_incisal_x_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("incisal_z_mm__isnull", True),
                            models.Q(
                                ("incisal_z_mm__gte", Decimal("-100")),
                                ("incisal_z_mm__lte", Decimal("20")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_incisal_z_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pin_x_mm__isnull", True),
                            models.Q(
                                ("pin_x_mm__gte", Decimal("40")), ("pin_x_mm__lte", Decimal("200"))
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_pin_x_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pin_z_mm__isnull", True),
                            models.Q(
                                ("pin_z_mm__gte", Decimal("-120")), ("pin_z_mm__lte", Decimal("20"))
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_pin_z_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pin_opening_mm__isnull", True),
                            models.Q(
                                ("pin_opening_mm__gte", Decimal("-2")),
                                ("pin_opening_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_pin_opening_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pin_agreed_mm__isnull", True),
                            models.Q(
                                ("pin_agreed_mm__gte", Decimal("-2")),
                                ("pin_agreed_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="articulatorrecord_pin_agreed_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Appointment",
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
                    "kind",
                    models.CharField(
                        choices=[
                            ("jaw records", "Jaw records"),
                            ("try-in", "Try-in"),
                            ("delivery to the office", "Delivery to the office"),
                            ("review", "Review"),
                        ],
                        max_length=30,
                    ),
                ),
                ("on", models.DateField()),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("proposed", "Proposed"),
                            ("booked", "Booked"),
                            ("done", "Done"),
                            ("dropped", "Dropped"),
                        ],
                        default="booked",
                        max_length=12,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
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
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="appointments",
                        to="labcases.case",
                    ),
                ),
            ],
            options={
                "ordering": ("on", "id"),
            },
        ),
        migrations.CreateModel(
            name="CaseLink",
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
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "first",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="links_from",
                        to="labcases.case",
                    ),
                ),
                (
                    "second",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="links_to",
                        to="labcases.case",
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
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("struck_at__isnull", True)),
                        fields=("first",),
                        name="one_link_first",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("struck_at__isnull", True)),
                        fields=("second",),
                        name="one_link_second",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("first__lt", models.F("second"))), name="link_in_order"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Cast",
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
                (
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("study", "Study cast"),
                            ("master", "Master cast"),
                            ("working", "Working cast"),
                            ("opposing", "Opposing cast"),
                            ("duplicate", "Duplicate"),
                            ("trimmed", "Trimmed cast"),
                        ],
                        max_length=12,
                    ),
                ),
                ("poured_at", models.DateTimeField(blank=True, null=True)),
                ("gypsum", models.CharField(blank=True, max_length=8)),
                ("product", models.CharField(blank=True, max_length=80)),
                (
                    "water_ml",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=6, null=True),
                ),
                (
                    "powder_g",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=6, null=True),
                ),
                (
                    "set_minutes",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                ("separated_minutes", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("poured_by", models.CharField(blank=True, max_length=80)),
                ("lot", models.CharField(blank=True, max_length=60)),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="casts",
                        to="labcases.case",
                    ),
                ),
                (
                    "made_from",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="made",
                        to="labcases.cast",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("water_ml__isnull", True),
                            models.Q(
                                ("water_ml__gte", Decimal("1")), ("water_ml__lte", Decimal("2000"))
                            ),
                            _connector="OR",
                        ),
                        name="cast_water_ml_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("powder_g__isnull", True),
                            models.Q(
                                ("powder_g__gte", Decimal("1")), ("powder_g__lte", Decimal("5000"))
                            ),
                            _connector="OR",
                        ),
                        name="cast_powder_g_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("set_minutes__isnull", True),
                            models.Q(
                                ("set_minutes__gte", Decimal("0.5")),
                                ("set_minutes__lte", Decimal("240")),
                            ),
                            _connector="OR",
                        ),
                        name="cast_set_minutes_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CastLook",
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
                ("bubbles", models.BooleanField(default=False)),
                ("chipped", models.BooleanField(default=False)),
                ("rocks", models.BooleanField(default=False)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("good", "Good"),
                            ("mended", "Mended"),
                            ("broken", "Broken: a new one is needed"),
                        ],
                        max_length=8,
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="cast_looks",
                        to="labcases.case",
                    ),
                ),
                (
                    "cast",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="looks",
                        to="labcases.cast",
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
            name="CheckRecord",
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
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("closed", "Points with the casts closed"),
                            ("protrusive", "Points in a protrusive record"),
                            ("right lateral", "Points in a right lateral record"),
                            ("left lateral", "Points in a left lateral record"),
                            ("posterior gap", "Posterior gap in a protrusive record"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "points",
                    models.JSONField(
                        blank=True, default=dict, validators=[labcases.validators.validate_points]
                    ),
                ),
                (
                    "advance_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "right_tooth",
                    models.CharField(
                        blank=True, max_length=2, validators=[labcases.validators.validate_tooth]
                    ),
                ),
                (
                    "right_gap_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "left_tooth",
                    models.CharField(
                        blank=True, max_length=2, validators=[labcases.validators.validate_tooth]
                    ),
                ),
                (
                    "left_gap_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "facet_deg",
                    models.DecimalField(decimal_places=1, default=Decimal("0"), max_digits=5),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="check_records",
                        to="labcases.case",
                    ),
                ),
                (
                    "closed",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moved",
                        to="labcases.checkrecord",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("advance_mm__isnull", True),
                            models.Q(
                                ("advance_mm__gte", Decimal("0")),
                                ("advance_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="checkrecord_advance_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("right_gap_mm__isnull", True),
                            models.Q(
                                ("right_gap_mm__gte", Decimal("0")),
                                ("right_gap_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="checkrecord_right_gap_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("left_gap_mm__isnull", True),
                            models.Q(
                                ("left_gap_mm__gte", Decimal("0")),
                                ("left_gap_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="checkrecord_left_gap_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("facet_deg__isnull", True),
                            models.Q(
                                ("facet_deg__gte", Decimal("0")), ("facet_deg__lte", Decimal("60"))
                            ),
                            _connector="OR",
                        ),
                        name="checkrecord_facet_deg_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CheckRun",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("inputs", models.JSONField()),
                ("inputs_digest", models.CharField(max_length=64)),
                ("findings", models.JSONField()),
                ("engine_version", models.CharField(max_length=20)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("clearance", "Clearance check"),
                            ("height budget", "Height budget"),
                        ],
                        max_length=16,
                    ),
                ),
                ("taken_back", models.CharField(blank=True, max_length=200)),
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
                        related_name="check_runs",
                        to="labcases.case",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "abstract": False,
                "indexes": [
                    models.Index(
                        fields=["case", "kind", "id"], name="labcases_ch_case_id_0e5607_idx"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="DeliveryReport",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("checked_on_arrival", models.BooleanField(default=False)),
                ("delivered_on", models.DateField(blank=True, null=True)),
                ("seats_without_force", models.BooleanField(null=True)),
                ("after_care_given", models.BooleanField(default=False)),
                ("note", models.TextField(blank=True, max_length=1000)),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="delivery",
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
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="DeviceStatement",
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
                ("number", models.PositiveSmallIntegerField(default=1)),
                ("revision", models.PositiveIntegerField()),
                ("profiles", models.JSONField(default=list)),
                ("items", models.JSONField(default=list)),
                ("kept", models.CharField(max_length=200)),
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
                        related_name="statements",
                        to="labcases.case",
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
                "constraints": [
                    models.UniqueConstraint(fields=("case", "number"), name="one_row_per_statement")
                ],
            },
        ),
        migrations.CreateModel(
            name="Disinfection",
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
                ("agent", models.CharField(max_length=80)),
                ("label_minutes", models.PositiveSmallIntegerField()),
                ("actual_minutes", models.PositiveSmallIntegerField()),
                ("done_by", models.CharField(max_length=120)),
                ("done_at", models.DateTimeField()),
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
                        related_name="disinfections",
                        to="labcases.case",
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="disinfections",
                        to="labcases.boxitem",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("actual_minutes__gte", 1), ("label_minutes__gte", 1)),
                        name="disinfection_minutes_range",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Finishing",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("mark_placed", models.BooleanField(null=True)),
                ("mark_digest", models.CharField(blank=True, max_length=64)),
                ("template_made", models.BooleanField(null=True)),
                ("template_seats", models.BooleanField(null=True)),
                ("template_lot", models.CharField(blank=True, max_length=80)),
                (
                    "template_mm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=6,
                        null=True,
                        verbose_name="template thickness mm",
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=300)),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="finishing",
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
                    "finished_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("template_mm__isnull", True),
                            models.Q(
                                ("template_mm__gte", Decimal("0.3")),
                                ("template_mm__lte", Decimal("5")),
                            ),
                            _connector="OR",
                        ),
                        name="finishing_template_mm_range",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Handoff",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.PositiveSmallIntegerField(default=1)),
                ("revision", models.PositiveIntegerField()),
                (
                    "base_material",
                    models.CharField(
                        choices=[
                            ("heat-cured resin", "Heat-cured resin"),
                            ("cold-cured resin", "Cold-cured resin"),
                            ("injection resin", "Injection resin"),
                            ("milled resin", "Milled resin"),
                            ("printed resin", "Printed resin"),
                        ],
                        max_length=24,
                    ),
                ),
                ("base_product", models.CharField(max_length=120)),
                ("base_lot", models.CharField(blank=True, max_length=80)),
                ("index_made", models.BooleanField(default=False)),
                ("note", models.TextField(blank=True, max_length=1000)),
                ("frozen", models.JSONField()),
                ("engine_version", models.CharField(max_length=20)),
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
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handoffs",
                        to="labcases.case",
                    ),
                ),
            ],
            options={
                "ordering": ("number",),
                "constraints": [
                    models.UniqueConstraint(fields=("case", "number"), name="one_row_per_handoff")
                ],
            },
        ),
        migrations.CreateModel(
            name="Impression",
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
                (
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                ("material", models.CharField(max_length=32)),
                ("product", models.CharField(blank=True, max_length=80)),
                ("tray", models.CharField(blank=True, max_length=80)),
                ("taken_at", models.DateTimeField()),
                ("poured_at", models.DateTimeField(blank=True, null=True)),
                ("label_earliest_minutes", models.PositiveIntegerField(blank=True, null=True)),
                ("label_latest_minutes", models.PositiveIntegerField(blank=True, null=True)),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="impressions",
                        to="labcases.case",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("poured_at__isnull", True),
                            ("poured_at__gte", models.F("taken_at")),
                            _connector="OR",
                        ),
                        name="impression_poured_after_taken",
                    )
                ],
            },
        ),
        migrations.AddField(
            model_name="cast",
            name="impression",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="casts",
                to="labcases.impression",
            ),
        ),
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
                "indexes": [
                    models.Index(fields=["case", "id"], name="labcases_in_case_id_fdb50e_idx")
                ],
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
                "constraints": [
                    models.UniqueConstraint(fields=("incident", "by"), name="one_look_of_a_person")
                ],
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
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("incident", "user"), name="one_reading_of_an_incident"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="MarkText",
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
                    "mark_text",
                    models.CharField(blank=True, max_length=60, verbose_name="text of the mark"),
                ),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="mark_row",
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
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Organisation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("office", "Office"),
                            ("laboratory", "Laboratory"),
                            ("both", "Office and laboratory"),
                        ],
                        max_length=20,
                    ),
                ),
                ("address", models.TextField(blank=True)),
                (
                    "notation",
                    models.CharField(
                        choices=[
                            ("ISO 3950", "ISO 3950 (two digits)"),
                            ("Universal", "Universal (1 to 32)"),
                        ],
                        default="ISO 3950",
                        max_length=20,
                    ),
                ),
                (
                    "paper_size",
                    models.CharField(
                        choices=[("A4", "A4"), ("Letter", "Letter")], default="A4", max_length=10
                    ),
                ),
                ("profile", models.CharField(blank=True, max_length=20)),
                ("shade_systems", models.TextField(blank=True, max_length=4000)),
                (
                    "records_agree_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("0.3"), max_digits=6),
                ),
                ("foil_um", models.PositiveSmallIntegerField(default=8)),
                (
                    "base_min_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("open_weekdays", models.CharField(default="12345", max_length=7)),
                ("opens_at", models.TimeField(blank=True, null=True)),
                ("closes_at", models.TimeField(blank=True, null=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
            ],
            options={
                "ordering": ("name",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("records_agree_mm__isnull", True),
                            models.Q(
                                ("records_agree_mm__gte", Decimal("0.05")),
                                ("records_agree_mm__lte", Decimal("1")),
                            ),
                            _connector="OR",
                        ),
                        name="organisation_records_agree_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("foil_um__isnull", True),
                            models.Q(
                                ("foil_um__gte", Decimal("5")), ("foil_um__lte", Decimal("40"))
                            ),
                            _connector="OR",
                        ),
                        name="organisation_foil_um_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("base_min_mm__isnull", True),
                            models.Q(
                                ("base_min_mm__gte", Decimal("0")),
                                ("base_min_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="organisation_base_min_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("closes_at__isnull", True), ("opens_at__isnull", True)),
                            models.Q(
                                ("closes_at__isnull", False),
                                ("opens_at__isnull", False),
                                ("opens_at__lt", models.F("closes_at")),
                            ),
                            _connector="OR",
                        ),
                        name="organisation_opens_before_it_closes",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="OfficeLink",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("active", models.BooleanField(default=True)),
                ("road_days", models.PositiveSmallIntegerField(default=1)),
                (
                    "road_set_side",
                    models.CharField(
                        blank=True,
                        choices=[("office", "Office"), ("laboratory", "Laboratory")],
                        max_length=12,
                    ),
                ),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "road_set_by",
                    models.ForeignKey(
                        blank=True,
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
                        related_name="office_links",
                        to="labcases.organisation",
                    ),
                ),
                (
                    "office",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="laboratory_links",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("office", "laboratory"), name="one_link_per_pair"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("road_days__lte", 20)),
                        name="officelink_road_days_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Membership",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("dentist", "Dentist"),
                            ("front desk", "Front desk"),
                            ("technician", "Technician"),
                            ("laboratory manager", "Laboratory manager"),
                        ],
                        max_length=20,
                    ),
                ),
                ("active", models.BooleanField(default=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="memberships",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="memberships",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("organisation", "user"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("user", "organisation", "role"), name="one_membership_per_role"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Invitation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("dentist", "Dentist"),
                            ("front desk", "Front desk"),
                            ("technician", "Technician"),
                            ("laboratory manager", "Laboratory manager"),
                        ],
                        max_length=20,
                    ),
                ),
                ("opens_office", models.BooleanField(default=False)),
                ("invited_name", models.CharField(max_length=120)),
                ("secret_digest", models.CharField(max_length=64, unique=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                ("expires_at", models.DateTimeField()),
                ("used_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn", models.BooleanField(default=False)),
                (
                    "created_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="invitations_made",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "used_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="invitations_used",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="invitations",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("-created_at",),
            },
        ),
        migrations.CreateModel(
            name="HistoryEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ("position", models.CharField(blank=True, max_length=100)),
                ("act", models.CharField(max_length=40)),
                ("part", models.CharField(max_length=40)),
                ("changes", models.JSONField(blank=True, default=dict)),
                ("reason", models.TextField(blank=True)),
                ("row", models.JSONField(blank=True, default=None, editable=False, null=True)),
                ("sequence", models.PositiveBigIntegerField(editable=False)),
                ("previous", models.CharField(editable=False, max_length=64)),
                ("digest", models.CharField(editable=False, max_length=64)),
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
                        related_name="history",
                        to="labcases.case",
                    ),
                ),
                (
                    "laboratory",
                    models.ForeignKey(
                        editable=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("sequence",),
                "indexes": [
                    models.Index(fields=["case", "sequence"], name="labcases_hi_case_id_7a6671_idx")
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("laboratory", "sequence"), name="one_entry_per_number"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CuringCycle",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("material", models.CharField(max_length=120)),
                ("name", models.CharField(max_length=80)),
                ("edition", models.PositiveIntegerField(default=1)),
                (
                    "technique",
                    models.CharField(
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
                ("phases", models.JSONField()),
                ("dwell_minutes", models.PositiveIntegerField(default=0)),
                ("bench_minutes", models.PositiveIntegerField(default=0)),
                ("water_minutes", models.PositiveIntegerField(default=0)),
                ("boiling_start", models.BooleanField(default=False)),
                ("instructions", models.CharField(max_length=240)),
                ("in_use", models.BooleanField(default=True)),
                ("why", models.CharField(blank=True, max_length=200)),
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
                    "laboratory",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="curing_cycles",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("material", "name", "edition"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("laboratory", "material", "name", "edition"),
                        name="one_row_per_edition_of_a_cycle",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("dwell_minutes__lte", 4320)),
                        name="curingcycle_dwell_minutes_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("bench_minutes__lte", 4320)),
                        name="curingcycle_bench_minutes_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("water_minutes__lte", 4320)),
                        name="curingcycle_water_minutes_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ClosedDay",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on", models.DateField()),
                ("reason", models.CharField(max_length=80)),
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
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="closed_days",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("on",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("organisation", "on"), name="one_closing_per_day"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ChainHead",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("sequence", models.PositiveBigIntegerField(default=0)),
                (
                    "digest",
                    models.CharField(
                        default="0000000000000000000000000000000000000000000000000000000000000000",
                        max_length=64,
                    ),
                ),
                (
                    "laboratory",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="chain_head",
                        to="labcases.organisation",
                    ),
                ),
            ],
        ),
        migrations.AddField(
            model_name="case",
            name="laboratory",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="laboratory_cases",
                to="labcases.organisation",
            ),
        ),
        migrations.AddField(
            model_name="case",
            name="office",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="office_cases",
                to="labcases.organisation",
            ),
        ),
        migrations.CreateModel(
            name="PaperDentist",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("licence_number", models.CharField(blank=True, max_length=60)),
                (
                    "office",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="paper_dentists",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.CreateModel(
            name="Patient",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "code",
                    models.CharField(
                        max_length=30, validators=[labcases.validators.validate_patient_code]
                    ),
                ),
                (
                    "office",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="patients",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("office", "code"), name="one_patient_per_code")
                ],
            },
        ),
        migrations.AddField(
            model_name="case",
            name="patient",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="cases",
                to="labcases.patient",
            ),
        ),
        migrations.CreateModel(
            name="PatientName",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                (
                    "patient",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="name_row",
                        to="labcases.patient",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Piece",
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
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("custom tray", "Custom tray"),
                            ("record base", "Record base"),
                            ("rim", "Record base with rim"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                ("design", models.CharField(blank=True, max_length=80)),
                ("material", models.CharField(blank=True, max_length=80)),
                (
                    "front_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "back_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("lot", models.CharField(blank=True, max_length=60)),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="pieces",
                        to="labcases.case",
                    ),
                ),
                (
                    "cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="pieces",
                        to="labcases.cast",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("front_mm__isnull", True),
                            models.Q(
                                ("front_mm__gte", Decimal("0")), ("front_mm__lte", Decimal("40"))
                            ),
                            _connector="OR",
                        ),
                        name="piece_front_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("back_mm__isnull", True),
                            models.Q(
                                ("back_mm__gte", Decimal("0")), ("back_mm__lte", Decimal("40"))
                            ),
                            _connector="OR",
                        ),
                        name="piece_back_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PrescribingDefaults",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "base_material",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("heat-cured resin", "Heat-cured resin"),
                            ("cold-cured resin", "Cold-cured resin"),
                            ("injection resin", "Injection resin"),
                            ("milled resin", "Milled resin"),
                            ("printed resin", "Printed resin"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "tooth_material",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("resin", "Resin"),
                            ("composite", "Composite resin"),
                            ("porcelain", "Porcelain"),
                        ],
                        max_length=12,
                    ),
                ),
                ("shade_system", models.CharField(blank=True, max_length=60)),
                (
                    "scheme",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("balanced", "Balanced"),
                            ("lingualised", "Lingualised"),
                            ("group", "Group function"),
                            ("canine", "Canine guidance"),
                            ("flat", "Flat (no cusps)"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "flange",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("full flange", "Full labial flange"),
                            ("partial flange", "Partial labial flange"),
                            ("socketed", "Open face, teeth set into the sockets"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "try_in",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("wanted", "Wanted"),
                            ("waived", "Waived by the dentist"),
                            ("not possible", "Not possible on this route"),
                        ],
                        max_length=16,
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True)),
                (
                    "user",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="prescribing_defaults",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Prescription",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("revision", models.PositiveIntegerField(default=1)),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("draft", "Draft"),
                            ("signed", "Signed"),
                            ("replaced", "Replaced by a later revision"),
                        ],
                        default="draft",
                        max_length=12,
                    ),
                ),
                (
                    "route",
                    models.CharField(
                        choices=[
                            (
                                "conventional",
                                "Conventional: posterior teeth out first, healing, then records",
                            ),
                            ("interim", "Interim: all remaining teeth stay until surgery"),
                        ],
                        default="conventional",
                        max_length=20,
                    ),
                ),
                (
                    "set_up_order",
                    models.CharField(
                        choices=[
                            ("posterior first", "Posterior teeth first, then anterior teeth"),
                            ("anterior first", "Anterior teeth first, then posterior teeth"),
                        ],
                        default="posterior first",
                        max_length=20,
                    ),
                ),
                (
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")],
                        default="upper",
                        max_length=8,
                    ),
                ),
                (
                    "teeth",
                    models.JSONField(
                        blank=True, default=dict, validators=[labcases.validators.validate_teeth]
                    ),
                ),
                (
                    "opposing",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        validators=[labcases.validators.validate_opposing_teeth],
                    ),
                ),
                (
                    "opponent",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("natural teeth", "Natural teeth"),
                            ("natural front teeth", "Natural front teeth only"),
                            (
                                "partial denture worn",
                                "Natural teeth and a partial denture that is worn",
                            ),
                            (
                                "partial denture being made",
                                "Natural teeth and a partial denture that is being made",
                            ),
                            ("complete denture worn", "A complete denture that is worn"),
                            (
                                "complete denture being made",
                                "A complete denture that is being made",
                            ),
                            ("nothing", "No tooth and no denture"),
                        ],
                        max_length=28,
                    ),
                ),
                (
                    "over_eruption_mm",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        validators=[labcases.validators.validate_over_eruption],
                    ),
                ),
                (
                    "over_eruption_by",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("flat plate on the cast", "Callipers and a flat plate, on the cast"),
                            (
                                "mounted cast",
                                "On the mounted cast, against the plane of the articulator",
                            ),
                            ("straight edge in the mouth", "A straight edge in the mouth"),
                            ("by eye", "Estimated by eye"),
                        ],
                        max_length=28,
                    ),
                ),
                ("first_extraction_on", models.DateField(blank=True, null=True)),
                (
                    "base_material",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("heat-cured resin", "Heat-cured resin"),
                            ("cold-cured resin", "Cold-cured resin"),
                            ("injection resin", "Injection resin"),
                            ("milled resin", "Milled resin"),
                            ("printed resin", "Printed resin"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "tooth_material",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("resin", "Resin"),
                            ("composite", "Composite resin"),
                            ("porcelain", "Porcelain"),
                        ],
                        max_length=12,
                    ),
                ),
                ("shade_system", models.CharField(blank=True, max_length=60)),
                ("shade", models.CharField(blank=True, max_length=30)),
                (
                    "shade_light",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("daylight", "Daylight"),
                            ("daylight lamp", "Daylight lamp"),
                            ("room light", "Room light"),
                        ],
                        max_length=16,
                    ),
                ),
                ("mould", models.CharField(blank=True, max_length=120)),
                (
                    "mould_form",
                    models.CharField(
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
                (
                    "central_width_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "central_length_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "scheme",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("balanced", "Balanced"),
                            ("lingualised", "Lingualised"),
                            ("group", "Group function"),
                            ("canine", "Canine guidance"),
                            ("flat", "Flat (no cusps)"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "jaw_record",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("maximum intercuspation", "Maximum intercuspation"),
                            ("centric relation", "Centric relation"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "vertical_wish",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("as the teeth", "As the natural teeth hold it now"),
                            ("as the record", "As the jaw record shows"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "flange",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("full flange", "Full labial flange"),
                            ("partial flange", "Partial labial flange"),
                            ("socketed", "Open face, teeth set into the sockets"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "post_dam",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("carved by the dentist", "Carved by the dentist on the cast"),
                            (
                                "drawn by the dentist",
                                "Drawn by the dentist, carved by the technician",
                            ),
                            (
                                "by the mark",
                                "Carved by the technician, at the mark in the impression",
                            ),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "lower_border",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("as the impression", "Where the impression ends"),
                            ("as marked", "Where the dentist marked it on the cast"),
                            ("ask", "Ask the dentist before the final wax"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "allergy",
                    models.CharField(
                        choices=[
                            ("not asked", "Not asked yet"),
                            ("none known", "None known"),
                            ("listed", "Listed below"),
                        ],
                        default="not asked",
                        max_length=12,
                    ),
                ),
                ("allergy_text", models.CharField(blank=True, max_length=200)),
                (
                    "try_in",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("wanted", "Wanted"),
                            ("waived", "Waived by the dentist"),
                            ("not possible", "Not possible on this route"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "overjet_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "overbite_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "incisal_display_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "smile_display_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "midline_offset_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "vertical_rest_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "vertical_occlusion_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("vertical_read_at", models.CharField(blank=True, max_length=120)),
                (
                    "interalar_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "canine_lines_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "probing_mm",
                    models.JSONField(
                        blank=True, default=dict, validators=[labcases.validators.validate_probing]
                    ),
                ),
                (
                    "photographs",
                    models.JSONField(
                        blank=True,
                        default=list,
                        validators=[labcases.validators.validate_photographs],
                    ),
                ),
                (
                    "natural_changes",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("none", "None: natural teeth stay as they are"),
                            ("as listed", "Those that the dentist lists, and no others"),
                        ],
                        max_length=12,
                    ),
                ),
                ("natural_changes_text", models.CharField(blank=True, max_length=300)),
                (
                    "identification",
                    models.CharField(
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
                ("template_wanted", models.BooleanField(blank=True, null=True)),
                (
                    "settings_wish",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("average values", "Average values, as the laboratory uses them"),
                            ("from the records", "From the check records that come along"),
                            ("as written", "As written below"),
                        ],
                        max_length=20,
                    ),
                ),
                ("settings_text", models.CharField(blank=True, max_length=300)),
                ("return_casts", models.BooleanField(blank=True, null=True)),
                (
                    "reline_plan",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("reline", "A reline when the ridge has settled"),
                            ("new denture", "A new denture in its place"),
                            ("at the reviews", "Decided at the reviews"),
                        ],
                        max_length=16,
                    ),
                ),
                ("characterisation", models.CharField(blank=True, max_length=300)),
                ("instructions", models.TextField(blank=True, max_length=2000)),
                ("signed_name", models.CharField(blank=True, max_length=120)),
                ("licence_number", models.CharField(blank=True, max_length=60)),
                ("signed_at", models.DateTimeField(blank=True, null=True)),
                ("digest", models.CharField(blank=True, max_length=64)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="prescriptions",
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
                    "signed_by",
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
                "ordering": ("revision",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("case", "revision"), name="one_row_per_revision"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("status", "draft")),
                        fields=("case",),
                        name="one_draft_revision_per_case",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("overjet_mm__isnull", True),
                            models.Q(
                                ("overjet_mm__gte", Decimal("-10")),
                                ("overjet_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="prescription_overjet_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("overbite_mm__isnull", True),
                            models.Q(
                                ("overbite_mm__gte", Decimal("-10")),
                                ("overbite_mm__lte", Decimal("12")),
                            ),
                            _connector="OR",
                        ),
                        name="prescription_overbite_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("incisal_display_mm__isnull", True),
                            models.Q(
                                ("incisal_display_mm__gte", Decimal("-10")),
                                ("incisal_display_mm__lte", Decimal("20")),
                            ),
                            _connector="OR",
                        ),
                        name="prescription_incisal_display_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("midline_offset_mm__isnull", True),
                            models.Q(
                                ("midline_offset_mm__gte", Decimal("-10")),
                                ("midline_offset_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="prescription_midline_offset_mm_range",
                    ),
                    models.CheckConstraint(
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
                    models.CheckConstraint(
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
                    models.CheckConstraint(
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
                    models.CheckConstraint(
                        condition=models.Q(
                            ("interalar_mm__isnull", True),
                            models.Q(
                                ("interalar_mm__gte", Decimal("20")),
                                ("interalar_mm__lte", Decimal("60")),
                            ),
                            _connector="OR",
                        ),
                        name="prescription_interalar_mm_range",
                    ),
                    models.CheckConstraint(
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
                    models.CheckConstraint(
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
                    models.CheckConstraint(
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
                ],
            },
        ),
        migrations.CreateModel(
            name="ProcessingRun",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("number", models.PositiveSmallIntegerField()),
                (
                    "technique",
                    models.CharField(
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
                ("flask", models.CharField(blank=True, max_length=40)),
                ("place", models.CharField(blank=True, max_length=40)),
                ("cycle", models.CharField(blank=True, max_length=40)),
                ("details", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, max_length=1000)),
                ("given_up_at", models.DateTimeField(blank=True, null=True)),
                ("given_up_reason", models.CharField(blank=True, max_length=200)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="processing_runs",
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
                    "given_up_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "handoff",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="runs",
                        to="labcases.handoff",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("handoff", "number"), name="one_row_per_processing"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ProcessingStep",
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
                ("step", models.CharField(max_length=16)),
                ("happened_at", models.DateTimeField()),
                ("done_by", models.CharField(blank=True, max_length=80)),
                ("words", models.CharField(blank=True, max_length=200)),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="processing_steps",
                        to="labcases.case",
                    ),
                ),
                (
                    "run",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="steps",
                        to="labcases.processingrun",
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
            name="Proposal",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("number", models.PositiveSmallIntegerField()),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("setting", "Change of a setting"),
                            ("reduction", "Reduction beyond the budget"),
                            ("natural tooth", "Natural tooth as the place of a finding"),
                            ("vertical", "New vertical"),
                            ("arrangement", "Deviation from the natural arrangement"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "Waits for the dentist"),
                            ("yes", "Yes"),
                            ("no", "No"),
                            ("change", "Yes, with a change"),
                            ("withdrawn", "Withdrawn"),
                        ],
                        default="waiting",
                        max_length=12,
                    ),
                ),
                ("field", models.CharField(blank=True, max_length=24)),
                (
                    "tooth",
                    models.CharField(
                        blank=True, max_length=2, validators=[labcases.validators.validate_tooth]
                    ),
                ),
                (
                    "basis",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("check record", "A check record says so"),
                            ("marks", "It explains the marks"),
                            ("instrument limit", "The instrument cannot be set to it"),
                            ("other", "Something else"),
                        ],
                        max_length=20,
                    ),
                ),
                ("why", models.TextField(max_length=1000)),
                (
                    "before_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "proposed_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "answered_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "before_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "proposed_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "answered_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                ("bound", models.JSONField(blank=True, default=dict)),
                ("blocking", models.BooleanField(default=True)),
                ("raised_at", models.DateTimeField(auto_now_add=True)),
                ("answer", models.TextField(blank=True, max_length=1000)),
                ("hung", models.JSONField(blank=True, default=list)),
                ("answered_at", models.DateTimeField(blank=True, null=True)),
                ("signed_name", models.CharField(blank=True, max_length=120)),
                ("licence_number", models.CharField(blank=True, max_length=60)),
                ("digest", models.CharField(blank=True, max_length=64)),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                ("withdrawn_reason", models.CharField(blank=True, max_length=200)),
                (
                    "answered_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="proposals",
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
                    "raised_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "withdrawn_by",
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
                "ordering": ("number",),
                "constraints": [
                    models.UniqueConstraint(fields=("case", "number"), name="one_row_per_proposal"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("before_mm__isnull", True),
                            models.Q(
                                ("before_mm__gte", Decimal("-10")),
                                ("before_mm__lte", Decimal("200")),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_before_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("proposed_mm__isnull", True),
                            models.Q(
                                ("proposed_mm__gte", Decimal("-10")),
                                ("proposed_mm__lte", Decimal("200")),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_proposed_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("answered_mm__isnull", True),
                            models.Q(
                                ("answered_mm__gte", Decimal("-10")),
                                ("answered_mm__lte", Decimal("200")),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_answered_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("before_deg__isnull", True),
                            models.Q(
                                ("before_deg__gte", Decimal("-90")),
                                ("before_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_before_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("proposed_deg__isnull", True),
                            models.Q(
                                ("proposed_deg__gte", Decimal("-90")),
                                ("proposed_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_proposed_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("answered_deg__isnull", True),
                            models.Q(
                                ("answered_deg__gte", Decimal("-90")),
                                ("answered_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_answered_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "natural tooth"), _negated=True),
                            models.Q(
                                ("answered_deg__isnull", True),
                                ("answered_mm__isnull", True),
                                ("before_deg__isnull", True),
                                ("before_mm__isnull", True),
                                ("proposed_deg__isnull", True),
                                ("proposed_mm__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_natural_tooth_without_number",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("kind", "vertical"),
                                ("state__in", ("yes", "change")),
                                _negated=True,
                            ),
                            models.Q(
                                models.Q(("digest", ""), _negated=True),
                                ("answered_mm__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="proposal_new_vertical_signed",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="MarksCompared",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("inputs", models.JSONField()),
                ("inputs_digest", models.CharField(max_length=64)),
                ("findings", models.JSONField()),
                ("engine_version", models.CharField(max_length=20)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "decision",
                    models.CharField(
                        blank=True,
                        choices=[("proposed", "Proposed to the dentist"), ("left", "Left")],
                        max_length=12,
                    ),
                ),
                ("decided_at", models.DateTimeField(blank=True, null=True)),
                ("reason", models.CharField(blank=True, max_length=200)),
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
                        related_name="marks_compared",
                        to="labcases.case",
                    ),
                ),
                (
                    "decided_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "proposal",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.proposal",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("decision", "left"), _negated=True),
                            models.Q(("reason", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="marks_left_with_a_reason",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Question",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("about", models.CharField(max_length=60)),
                ("tooth", models.CharField(blank=True, max_length=2)),
                ("text", models.TextField(max_length=1000)),
                (
                    "waits_for",
                    models.CharField(
                        choices=[("office", "Office"), ("laboratory", "Laboratory")], max_length=12
                    ),
                ),
                ("clinical", models.BooleanField(default=False)),
                ("blocking", models.BooleanField(default=True)),
                (
                    "asked_from",
                    models.CharField(
                        choices=[("office", "Office"), ("laboratory", "Laboratory")], max_length=12
                    ),
                ),
                ("asked_at", models.DateTimeField(auto_now_add=True)),
                ("waiting_since", models.DateTimeField()),
                ("answer", models.TextField(blank=True, max_length=1000)),
                ("answered_at", models.DateTimeField(blank=True, null=True)),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                ("said", models.PositiveIntegerField(default=0)),
                (
                    "answered_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "asked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "box",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="questions",
                        to="labcases.box",
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="questions",
                        to="labcases.case",
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
                    "revision",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="questions",
                        to="labcases.prescription",
                    ),
                ),
            ],
            options={
                "ordering": ("asked_at", "id"),
            },
        ),
        migrations.AddField(
            model_name="incident",
            name="question",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="incidents",
                to="labcases.question",
            ),
        ),
        migrations.CreateModel(
            name="QuestionEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.PositiveIntegerField()),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("answer", "Answer"),
                            ("asked again", "Asked again"),
                            ("remark", "Remark"),
                            ("revision", "Revision begun"),
                        ],
                        max_length=12,
                    ),
                ),
                ("text", models.TextField(blank=True, max_length=1000)),
                ("at", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "question",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="entries",
                        to="labcases.question",
                    ),
                ),
                (
                    "revision",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.prescription",
                    ),
                ),
            ],
            options={
                "ordering": ("question", "number"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("question", "number"), name="one_entry_per_place_in_a_thread"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="QuestionRead",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("said", models.PositiveIntegerField()),
                ("at", models.DateTimeField(auto_now=True)),
                (
                    "question",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reads",
                        to="labcases.question",
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
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("question", "user"), name="one_marker_per_reader"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Release",
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
                    "pin_rise_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "pin_after_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "rise_limit_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("0.5"), max_digits=6),
                ),
                ("lots", models.CharField(blank=True, max_length=200)),
                ("agent", models.CharField(blank=True, max_length=80)),
                ("label_minutes", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("actual_minutes", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("second_look_at", models.DateTimeField(blank=True, null=True)),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="release",
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
                    "finished_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "second_look_by",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pin_rise_mm__isnull", True),
                            models.Q(
                                ("pin_rise_mm__gte", Decimal("-2")),
                                ("pin_rise_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="release_pin_rise_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pin_after_mm__isnull", True),
                            models.Q(
                                ("pin_after_mm__gte", Decimal("-2")),
                                ("pin_after_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="release_pin_after_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rise_limit_mm__isnull", True),
                            models.Q(
                                ("rise_limit_mm__gte", Decimal("0")),
                                ("rise_limit_mm__lte", Decimal("2")),
                            ),
                            _connector="OR",
                        ),
                        name="release_rise_limit_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="RemountCheck",
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
                        related_name="remount_check",
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
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="RemountEntry",
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
                (
                    "act",
                    models.CharField(
                        choices=[
                            ("pin read", "Pin read after processing"),
                            ("cause", "Cause of the rise"),
                            ("pass", "Contacts after processing"),
                            ("reduction", "Denture tooth corrected"),
                            ("accepted", "Rise accepted"),
                            ("index read", "Read again on the index"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "rise_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("cause", models.CharField(blank=True, max_length=24)),
                (
                    "movement",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("centric", "Centric"),
                            ("right lateral", "Right lateral"),
                            ("left lateral", "Left lateral"),
                            ("protrusive", "Protrusive"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "teeth",
                    models.JSONField(
                        blank=True,
                        default=list,
                        validators=[labcases.validators.validate_tooth_list],
                    ),
                ),
                ("marks", models.JSONField(blank=True, default=dict)),
                ("foil_um", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("as_wanted", models.BooleanField(null=True)),
                (
                    "depth_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("hours_after", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("note", models.CharField(blank=True, max_length=300)),
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
                        related_name="remount_entries",
                        to="labcases.case",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("rise_mm__isnull", True),
                            models.Q(
                                ("rise_mm__gte", Decimal("-2")), ("rise_mm__lte", Decimal("10"))
                            ),
                            _connector="OR",
                        ),
                        name="remountentry_rise_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("depth_mm__isnull", True),
                            models.Q(
                                ("depth_mm__gte", Decimal("0")), ("depth_mm__lte", Decimal("5"))
                            ),
                            _connector="OR",
                        ),
                        name="remountentry_depth_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Settlement",
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
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("found", "Found after all"),
                            ("never packed", "Never packed: the sender still has it"),
                            ("lost", "Lost"),
                            ("not listed", "Packed, and not written on the list"),
                            ("miscounted", "Counted wrong: the list is right"),
                        ],
                        max_length=16,
                    ),
                ),
                ("note", models.CharField(max_length=200)),
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
                        related_name="settlements",
                        to="labcases.case",
                    ),
                ),
                (
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="settlements",
                        to="labcases.boxitem",
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
            name="SetUpEntry",
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
                (
                    "act",
                    models.CharField(
                        choices=[
                            ("base adapted", "Base adapted, stabilised and sealed"),
                            ("pin opened", "Pin opened"),
                            ("pin reading", "Pin read"),
                            ("base reduced", "Base reduced at a site"),
                            ("hollow-ground", "Tooth hollow-ground"),
                            ("cast trimmed", "Stone teeth cut and cast trimmed"),
                            ("tooth set", "Teeth set in wax"),
                            ("set otherwise", "Tooth set otherwise than the natural one"),
                            ("cusp in fossa", "Upper lingual cusp in its lower fossa"),
                            ("reduction", "Denture tooth reduced"),
                            ("pass", "Pass with foil"),
                            ("part done", "Part of the set-up done"),
                            ("note", "Note"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "teeth",
                    models.JSONField(
                        blank=True,
                        default=list,
                        validators=[labcases.validators.validate_tooth_list],
                    ),
                ),
                (
                    "part",
                    models.CharField(
                        blank=True,
                        choices=[("posterior", "Posterior teeth"), ("anterior", "Anterior teeth")],
                        max_length=12,
                    ),
                ),
                (
                    "movement",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("centric", "Centric"),
                            ("right lateral", "Right lateral"),
                            ("left lateral", "Left lateral"),
                            ("protrusive", "Protrusive"),
                        ],
                        max_length=16,
                    ),
                ),
                ("as_wanted", models.BooleanField(null=True)),
                ("separable_base", models.BooleanField(null=True)),
                (
                    "before_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "after_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "shell_left_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "base_mm",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=6,
                        null=True,
                        verbose_name="base under the tooth mm",
                    ),
                ),
                ("note", models.CharField(blank=True, max_length=300)),
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
                        related_name="setup_entries",
                        to="labcases.case",
                    ),
                ),
                (
                    "mark",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reductions",
                        to="labcases.mark",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("before_mm__isnull", True),
                            models.Q(
                                ("before_mm__gte", Decimal("-10")),
                                ("before_mm__lte", Decimal("40")),
                            ),
                            _connector="OR",
                        ),
                        name="setupentry_before_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("after_mm__isnull", True),
                            models.Q(
                                ("after_mm__gte", Decimal("-10")), ("after_mm__lte", Decimal("40"))
                            ),
                            _connector="OR",
                        ),
                        name="setupentry_after_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shell_left_mm__isnull", True),
                            models.Q(
                                ("shell_left_mm__gte", Decimal("0")),
                                ("shell_left_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="setupentry_shell_left_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("base_mm__isnull", True),
                            models.Q(
                                ("base_mm__gte", Decimal("0")), ("base_mm__lte", Decimal("10"))
                            ),
                            _connector="OR",
                        ),
                        name="setupentry_base_mm_range",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="mark",
            name="entry",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="marks",
                to="labcases.setupentry",
            ),
        ),
        migrations.CreateModel(
            name="LinePhotograph",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
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
                    "photograph",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lines",
                        to="labcases.attachment",
                    ),
                ),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photographs",
                        to="labcases.setupentry",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("entry", "photograph"), name="one_photograph_once_a_line"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CastTrim",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "method",
                    models.CharField(
                        choices=[
                            ("one by one", "One tooth at a time"),
                            ("alternate", "Every second tooth"),
                            ("side first", "One side of the arch first"),
                            ("all at once", "All teeth at once"),
                            ("socketed", "Into the sockets, open face"),
                            ("pocket depth", "To the depth of the pockets"),
                            ("staged", "In stages, from the gingival margin"),
                            ("thirds", "By thirds of the labial height"),
                            ("surgical", "As the bone will be cut at surgery"),
                            ("other", "Another way"),
                        ],
                        max_length=16,
                    ),
                ),
                ("words", models.CharField(blank=True, max_length=200)),
                (
                    "entry",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="trim",
                        to="labcases.setupentry",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="ArrangementChange",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "deviation",
                    models.CharField(
                        choices=[
                            ("further forward", "Further forward"),
                            ("further back", "Further back"),
                            ("longer", "Longer"),
                            ("shorter", "Shorter"),
                            ("space", "Space beside it opened or closed"),
                            ("turned", "Turned about its long axis"),
                            ("tipped", "Tipped to the side"),
                            ("other", "Otherwise, in words"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "amount_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "amount_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "wanted_by",
                    models.CharField(
                        choices=[
                            ("prescription", "The prescription"),
                            ("technician", "The technician"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "entry",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="arrangement",
                        to="labcases.setupentry",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("amount_mm__isnull", True),
                            models.Q(
                                ("amount_mm__gte", Decimal("0.1")),
                                ("amount_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="arrangementchange_amount_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("amount_deg__isnull", True),
                            models.Q(
                                ("amount_deg__gte", Decimal("0.5")),
                                ("amount_deg__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="arrangementchange_amount_deg_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SignedPaper",
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
                    "says",
                    models.CharField(
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
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("being typed", "Being typed"),
                            ("to be confirmed", "Typed, to be confirmed by a second member"),
                            ("confirmed", "Confirmed"),
                            ("given up", "Given up"),
                        ],
                        default="being typed",
                        max_length=16,
                    ),
                ),
                ("said", models.JSONField(blank=True, default=dict)),
                ("said_digest", models.CharField(blank=True, max_length=64)),
                ("signed_name", models.CharField(blank=True, max_length=120)),
                ("licence_number", models.CharField(blank=True, max_length=60)),
                ("signed_on", models.DateField(blank=True, null=True)),
                ("typed_at", models.DateTimeField(blank=True, null=True)),
                ("confirmed_at", models.DateTimeField(blank=True, null=True)),
                ("sent_back_at", models.DateTimeField(blank=True, null=True)),
                ("sent_back_reason", models.CharField(blank=True, max_length=200)),
                ("given_up_reason", models.CharField(blank=True, max_length=200)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signed_papers",
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
                    "confirmed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "pages",
                    models.ManyToManyField(
                        blank=True, related_name="signed_papers", to="labcases.attachment"
                    ),
                ),
                (
                    "prescription",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="labcases.prescription",
                    ),
                ),
                (
                    "sent_back_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "typed_by",
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
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("state", "given up"), _negated=True),
                        fields=("prescription",),
                        name="one_paper_per_revision",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "confirmed"), _negated=True),
                            models.Q(
                                ("confirmed_at__isnull", False),
                                ("confirmed_by__isnull", False),
                                ("signed_on__isnull", False),
                                ("typed_by__isnull", False),
                                models.Q(("signed_name", ""), _negated=True),
                                models.Q(("licence_number", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="signedpaper_confirmed_whole",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("prescription__isnull", False), ("says", "prescription")),
                            models.Q(
                                models.Q(("says", "prescription"), _negated=True),
                                ("prescription__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="signedpaper_revision_of_prescription",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="proposal",
            name="paper",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.signedpaper",
            ),
        ),
        migrations.CreateModel(
            name="FinalWax",
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
                    "trim_method",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("one by one", "One tooth at a time"),
                            ("alternate", "Every second tooth"),
                            ("side first", "One side of the arch first"),
                            ("all at once", "All teeth at once"),
                            ("socketed", "Into the sockets, open face"),
                            ("pocket depth", "To the depth of the pockets"),
                            ("staged", "In stages, from the gingival margin"),
                            ("thirds", "By thirds of the labial height"),
                            ("surgical", "As the bone will be cut at surgery"),
                            ("other", "Another way"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "trim_labial_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("duplicate_made", models.BooleanField(default=False)),
                ("bone_change_planned", models.BooleanField(null=True)),
                (
                    "flange_kind",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("full flange", "Full labial flange"),
                            ("partial flange", "Partial labial flange"),
                            ("socketed", "Open face, teeth set into the sockets"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "flange_right_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "flange_front_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "flange_left_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("flange_decision", models.CharField(blank=True, max_length=120)),
                (
                    "undercut_kind",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("none", "None that holds the base"),
                            ("relieved", "Relieved on the cast"),
                            ("passed", "Kept, and passed along the path of insertion"),
                            ("both", "Some relieved, some passed"),
                        ],
                        max_length=12,
                    ),
                ),
                ("undercut_decision", models.CharField(blank=True, max_length=120)),
                (
                    "insertion",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("straight", "Straight, along the teeth"),
                            ("front first", "Front first, then the back is turned up"),
                            ("back first", "Back first, then the front is turned up"),
                            ("one side first", "One side first"),
                        ],
                        max_length=16,
                    ),
                ),
                ("template_wanted", models.BooleanField(null=True)),
                ("template_decision", models.CharField(blank=True, max_length=120)),
                (
                    "overjet_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "overbite_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "incisal_display_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "midline_offset_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "central_length_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("as_prescribed", models.JSONField(blank=True, default=dict)),
                ("answers", models.JSONField(blank=True, default=dict)),
                ("words", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, max_length=1000)),
                ("approved_at", models.DateTimeField(blank=True, null=True)),
                ("approved_digest", models.CharField(blank=True, max_length=64)),
                ("trimming_approved", models.BooleanField(default=False)),
                ("approved_photographs", models.JSONField(blank=True, default=list)),
                ("approved_trims", models.JSONField(blank=True, default=list)),
                (
                    "approved_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="final_wax",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("trim_labial_mm__isnull", True),
                            models.Q(
                                ("trim_labial_mm__gte", Decimal("0")),
                                ("trim_labial_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_trim_labial_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("overjet_mm__isnull", True),
                            models.Q(
                                ("overjet_mm__gte", Decimal("-10")),
                                ("overjet_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_overjet_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("overbite_mm__isnull", True),
                            models.Q(
                                ("overbite_mm__gte", Decimal("-10")),
                                ("overbite_mm__lte", Decimal("12")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_overbite_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("incisal_display_mm__isnull", True),
                            models.Q(
                                ("incisal_display_mm__gte", Decimal("-10")),
                                ("incisal_display_mm__lte", Decimal("20")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_incisal_display_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("midline_offset_mm__isnull", True),
                            models.Q(
                                ("midline_offset_mm__gte", Decimal("-10")),
                                ("midline_offset_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_midline_offset_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("central_length_mm__isnull", True),
                            models.Q(
                                ("central_length_mm__gte", Decimal("5")),
                                ("central_length_mm__lte", Decimal("20")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_central_length_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("flange_right_mm__isnull", True),
                            models.Q(
                                ("flange_right_mm__gte", Decimal("0")),
                                ("flange_right_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_flange_right_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("flange_front_mm__isnull", True),
                            models.Q(
                                ("flange_front_mm__gte", Decimal("0")),
                                ("flange_front_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_flange_front_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("flange_left_mm__isnull", True),
                            models.Q(
                                ("flange_left_mm__gte", Decimal("0")),
                                ("flange_left_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="finalwax_flange_left_mm_range",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="case",
            name="surgery_paper",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.signedpaper",
            ),
        ),
        migrations.CreateModel(
            name="SiteMeasure",
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
                    "tooth",
                    models.CharField(max_length=2, validators=[labcases.validators.validate_tooth]),
                ),
                ("ample", models.BooleanField(default=False)),
                (
                    "space_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "space_from",
                    models.CharField(
                        choices=[
                            ("healed ridge", "Healed ridge"),
                            ("planned trim line", "Planned trim line"),
                            ("tuberosity", "Tuberosity"),
                        ],
                        default="healed ridge",
                        max_length=20,
                    ),
                ),
                (
                    "base_min_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "relief_mm",
                    models.DecimalField(decimal_places=2, default=Decimal("0"), max_digits=6),
                ),
                (
                    "tooth_height_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "shell_over_fossa_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "shell_min_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "cusp_angle_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "tip_separation_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "mesiodistal_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "buccolingual_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "tip_height_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "tilt_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "behind_incisal_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "from_midline_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sites",
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
            ],
            options={
                "ordering": ("tooth",),
                "constraints": [
                    models.UniqueConstraint(fields=("case", "tooth"), name="one_measure_per_site"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("space_mm__isnull", True),
                            models.Q(
                                ("space_mm__gte", Decimal("0")), ("space_mm__lte", Decimal("40"))
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_space_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("base_min_mm__isnull", True),
                            models.Q(
                                ("base_min_mm__gte", Decimal("0")),
                                ("base_min_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_base_min_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("relief_mm__isnull", True),
                            models.Q(
                                ("relief_mm__gte", Decimal("0")), ("relief_mm__lte", Decimal("5"))
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_relief_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("tooth_height_mm__isnull", True),
                            models.Q(
                                ("tooth_height_mm__gte", Decimal("0")),
                                ("tooth_height_mm__lte", Decimal("20")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_tooth_height_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shell_over_fossa_mm__isnull", True),
                            models.Q(
                                ("shell_over_fossa_mm__gte", Decimal("0")),
                                ("shell_over_fossa_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_shell_over_fossa_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shell_min_mm__isnull", True),
                            models.Q(
                                ("shell_min_mm__gte", Decimal("0")),
                                ("shell_min_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_shell_min_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("cusp_angle_deg__isnull", True),
                            models.Q(
                                ("cusp_angle_deg__gte", Decimal("0")),
                                ("cusp_angle_deg__lte", Decimal("60")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_cusp_angle_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("tip_separation_mm__isnull", True),
                            models.Q(
                                ("tip_separation_mm__gte", Decimal("1")),
                                ("tip_separation_mm__lte", Decimal("12")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_tip_separation_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("mesiodistal_mm__isnull", True),
                            models.Q(
                                ("mesiodistal_mm__gte", Decimal("3")),
                                ("mesiodistal_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_mesiodistal_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("buccolingual_mm__isnull", True),
                            models.Q(
                                ("buccolingual_mm__gte", Decimal("3")),
                                ("buccolingual_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_buccolingual_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("tip_height_mm__isnull", True),
                            models.Q(
                                ("tip_height_mm__gte", Decimal("-8")),
                                ("tip_height_mm__lte", Decimal("8")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_tip_height_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("tilt_deg__isnull", True),
                            models.Q(
                                ("tilt_deg__gte", Decimal("-30")), ("tilt_deg__lte", Decimal("30"))
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_tilt_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("behind_incisal_mm__isnull", True),
                            models.Q(
                                ("behind_incisal_mm__gte", Decimal("0")),
                                ("behind_incisal_mm__lte", Decimal("80")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_behind_incisal_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("from_midline_mm__isnull", True),
                            models.Q(
                                ("from_midline_mm__gte", Decimal("0")),
                                ("from_midline_mm__lte", Decimal("50")),
                            ),
                            _connector="OR",
                        ),
                        name="sitemeasure_from_midline_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="StockFile",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("content", models.BinaryField()),
                ("rows", models.PositiveIntegerField()),
                ("at", models.DateTimeField(auto_now_add=True)),
                ("taken_in_at", models.DateTimeField(blank=True, null=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "laboratory",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stock_files",
                        to="labcases.organisation",
                    ),
                ),
                (
                    "taken_in_by",
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
            },
        ),
        migrations.CreateModel(
            name="TakenRecord",
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
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("maximum intercuspation", "Maximum intercuspation"),
                            ("centric relation", "Centric relation"),
                            ("protrusive", "Protrusive"),
                            ("right lateral", "Right lateral"),
                            ("left lateral", "Left lateral"),
                        ],
                        max_length=24,
                    ),
                ),
                ("material", models.CharField(blank=True, max_length=80)),
                ("taken_at", models.DateTimeField()),
                ("taken_by", models.CharField(max_length=80)),
                (
                    "vertical_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="taken_records",
                        to="labcases.case",
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
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("vertical_mm__isnull", True),
                            models.Q(
                                ("vertical_mm__gte", Decimal("20")),
                                ("vertical_mm__lte", Decimal("120")),
                            ),
                            _connector="OR",
                        ),
                        name="takenrecord_vertical_mm_range",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="PastMounting",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("casts_inspected", models.BooleanField(default=False)),
                ("cast_note", models.CharField(blank=True, max_length=200)),
                (
                    "transfer",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("arbitrary face-bow", "Arbitrary face-bow"),
                            ("kinematic face-bow", "Kinematic face-bow"),
                            ("average values", "Average values, no transfer"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "reference_plane",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("axis plane", "Axis plane of the articulator"),
                            ("ala-tragus plane", "Ala-tragus plane"),
                            ("occlusal plane", "Occlusal plane"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "jaw_record",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("maximum intercuspation", "Maximum intercuspation"),
                            ("centric relation", "Centric relation"),
                        ],
                        max_length=24,
                    ),
                ),
                ("record_medium", models.CharField(blank=True, max_length=80)),
                (
                    "pin_zero_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "verified_by_method",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("foil", "Foil held at spread points (maximum intercuspation)"),
                            ("second record", "Second record agrees"),
                            ("split cast", "Split cast closes"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "foil_pairs",
                    models.CharField(
                        blank=True,
                        help_text="Pairs that hold foil, for example 16/46, 26/36.",
                        max_length=120,
                    ),
                ),
                ("foil_points", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "agreement_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("split_cast_closes", models.BooleanField(default=False)),
                ("number", models.PositiveSmallIntegerField()),
                ("verdict", models.CharField(max_length=20)),
                ("said", models.CharField(blank=True, max_length=400)),
                (
                    "asked",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("new mounting", "New mounting"),
                            ("new record", "New jaw record"),
                        ],
                        max_length=16,
                    ),
                ),
                ("reason", models.CharField(max_length=240)),
                ("ended_at", models.DateTimeField(auto_now_add=True)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="past_mountings",
                        to="labcases.case",
                    ),
                ),
                (
                    "ended_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "lower_cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.cast",
                    ),
                ),
                (
                    "upper_cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.cast",
                    ),
                ),
                (
                    "record",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.takenrecord",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.CreateModel(
            name="Mounting",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("casts_inspected", models.BooleanField(default=False)),
                ("cast_note", models.CharField(blank=True, max_length=200)),
                (
                    "transfer",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("arbitrary face-bow", "Arbitrary face-bow"),
                            ("kinematic face-bow", "Kinematic face-bow"),
                            ("average values", "Average values, no transfer"),
                        ],
                        max_length=24,
                    ),
                ),
                (
                    "reference_plane",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("axis plane", "Axis plane of the articulator"),
                            ("ala-tragus plane", "Ala-tragus plane"),
                            ("occlusal plane", "Occlusal plane"),
                        ],
                        max_length=20,
                    ),
                ),
                (
                    "jaw_record",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("maximum intercuspation", "Maximum intercuspation"),
                            ("centric relation", "Centric relation"),
                        ],
                        max_length=24,
                    ),
                ),
                ("record_medium", models.CharField(blank=True, max_length=80)),
                (
                    "pin_zero_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "verified_by_method",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("foil", "Foil held at spread points (maximum intercuspation)"),
                            ("second record", "Second record agrees"),
                            ("split cast", "Split cast closes"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "foil_pairs",
                    models.CharField(
                        blank=True,
                        help_text="Pairs that hold foil, for example 16/46, 26/36.",
                        max_length=120,
                    ),
                ),
                ("foil_points", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "agreement_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("split_cast_closes", models.BooleanField(default=False)),
                ("number", models.PositiveSmallIntegerField(default=1)),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="mounting",
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
                    "lower_cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.cast",
                    ),
                ),
                (
                    "upper_cast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.cast",
                    ),
                ),
                (
                    "record",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="labcases.takenrecord",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pin_zero_mm__isnull", True),
                            models.Q(
                                ("pin_zero_mm__gte", Decimal("-10")),
                                ("pin_zero_mm__lte", Decimal("30")),
                            ),
                            _connector="OR",
                        ),
                        name="mounting_pin_zero_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("agreement_mm__isnull", True),
                            models.Q(
                                ("agreement_mm__gte", Decimal("0")),
                                ("agreement_mm__lte", Decimal("5")),
                            ),
                            _connector="OR",
                        ),
                        name="mounting_agreement_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ToothSelection",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("anterior_mould", models.CharField(blank=True, max_length=80)),
                ("posterior_mould", models.CharField(blank=True, max_length=80)),
                ("shade", models.CharField(blank=True, max_length=30)),
                (
                    "material",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("resin", "Resin"),
                            ("composite", "Composite resin"),
                            ("porcelain", "Porcelain"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "cusp_angle_deg",
                    models.DecimalField(decimal_places=1, default=Decimal("20"), max_digits=5),
                ),
                (
                    "front_six_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "posterior_four_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "tooth_height_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "shell_over_fossa_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "shell_min_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "natural_central_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "natural_six_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "opposing_six_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "inner_canthal_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "bizygomatic_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "interalar_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "hamular_notch_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "room_right_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "room_left_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "case",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="selection",
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
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("cusp_angle_deg__isnull", True),
                            models.Q(
                                ("cusp_angle_deg__gte", Decimal("0")),
                                ("cusp_angle_deg__lte", Decimal("60")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_cusp_angle_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("front_six_mm__isnull", True),
                            models.Q(
                                ("front_six_mm__gte", Decimal("15")),
                                ("front_six_mm__lte", Decimal("150")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_front_six_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("posterior_four_mm__isnull", True),
                            models.Q(
                                ("posterior_four_mm__gte", Decimal("20")),
                                ("posterior_four_mm__lte", Decimal("48")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_posterior_four_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("tooth_height_mm__isnull", True),
                            models.Q(
                                ("tooth_height_mm__gte", Decimal("0")),
                                ("tooth_height_mm__lte", Decimal("20")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_tooth_height_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shell_over_fossa_mm__isnull", True),
                            models.Q(
                                ("shell_over_fossa_mm__gte", Decimal("0")),
                                ("shell_over_fossa_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_shell_over_fossa_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shell_min_mm__isnull", True),
                            models.Q(
                                ("shell_min_mm__gte", Decimal("0")),
                                ("shell_min_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_shell_min_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("natural_central_mm__isnull", True),
                            models.Q(
                                ("natural_central_mm__gte", Decimal("3")),
                                ("natural_central_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_natural_central_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("natural_six_mm__isnull", True),
                            models.Q(
                                ("natural_six_mm__gte", Decimal("18")),
                                ("natural_six_mm__lte", Decimal("90")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_natural_six_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("opposing_six_mm__isnull", True),
                            models.Q(
                                ("opposing_six_mm__gte", Decimal("15")),
                                ("opposing_six_mm__lte", Decimal("150")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_opposing_six_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("inner_canthal_mm__isnull", True),
                            models.Q(
                                ("inner_canthal_mm__gte", Decimal("15")),
                                ("inner_canthal_mm__lte", Decimal("55")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_inner_canthal_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("bizygomatic_mm__isnull", True),
                            models.Q(
                                ("bizygomatic_mm__gte", Decimal("80")),
                                ("bizygomatic_mm__lte", Decimal("200")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_bizygomatic_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("interalar_mm__isnull", True),
                            models.Q(
                                ("interalar_mm__gte", Decimal("20")),
                                ("interalar_mm__lte", Decimal("60")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_interalar_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("hamular_notch_mm__isnull", True),
                            models.Q(
                                ("hamular_notch_mm__gte", Decimal("25")),
                                ("hamular_notch_mm__lte", Decimal("70")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_hamular_notch_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("room_right_mm__isnull", True),
                            models.Q(
                                ("room_right_mm__gte", Decimal("0")),
                                ("room_right_mm__lte", Decimal("70")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_room_right_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("room_left_mm__isnull", True),
                            models.Q(
                                ("room_left_mm__gte", Decimal("0")),
                                ("room_left_mm__lte", Decimal("70")),
                            ),
                            _connector="OR",
                        ),
                        name="toothselection_room_left_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ToothSet",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("line", models.CharField(max_length=80)),
                (
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                (
                    "part",
                    models.CharField(
                        choices=[("posterior", "Posterior teeth"), ("anterior", "Anterior teeth")],
                        max_length=12,
                    ),
                ),
                ("mould", models.CharField(max_length=80)),
                ("shade", models.CharField(max_length=30)),
                (
                    "material",
                    models.CharField(
                        choices=[
                            ("resin", "Resin"),
                            ("composite", "Composite resin"),
                            ("porcelain", "Porcelain"),
                        ],
                        max_length=12,
                    ),
                ),
                ("lot", models.CharField(blank=True, max_length=60)),
                (
                    "cusp_angle_deg",
                    models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True),
                ),
                (
                    "together_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "shell_min_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("expires_on", models.DateField(blank=True, null=True)),
                ("shelf", models.CharField(blank=True, max_length=40)),
                ("count", models.PositiveIntegerField(default=0)),
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
                        related_name="tooth_sets",
                        to="labcases.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("arch", "part", "line", "mould", "shade", "material", "lot", "pk"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=(
                            "laboratory",
                            "line",
                            "arch",
                            "part",
                            "mould",
                            "shade",
                            "material",
                            "lot",
                        ),
                        name="one_row_per_kind_of_set",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("cusp_angle_deg__isnull", True),
                            models.Q(
                                ("cusp_angle_deg__gte", Decimal("0")),
                                ("cusp_angle_deg__lte", Decimal("60")),
                            ),
                            _connector="OR",
                        ),
                        name="toothset_cusp_angle_deg_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("together_mm__isnull", True),
                            models.Q(
                                ("together_mm__gte", Decimal("15")),
                                ("together_mm__lte", Decimal("150")),
                            ),
                            _connector="OR",
                        ),
                        name="toothset_together_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("shell_min_mm__isnull", True),
                            models.Q(
                                ("shell_min_mm__gte", Decimal("0")),
                                ("shell_min_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="toothset_shell_min_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="TeethSupply",
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
                    "arch",
                    models.CharField(
                        choices=[("upper", "Upper"), ("lower", "Lower")], max_length=8
                    ),
                ),
                (
                    "part",
                    models.CharField(
                        choices=[("posterior", "Posterior teeth"), ("anterior", "Anterior teeth")],
                        max_length=12,
                    ),
                ),
                (
                    "tooth",
                    models.CharField(
                        blank=True, max_length=2, validators=[labcases.validators.validate_tooth]
                    ),
                ),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("stock", "From stock"),
                            ("order", "Ordered"),
                            ("here", "Here, not from stock"),
                        ],
                        max_length=8,
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("ordered", "Ordered"),
                            ("in hand", "In hand"),
                            ("set aside", "Set aside"),
                            ("put back", "Put back"),
                            ("not used", "Not used"),
                            ("cancelled", "Order cancelled"),
                        ],
                        max_length=12,
                    ),
                ),
                ("line", models.CharField(blank=True, max_length=80)),
                ("mould", models.CharField(blank=True, max_length=80)),
                ("shade", models.CharField(blank=True, max_length=30)),
                (
                    "material",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("resin", "Resin"),
                            ("composite", "Composite resin"),
                            ("porcelain", "Porcelain"),
                        ],
                        max_length=12,
                    ),
                ),
                ("lot", models.CharField(blank=True, max_length=120)),
                ("supplier", models.CharField(blank=True, max_length=80)),
                ("ordered_on", models.DateField(blank=True, null=True)),
                ("lead_days", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("held_up", models.CharField(blank=True, max_length=200)),
                ("arrived_on", models.DateField(blank=True, null=True)),
                ("counted", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("differences", models.CharField(blank=True, max_length=200)),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("ended_why", models.CharField(blank=True, max_length=240)),
                ("revision", models.PositiveIntegerField(default=1)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="tooth_supplies",
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
                    "tooth_set",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="supplies",
                        to="labcases.toothset",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("state__in", ("ordered", "in hand"))),
                        fields=("case", "arch", "part", "tooth"),
                        name="one_standing_supply_per_part",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="StockLine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "act",
                    models.CharField(
                        choices=[
                            ("added", "Added"),
                            ("counted", "Counted"),
                            ("changed", "Changed"),
                            ("taken", "Taken"),
                            ("put back", "Put back"),
                            ("imported", "From a file"),
                        ],
                        max_length=12,
                    ),
                ),
                ("before", models.PositiveIntegerField()),
                ("after", models.PositiveIntegerField()),
                ("changes", models.JSONField(blank=True, default=dict)),
                ("why", models.CharField(blank=True, max_length=240)),
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
                    "case",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stock_lines",
                        to="labcases.case",
                    ),
                ),
                (
                    "tooth_set",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lines",
                        to="labcases.toothset",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
            },
        ),
        migrations.CreateModel(
            name="ToothTrim",
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
                ("place", models.PositiveSmallIntegerField()),
                ("labial_mm", models.DecimalField(decimal_places=2, max_digits=6)),
                (
                    "crest_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "palatal_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("apical_third", models.BooleanField(default=False)),
                (
                    "trim",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="teeth",
                        to="labcases.casttrim",
                    ),
                ),
            ],
            options={
                "ordering": ("place",),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("trim", "tooth"), name="one_trim_per_tooth_of_a_line"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("labial_mm__isnull", True),
                            models.Q(
                                ("labial_mm__gte", Decimal("0")), ("labial_mm__lte", Decimal("10"))
                            ),
                            _connector="OR",
                        ),
                        name="toothtrim_labial_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("crest_mm__isnull", True),
                            models.Q(
                                ("crest_mm__gte", Decimal("0")), ("crest_mm__lte", Decimal("10"))
                            ),
                            _connector="OR",
                        ),
                        name="toothtrim_crest_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("palatal_mm__isnull", True),
                            models.Q(
                                ("palatal_mm__gte", Decimal("0")),
                                ("palatal_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="toothtrim_palatal_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="TryIn",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("version", models.PositiveIntegerField(default=1)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("number", models.PositiveSmallIntegerField(default=1)),
                ("revision", models.PositiveIntegerField()),
                ("opened_at", models.DateTimeField(auto_now_add=True)),
                ("answers", models.JSONField(blank=True, default=dict)),
                ("words", models.JSONField(blank=True, default=dict)),
                (
                    "vertical_rest_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "vertical_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                ("centric", models.JSONField(blank=True, default=list)),
                (
                    "speaking_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "display_rest_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "display_smile_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "midline_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "length_change_mm",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True),
                ),
                (
                    "lip_contact",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("meets", "Meet the lower lip lightly"),
                            ("short", "Do not reach the lower lip"),
                            ("long", "Press into the lower lip"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "patient_saw",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("photographs", "Photographs"),
                            ("mock-up", "A mock-up"),
                            ("both", "Photographs and a mock-up"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "patient_word",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("as shown", "Copied as shown"),
                            ("as listed", "Changed as listed"),
                            ("not asked", "Not asked"),
                        ],
                        max_length=12,
                    ),
                ),
                ("patient_list", models.CharField(blank=True, max_length=300)),
                ("patient_asked_by", models.CharField(blank=True, max_length=80)),
                (
                    "outcome",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("approved", "Approved"),
                            ("approved with changes", "Approved with changes"),
                            ("redo", "Not approved: what is marked redo is made again"),
                            ("new record", "New record, mount again"),
                            ("waived", "Waived by the dentist"),
                        ],
                        max_length=24,
                    ),
                ),
                ("changes", models.TextField(blank=True, max_length=1000)),
                (
                    "sent_back_to",
                    models.CharField(
                        blank=True,
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
                ("decided_at", models.DateTimeField(blank=True, null=True)),
                ("taken_back", models.CharField(blank=True, max_length=200)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="try_ins",
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
                    "decided_by",
                    models.ForeignKey(
                        blank=True,
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
                "ordering": ("number",),
                "constraints": [
                    models.UniqueConstraint(fields=("case", "number"), name="one_row_per_try_in"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("vertical_rest_mm__isnull", True),
                            models.Q(
                                ("vertical_rest_mm__gte", Decimal("20")),
                                ("vertical_rest_mm__lte", Decimal("120")),
                            ),
                            _connector="OR",
                        ),
                        name="tryin_vertical_rest_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("vertical_mm__isnull", True),
                            models.Q(
                                ("vertical_mm__gte", Decimal("20")),
                                ("vertical_mm__lte", Decimal("120")),
                            ),
                            _connector="OR",
                        ),
                        name="tryin_vertical_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("speaking_mm__isnull", True),
                            models.Q(
                                ("speaking_mm__gte", Decimal("0")),
                                ("speaking_mm__lte", Decimal("15")),
                            ),
                            _connector="OR",
                        ),
                        name="tryin_speaking_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("display_rest_mm__isnull", True),
                            models.Q(
                                ("display_rest_mm__gte", Decimal("-10")),
                                ("display_rest_mm__lte", Decimal("20")),
                            ),
                            _connector="OR",
                        ),
                        name="tryin_display_rest_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("display_smile_mm__isnull", True),
                            models.Q(
                                ("display_smile_mm__gte", Decimal("-10")),
                                ("display_smile_mm__lte", Decimal("25")),
                            ),
                            _connector="OR",
                        ),
                        name="tryin_display_smile_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("midline_mm__isnull", True),
                            models.Q(
                                ("midline_mm__gte", Decimal("-10")),
                                ("midline_mm__lte", Decimal("10")),
                            ),
                            _connector="OR",
                        ),
                        name="tryin_midline_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("length_change_mm__isnull", True),
                            models.Q(
                                ("length_change_mm__gte", Decimal("-5")),
                                ("length_change_mm__lte", Decimal("5")),
                            ),
                            _connector="OR",
                        ),
                        name="tryin_length_change_mm_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="BenchCheck",
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
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bench_checks",
                        to="labcases.case",
                    ),
                ),
                (
                    "try_in",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bench_check",
                        to="labcases.tryin",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("try_in__isnull", True)),
                        fields=("case",),
                        name="one_open_bench_check",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="UsedMaterial",
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
                (
                    "use",
                    models.CharField(
                        choices=[
                            ("resin powder", "Resin powder"),
                            ("resin liquid", "Resin liquid"),
                            ("resin", "Resin in one part"),
                            ("disc", "Disc"),
                            ("printing resin", "Printing resin"),
                            ("bonding agent", "Bonding agent for the teeth"),
                            ("investment", "Investment"),
                            ("separator", "Separator"),
                            ("other", "Something else"),
                        ],
                        max_length=20,
                    ),
                ),
                ("product", models.CharField(max_length=120)),
                ("lot", models.CharField(max_length=80)),
                ("expires_on", models.DateField(blank=True, null=True)),
                ("instructions", models.CharField(blank=True, max_length=240)),
                ("note", models.CharField(blank=True, max_length=200)),
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
                        related_name="used_materials",
                        to="labcases.case",
                    ),
                ),
                (
                    "run",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="materials",
                        to="labcases.processingrun",
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
        migrations.AddConstraint(
            model_name="mark",
            constraint=models.UniqueConstraint(
                fields=("entry", "tooth"), name="one_mark_per_tooth_and_pass"
            ),
        ),
        migrations.AddConstraint(
            model_name="proposal",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("state__in", ("waiting", "withdrawn")),
                    models.Q(
                        ("answered_at__isnull", False),
                        models.Q(
                            ("answered_by__isnull", False),
                            ("paper__isnull", False),
                            _connector="OR",
                        ),
                    ),
                    _connector="OR",
                ),
                name="proposal_answered_whole",
            ),
        ),
        migrations.AddIndex(
            model_name="case",
            index=models.Index(
                fields=["laboratory", "stage", "surgery_on", "id"],
                name="labcases_ca_laborat_fe2c2f_idx",
            ),
        ),
        migrations.AddIndex(
            model_name="case",
            index=models.Index(
                fields=["office", "stage", "surgery_on", "id"],
                name="labcases_ca_office__db19fc_idx",
            ),
        ),
        migrations.RunPython(guard, unguard),
    ]
