"""The bundle of a case: made and fetched in one answer, and kept nowhere."""

from __future__ import annotations

import io
import tempfile
from typing import IO

from django.http import FileResponse, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from labcases.domain import access, exporting, retention
from labcases.domain.exporting import MovedOn
from labcases.forms.bundle import BundleForm
from labcases.models import Case
from labcases.outputs import bundle_file, paper
from labcases.pdf_support import pdf_problem
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, person

EXPORT = "export a case"
IN_MEMORY_BYTES = 4_000_000
"""A bundle up to this length is sent from memory; a longer one from a file without a name."""
NAME = "see the patient's name"


@require_http_methods(["GET", "POST"])
def bundle(request: HttpRequest, code: str) -> HttpResponseBase:
    """What a bundle holds; POST makes one and hands it over."""
    case = acting_case(request, code, EXPORT)
    user = person(request)
    of_office = access.may(user, NAME, case)
    if request.method == "GET":
        return _page(request, case, BundleForm(initial={"with_papers": True}, of_office=of_office))
    form = BundleForm(request.POST, of_office=of_office)
    if not form.is_valid():
        return _page(request, case, form, 422)
    notation, size = paper.reader(user, case, access.organisations(user))
    identity = bool(form.cleaned_data.get("with_name"))
    after = exporting.last_entry(case)
    # Gone with the answer, which closes it: nothing of it stays on the disk.
    made = tempfile.TemporaryFile(prefix="bundle-")  # noqa: SIM115
    try:
        written = bundle_file.write(
            made,
            case=case,
            by=user,
            notation=notation,
            size=size,
            at=timezone.now(),
            identity=identity,
            papers=form.cleaned_data["with_papers"],
        )
        exporting.exported(
            case=case, digest=written.manifest_sha256, identity=identity, after=after, by=user
        )
    except MovedOn as refused:
        made.close()
        return _page(request, case, form, 409, refusal=str(refused))
    except BaseException:
        made.close()
        raise
    return FileResponse(
        _short(made),
        as_attachment=True,
        filename=bundle_file.file_name(case),
        content_type="application/zip",
    )


def _short(made: IO[bytes]) -> IO[bytes]:
    """The file from its start; one that is short is held in memory, and lies nowhere else."""
    length = made.seek(0, io.SEEK_END)
    made.seek(0)
    if length > IN_MEMORY_BYTES:
        return made
    with made:
        return io.BytesIO(made.read())


def _page(
    request: HttpRequest, case: Case, form: BundleForm, status: int = 200, *, refusal: str = ""
) -> HttpResponse:
    context = {
        **head_context(case, person(request)),
        "page_title": "Case bundle",
        "form": form,
        "refusal": refusal,
        "kept": retention.of_case(case),
        "kept_words": retention.in_words(case),
        "pdf_problem": pdf_problem(),
        "exports": list(
            case.history.filter(part=exporting.PART).select_related("by").order_by("-sequence")
        ),
    }
    context["can_export"] = EXPORT in context["acts"]
    return render(request, "bundle/bundle.html", context, status=status)
