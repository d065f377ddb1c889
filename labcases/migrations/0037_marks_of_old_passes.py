"""Give each pass that was logged with its teeth alone a mark for each of them."""

from django.db import migrations

BATCH = 500


def tell_apart(apps, schema_editor):
    entries = apps.get_model("labcases", "SetUpEntry").objects
    marks = apps.get_model("labcases", "Mark").objects
    found = []
    for entry in entries.filter(act="pass", marks__isnull=True).iterator(BATCH):
        found += [
            marks.model(entry_id=entry.pk, tooth=tooth) for tooth in dict.fromkeys(entry.teeth)
        ]
    marks.bulk_create(found, batch_size=BATCH)


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0036_foil_marks"),
    ]

    operations = [
        migrations.RunPython(tell_apart, migrations.RunPython.noop, elidable=True),
    ]
