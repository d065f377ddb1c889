"""Complaints on a case and of a house: entered, added to, printed for outsiders."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import complaints, lots, replanning
from labcases.enums import Stage
from labcases.models import Complaint, Organisation
from labcases.templatetags.units import long_date
from tests import needs
from tests.factories import world
from tests.labcases.domain.test_complaints import VALUES

pytestmark = pytest.mark.django_db

TYPED = {
    "said": "It cracked across the middle.",
    "grave": "serious",
    "about": "material",
    "lot_named": "R-7",
    "day": "2-Mar-2026",
    "known": "4-Mar-2026",
    "teller": "patient",
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    Organisation.objects.filter(pk=here.laboratory.pk).update(profile="eu")
    return here.walk(patient_code="P-77", patient_name="Nobody Told").to(Stage.DRAFT)


@pytest.fixture
def row(here, case):
    return complaints.enter(case=case, by=here.dora, values={**VALUES, "gravity": "threat"})


def plain(content: bytes) -> str:
    """A page with its days as they are typed."""
    text = content.decode().replace("\N{NON-BREAKING HYPHEN}", "-")
    return text.replace("\N{NO-BREAK SPACE}", " ")


def plain_day(day) -> str:
    return plain(long_date(day).encode())


def post(client, user, case, typed, name="complaint_new", *more):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code, *more]), typed)


def page(client, user, case, name="complaints", *more):
    client.force_login(user)
    return plain(client.get(reverse(name, args=[case.code, *more])).content)


def test_one_is_entered_and_its_page_says_whom_to_tell_by_when(here, client, case):
    answer = post(client, here.lena, case, TYPED)
    row = Complaint.objects.get()
    assert answer["Location"] == reverse("complaint", args=[case.code, row.pk])
    text = page(client, here.lena, case, "complaint", row.pk)
    assert "The competent authority, as Articles 87(1) and 92 say" in text
    assert "At the latest on Thu 19-Mar-2026." in text
    assert "Read on" in text
    assert "Not legal advice." in text
    assert "Open" in page(client, here.dora, case)


def test_what_happened_before_the_denture_left_is_asked_about(here, client, case):
    now = timezone.now()
    by_lena = {"packed_by": here.lena, "sent_by": here.lena}
    box = case.boxes.create(direction="to the office", sent_at=now, **by_lena)
    box.items.create(content="denture", count=1)
    today = timezone.localdate()
    typed = {**TYPED, "day": long_date(today - timedelta(days=19)), "known": long_date(today)}
    answer = post(client, here.lena, case, typed)
    assert answer.status_code == 422
    text = plain(answer.content)
    assert (
        f"The denture left the laboratory on {plain_day(today)}, so nothing can have happened with "
        f"it in a mouth on {plain_day(today - timedelta(days=19))}. What went wrong before it left "
        "is reported on the page of what went wrong. Correct it, or tick below." in text
    )
    assert "It cracked across the middle." in text
    typed["day_meant"] = str(today - timedelta(days=19))
    assert post(client, here.lena, case, typed).status_code == 302


def test_a_complaint_without_serious_harm_names_nobody_and_no_day(here, client, case, row):
    grave = page(client, here.lena, case, "complaint", row.pk)
    assert "At the latest on " in grave
    assert "names nobody to tell" not in grave
    mild = complaints.enter(case=case, by=here.dora, values={**VALUES, "gravity": "complaint"})
    text = page(client, here.lena, case, "complaint", mild.pk)
    assert "What was read names nobody to tell of a complaint without serious harm." in text
    assert "complaints that are not serious are part of that" in text
    for said in ("competent authority, as", "Immediately", "No days are named", "At the latest on"):
        assert said not in text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"said": ""}, "Write what happened, in a few words."),
        ({"grave": ""}, "Choose how grave it is, as far as it is known"),
        ({"known": "1-Mar-2026"}, "so it cannot have been known on"),
        ({"known": "1-Mar-2090"}, "01-Mar-2090 lies ahead. Enter when it was."),
        ({"teller": "a neighbour"}, "Choose who told it first."),
    ],
)
def test_what_is_missing_or_cannot_be_is_refused_and_the_rest_is_kept(
    here, client, case, typed, said
):
    answer = post(client, here.tomas, case, {**TYPED, **typed})
    assert answer.status_code == 422
    text = plain(answer.content)
    assert said in text
    assert 'value="R-7"' in text
    assert not Complaint.objects.exists()


def test_a_lot_and_a_report_come_along_in_the_address(here, client, case):
    client.force_login(here.tomas)
    address = reverse("complaint_new", args=[case.code])
    assert 'value="R/9 (b)"' in client.get(f"{address}?lot=R%2F9+(b)").content.decode()
    assert "hangs_on" not in client.get(address).content.decode()


def test_entries_are_written_by_those_who_may_and_refusals_keep_what_was_typed(
    here, client, case, row
):
    found = {"entry": "looked", "day": "6-Mar-2026", "said": "voids", "weighed": "complaint"}
    assert post(client, here.lena, case, found, "complaint", row.pk).status_code == 403
    assert post(client, here.tomas, case, found, "complaint", row.pk).status_code == 302
    closing = {"entry": "closed", "day": "6-Mar-2026", "said": "made again"}
    assert post(client, here.tomas, case, closing, "complaint", row.pk).status_code == 403
    answer = post(client, here.mona, case, closing, "complaint", row.pk)
    assert answer.status_code == 422
    assert "Choose what it turned out to be." in answer.content.decode()
    assert "made again" in answer.content.decode()
    closing["cause"] = "material"
    assert post(client, here.mona, case, closing, "complaint", row.pk).status_code == 302
    answer = post(client, here.mona, case, closing, "complaint", row.pk)
    assert answer.status_code == 409
    assert "This complaint is closed. Open it again" in answer.content.decode()
    text = page(client, here.farah, case, "complaint", row.pk)
    assert "Complaint, without serious harm</b>: fault of a material" in text
    assert 'name="entry"' not in text


def test_another_case_is_no_way_to_a_complaint(here, client, case, row):
    other = here.walk(patient_code="P-78").to(Stage.DRAFT)
    client.force_login(here.dora)
    for name in ("complaint", "complaint_pdf"):
        assert client.get(reverse(name, args=[other.code, row.pk])).status_code == 404


def test_the_house_lists_them_and_the_case_page_folds_them(here, client, case, row):
    client.force_login(here.mona)
    text = client.get(reverse("complaints_of_house", args=[here.laboratory.pk])).content.decode()
    assert "1 complaint, 1 not closed, 1 of them serious." in text
    assert "tell by" in text
    assert "P-77" not in text
    assert "Serious threat to public health: a material or a lot, lot R-7" in page(
        client, here.mona, case, "case"
    )


def test_the_desk_of_both_houses_says_what_is_open_and_by_when_somebody_is_told(
    here, client, case, row
):
    type(case).objects.filter(pk=case.pk).update(stage=Stage.CLOSED)
    replanning.refresh([case.pk])
    for person in (here.mona, here.farah):
        client.force_login(person)
        text = plain(client.get(reverse("desk")).content)
        assert "known since 04-Mar-2026. Tell by Fri 06-Mar-2026 at the latest." in text
    client.force_login(here.olga)
    assert "Tell by" not in client.get(reverse("desk")).content.decode()
    closed = {"act": "closed", "happened_on": VALUES["known_on"], "outcome": "mistake"}
    complaints.add(complaint=row, by=here.mona, values=closed)
    client.force_login(here.mona)
    assert "known since" not in client.get(reverse("desk")).content.decode()
    again = {"act": "again", "happened_on": VALUES["known_on"], "text": "it cracked too"}
    complaints.add(complaint=row, by=here.mona, values=again)
    assert "known since" in client.get(reverse("desk")).content.decode()


def test_a_trace_leads_to_entering_one_and_counts_those_that_are_there(here, client, case, row):
    lots.add(case=case, by=here.tomas, lot_of="base", lot="R-7", product="", note="")
    client.force_login(here.tomas)
    address = f"{reverse('lots', args=[here.laboratory.pk])}?lot=R-7"
    text = client.get(address).content.decode()
    assert f'href="{reverse("complaint_new", args=[case.code])}?lot=R-7"' in text
    assert "1 complaint</a>" in text


@needs.pango
def test_the_paper_is_a_pdf(here, client, case, row):
    client.force_login(here.dora)
    answer = client.get(reverse("complaint_pdf", args=[case.code, row.pk]))
    assert answer.content.startswith(b"%PDF")


def test_a_complaint_is_struck_out_with_a_reason_and_counts_no_longer(here, client, case, row):
    refused = post(client, here.dora, case, {"reason": ""}, "complaint_strike", row.pk)
    assert refused.status_code == 422
    assert post(
        client, here.lena, case, {"reason": "x"}, "complaint_strike", row.pk
    ).status_code == (403)
    typed = {"reason": "entered twice"}
    answer = post(client, here.dora, case, typed, "complaint_strike", row.pk)
    assert answer["Location"] == reverse("complaint", args=[case.code, row.pk])
    text = page(client, here.tomas, case, "complaint", row.pk)
    assert f"<s>{row.text}</s>" in text
    assert ": entered twice. It stays readable and counts no longer." in text
    assert 'name="entry"' not in text
    assert "At the latest on" not in text
    assert "Whom to tell" not in text
    assert "None entered" in page(client, here.dora, case, "case")
    assert "Struck out" in page(client, here.dora, case)
    client.force_login(here.dora)
    house = client.get(reverse("complaints_of_house", args=[here.office.pk])).content.decode()
    assert "0 complaints, 0 not closed" in house
    assert post(client, here.mona, case, typed, "complaint_strike", row.pk).status_code == 409


def test_an_entry_is_struck_out_and_the_complaint_is_open_again(here, client, case, row):
    closed = complaints.add(
        complaint=row,
        by=here.mona,
        values={"act": "closed", "outcome": "nothing", "text": "none", "happened_on": row.known_on},
    )
    typed = {"reason": "of another denture"}
    answer = post(client, here.mona, case, typed, "complaint_entry_strike", closed.pk)
    assert answer["Location"] == reverse("complaint", args=[case.code, row.pk])
    text = page(client, here.mona, case, "complaint", row.pk)
    assert "<s>Nothing wrong was found. none</s>" in text
    assert "of another denture" in text
    assert "Close the complaint" in text
