"""Give each remount that was entered with the release lines of its own; the old columns stay."""

from decimal import Decimal

from django.db import migrations

BATCH = 500
BACK = Decimal("0.05")


def as_lines(apps, schema_editor):
    releases = apps.get_model("labcases", "Release").objects
    lines = apps.get_model("labcases", "RemountEntry").objects
    records = apps.get_model("labcases", "ArticulatorRecord").objects
    proposals = apps.get_model("labcases", "Proposal").objects
    for row in releases.filter(pin_rise_mm__isnull=False).iterator(BATCH):
        by = row.finished_by_id or row.changed_by_id
        if by is None or lines.filter(case_id=row.case_id).exists():
            continue
        found = [("pin read", row.pin_rise_mm)]
        # Read from pin zero. Where the dentist set another vertical, nobody says from which.
        set_anew = proposals.filter(case_id=row.case_id, kind="vertical").exists()
        if row.pin_after_mm is not None and not set_anew:
            record = records.filter(case_id=row.case_id).first()
            left = row.pin_after_mm - (record.pin_agreed_mm if record else 0)
            found.append(("pin read", left))
            if BACK < abs(left) <= row.rise_limit_mm:
                found.append(("accepted", left))
        for act, rise in found:
            line = lines.create(case_id=row.case_id, by_id=by, act=act, rise_mm=rise)
            lines.filter(pk=line.pk).update(at=row.changed_at)


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0049_remount_log"),
    ]

    operations = [
        migrations.RunPython(as_lines, migrations.RunPython.noop, elidable=True),
    ]
