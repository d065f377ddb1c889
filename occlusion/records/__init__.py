"""Settings of the articulator worked out backwards: from check records, gaps and contacts."""

from occlusion.records.check_records import CheckRecords, settings_from_check_records
from occlusion.records.posterior_gap import (
    InclinationFromGap,
    PosteriorGap,
    inclination_from_flat_rims,
    inclination_from_posterior_gap,
)

__all__ = [
    "CheckRecords",
    "InclinationFromGap",
    "PosteriorGap",
    "inclination_from_flat_rims",
    "inclination_from_posterior_gap",
    "settings_from_check_records",
]
