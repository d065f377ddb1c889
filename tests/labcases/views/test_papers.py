"""Papers in the browser: the list, each on the screen, each as a PDF."""

import io

import pytest
from pypdf import PdfReader

from labcases.enums import PaperSize, Stage
from labcases.models import Organisation
from labcases.outputs import pdf
from labcases.views import papers as views
from tests import needs
from tests.factories import world

pytestmark = pytest.mark.django_db

SLUGS = ("lab-slip", "try-in", "processing-handoff")


@pytest.fixture
def cast():
    return world()


@pytest.fixture
def case(cast):
    return cast.case_at(Stage.SENT)


def test_list_names_each_paper_with_both_ways_to_see_it(client, cast, case):
    client.force_login(cast.lena)

    page = client.get(f"/cases/{case.code}/papers/").text

    for slug in SLUGS:
        assert f"/cases/{case.code}/papers/{slug}/" in page
        assert f"/cases/{case.code}/papers/{slug}.pdf" in page
    assert "goes on the box that is packed" in page


def test_where_no_box_is_packed_the_list_says_so_instead_of_promising_a_label(client, cast):
    client.force_login(cast.lena)
    page = client.get(f"/cases/{cast.case_at(Stage.SET_UP).code}/papers/").text
    assert "no box is packed or on its way" in page
    assert "goes on the box that is packed" not in page


@pytest.mark.parametrize("slug", SLUGS)
def test_paper_on_the_screen_carries_its_code(client, cast, case, slug):
    client.force_login(cast.farah)

    assert f"{case.code}-R01-" in client.get(f"/cases/{case.code}/papers/{slug}/").text


@needs.pango
@pytest.mark.parametrize("slug", SLUGS)
def test_pdf_opens_in_the_browser_under_the_papers_code(client, cast, case, slug):
    client.force_login(cast.farah)

    answer = client.get(f"/cases/{case.code}/papers/{slug}.pdf")

    assert answer.content.startswith(b"%PDF")
    assert answer["Content-Disposition"].startswith(f'inline; filename="{case.code}-')
    assert "no-store" in answer["Cache-Control"]


@needs.pango
def test_pdf_comes_in_the_paper_size_of_the_readers_house(client, cast, case):
    cast.office.paper_size = PaperSize.LETTER
    cast.office.save()
    client.force_login(cast.farah)

    answer = client.get(f"/cases/{case.code}/papers/lab-slip.pdf")

    page = PdfReader(io.BytesIO(answer.content)).pages[0]
    assert [float(edge) for edge in page.mediabox[2:]] == [612.0, 792.0]


@pytest.mark.parametrize(
    "address", ["papers/no-such/", "papers/no-such.pdf", "papers/lab-slip.pdf?size=A3"]
)
def test_unknown_paper_or_size_does_not_exist(client, cast, case, address):
    client.force_login(cast.farah)

    assert client.get(f"/cases/{case.code}/{address}").status_code == 404


def test_without_pango_the_screen_still_shows_and_names_the_package(
    client, cast, case, monkeypatch
):
    monkeypatch.setattr(pdf, "pdf_problem", lambda: "Install libpango-1.0-0.")
    monkeypatch.setattr(views, "pdf_problem", lambda: "Install libpango-1.0-0.")
    client.force_login(cast.farah)

    assert (
        "PDFs are off on this machine: Install libpango-1.0-0."
        in client.get(f"/cases/{case.code}/papers/lab-slip/").text
    )
    answer = client.get(f"/cases/{case.code}/papers/lab-slip.pdf")
    assert answer.status_code == 503
    assert "Install libpango-1.0-0." in answer.text


class TestWithoutATelephone:
    """No after-care sheet goes out without a number to call."""

    @pytest.fixture
    def silent(self, cast, case):
        Organisation.objects.filter(pk=cast.office.pk).update(emergency_telephone="")
        return case

    @pytest.mark.parametrize("ending", ["after-care/", "after-care.pdf"])
    def test_screen_and_pdf_are_refused_and_say_where_it_is_entered(
        self, client, cast, silent, ending
    ):
        client.force_login(cast.dora)

        answer = client.get(f"/cases/{silent.code}/papers/{ending}")

        assert answer.status_code == 409
        assert "Ferry Street Office has entered no telephone for emergencies" in answer.text
        assert f'href="/organisations/{cast.office.pk}/change/"' in answer.text

    def test_who_may_not_enter_it_is_offered_no_button(self, client, cast, silent):
        client.force_login(cast.tomas)

        page = client.get(f"/cases/{silent.code}/papers/after-care/").text

        assert "Enter it on the page of the office, under Change" in page
        assert "Enter the telephone for emergencies" not in page

    def test_the_page_of_the_delivery_says_it_beforehand(self, client, cast, silent):
        client.force_login(cast.dora)

        page = client.get(f"/cases/{silent.code}/delivery/").text

        assert "has entered no telephone for emergencies" in page
        assert "Enter it now" in page


def test_the_page_of_the_delivery_leads_to_the_after_care_sheet(client, cast, case):
    client.force_login(cast.dora)

    page = client.get(f"/cases/{case.code}/delivery/").text

    assert f'href="/cases/{case.code}/papers/after-care/"' in page
    assert "no telephone" not in page
