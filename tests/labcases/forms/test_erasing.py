"""The form of a request for erasure."""

from django.utils import timezone

from labcases.forms.erasing import ErasureForm


def test_every_field_is_asked_in_words():
    form = ErasureForm({})
    assert not form.is_valid()
    assert form.errors["asker"] == ["Say who asks."]
    assert form.errors["day"] == ["Enter the day on which it was asked."]
    assert form.errors["read_code"] == ["Type the patient code as it stands above."]


def test_today_is_filled_in():
    assert ErasureForm().initial["day"] == timezone.localdate()
