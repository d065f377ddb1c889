"""What the tests of the papers share: a cast, a case that was handed over, and PDF text."""

from __future__ import annotations

import io
import re
from decimal import Decimal

import pytest
from pypdf import PdfReader

from labcases.enums import Stage
from labcases.outputs.papers import PAPERS
from tests.factories import world


def text_of(document):
    """The PDF's text with every run of blanks made one."""
    pages = PdfReader(io.BytesIO(document)).pages
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    return text.replace("\N{NON-BREAKING HYPHEN}", "-")


def render(slug, case, by, **more):
    options = {"notation": "ISO 3950", "size": "A4", **more}
    return PAPERS[slug].pdf(case, by=by, **options)


@pytest.fixture
def cast():
    return world()


@pytest.fixture
def handed_over(cast):
    walk = cast.walk(patient_name="Agnes Dunmore")
    walk.settings["condylar_right_deg"] = Decimal("25")
    return walk.to(Stage.PROCESSING, allergy="listed", allergy_text="nickel")
