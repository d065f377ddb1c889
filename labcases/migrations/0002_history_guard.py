"""Make the history table append-only in the database itself."""

from django.db import migrations

from labcases.models.guard import guard_entries_statements, unguard_entries_statements


def guard(apps, schema_editor):
    for statement in guard_entries_statements(schema_editor.connection.vendor):
        schema_editor.execute(statement)


def unguard(apps, schema_editor):
    for statement in unguard_entries_statements(schema_editor.connection.vendor):
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("labcases", "0001_first")]

    operations = [migrations.RunPython(guard, unguard)]
