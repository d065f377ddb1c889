"""What a revision or a new jaw record undoes of work that was already done.

The stage that a case is brought back to is one half; the other is that what was said of
the undone work no longer counts: it is asked for again on the way forward.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from labcases.domain import history, taking_back
from labcases.enums import Stage, Thing
from labcases.models import Case, Prescription, User

# The clinical part: everything that a signature covers.
CLINICAL = (
    "route",
    "set_up_order",
    "arch",
    "teeth",
    "opponent",
    "opposing",
    "over_eruption_mm",
    "over_eruption_by",
    "first_extraction_on",
    "healing_reason",
    "base_material",
    "tooth_material",
    "shade_system",
    "shade",
    "shade_light",
    "mould",
    "mould_form",
    "central_width_mm",
    "central_length_mm",
    "scheme",
    "jaw_record",
    "vertical_wish",
    "flange",
    "post_dam",
    "lower_border",
    "allergy",
    "allergy_text",
    "try_in",
    "overjet_mm",
    "overbite_mm",
    "incisal_display_mm",
    "smile_display_mm",
    "midline_offset_mm",
    "vertical_rest_mm",
    "vertical_occlusion_mm",
    "vertical_read_at",
    "interalar_mm",
    "canine_lines_mm",
    "probing_mm",
    "photographs",
    "natural_changes",
    "natural_changes_text",
    "identification",
    "template_wanted",
    "settings_wish",
    "settings_text",
    "return_casts",
    "reline_plan",
    "characterisation",
    "instructions",
)

# The stage to which a signed change of a field brings the case back; fields that are not
# named change nothing that was already done. Another kind of opposing arch is another opposing
# cast. A height is read against the plane, which is that of the mounting, so the mounting is
# looked at again; how it was read moves no tooth.
UNDOES: dict[str, Stage] = {
    "route": Stage.MASTER_CAST,
    "arch": Stage.MASTER_CAST,
    "teeth": Stage.MASTER_CAST,
    "opponent": Stage.MASTER_CAST,
    "opposing": Stage.MASTER_CAST,
    "over_eruption_mm": Stage.MOUNTING,
    "jaw_record": Stage.MOUNTING,
    "overjet_mm": Stage.MOUNTING,
    "overbite_mm": Stage.MOUNTING,
    "vertical_wish": Stage.MOUNTING,
    "vertical_rest_mm": Stage.MOUNTING,
    "vertical_occlusion_mm": Stage.MOUNTING,
    "vertical_read_at": Stage.MOUNTING,
    "settings_wish": Stage.SETTINGS,
    "settings_text": Stage.SETTINGS,
    "set_up_order": Stage.SET_UP,
    "scheme": Stage.SET_UP,
    "shade_system": Stage.SET_UP,
    "shade": Stage.SET_UP,
    "mould": Stage.SET_UP,
    "mould_form": Stage.SET_UP,
    "central_width_mm": Stage.SET_UP,
    "central_length_mm": Stage.SET_UP,
    "tooth_material": Stage.SET_UP,
    "try_in": Stage.SET_UP,
    "flange": Stage.FINAL_WAX,
    "post_dam": Stage.FINAL_WAX,
    "lower_border": Stage.FINAL_WAX,
    "base_material": Stage.FINAL_WAX,
    "allergy": Stage.FINAL_WAX,
    "allergy_text": Stage.FINAL_WAX,
}

_CASTS = frozenset({"route", "arch", "teeth", "opponent", "opposing"})
_VERTICAL = frozenset(
    {"vertical_wish", "vertical_rest_mm", "vertical_occlusion_mm", "vertical_read_at"}
)
_RECORDS = _CASTS | _VERTICAL | {"jaw_record", "overjet_mm", "overbite_mm", "over_eruption_mm"}
_MOULD = frozenset({"mould", "mould_form", "central_width_mm", "central_length_mm"})
_TEETH = _MOULD | {"arch", "teeth", "shade_system", "shade", "tooth_material"}
_SET_UP = _RECORDS | _TEETH | {"scheme", "settings_wish", "settings_text"}


def changed_fields(before: Prescription, after: Prescription) -> list[str]:
    """Clinical fields on which two revisions differ.

    The kind of the opposing arch was not asked for at first; where the earlier revision is
    silent, saying it changes nothing of what stands there.
    """
    return [
        field
        for field in CLINICAL
        if getattr(before, field) != getattr(after, field)
        and (field != "opponent" or before.opponent)
    ]


def earliest(fields: Iterable[str]) -> Stage | None:
    """The stage that a change of these fields brings a case back to, if any."""
    order = list(Stage)
    found = [UNDOES[field] for field in fields if field in UNDOES]
    return min(found, key=order.index) if found else None


def reaches_the_try_in(before: Prescription, after: Prescription) -> bool:
    """Whether a later revision changes anything that the try-in judged."""
    to = earliest(changed_fields(before, after))
    order = list(Stage)
    return to is not None and order.index(to) < order.index(Stage.TRY_IN)


# What the wax and the trimmed cast are judged by, beside everything that undoes work up to the
# final wax. Instructions are free words, so they may say anything of it.
_JUDGED = frozenset(
    {
        *("incisal_display_mm", "smile_display_mm", "midline_offset_mm", "probing_mm"),
        *("characterisation", "instructions"),
    }
)


def wax_approval_stands(case: Case) -> bool:
    """Whether the approval of the final wax still counts for the revision in force.

    It hangs on what brings a case back as far as the final wax, and on what wax and trimming
    were judged by; a revision of anything else leaves it alone.
    """
    wax = getattr(case, "final_wax", None)
    if wax is None or wax.approved_at is None:
        return False
    current = case.prescription
    if wax.approved_digest == current.digest:
        return True
    before = [row for row in case.prescriptions.all() if row.digest == wax.approved_digest]
    if not before:
        return False
    changed = changed_fields(before[-1], current)
    return earliest(changed) is None and not _JUDGED & set(changed)


@history.consequences()
def take_back(
    *,
    case: Case,
    fields: Iterable[str],
    by: User,
    why: str,
    mounting_too: Mapping[str, Any] | None = None,
    asked: str = "",
) -> None:
    """Unsay what these fields undo: inspection, verification, records, teeth in hand, passes.

    A mounting that was verified is kept as a past one first. Where the mounting itself is sent
    back, ``mounting_too`` is what else of it is unsaid, and ``asked`` what is to follow it.

    Call it inside the transaction of the change itself. Each thing that is taken back
    stands in the history with ``why``; lines of the log are struck out and stay readable.
    """
    changed = frozenset(fields)
    if changed & _RECORDS:
        taking_back.take_back_verification(
            case=case,
            by=by,
            why=why,
            casts_too=bool(changed & _CASTS),
            more=mounting_too,
            asked=asked,
        )
    taking_back.take_back(case=case, things=_things(changed), by=by, why=why)


def _things(changed: frozenset[str]) -> set[Thing]:
    """What these fields unsay beside the mounting."""
    found: set[Thing] = set()
    if changed & _CASTS:
        found.add(Thing.CASTS)
    if changed & _TEETH:
        found.add(Thing.TEETH)
    if changed & _SET_UP:
        found |= {Thing.PARTS, Thing.PASSES}
    if changed & _RECORDS:
        found |= {Thing.PIN, Thing.CHECK_RECORDS}
    return found
