"""Give each text of lots that was written at the release a row of its own; the old text stays."""

from django.db import migrations

BATCH = 500


def as_rows(apps, schema_editor):
    releases = apps.get_model("labcases", "Release").objects
    rows = apps.get_model("labcases", "ReleaseLot").objects
    for old in releases.exclude(lots="").iterator(BATCH):
        by = old.finished_by_id or old.changed_by_id or old.second_look_by_id
        if by is None:
            by = apps.get_model("labcases", "User").objects.order_by("pk").first().pk
        made = rows.create(case_id=old.case_id, by_id=by, lot_of="before", lot=old.lots)
        rows.filter(pk=made.pk).update(at=old.changed_at)


def away(apps, schema_editor):
    """The texts still stand where they were written."""
    apps.get_model("labcases", "ReleaseLot").objects.filter(lot_of="before").delete()


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0071_release_lots"),
    ]

    operations = [
        migrations.RunPython(as_rows, away, elidable=True),
    ]
