"""The door to the printing library: sizes, fonts, and nothing fetched."""

import io
import re
import socket

import pytest
from pypdf import PdfReader

from labcases.enums import Stage
from labcases.outputs import pdf
from labcases.outputs.papers import PAPERS
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


@pytest.mark.parametrize("slug", PAPERS)
@pytest.mark.parametrize(("size", "points"), [("A4", (595.3, 841.9)), ("Letter", (612.0, 792.0))])
def test_paper_has_the_size_that_was_asked_for(cast, handed_over, slug, size, points):
    document = PdfReader(io.BytesIO(render(slug, handed_over, cast.tomas, size=size)))

    boxes = {tuple(round(float(v), 1) for v in page.mediabox[2:]) for page in document.pages}
    assert boxes == {points}


@pytest.mark.parametrize("slug", PAPERS)
def test_every_page_names_its_paper_and_the_patient_code(cast, handed_over, slug):
    document = PdfReader(io.BytesIO(render(slug, handed_over, cast.tomas)))

    feet = [re.findall(r"(\S+), patient P-100", page.extract_text()) for page in document.pages]
    code = f"{handed_over.code}-R01-{PAPERS[slug].kind.value}"
    assert feet == [[code]] * len(document.pages)


@pytest.mark.parametrize("slug", PAPERS)
def test_paper_embeds_its_fonts(cast, handed_over, slug):
    document = PdfReader(io.BytesIO(render(slug, handed_over, cast.tomas)))

    names = {
        str(font.get_object()["/BaseFont"])
        for page in document.pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert all(re.match(r"/[A-Z]{6}\+DejaVu", name) for name in names), names


def test_rendering_opens_no_connection_and_no_address(cast, handed_over, monkeypatch):
    def refuse(*_arguments, **_options):
        raise AssertionError("a connection was opened")

    monkeypatch.setattr(socket.socket, "connect", refuse)

    assert render("lab-slip", handed_over, cast.tomas).startswith(b"%PDF")


@pytest.mark.parametrize("address", ["file:///etc/hostname", "http://127.0.0.1:9/", "ftp://x/y"])
def test_fetcher_refuses_every_address_but_data(address):
    with pytest.raises(ValueError, match=address.split(":", 1)[0]):
        pdf.fetcher().fetch(address)


def test_what_a_person_typed_is_text_on_paper(cast):
    case = cast.walk().to(Stage.DRAFT, instructions="<img src='file:///etc/hostname'> & more")

    text = text_of(render("lab-slip", case, cast.dora))

    assert "<img src='file:///etc/hostname'> & more" in text


def test_missing_pango_is_told_with_the_packages(cast, monkeypatch):
    monkeypatch.setattr(pdf, "pdf_problem", lambda: "PDFs need libpango-1.0-0.")

    with pytest.raises(pdf.PdfOff, match=r"libpango-1\.0-0"):
        render("lab-slip", cast.case_at(Stage.DRAFT), cast.dora)
