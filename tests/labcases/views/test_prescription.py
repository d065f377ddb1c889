"""A prescription is written in steps, checked in words, signed with the password, revised."""

import re
from decimal import Decimal
from urllib.parse import urlsplit

import pytest
from django.test import Client
from django.urls import reverse

from labcases.domain import prescription as verbs
from labcases.enums import Notation, PrescriptionStatus, Stage, ToothMaterial
from labcases.models import Case, Prescription
from tests.factories import PASSWORD, World, world

pytestmark = pytest.mark.django_db

STEPS = ("teeth", "opposing", "materials", "records", "wishes")


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


def logged_in(user) -> Client:
    client = Client()
    client.force_login(user)
    return client


def step_url(case: Case, step: str) -> str:
    return reverse("prescription_step", args=[case.code, step])


def text_of(answer) -> str:
    """The words of a page, with its tags and entities out of the way."""
    words = re.sub(r"<[^>]+>", " ", answer.content.decode()).replace("\xa0", " ")
    return re.sub(r"\s+", " ", words.replace("&#x27;", "'"))


def posted(case: Case, step: str, **more) -> dict[str, str]:
    """What the form of a step would post for the stored draft, with changes."""
    row = case.draft_revision or case.prescription
    page = {"version": row.version, "go": "on"}
    if step == "teeth":
        page |= {"route": row.route, "set_up_order": row.set_up_order, "arch": row.arch}
        page |= {"drawn_arch": row.arch}
        page |= {f"tooth_{tooth}": mark for tooth, mark in row.teeth.items()}
        page |= {"first_extraction_on": str(row.first_extraction_on or "")}
    elif step == "opposing":
        page |= {"drawn_arch": "lower" if row.arch == "upper" else "upper"}
        page |= {f"tooth_{tooth}": mark for tooth, mark in row.opposing.items()}
    else:
        names = {
            "materials": "base_material tooth_material shade_system shade mould scheme flange",
            "records": "jaw_record overjet_mm overbite_mm incisal_display_mm midline_offset_mm "
            "allergy allergy_text",
            "wishes": "try_in instructions",
        }[step].split()
        page |= {
            name: "" if (value := getattr(row, name)) is None else str(value) for name in names
        }
    return page | more


# Writing


@pytest.mark.parametrize("step", STEPS)
def test_every_step_shows_a_form_to_the_office(cast, case, step):
    answer = logged_in(cast.farah).get(step_url(case, step))

    assert answer.status_code == 200
    assert "Save and go on" in text_of(answer)


def test_an_unknown_step_is_not_found(cast, case):
    assert logged_in(cast.dora).get(step_url(case, "payments")).status_code == 404


def test_the_steps_lead_one_into_the_next_and_end_at_the_check(cast, complete):
    client = logged_in(cast.dora)
    targets = []
    for step in STEPS:
        answer = client.post(step_url(complete, step), posted(complete, step))
        targets.append(answer.headers["Location"])

    assert targets == [
        *(step_url(complete, step) for step in STEPS[1:]),
        reverse("prescription_check", args=[complete.code]),
    ]


def test_save_and_stop_leads_back_to_the_case(cast, complete):
    answer = logged_in(cast.dora).post(
        step_url(complete, "wishes"), posted(complete, "wishes", go="stop")
    )

    assert answer.headers["Location"] == reverse("case", args=[complete.code])


def test_a_step_saves_its_answers_with_one_line_of_history(cast, case):
    lines = case.history.count()

    logged_in(cast.farah).post(
        step_url(case, "materials"),
        posted(case, "materials", base_material="milled resin", shade=" A3 "),
    )

    row = Case.objects.get().prescription
    assert (row.base_material, row.shade, row.changed_by) == ("milled resin", "A3", cast.farah)
    assert case.history.count() == lines + 1
    assert case.history.last().changes == {
        "base material": ["", "milled resin"],
        "shade": ["", "A3"],
    }


def test_marking_teeth_stores_each_position_by_its_number(cast, case):
    logged_in(cast.dora).post(
        step_url(case, "teeth"), posted(case, "teeth", tooth_16="lost", tooth_21="stays")
    )

    assert Case.objects.get().prescription.teeth == {"16": "lost", "21": "stays"}


def test_a_fill_button_marks_what_is_open_and_leaves_the_rest(cast, case):
    answer = logged_in(cast.dora).post(
        step_url(case, "teeth"),
        posted(case, "teeth", tooth_13="extract at surgery", fill="lost"),
        follow=True,
    )

    teeth = Case.objects.get().prescription.teeth
    assert len(teeth) == 16
    assert teeth["13"] == "extract at surgery"
    assert {mark for tooth, mark in teeth.items() if tooth != "13"} == {"lost"}
    assert "15 open positions were marked" in text_of(answer)
    assert answer.redirect_chain[0][0] == step_url(case, "teeth") + "#id_teeth"


def test_a_fill_button_works_for_the_opposing_arch(cast, case):
    logged_in(cast.dora).post(
        step_url(case, "opposing"), posted(case, "opposing", tooth_48="missing", fill="natural")
    )

    opposing = Case.objects.get().prescription.opposing
    assert opposing["48"] == "missing"
    assert sum(mark == "natural" for mark in opposing.values()) == 15


def test_an_unknown_mark_is_refused_and_the_others_stay_on_the_page(cast, case):
    answer = logged_in(cast.dora).post(
        step_url(case, "teeth"), posted(case, "teeth", tooth_16="gone", tooth_15="lost")
    )

    assert answer.status_code == 422
    assert Case.objects.get().prescription.teeth == {}
    assert re.search(r'name="tooth_15" value="lost"[^>]*checked', answer.content.decode())


def test_another_arch_empties_both_charts_and_says_so(cast, complete):
    answer = logged_in(cast.dora).post(
        step_url(complete, "teeth"), posted(complete, "teeth", arch="lower"), follow=True
    )

    row = Case.objects.get().prescription
    assert (row.arch, row.teeth, row.opposing) == ("lower", {}, {})
    assert "both tooth charts are empty again" in text_of(answer)
    assert "Every position of the lower arch" in text_of(answer)


def test_positions_stand_in_mouth_order_from_the_patients_right(cast, case):
    page = logged_in(cast.dora).get(step_url(case, "teeth")).content.decode()

    rows = re.findall(r'id="row_(\d\d)"', page)
    assert rows == [f"1{n}" for n in range(8, 0, -1)] + [f"2{n}" for n in range(1, 9)]


def test_teeth_are_shown_in_the_offices_notation_with_the_other_beside_it(cast, case):
    cast.office.notation = Notation.UNIVERSAL
    cast.office.save()

    office = text_of(logged_in(cast.dora).get(step_url(case, "teeth")))
    laboratory = text_of(logged_in(cast.tomas).get(reverse("prescription", args=[case.code])))

    assert "8 (ISO 11) upper right central incisor" in office
    assert "11 (Universal 8), upper right central incisor" in laboratory


def test_an_ambiguous_date_is_refused_in_words_and_stays_typed(cast, case):
    answer = logged_in(cast.dora).post(
        step_url(case, "teeth"), posted(case, "teeth", first_extraction_on="03/04/2026")
    )

    assert answer.status_code == 422
    assert "03/04/2026 can be read two ways" in text_of(answer)
    assert 'value="03/04/2026"' in answer.content.decode()
    assert "<title>Error: " in answer.content.decode()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("25", "Overjet before extraction is 25 mm. Enter -10 to 15 mm."),
        ("two", "Enter a number, for example 1.5 or 1,5."),
    ],
)
def test_an_impossible_overjet_is_refused_in_words(cast, case, typed, sentence):
    answer = logged_in(cast.dora).post(
        step_url(case, "records"), posted(case, "records", overjet_mm=typed)
    )

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert 'href="#id_overjet_mm"' in answer.content.decode()


def test_a_comma_and_a_unit_are_read_as_typed(cast, case):
    logged_in(cast.dora).post(
        step_url(case, "records"), posted(case, "records", overjet_mm="2,5 mm")
    )

    assert Case.objects.get().prescription.overjet_mm == Decimal("2.5")


def test_a_step_lists_what_it_still_needs_before_signing(cast, case):
    words = text_of(logged_in(cast.dora).get(step_url(case, "records")))

    assert "Ask about allergies and enter the answer." in words
    assert "Choose the base material." not in words


def test_porcelain_against_natural_teeth_is_cautioned_with_its_source(cast, complete):
    client = logged_in(cast.dora)
    client.post(
        step_url(complete, "materials"),
        posted(complete, "materials", tooth_material=ToothMaterial.PORCELAIN),
    )

    words = text_of(client.get(step_url(complete, "materials")))

    assert "Porcelain teeth would meet natural teeth at 17, 16" in words
    assert "IADR/AADR 2012" in words


# Two people at once


def test_the_second_to_save_a_step_sees_both_values_and_keeps_what_was_typed(cast, complete):
    started = posted(complete, "materials", shade="A3")
    logged_in(cast.dora).post(
        step_url(complete, "materials"), posted(complete, "materials", shade="A1")
    )

    answer = logged_in(cast.farah).post(step_url(complete, "materials"), started)

    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Dora Winsley saved it on" in text_of(answer)
    assert re.search(r"Keep yours: </span>A3", page)
    assert re.search(r"Keep stored: </span>A1", page)
    assert re.search(r'name="shade" value="A3"', page)
    assert Case.objects.get().prescription.shade == "A1"


@pytest.mark.parametrize(("keep", "shade"), [("yours", "A3"), ("stored", "A1")])
def test_saving_again_keeps_the_value_that_was_chosen(cast, complete, keep, shade):
    logged_in(cast.dora).post(
        step_url(complete, "materials"), posted(complete, "materials", shade="A1")
    )
    fresh = Case.objects.get()

    logged_in(cast.farah).post(
        step_url(complete, "materials"),
        posted(fresh, "materials", shade="A3", **{"keep-shade": keep}),
    )

    assert Case.objects.get().prescription.shade == shade


def test_a_clash_of_charts_names_only_the_positions_that_differ(cast, complete):
    started = posted(complete, "teeth", tooth_13="stays")
    logged_in(cast.dora).post(
        step_url(complete, "teeth"), posted(complete, "teeth", tooth_12="lost")
    )

    answer = logged_in(cast.farah).post(step_url(complete, "teeth"), started)

    words = text_of(answer)
    assert answer.status_code == 409
    assert "Keep yours: 13 stays; 12 to be extracted at surgery" in words
    assert "Keep stored: 13 to be extracted at surgery; 12 already lost" in words


def test_a_stored_chart_can_be_kept(cast, complete):
    logged_in(cast.dora).post(
        step_url(complete, "teeth"), posted(complete, "teeth", tooth_12="lost")
    )
    fresh = Case.objects.get()

    logged_in(cast.farah).post(
        step_url(complete, "teeth"),
        posted(fresh, "teeth", tooth_13="stays", tooth_12="stays", **{"keep-teeth": "stored"}),
    )

    teeth = Case.objects.get().prescription.teeth
    assert (teeth["13"], teeth["12"]) == ("extract at surgery", "lost")


def test_an_opposing_chart_of_an_arch_that_was_changed_meanwhile_is_refused(cast, complete):
    started = posted(complete, "opposing")
    logged_in(cast.dora).post(step_url(complete, "teeth"), posted(complete, "teeth", arch="lower"))

    answer = logged_in(cast.farah).post(step_url(complete, "opposing"), started)

    assert answer.status_code == 422
    assert "so mark the upper arch here" in text_of(answer)
    assert Case.objects.get().prescription.opposing == {}


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
        ("records", "overjet_mm"),
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

    assert len(links) == 21
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
    page = check(cast.dora, case).content.decode()
    links = re.findall(r'<a href="([^"]+)">Go there', page)

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
