"""Chain the history of each laboratory: numbers without gaps, and a digest over the one before."""

import django.db.models.deletion
import django.utils.timezone
from django.db import migrations, models

from labcases.models.chain import START, digest
from labcases.models.guard import (
    guard_entries_statements,
    guard_statements,
    unguard_entries_statements,
    unguard_statements,
)

AT_ONCE = 500


def lift(apps, schema_editor):
    run(unguard_entries_statements(schema_editor.connection.vendor), schema_editor)


def guard(apps, schema_editor):
    run(guard_statements(schema_editor.connection.vendor), schema_editor)


def lift_all(apps, schema_editor):
    run(unguard_statements(schema_editor.connection.vendor), schema_editor)


def guard_entries(apps, schema_editor):
    run(guard_entries_statements(schema_editor.connection.vendor), schema_editor)


def run(statements, schema_editor):
    for statement in statements:
        schema_editor.execute(statement)


def fill(apps, schema_editor):
    """Number what was written before, laboratory by laboratory, in the order of writing."""
    entries = apps.get_model("labcases", "HistoryEntry").objects
    heads = apps.get_model("labcases", "ChainHead").objects
    ends = {}
    changed = []
    for row in entries.select_related("case").order_by("pk").iterator(chunk_size=AT_ONCE):
        row.laboratory_id = row.case.laboratory_id
        row.sequence, row.previous = ends.get(row.laboratory_id, (0, START))
        row.sequence += 1
        row.digest = digest(
            previous=row.previous,
            sequence=row.sequence,
            case=row.case.code,
            at=row.at,
            by=row.by_id,
            position=row.position,
            act=row.act,
            part=row.part,
            changes=row.changes,
            reason=row.reason,
        )
        ends[row.laboratory_id] = (row.sequence, row.digest)
        changed.append(row)
    entries.bulk_update(
        changed, ["laboratory", "sequence", "previous", "digest"], batch_size=AT_ONCE
    )
    for laboratory, (sequence, end) in ends.items():
        heads.create(laboratory_id=laboratory, sequence=sequence, digest=end)
    if schema_editor.connection.vendor == "postgresql":
        # Or the columns cannot be altered in the same transaction.
        schema_editor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        schema_editor.execute("SET CONSTRAINTS ALL DEFERRED")


def nothing(apps, schema_editor):
    """The columns go with what is in them."""


class Migration(migrations.Migration):
    dependencies = [("labcases", "0013_office_shades")]

    operations = [
        migrations.RunPython(lift, guard_entries),
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
                ("digest", models.CharField(default=START, max_length=64)),
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
            model_name="historyentry",
            name="laboratory",
            field=models.ForeignKey(
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.organisation",
            ),
        ),
        migrations.AddField(
            model_name="historyentry",
            name="sequence",
            field=models.PositiveBigIntegerField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name="historyentry",
            name="previous",
            field=models.CharField(default="", editable=False, max_length=64),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="historyentry",
            name="digest",
            field=models.CharField(default="", editable=False, max_length=64),
            preserve_default=False,
        ),
        migrations.RunPython(fill, nothing),
        migrations.AlterField(
            model_name="historyentry",
            name="laboratory",
            field=models.ForeignKey(
                editable=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="labcases.organisation",
            ),
        ),
        migrations.AlterField(
            model_name="historyentry",
            name="sequence",
            field=models.PositiveBigIntegerField(editable=False),
        ),
        migrations.AlterField(
            model_name="historyentry",
            name="at",
            field=models.DateTimeField(default=django.utils.timezone.now, editable=False),
        ),
        migrations.AlterModelOptions(name="historyentry", options={"ordering": ("sequence",)}),
        migrations.RemoveIndex(model_name="historyentry", name="labcases_hi_case_id_3fe89f_idx"),
        migrations.AddIndex(
            model_name="historyentry",
            index=models.Index(fields=["case", "sequence"], name="labcases_hi_case_id_7a6671_idx"),
        ),
        migrations.AddConstraint(
            model_name="historyentry",
            constraint=models.UniqueConstraint(
                fields=("laboratory", "sequence"), name="one_entry_per_number"
            ),
        ),
        migrations.RunPython(guard, lift_all),
    ]
