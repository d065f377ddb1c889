"""Own defaults and the choices of earlier cases: clinical choices only, and only when asked."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import defaults, prescription
from labcases.domain.defaults import NothingToUse
from labcases.domain.undoing import CLINICAL
from labcases.models import Case, Prescription
from tests.factories import World, world

pytestmark = pytest.mark.django_db

# What no button ever carries from one mouth to another.
OF_ONE_MOUTH = {
    *("opponent", "over_eruption_mm", "over_eruption_by"),
    *("route", "arch", "teeth", "opposing", "first_extraction_on", "shade", "shade_light"),
    *("mould", "mould_form", "central_width_mm", "central_length_mm", "jaw_record"),
    *("vertical_wish", "allergy", "allergy_text", "overjet_mm", "overbite_mm"),
    *("incisal_display_mm", "smile_display_mm", "midline_offset_mm", "vertical_rest_mm"),
    *("vertical_occlusion_mm", "vertical_read_at", "interalar_mm", "canine_lines_mm"),
    *("probing_mm", "natural_changes", "natural_changes_text", "instructions"),
    *("settings_text", "characterisation", "healing_reason"),
}


@pytest.fixture
def cast() -> World:
    return world()


def draft(cast: World, code: str = "P-200") -> Prescription:
    return cast.walk(patient_code=code).case.prescription


def written(cast: World, code: str = "P-100", **values) -> Prescription:
    walk = cast.walk(patient_code=code)
    walk.prescribe(**values)
    return walk.reload().prescription


def signed(cast: World, code: str = "P-100", **values) -> Case:
    walk = cast.walk(patient_code=code)
    walk.prescribe(**values)
    walk.sign()
    return walk.reload()


def fresh(row: Prescription) -> Prescription:
    return Prescription.objects.get(pk=row.pk)


def test_every_clinical_field_is_either_carried_over_or_of_one_mouth():
    assert set(defaults.COPIED) | OF_ONE_MOUTH == set(CLINICAL)
    assert set(defaults.COPIED) & OF_ONE_MOUTH == set()
    assert set(defaults.DEFAULTS) < set(defaults.COPIED)


def test_defaults_of_one_prescription_fill_what_the_next_leaves_open(cast):
    defaults.remember(row=written(cast, scheme="lingualised", shade="A3"), by=cast.dora)
    row = draft(cast)
    row = prescription.save(
        row=row, version=row.version, by=cast.dora, values={"flange": "partial flange"}
    )

    filled = defaults.use(row=row, version=row.version, by=cast.dora)

    row = fresh(row)
    assert filled == ["base_material", "tooth_material", "shade_system", "scheme", "try_in"]
    assert (row.base_material, row.scheme, row.try_in) == (
        *("heat-cured resin", "lingualised", "wanted"),
    )
    assert row.flange == "partial flange"
    assert (row.shade, row.teeth, row.allergy, row.overjet_mm) == ("", {}, "not asked", None)
    assert row.case.history.last().act == "changed"


def test_defaults_belong_to_one_person(cast):
    defaults.remember(row=written(cast), by=cast.dora)
    row = draft(cast)

    with pytest.raises(NothingToUse, match="You have no defaults yet"):
        defaults.use(row=row, version=row.version, by=cast.farah)


def test_keeping_again_replaces_what_was_kept(cast):
    defaults.remember(row=written(cast), by=cast.dora)
    defaults.remember(row=written(cast, "P-101", flange="", scheme="flat"), by=cast.dora)

    kept = defaults.own(cast.dora)
    assert (kept.scheme, kept.flange) == ("flat", "")


def test_a_draft_that_says_nothing_is_no_default(cast):
    with pytest.raises(NothingToUse, match="choose a material, scheme or flange first"):
        defaults.remember(row=draft(cast), by=cast.dora)
    assert defaults.own(cast.dora) is None


def test_where_everything_is_answered_nothing_is_filled(cast):
    row = written(cast)
    defaults.remember(row=row, by=cast.dora)

    with pytest.raises(NothingToUse, match="everything is answered already"):
        defaults.use(row=row, version=row.version, by=cast.dora)


def test_what_an_arch_or_route_refuses_is_left_out(cast):
    kept = written(cast, flange="socketed")
    defaults.remember(row=kept, by=cast.dora)
    row = draft(cast)
    row = prescription.save(
        row=row, version=row.version, by=cast.dora, values={"arch": "lower", "route": "interim"}
    )

    filled = defaults.use(row=row, version=row.version, by=cast.dora)

    assert filled == ["base_material", "tooth_material", "shade_system", "scheme"]


# Earlier cases


def test_choices_are_copied_and_nothing_that_belongs_to_one_mouth(cast):
    earlier = signed(
        cast,
        base_material="milled resin",
        set_up_order="anterior first",
        identification="case code",
        allergy="listed",
        allergy_text="nickel",
        shade="C4",
        smile_display_mm=Decimal("9"),
    )
    row = draft(cast)
    before = {field: getattr(row, field) for field in OF_ONE_MOUTH}

    defaults.copy(row=row, version=row.version, of=earlier, by=cast.farah)

    row = fresh(row)
    assert {field: getattr(row, field) for field in OF_ONE_MOUTH} == before
    assert (row.base_material, row.set_up_order, row.identification, row.post_dam) == (
        *("milled resin", "anterior first", "case code", "by the mark"),
    )
    assert row.case.patient.code == "P-200"


def test_only_signed_cases_of_the_same_office_are_offered(cast):
    one = signed(cast)
    written(cast, "P-101")
    row = draft(cast)

    assert defaults.earlier(row.case, cast.dora) == [one]
    assert defaults.earlier(row.case, cast.tomas) == []


def test_a_case_of_another_office_is_not_copied(cast):
    one = signed(cast)
    Case.objects.filter(pk=one.pk).update(office=cast.other_office)
    row = draft(cast)

    with pytest.raises(NothingToUse, match="Choose one of the cases in the list"):
        defaults.copy(row=row, version=row.version, of=Case.objects.get(pk=one.pk), by=cast.dora)
