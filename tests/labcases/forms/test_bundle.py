"""What a bundle may be asked for."""

from __future__ import annotations

import pytest

from labcases.forms.bundle import BundleForm


@pytest.mark.parametrize(
    ("of_office", "fields"),
    [(True, ["with_papers", "with_name"]), (False, ["with_papers"])],
)
def test_the_name_is_offered_to_the_office_alone(of_office, fields):
    form = BundleForm({"with_name": "on"}, of_office=of_office)

    assert form.is_valid()
    assert list(form.fields) == fields
    assert bool(form.cleaned_data.get("with_name")) is of_office
