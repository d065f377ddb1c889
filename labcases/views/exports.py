"""Parts of a case as files for other programs."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from labcases.outputs import teeth_csv
from labcases.views import _sent
from labcases.views._lookup import case_for


@require_GET
def prescription_teeth(request: HttpRequest, code: str) -> HttpResponse:
    """What the prescription in force says of each tooth, as a table."""
    case = case_for(request, code)
    return _sent.table(teeth_csv.content(case), teeth_csv.file_name(case))
