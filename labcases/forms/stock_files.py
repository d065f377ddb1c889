"""Choosing a file to be taken into the tooth stock."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError

from labcases.domain.stock_table import MOST_ROWS


class StockFileForm(forms.Form):
    """The file; what it holds is looked at before anything of it is taken in."""

    upload = forms.FileField(
        label="File",
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv"}),
        error_messages={
            "required": "Choose the file.",
            "empty": "The file is empty. Choose another one.",
        },
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields[
            "upload"
        ].help_text = (
            f"CSV in UTF-8, comma or semicolon, up to {MOST_ROWS} rows and {self._most} MB."
        )

    @property
    def _most(self) -> int:
        return int(settings.LARGEST_PICTURE_BYTES // 1_000_000)

    def clean_upload(self) -> bytes:
        upload = self.cleaned_data["upload"]
        if upload.size > settings.LARGEST_PICTURE_BYTES:
            raise ValidationError(
                f"The file has {upload.size / 1_000_000:.1f} MB. Up to {self._most} MB are taken: "
                "split it.",
                code="large",
            )
        return bytes(upload.read())
