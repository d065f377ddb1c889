"""What was ticked of a delivery before it had checklists becomes answers of their lines."""

from __future__ import annotations

from typing import Any

from django.db import migrations


def forwards(apps: Any, _editor: Any) -> None:
    arrival = apps.get_model("labcases", "ArrivalCheck")
    for row in apps.get_model("labcases", "Delivery").objects.all():
        if row.seats_without_force is not None:
            row.answers["dl_seats"] = "yes" if row.seats_without_force else "no"
        if row.seats_without_force is False:
            row.words["dl_seats"] = "as it was reported"
        if row.after_care_given:
            row.answers["dl_written"] = "yes"
        row.done_by_id, row.done_at = row.changed_by_id, row.changed_at
        row.save(update_fields=["answers", "words", "done_by", "done_at"])
        if row.checked_on_arrival:
            arrival.objects.create(
                case_id=row.case_id,
                answers={"ar_whole": "yes"},
                changed_by_id=row.changed_by_id,
                done_by_id=row.changed_by_id,
                done_at=row.changed_at,
            )


def backwards(apps: Any, _editor: Any) -> None:
    arrival = apps.get_model("labcases", "ArrivalCheck")
    checked = set(arrival.objects.values_list("case_id", flat=True))
    for row in apps.get_model("labcases", "Delivery").objects.all():
        said = row.answers.get("dl_seats")
        row.seats_without_force = None if said is None else said == "yes"
        row.after_care_given = row.answers.get("dl_written") == "yes"
        row.checked_on_arrival = row.case_id in checked
        row.save(update_fields=["seats_without_force", "after_care_given", "checked_on_arrival"])
    arrival.objects.all().delete()


class Migration(migrations.Migration):
    dependencies = [("labcases", "0072_lots_of_before")]

    operations = [
        migrations.RunPython(forwards, backwards),
        migrations.RemoveField("delivery", "checked_on_arrival"),
        migrations.RemoveField("delivery", "seats_without_force"),
        migrations.RemoveField("delivery", "after_care_given"),
    ]
