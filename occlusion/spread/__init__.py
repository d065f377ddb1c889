"""How far reading errors move a result: to first order, or by draws of the settings."""

from occlusion.spread.draws import (
    DrawnSpread,
    Draws,
    draws_of,
    probability_below_normal,
    spread_by_draws,
)
from occlusion.spread.first_order import (
    DEFAULT_HALF_WIDTHS,
    STEPS,
    TWO_SIDED,
    Side,
    Spread,
    changed,
    check_half_widths,
    first_order_spread,
    forward_difference,
    probability_below,
    root_sum_square,
    variations,
)
from occlusion.spread.further import (
    DOUBT,
    axis_error_sd_mm,
    gap_of_shift_mm,
    rigid_shift_mm,
    state_of,
    vertical_errors_mm,
)
from occlusion.spread.measured import Distribution, Measured, sd_of

__all__ = [
    "DEFAULT_HALF_WIDTHS",
    "DOUBT",
    "STEPS",
    "TWO_SIDED",
    "Distribution",
    "DrawnSpread",
    "Draws",
    "Measured",
    "Side",
    "Spread",
    "axis_error_sd_mm",
    "changed",
    "check_half_widths",
    "draws_of",
    "first_order_spread",
    "forward_difference",
    "gap_of_shift_mm",
    "probability_below",
    "probability_below_normal",
    "rigid_shift_mm",
    "root_sum_square",
    "sd_of",
    "spread_by_draws",
    "state_of",
    "variations",
    "vertical_errors_mm",
]
