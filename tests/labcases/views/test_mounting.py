"""The mounting page: entered by the bench, read by all, verified by the record that was used."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.domain import casts
from labcases.enums import JawRecord, Stage
from labcases.models import Case, Mounting, Organisation
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    """At the mounting, with nothing entered."""
    walk = cast.walk()
    walk.prescribe()
    walk.sign()
    Case.objects.update(stage=Stage.MOUNTING)
    return walk.reload()


def url(case: Case) -> str:
    return reverse("mounting", args=[case.code])


TYPED = {
    "version": "0",
    "casts_inspected": "on",
    "transfer": "arbitrary face-bow",
    "jaw_record": "maximum intercuspation",
    "record_medium": "hard wax",
    "pin_zero_mm": "0,5",
    "verified_by_method": "foil",
    "foil_points": "3",
    "foil_pairs": "13/43, 23/33, 16/46",
}


def test_the_prescribed_jaw_record_is_carried_over(cast, case):
    page = logged_in(cast.tomas).get(url(case)).content.decode()

    assert re.search(r'name="jaw_record" value="maximum intercuspation"[^>]*checked', page)


def test_a_mounting_is_stored_with_one_line_of_history(cast, case):
    lines = case.history.count()

    answer = logged_in(cast.tomas).post(url(case), TYPED, follow=True)

    row = Mounting.objects.get()
    assert (row.casts_inspected, row.pin_zero_mm, row.foil_points) == (True, Decimal("0.5"), 3)
    assert row.changed_by == cast.tomas
    assert case.history.count() == lines + 1
    assert "Mounting saved." in text_of(answer)
    assert "Needed before the settings" not in text_of(answer)


@pytest.mark.parametrize("pairs", ["16/46; 36/26", "16 / 46 26/36", "16/46,", ""])
def test_pairs_are_read_as_people_write_them(cast, case, pairs):
    answer = logged_in(cast.tomas).post(url(case), TYPED | {"foil_pairs": pairs}, follow=True)

    assert "Mounting saved." in text_of(answer)
    assert Mounting.objects.get().foil_pairs == pairs


def test_half_a_mounting_is_kept_and_says_what_it_lacks(cast, case):
    answer = logged_in(cast.tomas).post(
        url(case), {"version": "0", "pin_zero_mm": "0"}, follow=True
    )

    words = text_of(answer)
    assert Mounting.objects.get().pin_zero_mm == 0
    assert "Inspect the casts and tick it." in words
    assert "Say how the upper cast was transferred." in words


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("pin_zero_mm", "99", "Pin reading at mounting (pin zero) is 99 mm. Enter -10 to 30 mm."),
        ("agreement_mm", "-1", "Second record differs by at most is -1 mm. Enter 0 to 5 mm."),
        ("foil_pairs", "13/43, 99/43", "99/43 is no pair of an upper and a lower tooth"),
        ("foil_pairs", "16/26", "16/26 is no pair of an upper and a lower tooth in ISO 3950."),
        ("foil_pairs", "16", "Enter pairs like 16/46, with a comma between two pairs."),
        ("foil_points", "three", "Points that hold foil: enter a whole number, for example 3."),
    ],
)
def test_impossible_readings_are_refused_in_words_and_stay_typed(
    cast, case, field, typed, sentence
):
    answer = logged_in(cast.tomas).post(url(case), TYPED | {field: typed})

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert f'value="{typed}"' in answer.content.decode()
    assert f'href="#id_{field}"' in answer.content.decode()
    assert not Mounting.objects.exists()


def test_the_second_technician_sees_both_values(cast, case):
    logged_in(cast.tomas).post(url(case), TYPED)

    answer = logged_in(cast.mona).post(url(case), TYPED | {"pin_zero_mm": "1"})

    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Tomas Abelard saved it on" in text_of(answer)
    assert "Keep yours: </span>1<" in page
    assert "Keep stored: </span>0.5<" in page
    assert Mounting.objects.get().pin_zero_mm == Decimal("0.5")


def test_a_record_that_was_not_prescribed_is_pointed_out(cast, case):
    answer = logged_in(cast.tomas).post(
        url(case), TYPED | {"jaw_record": JawRecord.CENTRIC_RELATION}, follow=True
    )

    assert (
        "Jaw record: the prescription says Maximum intercuspation, this page says Centric relation."
        in text_of(answer)
    )


def test_the_office_reads_the_mounting_without_a_form(cast, case):
    logged_in(cast.tomas).post(url(case), TYPED)

    answer = logged_in(cast.dora).get(url(case))

    assert "Pin reading at mounting (pin zero) 0.5 mm" in text_of(answer)
    assert "Arbitrary face-bow" in text_of(answer)
    assert "<textarea" not in answer.content.decode()
    assert 'name="transfer"' not in answer.content.decode()


def test_before_the_mounting_the_office_reads_that_there_is_none(cast, case):
    assert "The casts are not mounted yet." in text_of(logged_in(cast.farah).get(url(case)))


@pytest.mark.parametrize("who", ["dora", "farah", "lena"])
def test_only_the_bench_enters_a_mounting(cast, case, who):
    assert logged_in(getattr(cast, who)).post(url(case), TYPED).status_code == 403
    assert not Mounting.objects.exists()


def test_another_office_finds_nothing(cast, case):
    assert logged_in(cast.olga).get(url(case)).status_code == 404
    assert logged_in(cast.olga).post(url(case), TYPED).status_code == 404


# -- sent back ----------------------------------------------------------------------------------


def back(case: Case) -> str:
    return reverse("mounting_back", args=[case.code])


NOT_HELD = TYPED | {"foil_points": "2"}


def test_a_mounting_that_is_not_agreed_says_so_and_is_sent_back_with_a_reason(cast, case):
    client = logged_in(cast.tomas)
    page = text_of(client.post(url(case), NOT_HELD, follow=True))
    version = Mounting.objects.get().version

    answer = client.post(
        back(case), {"to": "new mounting", "reason": "rocks", "version": version}, follow=True
    )

    words = text_of(answer)
    assert "Mounting 1: Not agreed Foil is held at 2 of at least 3 spread points." in page
    assert "The mounting is sent back. It is kept below as it was." in words
    assert "Mounting 1, taken back" in words
    assert "new mounting: rocks" in words
    assert "Pin reading at mounting (pin zero) 0.5 mm" in words
    assert Mounting.objects.get().number == 2


@pytest.mark.parametrize(
    ("posted", "status", "sentence"),
    [
        ({"reason": "rocks", "version": "1"}, 422, "Choose a new mounting or a new jaw record."),
        ({"to": "new record", "version": "1"}, 422, "Give the reason why the mounting is sent"),
        (
            {"to": "new record", "reason": "rocks", "version": "99"},
            *(409, "Tomas Abelard changed the mounting while you read it. Look at it again."),
        ),
    ],
)
def test_a_refused_return_says_why_and_keeps_the_mounting(cast, case, posted, status, sentence):
    client = logged_in(cast.tomas)
    client.post(url(case), NOT_HELD)

    answer = client.post(back(case), posted)

    assert answer.status_code == status
    assert sentence in text_of(answer)
    assert answer.content.decode().count("<title>Error: ") == 1
    assert Mounting.objects.get().number == 1


def test_casts_and_record_of_the_case_are_named_and_read_by_the_office(cast, case):
    upper = casts.add_cast(
        case=case, by=cast.tomas, values={"kind": "master", "arch": "upper", "lot": "G-7"}
    )
    lower = casts.add_cast(case=case, by=cast.tomas, values={"kind": "opposing", "arch": "lower"})
    chosen = {"upper_cast": upper.pk, "lower_cast": lower.pk}

    swapped = logged_in(cast.tomas).post(url(case), TYPED | {"upper_cast": lower.pk})
    logged_in(cast.tomas).post(url(case), TYPED | chosen | {"reference_plane": "axis plane"})

    assert swapped.status_code == 422
    assert "This line is struck out or belongs to another case." in text_of(swapped)
    words = text_of(logged_in(cast.dora).get(url(case)))
    assert "Upper cast upper master cast, G-7" in words
    assert "Axis plane of the articulator" in words
    assert "no inspection of the upper master cast, G-7 is entered" in words


@pytest.mark.parametrize("who", ["dora", "farah", "lena"])
def test_only_the_bench_sends_a_mounting_back(cast, case, who):
    client = logged_in(getattr(cast, who))
    assert client.post(back(case), {"to": "new mounting"}).status_code == 403


def test_the_page_names_the_limits_of_its_laboratory(cast, case):
    Organisation.objects.filter(pk=cast.laboratory.pk).update(
        records_agree_mm=Decimal("0.2"), foil_um=12
    )
    client = logged_in(cast.tomas)

    words = text_of(client.get(url(case)))
    assert "named pairs hold foil (12 µm)" in words
    assert "a second record agrees within 0.2 mm" in words
    client.post(url(case), TYPED)

    assert "Foil of the laboratory: 12 µm (common practice, no source)." in text_of(
        client.get(url(case))
    )
