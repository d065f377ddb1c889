"""What stays of a case that is gone holds nothing that leads to the patient."""

from labcases.models import Erasure


def test_a_request_has_no_room_for_a_name_or_a_patient_code():
    texts = {
        field.name
        for field in Erasure._meta.concrete_fields
        if field.get_internal_type() in ("CharField", "TextField", "JSONField")
    }
    assert texts == {"asked_by", "counted", "rule"}
