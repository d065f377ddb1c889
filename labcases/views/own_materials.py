"""The materials of a laboratory: everybody inside reads them, a manager keeps them."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from labcases.domain import access, curing_cycles
from labcases.domain import own_materials as materials_of
from labcases.domain.versions import EditConflict
from labcases.forms.own_materials import OwnMaterialForm
from labcases.models import Organisation, OwnMaterial
from labcases.views import _conflict
from labcases.views._lookup import person
from labcases.views.organisation import laboratory_for, organisation_for


@require_http_methods(["GET", "POST"])
def materials(request: HttpRequest, pk: int) -> HttpResponse:
    """The list; POST enters one."""
    user = person(request)
    one = organisation_for(user, pk)
    if not one.is_laboratory:
        raise Http404
    if request.method == "GET":
        return _list(request, one, OwnMaterialForm())
    if not materials_of.may_keep(user, one):
        raise PermissionDenied
    form = OwnMaterialForm(request.POST)
    if not form.is_valid():
        return _list(request, one, form, 422)
    try:
        row = materials_of.add(laboratory=one, by=user, values=form.values())
    except materials_of.SameName as told:
        form.add_error("called", str(told))
        return _list(request, one, form, 422)
    messages.success(request, f"{row} is entered. Processings and lots offer it now.")
    return redirect("own_materials", pk)


def _list(
    request: HttpRequest, one: Organisation, form: OwnMaterialForm, status: int = 200
) -> HttpResponse:
    user = person(request)
    context = {
        "page_title": f"Materials of {one}",
        "organisation": one,
        "rows": [
            {
                "row": row,
                "kind": materials_of.shown(row, "kind"),
                "technique": materials_of.shown(row, "technique"),
                "monomer": materials_of.shown(row, "monomer"),
                "cycles": materials_of.cycles_of(row),
            }
            for row in materials_of.of(one)
        ],
        "form": form if materials_of.may_keep(user, one) else None,
        "keeps_cycles": curing_cycles.may_keep(user, one),
    }
    return render(request, "materials/materials.html", context, status=status)


@require_http_methods(["GET", "POST"])
def material(request: HttpRequest, pk: int) -> HttpResponse:
    """One material: change it, stop using it, or use it again."""
    user = person(request)
    row = get_object_or_404(
        OwnMaterial.objects.select_related("laboratory"),
        pk=pk,
        laboratory__in=access.organisations(user),
    )
    one = laboratory_for(user, row.laboratory_id, materials_of.may_keep)
    if request.method == "GET":
        return _page(request, one, row, OwnMaterialForm(instance=row))
    form = OwnMaterialForm(request.POST, instance=OwnMaterial.objects.get(pk=pk))
    if not form.is_valid():
        return _page(request, one, row, form, 422)
    said = form.cleaned_data
    try:
        materials_of.change(
            row=row,
            version=form.started_from,
            by=user,
            values=form.values(),
            in_use=said["in_use"],
            why=said["why"],
        )
    except ValueError as asked:
        form.add_error("why", str(asked))
        return _page(request, one, row, form, 422)
    except EditConflict as found:
        conflict = _conflict.shown(found, form.fields)
        form.show_stored(found.stored.version)
        return _page(request, one, row, form, 409, conflict=conflict)
    messages.success(request, "Saved. Cases that it went into keep what they say.")
    return redirect("own_materials", one.pk)


def _page(
    request: HttpRequest,
    one: Organisation,
    row: OwnMaterial,
    form: OwnMaterialForm,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    context = {
        "page_title": f"Material {row}",
        "organisation": one,
        "row": row,
        "form": form,
        "cycles": materials_of.cycles_of(row),
        **more,
    }
    return render(request, "materials/material.html", context, status=status)
