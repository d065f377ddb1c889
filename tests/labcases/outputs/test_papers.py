"""All papers alike: no patient's name, and the screen says the same."""

import re

import pytest
from django.template.loader import render_to_string

from labcases.outputs.papers import PAPERS
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


@pytest.mark.parametrize("slug", PAPERS)
def test_no_paper_holds_the_patients_name(cast, handed_over, slug):
    assert "Dunmore" not in text_of(render(slug, handed_over, cast.dora))


def test_screen_and_pdf_show_the_same_body(cast, handed_over):
    paper = PAPERS["processing-handoff"]
    context = paper.context(handed_over, by=cast.tomas, notation="ISO 3950")
    screen = re.sub(r"<[^>]+>", " ", render_to_string(paper.template, context))
    words = set(re.findall(r"\d+\.\d+|\w{4,}", screen))

    printed = text_of(render("processing-handoff", handed_over, cast.tomas))

    assert [word for word in sorted(words) if word not in printed] == []
