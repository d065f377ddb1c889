"""A prescription is checked in words, signed with the password, read and revised."""

import re
from urllib.parse import urlsplit

import pytest
from django.urls import reverse

from labcases.domain import prescription as verbs
from labcases.enums import PrescriptionStatus, Stage
from labcases.models import Case, Prescription
from tests.factories import PASSWORD, World, world
from tests.labcases.views.pages import logged_in, text_of
from tests.labcases.views.prescribing import posted, step_url

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    """A draft in which nothing is said yet."""
    return cast.walk().case


@pytest.fixture
def complete(cast) -> Case:
    walk = cast.walk()
    walk.prescribe()
    return walk.reload()


# Checking


def check(user, case: Case):
    return logged_in(user).get(reverse("prescription_check", args=[case.code]))


def test_the_check_page_says_every_answer_in_words(cast, complete):
    words = text_of(check(cast.dora, complete))

    for said in (
        "11 (Universal 8), upper right central incisor",
        "36 (Universal 19), lower left first molar",
        "Overjet before extraction 2 mm",
        "Occlusal scheme Balanced",
        "Shade B2",
        "Heat-cured resin",
        "Allergy None known",
        "Try-in of the posterior teeth Wanted",
    ):
        assert said in words


def test_each_answer_has_a_link_to_the_field_that_changes_it(cast, complete):
    page = check(cast.dora, complete).content.decode()

    for step, field in (
        ("teeth", "teeth"),
        ("opposing", "opposing"),
        ("materials", "shade"),
        ("before", "overjet_mm"),
        ("before", "probing_mm"),
        ("records", "vertical_wish"),
        ("wishes", "try_in"),
    ):
        assert f'href="{step_url(complete, step)}#id_{field}"' in page


def test_every_change_link_lands_on_a_field_that_is_there(cast, complete):
    client = logged_in(cast.dora)
    page = check(cast.dora, complete).content.decode()
    links = sorted(set(re.findall(r'href="([^"]+/write/[^"]+#[^"]+)"', page)))

    lost = [
        link
        for link in links
        if f'id="{urlsplit(link).fragment}"' not in client.get(link).content.decode()
    ]

    assert len(links) == 46
    assert lost == []


def test_what_is_missing_is_listed_with_links_and_no_signature_is_offered(cast, case):
    answer = check(cast.dora, case)

    page = answer.content.decode()
    assert "Enter the shade." in text_of(answer)
    assert f'href="{step_url(case, "materials")}#id_shade"' in page
    assert f'href="{step_url(case, "records")}#id_allergy"' in page
    assert 'type="password"' not in page


def test_every_link_of_a_missing_answer_lands_on_its_field(cast, case):
    client = logged_in(cast.dora)
    page = check(cast.dora, case).content.decode().partition('id="sign"')[2]
    links = re.findall(r'<a href="([^"]+)">Go there', page.partition("</section>")[0])

    lost = [
        link
        for link in links
        if f'id="{urlsplit(link).fragment}"' not in client.get(link).content.decode()
    ]

    assert len(links) >= 13
    assert lost == []


def test_only_a_dentist_is_offered_the_signature(cast, complete):
    assert 'type="password"' in check(cast.dora, complete).content.decode()
    assert 'type="password"' not in check(cast.farah, complete).content.decode()
    assert "A dentist of Ferry Street Office signs it" in text_of(check(cast.farah, complete))


# Signing


def sign(user, case: Case, **more):
    row = case.draft_revision or case.prescription
    typed = {
        "version": row.version,
        "signed_name": "Dora Winsley",
        "licence_number": "D-7781",
        "password": PASSWORD,
    }
    return logged_in(user).post(
        reverse("prescription_sign", args=[case.code]), typed | more, follow=True
    )


def test_the_signature_form_offers_the_dentists_own_name_and_licence(cast, complete):
    page = check(cast.dora, complete).content.decode()

    assert 'value="Dora Winsley"' in page
    assert 'value="D-7781"' in page


def test_a_dentist_signs_with_the_password(cast, complete):
    answer = sign(cast.dora, complete, licence_number="D-9999")

    row = Case.objects.get().prescription
    assert row.status == PrescriptionStatus.SIGNED
    assert (row.signed_by, row.signed_name, row.licence_number) == (
        cast.dora,
        "Dora Winsley",
        "D-9999",
    )
    assert answer.redirect_chain[0][0] == reverse("case", args=[complete.code])
    assert "Revision 1 is signed and in force." in text_of(answer)


@pytest.mark.parametrize("password", ["wrong", "", PASSWORD + " "])
def test_a_wrong_password_changes_nothing(cast, complete, password):
    lines = complete.history.count()

    answer = sign(cast.dora, complete, password=password)

    row = Case.objects.get().prescription
    assert answer.status_code == 422
    assert (row.status, row.signed_by, row.digest) == (PrescriptionStatus.DRAFT, None, "")
    assert complete.history.count() == lines


def test_a_wrong_password_is_refused_in_words_and_never_sent_back(cast, complete):
    answer = sign(cast.dora, complete, password="guess one", licence_number="D-9999")

    assert "That is not your password. Nothing was signed" in text_of(answer)
    assert "guess one" not in answer.content.decode()
    assert 'value="D-9999"' in answer.content.decode()


def test_another_persons_password_does_not_sign(cast, complete):
    cast.farah.set_password("another sentence of farah")
    cast.farah.save()

    answer = sign(cast.dora, complete, password="another sentence of farah")

    assert answer.status_code == 422
    assert Case.objects.get().prescription.status == PrescriptionStatus.DRAFT


@pytest.mark.parametrize("who", ["farah", "tomas", "lena", "mona"])
def test_nobody_but_a_dentist_signs(cast, complete, who):
    answer = sign(getattr(cast, who), complete)

    assert answer.status_code == 403
    assert Case.objects.get().prescription.status == PrescriptionStatus.DRAFT


def test_an_incomplete_draft_is_not_signed_by_a_forged_form(cast, case):
    answer = sign(cast.dora, case)

    assert answer.status_code == 422
    assert "Enter the shade." in text_of(answer)
    assert Case.objects.get().prescription.status == PrescriptionStatus.DRAFT


def test_a_draft_that_was_changed_while_it_was_read_is_not_signed(cast, complete):
    read = complete.prescription.version
    logged_in(cast.farah).post(
        step_url(complete, "materials"), posted(complete, "materials", shade="A1")
    )

    answer = sign(cast.dora, Case.objects.get(), version=read)

    assert "Not signed: Farah Kline saved the prescription while you read it" in text_of(answer)
    assert "Shade A1" in text_of(answer)
    assert Case.objects.get().prescription.status == PrescriptionStatus.DRAFT


def test_signing_twice_says_that_it_is_signed(cast, complete):
    sign(cast.dora, complete)

    answer = sign(cast.dora, Case.objects.get())

    assert "signed and does not change" in text_of(answer)
    assert Prescription.objects.count() == 1


def test_a_signed_revision_takes_no_step_any_more(cast, complete):
    stale = posted(complete, "materials", shade="A1")
    sign(cast.dora, complete)

    answer = logged_in(cast.farah).post(step_url(complete, "materials"), stale, follow=True)

    assert "signed and does not change" in text_of(answer)
    assert Case.objects.get().prescription.shade == "B2"


# Reading and revising


def overview(user, case: Case):
    return logged_in(user).get(reverse("prescription", args=[case.code]))


def test_the_overview_shows_the_answers_and_the_signature(cast, complete):
    sign(cast.dora, complete)

    words = text_of(overview(cast.tomas, complete))

    assert "Revision 1 is in force." in words
    assert "Signed by Dora Winsley" in words
    assert "Licence number D-7781" in words
    assert "13 (Universal 6), upper right canine" in words


def test_the_overview_shows_the_digest_short_and_the_whole_of_it_folded(cast, complete):
    sign(cast.dora, complete)
    digest = Case.objects.get().prescription.digest

    page = overview(cast.tomas, complete).content.decode()

    assert f"<dd>{digest[:16]}</dd>" in page
    assert page.count(digest) == 1
    assert digest in page.partition("<details")[2].partition("</details>")[0]


@pytest.mark.parametrize("page", ["case", "desk", "cases"])
def test_what_is_signed_and_not_sent_is_no_draft_any_more(cast, complete, page):
    address = reverse(page, args=[complete.code] if page == "case" else [])
    before = text_of(logged_in(cast.farah).get(address))
    sign(cast.dora, complete)

    after = text_of(logged_in(cast.farah).get(address))

    assert "Signed, not sent" not in before
    assert "Signed, not sent" in after or "signed, not sent" in after
    assert "With us: draft" not in after


def test_a_draft_is_said_to_be_one(cast, case):
    assert "nothing is signed yet" in text_of(overview(cast.lena, case))


def test_the_laboratory_is_offered_no_writing(cast, complete):
    page = overview(cast.tomas, complete).content.decode()

    assert "/write/" not in page
    assert reverse("prescription_revise", args=[complete.code]) not in page


def test_the_laboratory_reads_the_overview_instead_of_a_step(cast, complete):
    answer = logged_in(cast.tomas).get(step_url(complete, "teeth"))

    assert answer.headers["Location"] == reverse("prescription", args=[complete.code])


@pytest.mark.parametrize("who", ["tomas", "lena", "mona"])
def test_the_laboratory_cannot_write(cast, complete, who):
    client = logged_in(getattr(cast, who))

    assert client.post(step_url(complete, "wishes"), {}).status_code == 403
    assert client.post(reverse("prescription_revise", args=[complete.code])).status_code == 403


@pytest.mark.parametrize("name", ["prescription", "prescription_check"])
def test_another_offices_dentist_finds_nothing(cast, complete, name):
    assert logged_in(cast.olga).get(reverse(name, args=[complete.code])).status_code == 404


def revise(user, case: Case):
    return logged_in(user).post(reverse("prescription_revise", args=[case.code]), follow=True)


def test_the_next_revision_starts_at_the_first_step(cast, complete):
    sign(cast.dora, complete)

    answer = revise(cast.farah, complete)

    assert answer.redirect_chain[-1][0] == step_url(complete, "teeth")
    assert "Revision 2 is open." in text_of(answer)
    assert Case.objects.get().draft_revision.revision == 2


def in_set_up_with_a_change(cast, complete: Case) -> Case:
    sign(cast.dora, complete)
    Case.objects.update(stage=Stage.FINAL_WAX)
    case = Case.objects.get()
    row = verbs.revise(case=case, by=cast.dora)
    verbs.save(
        row=row,
        version=row.version,
        by=cast.dora,
        values={
            "shade": "A3",
            "teeth": {**row.teeth, "13": "stays"},
            "instructions": "Narrow premolars.",
        },
    )
    return Case.objects.get()


@pytest.mark.parametrize("name", ["prescription", "prescription_check"])
def test_before_signing_a_revision_says_what_it_changes_and_undoes(cast, complete, name):
    case = in_set_up_with_a_change(cast, complete)

    words = text_of(logged_in(cast.dora).get(reverse(name, args=[case.code])))

    assert (
        "13 (Universal 6), upper right canine To be extracted at surgery Stays "
        "Master cast and rims" in words
    )
    assert "Shade B2 A3 Set-up" in words
    assert "Instructions to the laboratory empty Narrow premolars. nothing" in words
    assert "Signing brings the case back from final wax to master cast and rims." in words


def test_signing_the_revision_does_what_was_said(cast, complete):
    case = in_set_up_with_a_change(cast, complete)

    sign(cast.dora, case)

    fresh = Case.objects.get()
    assert fresh.stage == Stage.MASTER_CAST
    assert fresh.prescription.revision == 2


def test_once_processing_has_begun_no_revision_is_offered_or_taken(cast, complete):
    sign(cast.dora, complete)
    Case.objects.update(stage=Stage.PROCESSING)

    assert "A change is a new case." in text_of(overview(cast.dora, complete))
    assert "Processing has begun." in text_of(revise(cast.dora, complete))
    assert Prescription.objects.count() == 1


def test_guessing_the_password_is_locked_out_like_a_sign_in(cast, complete, settings):
    settings.AXES_ENABLED = True

    answers = [sign(cast.dora, complete, password="guess").status_code for _ in range(11)]
    after = sign(cast.dora, complete)

    assert answers[0] == 422
    assert answers[-1] == 429
    assert after.status_code == 429
    assert Case.objects.get().prescription.status == PrescriptionStatus.DRAFT
