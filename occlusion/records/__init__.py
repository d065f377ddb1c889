"""Settings of the articulator worked out backwards: from check records, gaps and contacts."""

from occlusion.records.check_records import CheckRecords, settings_from_check_records

__all__ = ["CheckRecords", "settings_from_check_records"]
