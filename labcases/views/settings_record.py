"""The articulator record of a case, and what is unusual about it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import bench, calculations, gates, vertical
from labcases.domain import proposal_reading as reading
from labcases.domain.versions import EditConflict
from labcases.enums.proposals import ProposalKind
from labcases.forms.articulator import AcknowledgeForm, ArticulatorForm
from labcases.models import ArticulatorRecord, Case, User
from labcases.views import _reading
from labcases.views._lookup import acting_case, person
from labcases.views._part import Part, part_page

CARRIED = ("overjet_mm", "overbite_mm")


def _row(case: Case) -> ArticulatorRecord:
    """The stored record, or a new one that starts from the prescribed front teeth."""
    stored: ArticulatorRecord | None = getattr(case, "articulator", None)
    if stored:
        return stored
    prescribed = case.prescription
    carried = {
        field: value for field in CARRIED if (value := getattr(prescribed, field)) is not None
    }
    return ArticulatorRecord(case=case, **carried)


def _beside(case: Case, _user: User) -> dict[str, Any]:
    record: ArticulatorRecord | None = getattr(case, "articulator", None)
    read = {
        "records_read": len(calculations.standing(case)),
        "wished": _wished(case),
        "agreed_mm": vertical.agreed_mm(case),
        "raised": vertical.raised(case),
    }
    if record is None or record.pk is None:
        return {**read, "carried": [name for name in CARRIED if _prescribed(case, name)]}
    findings = calculations.settings_findings(record)
    return {
        **read,
        "proposed": _proposed(case),
        "record": record,
        "pairs": _reading.pairs(record, ArticulatorForm),
        "refusal": findings.refusal,
        "refused_field": findings.field,
        "findings": findings.warnings,
        "acknowledged": bool(findings.digest) and record.acknowledged == findings.digest,
        "missing": _reading.gaps(case, gates.settings_valid(case)),
        "differences": _reading.differences(record, case, {name: name for name in CARRIED}),
    }


def _wished(case: Case) -> str:
    """What the prescription says of the settings."""
    row = case.prescription
    wish = str(row.get_settings_wish_display())
    return f"{wish}: {row.settings_text}" if row.settings_text else wish


def _proposed(case: Case) -> list[dict[str, Any]]:
    """Proposals of settings with their answers, and where the record says otherwise now."""
    return [
        {
            "row": row,
            "words": reading.words(row),
            "said": reading.answer_words(row),
            "differs": reading.differs(row),
        }
        for row in case.proposals.all()
        if row.kind == ProposalKind.SETTING
    ]


def _prescribed(case: Case, name: str) -> bool:
    return getattr(case.prescription, name) is not None


PART = Part(
    title="Settings",
    act="bench work",
    form=ArticulatorForm,
    row_of=_row,
    save=bench.save_articulator,
    template="settings/page.html",
    then="settings",
    saved="Articulator record saved.",
    beside=_beside,
)


@require_http_methods(["GET", "POST"])
def settings(request: HttpRequest, code: str) -> HttpResponse:
    """Enter every setting of the articulator, and read what is unusual."""
    return part_page(request, code, PART)


@require_POST
def acknowledge(request: HttpRequest, code: str) -> HttpResponse:
    """Say that the unusual settings were read, in the version that was on the page."""
    case = acting_case(request, code, "bench work")
    form = AcknowledgeForm(request.POST)
    if not hasattr(case, "articulator"):
        messages.error(request, "There is no articulator record yet. Enter it first.")
    elif not form.is_valid():
        messages.error(request, "Nothing was acknowledged. Read the settings on this page again.")
    else:
        try:
            bench.acknowledge_settings(
                case=case, version=form.cleaned_data["version"], by=person(request)
            )
        except EditConflict as found:
            messages.error(
                request,
                f"{found.stored.changed_by} changed the settings while you read them. Read them "
                "again before you acknowledge.",
            )
        else:
            messages.success(request, "The unusual settings are acknowledged.")
    return redirect("settings", case.code)
