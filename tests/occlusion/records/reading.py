"""Reading check records with the engine, on the articulator of the worked example."""

from occlusion.records import settings_from_check_records
from tests.occlusion.records.writing import LANDMARKS


def read(records, landmarks=LANDMARKS, **rest):
    return settings_from_check_records(
        intercondylar_mm=rest.pop("width", 110), landmarks_mm=landmarks, records=records, **rest
    )
