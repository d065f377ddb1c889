"""Papers of a case: the list, each on the screen, each as a PDF."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from labcases.domain import access
from labcases.enums import PaperKind
from labcases.models import Case
from labcases.outputs import box_label
from labcases.outputs import paper as paper_parts
from labcases.outputs.papers import PAPERS, NotPrinted, Paper
from labcases.outputs.pdf import PdfOff
from labcases.pdf_support import pdf_problem
from labcases.views import _sent
from labcases.views._head import head_context
from labcases.views._lookup import case_for, office_form, person


def _wanted(kind: str) -> Paper:
    if kind not in PAPERS:
        raise Http404
    return PAPERS[kind]


@require_GET
def papers(request: HttpRequest, code: str) -> HttpResponse:
    case = case_for(request, code, "print")
    context = {
        **head_context(case, person(request)),
        "papers": list(PAPERS.values()),
        "unlabelled": PaperKind.BOX_LABEL if not box_label.to_label(case).exists() else "",
        "pdf_problem": pdf_problem(),
    }
    return render(request, "papers/list.html", context)


@require_GET
def paper(request: HttpRequest, code: str, kind: str) -> HttpResponse:
    """A paper on the screen, built by the same function as its PDF."""
    case = case_for(request, code, "print")
    user = person(request)
    wanted = _wanted(kind)
    notation, _size = paper_parts.reader(user, case, access.organisations(user))
    try:
        shown = wanted.context(case, by=user, notation=notation)
    except NotPrinted as refused:
        return _refused(request, case, wanted, refused)
    context = {
        **head_context(case, user),
        **shown,
        "shown": wanted,
        "sizes": wanted.sizes_in_words(case),
        "pdf_problem": pdf_problem(),
    }
    return render(request, "papers/paper.html", context)


@require_GET
def paper_pdf(request: HttpRequest, code: str, kind: str) -> HttpResponse:
    """A paper as a PDF; a page that says so when this machine cannot make one."""
    case = case_for(request, code, "print")
    user = person(request)
    wanted = _wanted(kind)
    notation, size = paper_parts.reader(user, case, access.organisations(user))
    asked = request.GET.get("size", wanted.usual or size)
    if asked not in wanted.sizes:
        raise Http404
    try:
        document = wanted.pdf(case, by=user, notation=notation, size=asked)
    except NotPrinted as refused:
        return _refused(request, case, wanted, refused)
    except PdfOff:
        context = {
            **head_context(case, user),
            "papers": list(PAPERS.values()),
            "pdf_problem": pdf_problem(),
        }
        return render(request, "papers/list.html", context, status=503)
    return _sent.paper(document, f"{case.code}-{wanted.kind.value}.pdf")


def _refused(request: HttpRequest, case: Case, wanted: Paper, why: NotPrinted) -> HttpResponse:
    """What the paper lacks, with the way to where it is entered for who may enter it."""
    user = person(request)
    context = {
        **head_context(case, user),
        "shown": wanted,
        "refusal": str(why),
        "office_form": office_form(user, case.office)
        if wanted.kind == PaperKind.AFTER_CARE
        else "",
    }
    return render(request, "papers/refused.html", context, status=409)
