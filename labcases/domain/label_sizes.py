"""The size of the labels of a laboratory: chosen from a list, or its own."""

from __future__ import annotations

from labcases.enums import PaperKind
from labcases.models import Organisation
from labcases.reference.labels import LabelSize, bounds_mm, least, usual


def chosen(laboratory: Organisation) -> LabelSize | None:
    """What the laboratory has chosen, or nothing."""
    if laboratory.label_width_mm is None or laboratory.label_height_mm is None:
        return None
    return LabelSize(laboratory.label_width_mm, laboratory.label_height_mm)


def size_for(laboratory: Organisation, kind: PaperKind) -> LabelSize:
    """The size that a label is printed in: the chosen one, else what is usual for its kind."""
    return chosen(laboratory) or usual(kind.value)


def check(size: LabelSize) -> None:
    """Refuse a size outside of the bounds.

    Raises
    ------
    ValueError
        An edge is too short or too long; the text says which lengths go.
    """
    low, high = bounds_mm()
    for name, edge in (("width", size.width_mm), ("height", size.height_mm)):
        if not low <= edge <= high:
            raise ValueError(f"The {name} of a label is {edge} mm. Enter {low} to {high} mm.")


def may_take(size: LabelSize, kind: PaperKind) -> bool:
    """Whether a label is wide and high enough to be tried for a kind of paper."""
    low = least(kind.value)
    return size.width_mm >= low.width_mm and size.height_mm >= low.height_mm


def too_small(size: LabelSize, laboratory: Organisation) -> str:
    """Why nothing is printed: what belongs on the label cannot be read at this size."""
    return (
        f"A label of {size.words} is too small for what belongs on it. Print it on a sheet, or "
        f"let a manager of {laboratory} choose a larger label where the laboratory is changed."
    )
