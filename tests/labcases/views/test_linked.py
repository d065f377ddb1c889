"""The page of both arches, and the link on every other page of the two cases."""

from datetime import timedelta

import pytest
from django.urls import reverse

from labcases.domain import linking, pairs
from labcases.enums import Stage
from labcases.models import Case, CaseLink, Prescription
from tests.factories import World, world
from tests.labcases.domain.test_pairs import BEING_MADE, DENTURE
from tests.labcases.views.pages import logged_in, text_of
from tests.labcases.views.prescribing import posted, step_url

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    return cast.case_at(Stage.DRAFT, opposing=DENTURE["lower"], opponent=BEING_MADE)


@pytest.fixture
def other(cast, case) -> Case:
    return linking.open_other(case=case, by=cast.dora)


def read(who, case: Case, name: str = "linked", *more: str) -> str:
    return text_of(logged_in(who).get(reverse(name, args=[case.code, *more])))


def post(who, case: Case, name: str, **data: str):
    return logged_in(who).post(reverse(name, args=[case.code]), data, follow=True)


def test_one_button_opens_the_other_arch_and_leads_to_it(cast, case):
    assert "Open the other arch as a linked case" in read(cast.farah, case)

    answer = post(cast.farah, case, "linked_open")

    other = pairs.other(Case.objects.get(pk=case.pk))
    assert answer.redirect_chain[-1][0] == reverse("case", args=[other.code])
    assert f"Case {pairs.named(other)} is open and linked." in text_of(answer)


def test_the_laboratory_links_but_opens_no_case(cast, case):
    assert "Open the other arch" not in read(cast.lena, case)


def test_an_open_case_is_chosen_from_the_list_and_linked(cast, case):
    second = cast.walk(surgery_in_days=120).case
    Prescription.objects.filter(case=second).update(arch="lower")
    assert f"{pairs.named(Case.objects.get(pk=second.pk))}, draft" in read(cast.lena, case)

    assert "Choose the case of the other arch." in text_of(post(cast.lena, case, "linked_join"))
    stranger = cast.walk(patient_code="P-7").case
    answer = post(cast.lena, case, "linked_join", other=stranger.code)
    assert "This case is not one of the list any more. Choose one of the list." in text_of(answer)
    assert not CaseLink.objects.exists()

    post(cast.lena, case, "linked_join", other=second.code)
    assert CaseLink.objects.get().second == second


def test_a_refusal_stands_on_the_page(cast, case):
    second = cast.walk(surgery_in_days=120).case

    answer = post(cast.lena, case, "linked_join", other=second.code)

    assert answer.status_code == 422
    assert "Both cases are for the upper arch." in text_of(answer)


def test_the_page_shows_differences_with_both_values_and_what_each_lacks(cast, case, other):
    Prescription.objects.filter(case=other).update(scheme="group")
    words = read(cast.tomas, case)

    assert (
        f"The occlusal scheme is balanced in case {pairs.named(case)}, group function in case "
        f"{pairs.named(other)}." in words
    )
    assert words.count("Enter the pin rise found at the remount.") >= 2
    assert "Unlink the cases" not in words


def test_unlinking_asks_for_a_reason(cast, case, other):
    answer = post(cast.farah, case, "linked_part", reason="")
    assert answer.status_code == 422
    reason = "Give the reason why the cases are unlinked."
    assert f"Please correct this {reason}" in " ".join(text_of(answer).split())

    post(cast.farah, case, "linked_part", reason="the lower is postponed")
    assert pairs.other(Case.objects.get(pk=case.pk)) is None
    again = post(cast.farah, case, "linked_part", reason="")
    assert again.status_code == 422
    assert "This case is linked with no other any more." in text_of(again)
    assert "unlinked the case" in read(cast.farah, case, "history")
    assert "Reason: the lower is postponed." in read(cast.farah, other, "history")


def test_the_link_stands_on_the_head_the_lists_and_the_history(cast, case, other):
    name = pairs.named(other)

    for page in ("case", "dates", "prescription", "sites"):
        assert f"Linked Case {name}" in read(cast.tomas, case, page)
    assert f"linked the case with {name}." in read(cast.dora, case, "history")
    client = logged_in(cast.farah)
    grouped = name.split(" ")[0]
    assert f"linked with {grouped}" in text_of(client.get(reverse("cases")))
    assert f"linked with {grouped}" in text_of(client.get(reverse("desk")))


def test_the_dates_say_that_both_move_and_the_message_says_that_both_did(cast, case, other):
    words = read(cast.farah, case, "dates")
    assert "Both have one surgery day: saving another day moves both" in words

    day = case.surgery_on + timedelta(days=7)
    answer = post(
        cast.farah, case, "dates", surgery_on=f"{day:%d-%b-%Y}", version=str(case.version)
    )
    assert f"also of linked case {pairs.named(other)}" in text_of(answer)
    assert Case.objects.get(pk=other.pk).surgery_on == day


def test_a_day_before_an_extraction_of_the_linked_case_is_refused(cast, case, other):
    first = case.surgery_on - timedelta(days=75)
    Prescription.objects.filter(case=other).update(status="signed", first_extraction_on=first)
    typed = f"{first:%d-%b-%Y}"

    answer = post(cast.farah, case, "dates", surgery_on=typed, version=str(case.version))

    assert answer.status_code == 422
    assert (
        f"The signed prescription of linked case {pairs.named(other)} extracts the first teeth on "
        f"{typed}, and surgery comes after that." in text_of(answer)
    )
    assert Case.objects.get(pk=other.pk).surgery_on == case.surgery_on


def test_a_case_that_was_delivered_keeps_its_day_and_the_page_says_so(cast, case, other):
    Case.objects.filter(pk=other.pk).update(stage=Stage.DELIVERED)

    assert "It is delivered already and keeps its day." in read(cast.farah, case, "dates")


def test_one_tap_takes_the_opposing_arch_over_from_the_linked_case(cast, case, other):
    Prescription.objects.filter(case=other).update(opposing={}, opponent="")
    client = logged_in(cast.dora)
    other = Case.objects.get(pk=other.pk)
    assert f"As case {pairs.named(case)} sets it" in text_of(
        client.get(step_url(other, "opposing"))
    )

    client.post(step_url(other, "opposing"), posted(other, "opposing", fill="as linked"))

    row = Case.objects.get(pk=other.pk).prescription
    assert (row.opposing, row.opponent) == (DENTURE["upper"], BEING_MADE)


def test_the_check_before_signing_names_what_the_linked_case_says(cast, case, other):
    Prescription.objects.filter(case=other).update(scheme="group")

    assert "The occlusal scheme is balanced in case" in read(cast.dora, case, "prescription_check")


def test_papers_name_the_linked_case(cast, case, other):
    words = read(cast.tomas, case, "paper", "lab-slip")

    assert f"Linked case {pairs.named(other)}" in words
