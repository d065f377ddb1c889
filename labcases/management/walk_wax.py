"""The final wax of a case on its way: trimmed, photographed, measured, answered, approved."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from typing import Any

from django.conf import settings
from django.core.files.base import ContentFile

from labcases.domain import files, final_wax, pictures, trimming
from labcases.domain.pictures import Picture
from labcases.enums import AttachmentKind, PhotographView, TrimMethod
from labcases.enums.wax import WaxAnswer, WaxList
from labcases.management.sample import WAX
from labcases.models import Case, FinalWax, User

D = Decimal
V = PhotographView

#: Drawings stand in the place of photographs: nobody was photographed for this.
DRAWINGS = {
    V.FRONT: "wax-from-front.png",
    V.RIGHT: "wax-from-right.png",
    V.LEFT: "wax-from-left.png",
    V.CAST: "wax-and-casts.png",
}


@cache
def drawing(name: str) -> Picture:
    """A drawing as it is kept; drawn anew once for all cases."""
    path = settings.BASE_DIR / "fixtures" / "demo" / name
    return pictures.read(ContentFile(path.read_bytes()))


def photograph(case: Case, by: User) -> None:
    """Add every view of the wax that the case does not have."""
    here = {row.view for row in final_wax.photographs(case)}
    for view, name in DRAWINGS.items():
        if view not in here:
            files.add(
                case=case, kind=AttachmentKind.FINAL_WAX, view=view, upload=drawing(name), by=by
            )


def trim(case: Case, by: User) -> None:
    """Every stone tooth that no line names yet, one after the other."""
    left = trimming.of(case).not_yet
    if left:
        trimming.log(
            case=case,
            by=by,
            method=TrimMethod.ALTERNATE,
            trims=[{"tooth": tooth, "labial_mm": D("1.5")} for tooth in left],
        )


def wax_up(case: Case, by: User, values: Mapping[str, Any] = WAX) -> None:
    """Everything that the laboratory does before the dentist is asked."""
    trim(case, by)
    photograph(case, by)
    row = final_wax.save(case=case, version=0, by=by, values=values)
    for which in WaxList:
        answers = {line.key: WaxAnswer.YES.value for line in final_wax.lines(case, which)}
        row = final_wax.save_list(
            case=case,
            version=row.version,
            by=by,
            which=which,
            values={"answers": answers, "words": {}},
        )


def approve(case: Case, by: User) -> FinalWax:
    return final_wax.approve(case=case, version=case.final_wax.version, by=by)
