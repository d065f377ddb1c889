"""Cells of a table that leaves the house: none runs as a formula, each comes back as it was."""

from __future__ import annotations

#: A cell that begins with one of these is run as a formula by programs for tables.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\x00")


def guarded(cell: str) -> str:
    """A text cell that no program takes for a formula: an apostrophe goes before it.

    So does one before apostrophes that stand there already, or ``unguarded`` would take away
    what a person wrote.
    """
    return f"'{cell}" if cell.lstrip("'").startswith(FORMULA_STARTS) else cell


def unguarded(cell: str) -> str:
    """A cell as it was before ``guarded``."""
    begins = cell.startswith("'") and cell.lstrip("'").startswith(FORMULA_STARTS)
    return cell[1:] if begins else cell
