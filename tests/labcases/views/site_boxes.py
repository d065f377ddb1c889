"""What the sites page holds, and what a browser posts from it."""

from __future__ import annotations

from django.urls import reverse

from labcases.models import Case, SiteMeasure
from tests.labcases.views.pages import logged_in

SITES = ("17", "16", "15", "14", "24", "25", "26", "27")
OPPOSING = ("47", "46", "45", "44", "43", "33", "34", "35", "36", "37")
HEIGHT = (
    "space_mm",
    "base_min_mm",
    "relief_mm",
    "tooth_height_mm",
    "shell_over_fossa_mm",
    "shell_min_mm",
)
CALLIPER = (
    "cusp_angle_deg",
    "tip_separation_mm",
    "mesiodistal_mm",
    "buccolingual_mm",
    "tip_height_mm",
    "tilt_deg",
    "behind_incisal_mm",
    "from_midline_mm",
)
MEASURED = {
    "space_mm": "9",
    "base_min_mm": "2",
    "tooth_height_mm": "8",
    "shell_over_fossa_mm": "2.8",
    "shell_min_mm": "1.5",
}


def url(case: Case) -> str:
    return reverse("sites", args=[case.code])


def plain(value) -> str:
    return "" if value is None else f"{value.normalize():f}"


def shown(case: Case, *, staying: tuple[str, ...] = ()) -> dict[str, str]:
    """What the page's boxes hold, hidden first values and all, as a browser posts them."""
    stored = {row.tooth: row for row in case.sites.all()}
    sites = [tooth for tooth in SITES if tooth not in staying]
    page: dict[str, str] = {"all-version": "0"}
    for tooth in (*SITES, *OPPOSING):
        row = stored.get(tooth) or SiteMeasure(case=case, tooth=tooth)
        names = (*HEIGHT, *CALLIPER) if tooth in sites else CALLIPER
        values = {name: plain(getattr(row, name)) for name in names}
        page[f"{tooth}-version"] = str(row.version if row.pk else 0)
        if tooth in sites:
            values |= {"space_from": row.space_from}
            page[f"initial-{tooth}-ample"] = str(row.ample)
            if row.ample:
                page[f"{tooth}-ample"] = "on"
        for name, value in values.items():
            page[f"{tooth}-{name}"] = page[f"initial-{tooth}-{name}"] = value
    return page


def typed(case: Case, tooth: str, **values: str) -> dict[str, str]:
    return shown(case) | {f"{tooth}-{name}": value for name, value in values.items()}


def post(user, case: Case, data: dict[str, str]):
    return logged_in(user).post(url(case), data, follow=True)


def site(tooth: str) -> SiteMeasure:
    return SiteMeasure.objects.get(tooth=tooth)
