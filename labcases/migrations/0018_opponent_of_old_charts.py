"""Say the kind of the opposing arch where an old chart says it without doubt.

Of denture teeth a chart does not say whether they are worn or being made: that stays open, and
the next revision asks for it. No digest changes: a kind that the chart says by itself is not
part of one.
"""

from django.db import migrations

POSITIONS = 16
BATCH = 500


def of_chart(chart):
    marks = set(chart.values())
    if len(chart) < POSITIONS or "denture" in marks:
        return ""
    if "natural" not in marks:
        return "nothing"
    behind = any(mark == "natural" and tooth[1] in "45678" for tooth, mark in chart.items())
    return "natural teeth" if behind else "natural front teeth"


def derive(apps, schema_editor):
    rows = apps.get_model("labcases", "Prescription").objects
    said = []
    for row in rows.filter(opponent="").iterator(BATCH):
        row.opponent = of_chart(row.opposing)
        if row.opponent:
            said.append(row)
    rows.bulk_update(said, ["opponent"], batch_size=BATCH)


class Migration(migrations.Migration):
    dependencies = [
        ("labcases", "0017_opponent"),
    ]

    operations = [
        migrations.RunPython(derive, migrations.RunPython.noop, elidable=True),
    ]
