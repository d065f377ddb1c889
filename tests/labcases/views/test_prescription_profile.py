"""The pages of a prescription and of an organisation say what the chosen profile asks."""

import re

import pytest
from django.urls import reverse

from labcases.models import Case, Organisation
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def complete(cast) -> Case:
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


def check(user, case: Case):
    return logged_in(user).get(reverse("prescription_check", args=[case.code]))


def choose(organisation: Organisation, profile: str) -> None:
    Organisation.objects.filter(pk=organisation.pk).update(profile=profile)


def test_without_a_profile_the_page_says_that_none_is_chosen(cast, complete):
    words = text_of(check(cast.dora, complete))

    assert "No profile is chosen, neither by the office nor by the laboratory" in words
    assert "Not legal advice" in words


def test_each_item_stands_with_how_it_is_here_and_with_its_source(cast, complete):
    choose(cast.office, "us-mt")
    choose(cast.laboratory, "us-ok")

    words = text_of(check(cast.dora, complete))

    for said in (
        "Montana, USA",
        "Name and address of the laboratory Present prescription before signing",
        "Signature of the prescriber Comes with the signature",
        "Quality of the materials Not held here: keep it on paper",
        "Kept: Both sides keep it 2 years.",
        "Source: Montana Code 37-4-501, read whole; stored copy, its edition was not stated.",
        "Oklahoma, USA",
        "Description of the work, each piece Not read",
        "Not legal advice",
    ):
        assert said in words, said


def test_the_laboratory_reads_the_same_of_the_signed_prescription(cast, complete):
    choose(cast.office, "eu")

    words = text_of(logged_in(cast.tomas).get(reverse("prescription", args=[complete.code])))

    assert "Written design characteristics; scans and casts alone are none Present" in words


def test_what_the_profile_wants_before_signing_is_listed_and_no_signature_offered(cast, complete):
    choose(cast.laboratory, "us-tx")

    page = check(cast.dora, complete).content.decode()

    assert "Texas, USA asks for this: Whether the laboratory marks the denture" in page
    assert 'type="password"' not in page


@pytest.mark.parametrize(
    ("who", "page"),
    [("dora", "organisation_change"), ("farah", "questions"), ("mona", "questions")],
)
def test_a_missing_address_leads_where_the_reader_can_mend_it_or_ask(cast, complete, who, page):
    choose(cast.office, "us-wv")
    Organisation.objects.filter(pk=cast.office.pk).update(address="")
    user = getattr(cast, who)

    answer = check(user, complete)

    link = re.search(r'<a href="([^"]+)">Go there', answer.content.decode())
    assert link is not None
    where = cast.office.pk if page == "organisation_change" else complete.code
    assert link[1].partition("#")[0] == reverse(page, args=[where])
    assert logged_in(user).get(link[1]).status_code == 200


# Choosing one


def change(user, organisation: Organisation, **more):
    typed = {
        "name": organisation.name,
        "address": organisation.address,
        "notation": organisation.notation,
        "paper_size": organisation.paper_size,
    }
    return logged_in(user).post(
        reverse("organisation_change", args=[organisation.pk]), typed | more, follow=True
    )


def test_a_profile_is_chosen_where_the_address_stands_and_read_back(cast):
    before = text_of(logged_in(cast.dora).get(reverse("organisation", args=[cast.office.pk])))

    after = text_of(change(cast.dora, cast.office, profile="gb-eng"))

    assert "Profile: none chosen." in before
    assert "Profile: England, Scotland and Wales." in after


def test_a_profile_is_given_up_again(cast):
    choose(cast.office, "eu")

    change(cast.dora, cast.office, profile="")

    assert Organisation.objects.get(pk=cast.office.pk).profile == ""


def test_a_profile_that_is_not_there_is_refused(cast):
    answer = change(cast.dora, cast.office, profile="us-zz")

    assert answer.status_code == 422
    assert Organisation.objects.get(pk=cast.office.pk).profile == ""
