"""The paper of a complaint for outsiders, and how a complaint is told in lists."""

from __future__ import annotations

from datetime import date

import pytest
from django.template.loader import render_to_string

from labcases.domain import complaints
from labcases.enums import Stage
from labcases.outputs import _house_paper, complaint_view
from tests.factories import world
from tests.labcases.domain.test_complaints import VALUES

pytestmark = pytest.mark.django_db


@pytest.fixture
def one():
    here = world()
    here.laboratory.profile = "eu"
    here.laboratory.save()
    case = here.walk(patient_code="P-77", patient_name="Nobody Told").to(Stage.DRAFT)
    row = complaints.enter(case=case, by=here.dora, values={**VALUES, "gravity": "threat"})
    return complaints.told(row)


def test_the_paper_for_outsiders_names_no_patient(one, monkeypatch):
    told = {}
    monkeypatch.setattr(_house_paper, "render_pdf", lambda **given: told.update(given) or b"%PDF")
    assert complaint_view.pdf(one, by=one.row.by) == b"%PDF"

    text = render_to_string(told["template"], told["context"])
    assert "Tarn Lane Laboratory" in text
    assert "It cracked in the first week." in text
    assert "Upper immediate denture" in text
    assert "P-77" not in text
    assert "Nobody Told" not in text


def test_the_first_day_stands_in_lists_until_somebody_was_told(one):
    assert complaint_view.line(one)["first_due"] == date(2026, 3, 6)
    values = {"act": "told", "happened_on": date(2026, 3, 5), "whom": "the authority"}
    complaints.add(complaint=one.row, by=one.row.by, values=values)
    assert complaint_view.line(complaints.told(one.row))["first_due"] is None
