from django.db import migrations

from labcases.models.guard import no_redaction_statements, redaction_statements


def widen(apps, schema_editor):
    for statement in redaction_statements(schema_editor.connection.vendor):
        schema_editor.execute(statement, params=None)


def narrow(apps, schema_editor):
    for statement in no_redaction_statements(schema_editor.connection.vendor):
        schema_editor.execute(statement, params=None)


class Migration(migrations.Migration):
    dependencies = [("labcases", "0080_erasure")]

    operations = [migrations.RunPython(widen, narrow)]
