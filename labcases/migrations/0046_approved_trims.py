from django.db import migrations, models


def as_trimmed_then(apps, schema_editor):
    """An approval that stands covers the lines that stood when it was given."""
    entries = apps.get_model("labcases", "SetUpEntry").objects
    for wax in apps.get_model("labcases", "FinalWax").objects.exclude(approved_at=None):
        then = entries.filter(case_id=wax.case_id, act="cast trimmed", at__lte=wax.approved_at)
        wax.approved_trims = [
            entry.pk
            for entry in then.order_by("pk")
            if entry.struck_at is None or entry.struck_at > wax.approved_at
        ]
        wax.save(update_fields=["approved_trims"])


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0045_proposal_limits"),
    ]

    operations = [
        migrations.AddField(
            model_name="finalwax",
            name="approved_trims",
            field=models.JSONField(blank=True, default=list),
        ),
        migrations.RunPython(as_trimmed_then, migrations.RunPython.noop),
    ]
