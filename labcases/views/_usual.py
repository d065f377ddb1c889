"""Own defaults and choices of earlier cases, as buttons of a step."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest

from labcases import codes
from labcases.domain import defaults
from labcases.domain.defaults import NothingToUse
from labcases.domain.versions import EditConflict
from labcases.models import Case, Prescription, User
from labcases.templatetags.units import long_date
from labcases.views._answers import label_of, value_of
from labcases.views._lookup import person

ACTS = ("use", "remember", "copy")


def offered(case: Case, user: User) -> dict[str, Any]:
    """What the person keeps as defaults, in words, and the cases to copy from."""
    kept = defaults.own(user)
    return {
        "kept": [
            {"label": label_of(field), "value": value_of(kept, field)}
            for field in defaults.DEFAULTS
            if kept and getattr(kept, field)
        ],
        "earlier": [(one.code, _words(one)) for one in defaults.earlier(case, user)],
    }


def _words(case: Case) -> str:
    row = case.prescription
    signed = f", signed {long_date(row.signed_at)}" if row.signed_at else ""
    arch = row.get_arch_display().lower()
    return f"{codes.grouped(case.code)}, patient {case.patient.code}, {arch}{signed}"


def act(request: HttpRequest, case: Case) -> None:
    """Do what the button asked, after the step itself was saved, and say which fields it filled."""
    row = Prescription.objects.get(pk=case.draft_revision.pk) if case.draft_revision else None
    if row is None:
        return
    go = request.POST["go"]
    try:
        done = _do(go, row, request.POST.get("copy_from", ""), person(request))
    except NothingToUse as why:
        messages.warning(request, str(why))
    except EditConflict as found:
        messages.error(request, f"{found.stored.changed_by} saved meanwhile. Try again.")
    else:
        said = {"use": "Filled in", "remember": "Kept as your defaults", "copy": "Copied"}[go]
        messages.success(request, f"{said}: {', '.join(label_of(f).lower() for f in done)}.")


def _do(go: str, row: Prescription, code: str, user: User) -> list[str]:
    if go == "remember":
        return defaults.remember(row=row, by=user)
    if go == "use":
        return defaults.use(row=row, version=row.version, by=user)
    of = next((one for one in defaults.earlier(row.case, user) if one.code == code), None)
    if of is None:
        raise NothingToUse("Choose an earlier case first.")
    return defaults.copy(row=row, version=row.version, of=of, by=user)
