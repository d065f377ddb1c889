"""The trace of a lot: page, file and paper, and the way to it from lots and from Cases."""

from __future__ import annotations

import csv
import io

import pytest
from django.db import connection
from django.template.loader import render_to_string
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from labcases.domain import lots
from labcases.enums import Stage
from labcases.outputs import lot_trace
from tests import needs
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    case = here.walk(patient_code="P-77", patient_name="Nobody Told").to(Stage.DRAFT)
    lots.add(case=case, by=here.tomas, lot_of="liner", lot="S/4 (b)", product="soft", note="")
    return case


def url(name, house, lot):
    return f"{reverse(name, args=[house.pk])}?lot={lot}"


def read(client, user, address):
    client.force_login(user)
    return client.get(address)


def test_the_page_names_cases_by_codes_and_never_a_patient(here, client, case):
    text = read(client, here.lena, url("lots", here.laboratory, "s/4+(b)")).content.decode()
    assert "1 case with lot s/4 (b); 0 delivered with it." in text
    assert "P-77" in text
    assert "Liner: soft" in text
    assert "Nobody Told" not in text


def test_a_lot_of_no_case_says_so_and_one_letter_is_refused(here, client, case):
    text = read(client, here.tomas, url("lots", here.laboratory, "Q-9")).content.decode()
    assert "No case of this laboratory names lot Q-9." in text
    answer = read(client, here.tomas, url("lots", here.laboratory, "-s"))
    assert answer.status_code == 422
    assert "Enter at least 2 letters or figures of the lot." in answer.content.decode()


def test_the_file_holds_office_case_and_patient_code(here, client, case):
    answer = read(client, here.mona, url("lots_csv", here.laboratory, "S/4+(B)"))
    assert "lot-S4B-" in answer["Content-Disposition"]
    rows = list(csv.DictReader(io.StringIO(answer.content.decode())))
    assert [(row["Office"], row["Case"], row["Patient code"], row["Standing"]) for row in rows] == [
        (str(here.office), case.code, "P-77", "counts")
    ]
    assert "Nobody Told" not in answer.content.decode()


@needs.pango
def test_the_paper_of_a_recall_is_a_pdf(here, client, case):
    answer = read(client, here.mona, url("lots_pdf", here.laboratory, "S/4+(B)"))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_each_office_gets_a_sheet_of_its_own_with_one_row_a_case(here, case):
    lots.add(case=case, by=here.tomas, lot_of="base", lot="S/4 (b)", product="resin", note="")
    other = here.walk(patient_code="P-90").to(Stage.DRAFT)
    type(case).objects.filter(pk=other.pk).update(office=here.other_office)
    lots.add(case=other, by=here.tomas, lot_of="base", lot="S/4 (b)", product="resin", note="")
    here.laboratory.emergency_telephone = "0555 0100"
    here.laboratory.save()

    found = lots.trace(here.laboratory, "S/4 (b)")
    told = {"trace": found, "sheets": lot_trace.sheets(found), "laboratory": here.laboratory}
    text = render_to_string("outputs/lot_trace.html", told)

    overview, *sheets = text.split('<section class="paper-office">')
    assert len(sheets) == 2
    for sheet, own, strange in zip(
        sorted(sheets, key=lambda one: "P-90" in one),
        ((here.office, "P-77"), (here.other_office, "P-90")),
        ((here.other_office, "P-90"), (here.office, "P-77")),
        strict=True,
    ):
        assert f"For {own[0]}: lot S/4 (b)" in sheet
        assert sheet.count(own[1]) == 1
        assert str(strange[0]) not in sheet
        assert strange[1] not in sheet
        assert "Telephone 0555 0100." in sheet
        assert '<th scope="col">Told on</th><th scope="col">By</th>' in sheet
    assert str(here.office) in overview
    assert "P-77" not in overview


def test_cases_are_found_by_a_lot_and_say_what_matched(here, client, case):
    here.walk(patient_code="P-78")
    text = read(client, here.dora, f"{reverse('cases')}?q=S4b").content.decode()
    assert "1 case" in text
    assert "lot S/4 (b)" in text
    assert "lot S/4" not in read(client, here.olga, f"{reverse('cases')}?q=S4b").content.decode()


def test_a_case_that_ended_is_found_by_its_lot_without_ticking_anything(here, client, case):
    type(case).objects.filter(pk=case.pk).update(stage=Stage.CLOSED)
    assert "lot S/4 (b)" in read(client, here.dora, f"{reverse('cases')}?q=S4b").content.decode()


def test_the_list_asks_once_more_for_lots_however_many_cases(here, client, case):
    def asked():
        with CaptureQueriesContext(connection) as told:
            read(client, here.lena, f"{reverse('cases')}?q=S4b")
        return sum("release_lot" in one["sql"] for one in told)

    one = asked()
    for code in ("P-81", "P-82"):
        other = here.walk(patient_code=code).to(Stage.DRAFT)
        lots.add(case=other, by=here.tomas, lot_of="liner", lot="S-4B", product="", note="")
    assert asked() == one


def test_a_lot_leads_from_the_release_to_its_cases_for_the_laboratory_only(here, client, case):
    address = reverse("release", args=[case.code])
    way = f'href="{reverse("lots", args=[here.laboratory.pk])}?lot=S%2F4%20%28b%29"'
    assert way in read(client, here.tomas, address).content.decode()
    assert way not in read(client, here.dora, address).content.decode()


def test_a_lot_is_added_and_struck_out_at_the_release(here, client, case):
    client.force_login(here.tomas)
    answer = client.post(reverse("release_lot", args=[case.code]), {"lot_of": "base"})
    assert answer.status_code == 422
    assert "Enter the lot from the label; where it has none, write so." in answer.content.decode()
    typed = {"lot_of": "base", "lot": "R-9", "told": "repair"}
    assert client.post(reverse("release_lot", args=[case.code]), typed).status_code == 302
    row = case.release_lots.get(lot="R-9")
    strike = reverse("release_lot_strike", args=[case.code, row.pk])
    assert client.post(strike, {"reason": ""}).status_code == 422
    assert client.post(strike, {"reason": "another case"}).status_code == 302
    assert (
        "Struck out by Tomas Abelard"
        in client.get(reverse("release", args=[case.code])).content.decode()
    )


@pytest.fixture
def made(here):
    """A case after processing, with a lot on its cast and a liner in its reviews."""
    case = here.walk().to(Stage.REMOUNT)
    case.casts.create(arch="upper", kind="master", lot="G 4/1", by=here.tomas)
    return case


@pytest.mark.parametrize(
    ("page", "lot"),
    [("casts", "G%204%2F1"), ("teeth", "T-118"), ("processing", "L-2291"), ("handoff", "L-2291")],
)
def test_lots_lead_to_their_cases_where_they_are_shown_for_the_laboratory_only(
    here, client, made, page, lot
):
    way = f'href="{reverse("lots", args=[here.laboratory.pk])}?lot={lot}"'
    address = reverse(page, args=[made.code])
    assert way in read(client, here.tomas, address).content.decode()
    assert reverse("lots", args=[here.laboratory.pk]) not in (
        read(client, here.dora, address).content.decode()
    )


def test_lots_of_the_stock_lead_to_their_cases(here, client):
    here.laboratory.tooth_sets.create(
        **{"line": "Tarn", "mould": "T2", "arch": "upper", "part": "anterior"},
        **{"shade": "B2", "material": "resin", "lot": "T-9", "count": 1},
    )
    text = read(client, here.lena, reverse("stock", args=[here.laboratory.pk])).content.decode()
    assert f'href="{reverse("lots", args=[here.laboratory.pk])}?lot=T-9"' in text
