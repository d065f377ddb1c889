"""Buttons of the materials step: own defaults, and the choices of an earlier case."""

import pytest

from labcases.models import Case
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of
from tests.labcases.views.prescribing import posted, step_url

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def draft(cast) -> Case:
    return cast.walk(patient_code="P-200").case


def press(user, case: Case, go: str, **typed):
    return logged_in(user).post(
        step_url(case, "materials"), posted(case, "materials", go=go, **typed), follow=True
    )


def stored(case: Case) -> Case:
    return Case.objects.get(pk=case.pk)


def test_what_is_typed_is_saved_and_kept_as_defaults(cast, draft):
    answer = press(cast.dora, draft, "remember", scheme="lingualised", flange="full flange")

    words = text_of(answer)
    assert "Kept as your defaults: occlusal scheme, flange." in words
    assert "Your defaults: occlusal scheme lingualised, flange full labial flange." in words
    assert stored(draft).prescription.scheme == "lingualised"


def test_defaults_fill_another_case_and_say_which_answers(cast, draft):
    press(cast.dora, draft, "remember", scheme="lingualised", flange="full flange")
    other = cast.walk(patient_code="P-201").case

    answer = press(cast.dora, other, "use", flange="partial flange")

    assert "Filled in: occlusal scheme." in text_of(answer)
    row = stored(other).prescription
    assert (row.scheme, row.flange) == ("lingualised", "partial flange")


def test_without_defaults_there_is_nothing_to_fill_in_with(cast, draft):
    page = text_of(logged_in(cast.dora).get(step_url(draft, "materials")))

    assert "Save as my defaults" in page
    assert "Fill what is open with my defaults" not in page
    assert "You have no defaults yet." in text_of(press(cast.dora, draft, "use"))


def test_an_earlier_case_of_the_office_is_chosen_by_its_codes(cast, draft):
    walk = cast.walk(patient_code="P-150")
    walk.prescribe(scheme="group")
    walk.sign()

    page = text_of(logged_in(cast.farah).get(step_url(draft, "materials")))
    answer = press(cast.farah, draft, "copy", copy_from=walk.case.code)

    assert "patient P-150, upper, signed" in page
    assert "Copied: base material," in text_of(answer)
    row = stored(draft).prescription
    assert (row.scheme, row.shade, row.teeth, row.allergy) == ("group", "", {}, "not asked")


@pytest.mark.parametrize("code", ["", "7Q2K9A3BC4DH"])
def test_without_a_case_of_the_list_nothing_is_copied(cast, draft, code):
    answer = press(cast.farah, draft, "copy", copy_from=code)

    assert "Choose an earlier case first." in text_of(answer)
    assert stored(draft).prescription.scheme == ""


def test_a_button_that_saves_nothing_because_a_value_is_wrong_keeps_nothing(cast, draft):
    answer = press(cast.dora, draft, "remember", scheme="lingualised", central_width_mm="99")

    assert answer.status_code == 422
    assert stored(draft).prescription.scheme == ""


def test_all_remaining_teeth_are_marked_with_one_press(cast, draft):
    answer = logged_in(cast.dora).post(
        step_url(draft, "teeth"),
        posted(draft, "teeth", fill="remaining", tooth_18="lost", tooth_28="lost"),
        follow=True,
    )

    teeth = stored(draft).prescription.teeth
    assert "Saved. 14 positions were marked." in text_of(answer)
    assert (teeth["18"], teeth["17"], teeth["13"]) == (
        *("lost", "extract before records", "extract at surgery"),
    )
