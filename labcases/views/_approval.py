"""Saying at once that a change of the trimming leaves the dentist's approval behind."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest

from labcases.domain import final_wax
from labcases.models import Case, FinalWax


def say_if_trimmed_otherwise(request: HttpRequest, case: Case) -> None:
    """Tell the person whose line of the trimming the approval of the wax does not cover."""
    wax = FinalWax.objects.filter(case=case).first()
    if final_wax.trimmed_otherwise(case, wax):
        messages.warning(
            request,
            "The dentist approved the cast as it was trimmed before, so the final wax is to be "
            "approved again.",
        )
