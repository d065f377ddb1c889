"""The cases and sessions that the eight savers share, and what the database holds after them.

    python -m tests.journeys.savers_world prepare     makes both, prints them as JSON
    python -m tests.journeys.savers_world count       prints what the database holds

Django's settings come from the environment.
"""

from __future__ import annotations

import json
import sys

import django

django.setup()

from django.conf import settings  # noqa: E402  (models load after setup only)
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY  # noqa: E402
from django.contrib.sessions.backends.db import SessionStore  # noqa: E402
from django.db.models import Sum  # noqa: E402

from labcases.enums import Role, Stage  # noqa: E402
from labcases.models import HistoryEntry, Mounting  # noqa: E402
from tests.factories import member, world  # noqa: E402

CASES = 20
SAVERS = 8


def prepare() -> None:
    """Twenty cases at their master cast, and eight technicians who are logged in."""
    place = world()
    codes = []
    for number in range(CASES):
        walk = place.walk(patient_code=f"P-{number}")
        walk.to(Stage.MASTER_CAST)
        walk.mount()
        codes.append(walk.case.code)
    cookies = []
    for number in range(SAVERS):
        user = member(f"Saver{number} Bench", place.laboratory, Role.TECHNICIAN)
        session = SessionStore()
        session[SESSION_KEY] = str(user.pk)
        session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
        session[HASH_SESSION_KEY] = user.get_session_auth_hash()
        session.save()
        cookies.append(f"{settings.SESSION_COOKIE_NAME}={session.session_key}")
    print(json.dumps({"codes": codes, "cookies": cookies, "csrf": settings.CSRF_COOKIE_NAME}))


def count() -> None:
    """History rows of the mounting, and the sum of versions, without what prepare wrote."""
    rows = HistoryEntry.objects.filter(part="mounting").count() - CASES
    versions = Mounting.objects.aggregate(sum=Sum("version"))["sum"] - CASES
    print(json.dumps({"history": rows, "versions": versions}))


if __name__ == "__main__":
    {"prepare": prepare, "count": count}[sys.argv[1]]()
