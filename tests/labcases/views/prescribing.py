"""What a browser posts on the steps of a prescription."""

from django.urls import reverse

from labcases.models import Case

STEPS = ("teeth", "opposing", "materials", "records", "wishes")


def step_url(case: Case, step: str) -> str:
    return reverse("prescription_step", args=[case.code, step])


def posted(case: Case, step: str, **more) -> dict[str, str]:
    """What the form of a step would post for the stored draft, with changes."""
    row = case.draft_revision or case.prescription
    page = {"version": row.version, "go": "on"}
    if step == "teeth":
        page |= {"route": row.route, "set_up_order": row.set_up_order, "arch": row.arch}
        page |= {"drawn_arch": row.arch}
        page |= {f"tooth_{tooth}": mark for tooth, mark in row.teeth.items()}
        page |= {"first_extraction_on": str(row.first_extraction_on or "")}
    elif step == "opposing":
        page |= {"drawn_arch": "lower" if row.arch == "upper" else "upper"}
        page |= {f"tooth_{tooth}": mark for tooth, mark in row.opposing.items()}
    else:
        names = {
            "materials": "base_material tooth_material shade_system shade mould scheme flange",
            "records": "jaw_record overjet_mm overbite_mm incisal_display_mm midline_offset_mm "
            "allergy allergy_text",
            "wishes": "try_in instructions",
        }[step].split()
        page |= {
            name: "" if (value := getattr(row, name)) is None else str(value) for name in names
        }
    return page | more
