"""What a browser posts on the steps of a prescription."""

from typing import Any

from django.urls import reverse

from labcases.models import Case

STEPS = ("teeth", "opposing", "materials", "before", "records", "wishes")


def step_url(case: Case, step: str) -> str:
    return reverse("prescription_step", args=[case.code, step])


def posted(case: Case, step: str, **more) -> dict[str, Any]:
    """What the form of a step would post for the stored draft, with changes."""
    row = case.draft_revision or case.prescription
    page = {"version": row.version, "go": "on"}
    if step == "teeth":
        page |= {"route": row.route, "set_up_order": row.set_up_order, "arch": row.arch}
        page |= {"drawn_arch": row.arch}
        page |= {f"tooth_{tooth}": mark for tooth, mark in row.teeth.items()}
        page |= {"first_extraction_on": str(row.first_extraction_on or "")}
        page |= {"healing_reason": row.healing_reason}
    elif step == "opposing":
        page |= {"drawn_arch": "lower" if row.arch == "upper" else "upper"}
        page |= {f"tooth_{tooth}": mark for tooth, mark in row.opposing.items()}
        page |= {"opponent": row.opponent, "over_eruption_by": row.over_eruption_by}
        page |= {f"height_{tooth}": mm for tooth, mm in row.over_eruption_mm.items()}
    else:
        names = {
            "materials": "base_material tooth_material shade_system shade shade_light mould "
            "mould_form central_width_mm central_length_mm scheme flange post_dam lower_border",
            "before": "overjet_mm overbite_mm incisal_display_mm smile_display_mm "
            "midline_offset_mm vertical_rest_mm vertical_occlusion_mm vertical_read_at "
            "interalar_mm canine_lines_mm",
            "records": "jaw_record vertical_wish settings_wish settings_text allergy allergy_text",
            "wishes": "try_in natural_changes natural_changes_text identification reline_plan "
            "characterisation instructions",
        }[step].split()
        page |= {
            name: "" if (value := getattr(row, name)) is None else str(value) for name in names
        }
        if step == "before":
            page |= {f"probe_{tooth}": depth for tooth, depth in row.probing_mm.items()}
            page |= {"photographs": row.photographs}
    return page | more
