"""The probe for the libraries that papers need."""

import sys
import types

import pytest

from labcases.pdf_support import pdf_problem


@pytest.fixture(autouse=True)
def _fresh_answer():
    pdf_problem.cache_clear()
    yield
    pdf_problem.cache_clear()


def test_nothing_is_wrong_when_the_library_loads(monkeypatch):
    monkeypatch.setitem(sys.modules, "weasyprint", types.ModuleType("weasyprint"))

    assert pdf_problem() is None


def test_the_reason_and_the_packages_are_told(monkeypatch):
    monkeypatch.setitem(sys.modules, "weasyprint", None)

    problem = pdf_problem()

    assert problem.startswith("WeasyPrint cannot load its system libraries (")
    assert "sudo apt-get install python3-venv libpango-1.0-0" in problem
    assert "macOS: brew install pango (written, not tried)" in problem
