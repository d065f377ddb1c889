"""`manage.py replan`: says how many rows differed, and the demonstration differs in none."""

from __future__ import annotations

import io

import pytest
from django.core.management import call_command

from labcases.enums import Stage
from labcases.management.demo_case import load_demo
from labcases.models import DeskRow
from tests.factories import world

pytestmark = pytest.mark.django_db


def replan() -> str:
    told = io.StringIO()
    call_command("replan", stdout=told)
    return told.getvalue().strip()


def test_a_row_that_is_gone_is_made_again():
    world().case_at(Stage.SENT)
    DeskRow.objects.filter(kind="surgery").delete()

    assert replan() == "Planned every open case again: 1 row differed."
    assert replan() == "Planned every open case again: 0 rows differed."


def test_after_the_demonstration_is_loaded_no_row_differs(settings, tmp_path):
    settings.DEMO = True
    load_demo()

    assert DeskRow.objects.count() > 100
    assert replan() == "Planned every open case again: 0 rows differed."
