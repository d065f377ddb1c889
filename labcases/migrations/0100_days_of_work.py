"""Own days belong to a piece of work now; the day on the road that some held stands beside them."""

from typing import Any

from django.db import migrations

# Stage that had own days -> the work that has them now, and the days on the road they held.
BECAME = {
    "master cast and rims": ("master cast", 1),
    "mounting": ("mounting", 0),
    "set-up": ("posterior teeth", 1),
    "try-in": ("anterior teeth", 1),
    "final wax": ("final wax", 0),
    "processing": ("processing", 0),
}


def forward(apps: Any, _schema_editor: Any) -> None:
    for row in apps.get_model("labcases", "Organisation").objects.exclude(stage_days={}):
        found = {}
        for stage, days in row.stage_days.items():
            if stage in BECAME:
                work, road = BECAME[stage]
                found[work] = max(1, days - road)
        row.stage_days = found
        row.save(update_fields=["stage_days"])


def back(apps: Any, _schema_editor: Any) -> None:
    stages = {work: (stage, road) for stage, (work, road) in BECAME.items()}
    for row in apps.get_model("labcases", "Organisation").objects.exclude(stage_days={}):
        row.stage_days = {
            stages[work][0]: days + stages[work][1]
            for work, days in row.stage_days.items()
            if work in stages
        }
        row.save(update_fields=["stage_days"])


class Migration(migrations.Migration):
    dependencies = (("labcases", "0088_bench_devices"),)
    operations = (migrations.RunPython(forward, back),)
