"""The tooth selection: carried over from the prescription, with cautions."""

import re
from typing import ClassVar

import pytest
from django.urls import reverse

from labcases.domain import bench
from labcases.enums import ToothMaterial
from labcases.management.sample import SETTINGS
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
    assert (row.posterior_mould, row.shade) == ("20 degree, small", "B2")
    assert case.history.count() == lines + 1
    assert "Tooth selection saved." in text_of(answer)


def test_teeth_that_are_not_in_hand_are_said_to_be_needed(cast, case):
    answer = logged_in(cast.tomas).post(url(case), TYPED, follow=True)

    assert "The upper anterior teeth (6) are not in hand." in text_of(answer)
    assert "The upper posterior teeth (8) are not in hand." in text_of(answer)


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
    words = text_of(logged_in(cast.tomas).get(url(case)))

    assert "Porcelain teeth would meet natural teeth" not in words
    assert "Hollow-grinding takes away what holds a porcelain tooth" not in words


def test_an_impossible_cusp_angle_is_refused_in_words(cast, case):
    answer = logged_in(cast.tomas).post(url(case), TYPED | {"cusp_angle_deg": "80"})

    assert answer.status_code == 422
    assert "Cusp angle is 80 deg. Enter 0 to 60 deg." in text_of(answer)
    assert not ToothSelection.objects.exists()


def test_the_second_to_save_sees_both_values(cast, case):
    logged_in(cast.tomas).post(url(case), TYPED)

    answer = logged_in(cast.mona).post(url(case), TYPED | {"anterior_mould": "square"})

    assert answer.status_code == 409
    assert "Keep yours: </span>square" in answer.content.decode()
    assert "Keep stored: </span>ovoid, 44" in answer.content.decode()
    assert ToothSelection.objects.get().anterior_mould == "ovoid, 44"


def test_the_office_reads_the_selection_without_a_form(cast, case):
    logged_in(cast.tomas).post(url(case), TYPED)

    answer = logged_in(cast.dora).get(url(case))

    assert "Posterior mould 20 degree, small" in text_of(answer)
    assert "Cusp angle 20 deg" in text_of(answer)
    assert 'name="posterior_mould"' not in answer.content.decode()


@pytest.mark.parametrize("who", ["dora", "farah", "lena"])
def test_only_the_bench_enters_a_selection(cast, case, who):
    assert logged_in(getattr(cast, who)).post(url(case), TYPED).status_code == 403
    assert not ToothSelection.objects.exists()


def test_another_office_finds_nothing(cast, case):
    assert logged_in(cast.olga).get(url(case)).status_code == 404


class TestProposals:
    MEASURED: ClassVar[dict[str, str]] = {
        **TYPED,
        "natural_six_mm": "46,2",
        "inner_canthal_mm": "28",
        "room_right_mm": "33",
        "room_left_mm": "30",
    }

    def post(self, user, case, **more):
        return logged_in(user).post(url(case), {**self.MEASURED, **more}, follow=True)

    def test_measures_are_kept_with_the_selection_and_proposals_follow(self, cast, case):
        answer = self.post(cast.tomas, case)

        row = ToothSelection.objects.get()
        assert (str(row.natural_six_mm), row.hamular_notch_mm) == ("46.20", None)
        words = text_of(answer)
        assert "Width of the six front teeth: choose within 45.7 to 46.7 mm" in words
        assert "Inner eye corners width of a central incisor 7.7 to 9.6 mm 0.5 Abdullah" in words
        assert "24, 25, 26 fit at middle widths, 27 left out rather than crowded." in words

    def test_proposals_for_what_is_typed_are_shown_without_saving(self, cast, case):
        answer = self.post(cast.tomas, case, propose="1")

        assert answer.status_code == 200
        assert "Nothing is saved yet." in text_of(answer)
        assert "choose within 45.7 to 46.7 mm" in text_of(answer)
        assert 'name="posterior_mould" value="20 degree, small"' in answer.content.decode()
        assert not ToothSelection.objects.exists()

    def test_a_taken_value_stands_in_its_box_and_is_saved_only_by_saving(self, cast, case):
        taken = self.post(cast.tomas, case, take="front_six_mm=46.2")

        page = taken.content.decode()
        assert 'name="front_six_mm" value="46.2"' in page
        assert "Its six front teeth together 46.2 stands in its box now." in text_of(taken)
        assert not ToothSelection.objects.exists()

        self.post(cast.tomas, case, front_six_mm="46.2")
        assert str(ToothSelection.objects.get().front_six_mm) == "46.20"

    def test_a_stored_selection_stays_as_it_was_while_a_proposal_is_tried(self, cast, case):
        self.post(cast.tomas, case)

        answer = self.post(cast.mona, case, version="1", take="cusp_angle_deg=33", shade="A3")

        row = ToothSelection.objects.get()
        assert (row.cusp_angle_deg, row.shade, row.version) == (20, "B2", 1)
        assert 'name="cusp_angle_deg" value="33"' in answer.content.decode()

    def test_taking_a_material_ticks_it(self, cast, case):
        page = self.post(cast.tomas, case, take="material=composite").content.decode()

        assert re.search(r'name="material" value="composite"[^>]*checked', page)

    def test_what_cannot_be_is_refused_before_anything_is_proposed_from_it(self, cast, case):
        answer = self.post(cast.tomas, case, propose="1", natural_six_mm="460")

        assert answer.status_code == 422
        assert "is 460 mm. Enter 18 to 90 mm." in text_of(answer)

    def test_nothing_is_ever_put_into_the_form_by_itself(self, cast, case):
        page = self.post(cast.tomas, case).content.decode()

        assert not re.search(r'name="front_six_mm" value=', page)
        assert 'name="cusp_angle_deg" value="20"' in page

    def test_cusps_are_judged_against_the_settings_once_there_are_any(self, cast, case):
        before = text_of(logged_in(cast.tomas).get(url(case)))
        bench.save_articulator(case=case, version=0, by=cast.tomas, values=SETTINGS)

        after = logged_in(cast.tomas).get(url(case))

        assert "Enter the articulator record first: what a cusp does depends" in before
        assert "Usual cusp angles as the articulator is set" in text_of(after)
        assert 'name="take" value="cusp_angle_deg=33"' in after.content.decode()

    def test_a_size_difference_is_told_only_above_2_mm(self, cast, case):
        near = self.post(cast.tomas, case, front_six_mm="45", opposing_six_mm="35.5")
        far = self.post(cast.tomas, case, version="1", front_six_mm="43", opposing_six_mm="35.5")

        assert "at the mean of 77.2 %" not in text_of(near)
        assert "at the mean of 77.2 % the upper teeth would be 3.0 mm wider" in text_of(far)

    @pytest.mark.parametrize("who", ["dora", "farah", "lena"])
    def test_others_read_the_proposals_and_take_none(self, cast, case, who):
        self.post(cast.tomas, case)
        user = getattr(cast, who)

        answer = logged_in(user).get(url(case))

        assert "choose within 45.7 to 46.7 mm" in text_of(answer)
        assert 'name="take"' not in answer.content.decode()
        assert self.post(user, case, take="cusp_angle_deg=33").status_code == 403
        assert self.post(user, case, propose="1").status_code == 403
