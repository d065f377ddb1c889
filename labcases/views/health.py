"""For the machines that watch this one."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe


@login_not_required
@require_safe
def healthz(request: HttpRequest) -> HttpResponse:
    """Answer "ok" while the process is up; asks nothing of the database."""
    return HttpResponse("ok", content_type="text/plain")
