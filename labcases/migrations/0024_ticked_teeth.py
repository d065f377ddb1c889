"""Teeth that were ticked as in hand stand as rows of their parts."""

from django.db import migrations

STAYS = "stays"
RIGHT, LEFT = {"upper": "1", "lower": "4"}, {"upper": "2", "lower": "3"}


def keep_ticked(apps, schema_editor):
    """A tick stood for every set of the case; each part that is set gets a row of its own.

    Lots of teeth that were not in hand stay in the history of the case.
    """
    supplies = apps.get_model("labcases", "TeethSupply").objects
    rows = apps.get_model("labcases", "ToothSelection").objects.filter(in_hand=True)
    for row in rows.select_related("case"):
        prescription = in_force(row.case)
        if prescription is None:
            continue
        for part, places in (("anterior", "123"), ("posterior", "4567")):
            count = sum(
                prescription.teeth.get(f"{quadrant[prescription.arch]}{place}") != STAYS
                for quadrant in (RIGHT, LEFT)
                for place in places
            )
            if count:
                supplies.create(
                    case=row.case,
                    arch=prescription.arch,
                    part=part,
                    source="here",
                    state="in hand",
                    mould=getattr(row, f"{part}_mould"),
                    shade=row.shade,
                    material=row.material,
                    lot=row.lots,
                    revision=prescription.revision,
                    changed_by=row.changed_by,
                )


def in_force(case):
    """The last signed revision, or the draft where none was signed yet."""
    rows = case.prescriptions.order_by("revision")
    return rows.filter(status="signed").last() or rows.last()


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0023_teeth_in_hand"),
    ]

    operations = [
        migrations.RunPython(keep_ticked, migrations.RunPython.noop),
    ]
