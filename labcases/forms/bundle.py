"""What goes into the bundle of a case."""

from __future__ import annotations

from typing import Any

from django import forms


class BundleForm(forms.Form):
    """Papers as PDF or not; the patient's name for the office alone."""

    with_papers = forms.BooleanField(
        required=False, label="With the papers as PDF", help_text="It takes some seconds longer."
    )
    with_name = forms.BooleanField(
        required=False,
        label="With the patient's name and the text of the mark",
        help_text="Only where the law or the patient asks for it. The history says so.",
    )

    def __init__(self, *args: Any, of_office: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not of_office:
            del self.fields["with_name"]
