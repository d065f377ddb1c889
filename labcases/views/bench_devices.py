"""The bench devices of a laboratory, and what people begin work on them with."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from labcases.bench_sessions import remember
from labcases.domain import bench_devices as devices
from labcases.domain import bench_keys
from labcases.forms.bench_devices import BadgeForm, DeviceForm, PinForm
from labcases.models import BenchDevice, BenchKey, Organisation, User
from labcases.outputs.paper import qr_svg
from labcases.views._lookup import person
from labcases.views.organisation import laboratory_for


@require_http_methods(["GET", "POST"])
def bench_devices(request: HttpRequest, pk: int) -> HttpResponse:
    """A manager reads which there are, and registers the one that they sit at."""
    one = laboratory_for(person(request), pk, devices.may_keep)
    form = DeviceForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        made = devices.register(
            laboratory=one,
            called=form.cleaned_data["device_name"],
            place=form.cleaned_data["device_place"],
            by=person(request),
        )
        messages.success(
            request,
            f"{made.device} is registered: this browser knows it from now on. "
            "Switch the person before you leave it here.",
        )
        response = redirect("bench_devices", pk)
        remember(response, made.token)
        return response
    context = {
        "page_title": f"Bench devices of {one}",
        "organisation": one,
        "devices": one.bench_devices.filter(stopped_at__isnull=True).select_related(
            "registered_by"
        ),
        "keys": _keys(one),
        "form": form,
    }
    status = 422 if form.errors else 200
    return render(request, "organisation/bench_devices.html", context, status=status)


def _keys(one: Organisation) -> list[tuple[User, str]]:
    """Each person of the bench, with what they begin work by."""
    people = devices.people_of(one)
    held: dict[int, list[str]] = {}
    for row in BenchKey.objects.filter(user__in=people, ended_at__isnull=True).order_by("-kind"):
        held.setdefault(row.user_id, []).append(row.get_kind_display())
    return [(one_of, " and ".join(held.get(one_of.pk, []))) for one_of in people]


@require_http_methods(["GET", "POST"])
def stop(request: HttpRequest, pk: int) -> HttpResponse:
    """End what a device was registered for."""
    rows = BenchDevice.objects.select_related("organisation")
    row = get_object_or_404(rows.filter(stopped_at__isnull=True), pk=pk)
    one = laboratory_for(person(request), row.organisation_id, devices.may_keep)
    if request.method == "POST":
        devices.stop(device=row, by=person(request))
        messages.success(request, f"{row} is stopped.")
        return redirect("bench_devices", one.pk)
    context = {
        "page_title": "Stop the bench device",
        "sentence": f"{row} is a bench device of {one}.",
        "effects": [
            "Who works on it by PIN or badge is signed out with the next page.",
            "The password still works there, as on every other computer.",
            "Whoever sits at it as a manager can register it again.",
        ],
        "danger": True,
        "back": reverse("bench_devices", args=[one.pk]),
    }
    return render(request, "confirm.html", context)


@require_http_methods(["GET", "POST"])
def bench_access_end(request: HttpRequest, pk: int, user_pk: int) -> HttpResponse:
    """A manager ends PIN and badge of a person, who sets others with the password."""
    one = laboratory_for(person(request), pk, devices.may_keep)
    found = [user for user in devices.people_of(one) if user.pk == user_pk]
    if not found:
        raise Http404
    if request.method == "POST":
        if bench_keys.end(person=found[0], laboratory=one, by=person(request)):
            messages.success(request, f"PIN and badge of {found[0]} are ended.")
        else:
            messages.info(request, f"{found[0]} has neither PIN nor badge.")
        return redirect("bench_devices", one.pk)
    context = {
        "page_title": "End PIN and badge",
        "sentence": f"This ends what {found[0]} begins work by on bench devices.",
        "effects": [
            "What was begun by them is signed out with the next page.",
            f"{found[0]} sets another PIN, or makes another badge, with the password.",
        ],
        "danger": True,
        "back": reverse("bench_devices", args=[one.pk]),
    }
    return render(request, "confirm.html", context)


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def bench_access(request: HttpRequest) -> HttpResponse:
    """One's own PIN and badge."""
    user = _at_a_bench(request)
    form = PinForm(request, user, request.POST if request.method == "POST" else None)
    if form.is_valid():
        bench_keys.set_pin(user=user, pin=form.cleaned_data["pin"])
        messages.success(request, "The PIN is set. It works on the bench devices of your house.")
        return redirect("bench_access")
    return _own_page(request, user, form, BadgeForm(request, user))


@sensitive_post_parameters()
@require_POST
def bench_badge(request: HttpRequest) -> HttpResponse:
    """A new badge, shown this once."""
    user = _at_a_bench(request)
    form = BadgeForm(request, user, request.POST)
    if not form.is_valid():
        return _own_page(request, user, PinForm(request, user), form)
    code = bench_keys.make_badge(user=user)
    context = {"page_title": "Your new badge", "qr": qr_svg(code), "wearer": user}
    return render(request, "accounts/badge.html", context)


def _at_a_bench(request: HttpRequest) -> User:
    user = person(request)
    if not bench_keys.may_have(user):
        raise PermissionDenied
    return user


def _own_page(
    request: HttpRequest, user: User, pin_form: PinForm, badge_form: BadgeForm
) -> HttpResponse:
    held = bench_keys.of(user)
    refused = pin_form if pin_form.errors else badge_form
    context = {
        "page_title": "Your PIN and badge",
        "pin": held.get("pin"),
        "badge": held.get("badge"),
        "form": refused,
        "pin_form": pin_form,
        "badge_form": badge_form,
    }
    badge_form.helper.form_action = reverse("bench_badge")
    pin_form.helper.form_action = reverse("bench_access")
    status = 422 if refused.errors else 200
    return render(request, "accounts/bench_access.html", context, status=status)
