"""The table of a prescription's teeth as somebody takes it from the page."""

from __future__ import annotations

import pytest
from django.urls import reverse

from tests.factories import world
from tests.labcases.views.pages import logged_in, text_of


@pytest.fixture
def cast(db):
    return world()


def test_the_page_of_the_prescription_leads_to_the_table_of_its_teeth(cast):
    case = cast.walk().case
    browser = logged_in(cast.lena)

    page = browser.get(reverse("prescription", args=[case.code]))
    answer = browser.get(f"/cases/{case.code}/prescription/teeth.csv")

    assert f'href="/cases/{case.code}/prescription/teeth.csv"' in page.content.decode()
    assert "Every tooth of this prescription as a table (CSV)" in text_of(page)
    assert answer["Content-Type"] == "text/csv; charset=utf-8; header=present"
    assert answer["Content-Disposition"] == f'attachment; filename="{case.code}-R01-teeth.csv"'
    assert answer.content.startswith(b"Case,Revision,ISO 3950 number,Universal number,Tooth,")
    assert answer.content.count(b"\r\n") == 33


def test_another_office_finds_no_such_table(cast):
    case = cast.walk().case

    assert logged_in(cast.olga).get(f"/cases/{case.code}/prescription/teeth.csv").status_code == 404
