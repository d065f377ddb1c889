"""Adding a photograph or a paper to a case, and taking one out of view."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError

from labcases.domain import pictures
from labcases.domain.pictures import Picture
from labcases.enums import AttachmentKind, PhotographView
from labcases.models.files import OF_THE_FACE, PHOTOGRAPHS

#: Before a view, so that one list holds photographs, the wax and papers.
SHOWS, WAX = "shows: ", "wax: "
WAX_VIEWS = {
    PhotographView.FRONT: "The wax from in front",
    PhotographView.RIGHT: "The wax from the right",
    PhotographView.LEFT: "The wax from the left",
    PhotographView.CAST: "Both casts with the wax",
    PhotographView.OTHER: "Something else of the wax",
}


class PictureField(forms.FileField):
    """A photograph or scan: cleans to a ``Picture`` that was drawn anew.

    A refusal stands at the field like any other, so that nothing else of the form is lost.
    Only the file has to be chosen again: a browser never fills it in by itself.
    """

    def __init__(self, **options: Any) -> None:
        limit = settings.LARGEST_PICTURE_BYTES // 1_000_000
        options.setdefault("widget", forms.FileInput(attrs={"accept": "image/jpeg,image/png"}))
        options.setdefault(
            "help_text",
            f"JPEG or PNG, up to {limit} MB. Place, date and device that the camera wrote into it "
            "are left out; its name is not kept.",
        )
        super().__init__(**options)
        self.error_messages["required"] = "Choose the photograph, or the picture of the paper."
        self.error_messages["empty"] = "The file is empty. Choose it again, or export it anew."

    def clean(self, data: Any, initial: Any = None) -> Picture | None:
        upload = super().clean(data, initial)
        if not upload:
            return None
        try:
            return pictures.read(upload)
        except pictures.NotAccepted as refused:
            raise ValidationError(str(refused), code="refused") from None


class AttachmentForm(forms.Form):
    """What is added, and what it shows."""

    what = forms.ChoiceField(
        label="What it shows",
        choices=[
            ("", "Choose one"),
            ("Photograph", [(f"{SHOWS}{view}", view.label) for view in PhotographView]),
            ("Final wax", [(f"{WAX}{view}", label) for view, label in WAX_VIEWS.items()]),
            (
                "Paper, photographed or scanned",
                [(kind.value, kind.label) for kind in AttachmentKind if kind not in PHOTOGRAPHS],
            ),
        ],
        error_messages={"required": "Choose what it shows."},
    )
    upload = PictureField(label="File")
    caption = forms.CharField(
        label="What a reader should know",
        max_length=120,
        required=False,
        help_text="For example: before trimming. No names of patients.",
    )
    agreed = forms.BooleanField(
        label="The patient agreed that the laboratory sees this face",
        required=False,
        help_text="For face, smile and profile. Without it only the office sees the photograph.",
    )

    def __init__(self, *args: Any, of_office: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.of_office = of_office
        if not of_office:
            self.fields[
                "agreed"
            ].help_text = (
                "Needed for face, smile and profile: a laboratory keeps no face without it."
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        view = str(cleaned.get("what", "")).removeprefix(SHOWS)
        if view in OF_THE_FACE and not cleaned.get("agreed") and not self.of_office:
            self.add_error(
                "agreed", "Tick that the patient agreed, or leave this photograph with the office."
            )
        if self.errors and "upload" not in self.errors:
            self.add_error(
                "upload", "The file is good, but a browser does not keep it: choose it again."
            )
        return cleaned

    def values(self) -> dict[str, Any]:
        """What ``domain.files.add`` takes."""
        told = self.cleaned_data
        what = str(told["what"])
        kind, view = what, ""
        for begins, shown in ((SHOWS, AttachmentKind.PHOTOGRAPH), (WAX, AttachmentKind.FINAL_WAX)):
            if what.startswith(begins):
                kind, view = shown.value, what.removeprefix(begins)
        return {
            "kind": kind,
            "view": view,
            "upload": told["upload"],
            "caption": told["caption"],
            "agreed": told["agreed"],
        }


class TakeOutForm(forms.Form):
    """Why a photograph or paper is taken out of view."""

    reason = forms.CharField(
        max_length=200,
        label="Why it is taken out of view",
        error_messages={"required": "Give the reason why it is taken out of view."},
    )
