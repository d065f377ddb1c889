"""Settings of the articulator worked out backwards: from check records, gaps and contacts."""

from occlusion.records.balance import (
    AnteriorTable,
    BalanceTooth,
    CompensatingCurve,
    ToothTilt,
    compensating_curve,
    table_for_anterior_contact,
    tilt_for_balance,
)
from occlusion.records.check_records import CheckRecords, settings_from_check_records
from occlusion.records.estimates import (
    LateralEstimate,
    PathEstimates,
    compare_with_published,
    lateral_estimate,
    tooth_path_estimates,
)
from occlusion.records.posterior_gap import (
    InclinationFromGap,
    PosteriorGap,
    inclination_from_flat_rims,
    inclination_from_posterior_gap,
)

__all__ = [
    "AnteriorTable",
    "BalanceTooth",
    "CheckRecords",
    "CompensatingCurve",
    "InclinationFromGap",
    "LateralEstimate",
    "PathEstimates",
    "PosteriorGap",
    "ToothTilt",
    "compare_with_published",
    "compensating_curve",
    "inclination_from_flat_rims",
    "inclination_from_posterior_gap",
    "lateral_estimate",
    "settings_from_check_records",
    "table_for_anterior_contact",
    "tilt_for_balance",
    "tooth_path_estimates",
]
