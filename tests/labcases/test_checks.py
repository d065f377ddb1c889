"""What `manage.py check` says about this machine."""

import sys

import pytest
from django.core.management import call_command

from labcases import checks, pdf_support


@pytest.fixture
def _fresh_answer():
    """The probe keeps its answer; forget it before and after."""
    pdf_support.pdf_problem.cache_clear()
    yield
    pdf_support.pdf_problem.cache_clear()


@pytest.mark.usefixtures("_fresh_answer")
def test_missing_system_libraries_are_a_warning_that_names_the_packages(monkeypatch, capsys):
    # None in sys.modules makes the import fail, as it does without Pango.
    monkeypatch.setitem(sys.modules, "weasyprint", None)

    [warning] = checks.papers_can_be_printed(None)
    call_command("check")

    assert warning.id == "labcases.W001"
    assert warning.msg == "PDF papers are off; the pages still print from the browser."
    for package in ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0", "pango"):
        assert package in warning.hint
    assert "written, not tried" in warning.hint
    assert "labcases.W001" in capsys.readouterr().err


def test_no_warning_when_papers_can_be_made(monkeypatch):
    monkeypatch.setattr(checks, "pdf_problem", lambda: None)

    assert checks.papers_can_be_printed(None) == []
