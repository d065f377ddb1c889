"""Who works on a registered bench device now: chosen by a tap and a PIN, or by a badge."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from labcases.bench_sessions import begin
from labcases.domain import bench_devices, bench_keys
from labcases.domain.bench_keys import PinRefused
from labcases.forms.bench_devices import EnterPinForm, ScanForm
from labcases.models import BenchDevice

NOT_REGISTERED = (
    "This computer is no registered bench device, or no longer. A laboratory manager registers it "
    "from the page of the laboratory, sitting at it; until then log in with the password."
)
UNKNOWN_BADGE = (
    "This badge is not known here. Scan it again, or choose the person and type the PIN; a new "
    "badge is made under PIN and badge, with the password."
)


def _on_device(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Hand the device to a view; refuse in words where there is none."""

    @wraps(view)
    def looked_at(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        device = getattr(request, "bench_device", None)
        if device is None:
            told = {"reason": NOT_REGISTERED, "password_first": True}
            return render(request, "403.html", told, status=403)
        return view(request, *args, device=device, **kwargs)

    return looked_at


@login_not_required
@require_safe
@_on_device
def bench_people(request: HttpRequest, *, device: BenchDevice) -> HttpResponse:
    """The people of the bench as large buttons, and a box for a badge."""
    return _people_page(request, device, ScanForm())


@login_not_required
@sensitive_post_parameters()
@require_POST
@_on_device
def bench_scan(request: HttpRequest, *, device: BenchDevice) -> HttpResponse:
    """One scan, and its person works."""
    form = ScanForm(request.POST)
    if form.is_valid():
        key = bench_keys.of_badge(code=form.cleaned_data["badge"], device=device)
        if key is not None:
            begin(request, key, device)
            return redirect("bench")
        form.add_error("badge", UNKNOWN_BADGE)
    return _people_page(request, device, form)


def _people_page(request: HttpRequest, device: BenchDevice, form: ScanForm) -> HttpResponse:
    context = {
        "page_title": "Who works here now?",
        "device": device,
        "people": bench_devices.people_of(device.organisation),
        "form": form,
    }
    status = 422 if form.errors else 200
    return render(request, "bench/people.html", context, status=status)


@login_not_required
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
@_on_device
def bench_person(request: HttpRequest, pk: int, *, device: BenchDevice) -> HttpResponse:
    """The PIN of the person who was tapped; nobody of another laboratory is here."""
    found = [user for user in bench_devices.people_of(device.organisation) if user.pk == pk]
    if not found:
        raise Http404
    form = EnterPinForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            key = bench_keys.try_pin(user=found[0], device=device, pin=form.cleaned_data["pin"])
        except PinRefused as refused:
            form.add_error("pin", str(refused))
        else:
            begin(request, key, device)
            return redirect("bench")
    context = {"page_title": f"PIN of {found[0]}", "device": device, "form": form}
    status = 422 if form.errors else 200
    return render(request, "bench/person.html", context, status=status)
