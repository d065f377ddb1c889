"""The tooth selection: carried over from the prescription, with cautions and lots."""

import re

import pytest
from django.urls import reverse

from labcases.enums import ToothMaterial
from labcases.models import Case, ToothSelection
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


def case_with(cast: World, **prescribed) -> Case:
    walk = cast.walk()
    walk.prescribe(**prescribed)
    return walk.reload()


@pytest.fixture
def case(cast) -> Case:
    return case_with(cast, mould="ovoid, 44")


def url(case: Case) -> str:
    return reverse("teeth", args=[case.code])


TYPED = {
    "version": "0",
    "anterior_mould": "ovoid, 44",
    "posterior_mould": "20 degree, small",
    "shade": "B2",
    "material": "resin",
    "cusp_angle_deg": "20",
    "lots": "T-118",
    "in_hand": "on",
}


def test_shade_mould_and_material_are_carried_over(cast, case):
    page = logged_in(cast.tomas).get(url(case)).content.decode()

    assert 'name="shade" value="B2"' in page
    assert 'name="anterior_mould" value="ovoid, 44"' in page
    assert re.search(r'name="material" value="resin"[^>]*checked', page)


def test_a_selection_is_stored_with_one_line_of_history(cast, case):
    lines = case.history.count()

    answer = logged_in(cast.tomas).post(url(case), TYPED, follow=True)

    row = ToothSelection.objects.get()
    assert (row.posterior_mould, row.lots, row.in_hand) == ("20 degree, small", "T-118", True)
    assert case.history.count() == lines + 1
    assert "Tooth selection saved." in text_of(answer)
    assert "Needed before the set-up" not in text_of(answer)


def test_teeth_that_are_not_in_hand_are_said_to_be_needed(cast, case):
    answer = logged_in(cast.tomas).post(
        url(case), {k: v for k, v in TYPED.items() if k != "in_hand"}, follow=True
    )

    assert "The teeth are not in hand." in text_of(answer)


def test_the_positions_to_set_stand_beside_the_form_in_words(cast, case):
    words = text_of(logged_in(cast.tomas).get(url(case)))

    assert "To be set (14)" in words
    assert "17 (Universal 2), upper right second molar" in words


def test_another_shade_than_prescribed_is_pointed_out(cast, case):
    answer = logged_in(cast.tomas).post(url(case), TYPED | {"shade": "A3"}, follow=True)

    assert "Shade: the prescription says B2, this page says A3." in text_of(answer)


def test_porcelain_against_natural_teeth_is_cautioned_before_anything_is_saved(cast):
    case = case_with(cast, tooth_material=ToothMaterial.PORCELAIN)

    words = text_of(logged_in(cast.tomas).get(url(case)))

    assert "Porcelain teeth would meet natural teeth at" in words
    assert "wear of enamel by porcelain: from memory" in words


def test_resin_is_not_cautioned(cast, case):
    assert "Porcelain" not in text_of(logged_in(cast.tomas).get(url(case))).replace(
        "Resin Composite resin Porcelain", ""
    )


def test_an_impossible_cusp_angle_is_refused_in_words(cast, case):
    answer = logged_in(cast.tomas).post(url(case), TYPED | {"cusp_angle_deg": "80"})

    assert answer.status_code == 422
    assert "Cusp angle is 80 deg. Enter 0 to 60 deg." in text_of(answer)
    assert not ToothSelection.objects.exists()


def test_the_second_to_save_sees_both_values(cast, case):
    logged_in(cast.tomas).post(url(case), TYPED)

    answer = logged_in(cast.mona).post(url(case), TYPED | {"lots": "T-200"})

    assert answer.status_code == 409
    assert "Keep yours: </span>T-200" in answer.content.decode()
    assert "Keep stored: </span>T-118" in answer.content.decode()
    assert ToothSelection.objects.get().lots == "T-118"


def test_the_office_reads_the_selection_without_a_form(cast, case):
    logged_in(cast.tomas).post(url(case), TYPED)

    answer = logged_in(cast.dora).get(url(case))

    assert "Posterior mould 20 degree, small" in text_of(answer)
    assert "Cusp angle 20 deg" in text_of(answer)
    assert 'name="lots"' not in answer.content.decode()


@pytest.mark.parametrize("who", ["dora", "farah", "lena"])
def test_only_the_bench_enters_a_selection(cast, case, who):
    assert logged_in(getattr(cast, who)).post(url(case), TYPED).status_code == 403
    assert not ToothSelection.objects.exists()


def test_another_office_finds_nothing(cast, case):
    assert logged_in(cast.olga).get(url(case)).status_code == 404
