"""Signing covers the clinical part, and a signed revision undoes what its table says."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from labcases.domain import prescription, stages
from labcases.domain.prescription import AlreadySigned, NotReady, TooLateToRevise
from labcases.enums import (
    Allergy,
    BaseMaterial,
    Flange,
    JawRecord,
    PrescriptionStatus,
    Route,
    Scheme,
    SetUpOrder,
    Stage,
    ToothMaterial,
    ToothStatus,
    TryInWish,
)
from labcases.models import Case, Prescription
from tests.factories import World, world

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


def written(cast: World, **values) -> Prescription:
    walk = cast.walk()
    walk.prescribe(**values)
    return walk.reload().prescription


def sign(row: Prescription, cast: World, *, version: int | None = None) -> Prescription:
    return prescription.sign(
        row=row,
        version=row.version if version is None else version,
        by=cast.dora,
        signed_name="Dora Winsley",
        licence_number="D-7781",
    )


def at(cast: World, stage: Stage, case: Case) -> Case:
    """Put a signed case at a stage without doing the work of the stages before."""
    Case.objects.filter(pk=case.pk).update(stage=stage)
    return Case.objects.get(pk=case.pk)


def revised(case: Case, cast: World, **changes) -> Prescription:
    row = prescription.revise(case=case, by=cast.dora)
    return prescription.save(row=row, version=row.version, by=cast.dora, values=changes)


# Signing


def test_a_signature_names_the_dentist_the_licence_and_the_answers(cast):
    row = written(cast)

    signed = sign(row, cast)

    assert signed.status == PrescriptionStatus.SIGNED
    assert (signed.signed_by, signed.signed_name, signed.licence_number) == (
        cast.dora,
        "Dora Winsley",
        "D-7781",
    )
    assert timezone.now() - signed.signed_at < timedelta(minutes=1)
    assert signed.digest == prescription.digest(signed)
    assert len(signed.digest) == 64


def test_a_signature_stands_in_the_history_with_its_revision(cast):
    row = written(cast)

    sign(row, cast)

    entry = row.case.history.last()
    assert (entry.act, entry.part, entry.by) == ("signed", "prescription", cast.dora)
    assert entry.reason == "revision 1"


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("shade", "A3"),
        ("overjet_mm", Decimal("2.5")),
        ("allergy_text", "acrylate"),
        ("instructions", "Narrow premolars."),
        ("base_material", BaseMaterial.MILLED),
        ("first_extraction_on", None),
        ("probing_mm", {"13": "3.5"}),
        ("photographs", ["smile"]),
        ("template_wanted", False),
    ],
)
def test_the_digest_follows_every_clinical_answer(cast, field, value):
    row = written(cast)
    before = prescription.digest(row)

    setattr(row, field, value)

    assert prescription.digest(row) != before


def test_the_digest_follows_a_single_tooth(cast):
    row = written(cast)
    before = prescription.digest(row)

    row.teeth = {**row.teeth, "13": ToothStatus.STAYS.value}

    assert prescription.digest(row) != before


def test_the_digest_ignores_how_a_number_is_spelt_and_who_saved_it(cast):
    row = written(cast)
    before = prescription.digest(row)

    row.overjet_mm = Decimal("2.00")
    row.version += 3
    row.changed_by = cast.farah

    assert prescription.digest(row) == before


def test_what_was_signed_before_a_question_was_asked_keeps_its_digest():
    """Worked out once from the answers that the first prescriptions were asked for."""
    case = Case(code="7Q2K9A3BC4DH")
    row = Prescription(case=case, revision=1, shade="B2", overjet_mm=Decimal("2.00"))

    assert prescription.digest(row) == (
        "b5f4b7fdad772e81ae824098fabd4d1bede145c89490ff8a9fcb0fdd0f98dfe9"
    )


def test_an_incomplete_draft_is_refused_with_everything_that_is_missing(cast):
    row = written(cast, shade="", allergy=Allergy.NOT_ASKED)

    with pytest.raises(NotReady) as refusal:
        sign(row, cast)

    assert [(item.field, item.text) for item in refusal.value.items] == [
        ("shade", "Enter the shade."),
        ("allergy", "Ask about allergies and enter the answer."),
    ]
    row.refresh_from_db()
    assert row.status == PrescriptionStatus.DRAFT


def test_a_revision_is_signed_once(cast):
    signed = sign(written(cast), cast)

    with pytest.raises(AlreadySigned, match="Revision 1 is already signed"):
        sign(signed, cast)


def test_a_signed_revision_takes_no_change(cast):
    signed = sign(written(cast), cast)

    with pytest.raises(AlreadySigned, match="signed and does not change"):
        prescription.save(row=signed, version=signed.version, by=cast.dora, values={"shade": "A1"})

    signed.refresh_from_db()
    assert signed.shade == "B2"


# Revising


def test_a_revision_starts_as_a_copy_and_leaves_the_signed_one_in_force(cast):
    signed = sign(written(cast), cast)

    row = prescription.revise(case=Case.objects.get(), by=cast.farah)

    case = Case.objects.get()
    assert (row.revision, row.status) == (2, PrescriptionStatus.DRAFT)
    assert prescription.changes_of(row, signed) == {}
    assert case.prescription == signed
    assert case.draft_revision == row


def test_revising_twice_gives_the_same_draft(cast):
    sign(written(cast), cast)

    first = prescription.revise(case=Case.objects.get(), by=cast.dora)
    again = prescription.revise(case=Case.objects.get(), by=cast.farah)

    assert again == first
    assert Prescription.objects.count() == 2


def test_an_unsigned_first_draft_is_its_own_revision(cast):
    row = written(cast)

    assert prescription.revise(case=row.case, by=cast.dora) == row


def test_signing_a_revision_replaces_the_one_before(cast):
    first = sign(written(cast), cast)
    row = revised(Case.objects.get(), cast, shade="A3")

    second = sign(row, cast)

    first.refresh_from_db()
    assert first.status == PrescriptionStatus.REPLACED
    assert first.shade == "B2"
    assert Case.objects.get().prescription == second


@pytest.mark.parametrize("stage", [Stage.PROCESSING, Stage.DISPATCHED, Stage.DELIVERED])
def test_no_revision_is_started_once_processing_has_begun(cast, stage):
    sign(written(cast), cast)
    case = at(cast, stage, Case.objects.get())

    with pytest.raises(TooLateToRevise, match="Processing has begun"):
        prescription.revise(case=case, by=cast.dora)
    assert not prescription.may_revise(case)


def test_a_draft_from_before_processing_is_not_signed_after_it_began(cast):
    sign(written(cast), cast)
    row = revised(Case.objects.get(), cast, teeth={**written_teeth(), "13": "stays"})
    at(cast, Stage.REMOUNT, row.case)
    row = Prescription.objects.get(pk=row.pk)

    with pytest.raises(TooLateToRevise):
        sign(row, cast)

    assert Case.objects.get().stage == Stage.REMOUNT


def written_teeth() -> dict[str, str]:
    return dict(Prescription.objects.get(revision=1).teeth)


# What a revision undoes

# field: (new value, stage that it brings a case at final wax back to)
UNDONE = {
    "route": ({"route": Route.INTERIM}, Stage.MASTER_CAST),
    "teeth": ({"13": ToothStatus.STAYS.value}, Stage.MASTER_CAST),
    "opposing": ({"36": "missing"}, Stage.MASTER_CAST),
    "opponent": ({"36": "denture", "46": "denture"}, Stage.MASTER_CAST),
    "over_eruption_mm": (
        {"over_eruption_mm": {"37": "1.6"}, "over_eruption_by": "mounted cast"},
        Stage.MOUNTING,
    ),
    "jaw_record": ({"jaw_record": JawRecord.CENTRIC_RELATION}, Stage.MOUNTING),
    "overjet_mm": ({"overjet_mm": Decimal("3")}, Stage.MOUNTING),
    "overbite_mm": ({"overbite_mm": Decimal("2")}, Stage.MOUNTING),
    "vertical_wish": ({"vertical_wish": "as the record"}, Stage.MOUNTING),
    "vertical_rest_mm": ({"vertical_rest_mm": Decimal("68")}, Stage.MOUNTING),
    "vertical_occlusion_mm": ({"vertical_occlusion_mm": Decimal("65")}, Stage.MOUNTING),
    "vertical_read_at": ({"vertical_read_at": "nose and chin"}, Stage.MOUNTING),
    "settings_wish": ({"settings_wish": "average values"}, Stage.SETTINGS),
    "settings_text": ({"settings_text": "condylar inclination 35 deg"}, Stage.SETTINGS),
    "set_up_order": ({"set_up_order": SetUpOrder.ANTERIOR_FIRST}, Stage.SET_UP),
    "scheme": ({"scheme": Scheme.LINGUALISED}, Stage.SET_UP),
    "shade_system": ({"shade_system": "tabs of the laboratory"}, Stage.SET_UP),
    "shade": ({"shade": "A3"}, Stage.SET_UP),
    "mould": ({"mould": "square, large"}, Stage.SET_UP),
    "mould_form": ({"mould_form": "ovoid"}, Stage.SET_UP),
    "central_width_mm": ({"central_width_mm": Decimal("8.5")}, Stage.SET_UP),
    "central_length_mm": ({"central_length_mm": Decimal("10.5")}, Stage.SET_UP),
    "tooth_material": ({"tooth_material": ToothMaterial.COMPOSITE}, Stage.SET_UP),
    "try_in": ({"try_in": TryInWish.WAIVED}, Stage.SET_UP),
    "post_dam": ({"post_dam": "drawn by the dentist"}, Stage.FINAL_WAX),
    "flange": ({"flange": Flange.PARTIAL}, Stage.FINAL_WAX),
    "base_material": ({"base_material": BaseMaterial.INJECTED}, Stage.FINAL_WAX),
    "allergy": ({"allergy": Allergy.LISTED, "allergy_text": "nickel"}, Stage.FINAL_WAX),
}


def change_of(field: str) -> dict[str, object]:
    values, _stage = UNDONE[field]
    if field in ("teeth", "opposing"):
        return {field: {**getattr(Prescription.objects.get(revision=1), field), **values}}
    if field == "opponent":
        chart = {**Prescription.objects.get(revision=1).opposing, **values}
        return {"opponent": "partial denture worn", "opposing": chart}
    if field == "route":
        teeth = {
            tooth: "extract at surgery" if mark == "extract before records" else mark
            for tooth, mark in written_teeth().items()
        }
        return {"route": Route.INTERIM, "teeth": teeth, "try_in": TryInWish.NOT_POSSIBLE}
    return dict(values)


def test_every_field_that_undoes_something_is_tried_here():
    tried = set(UNDONE) | {"arch", "allergy_text", "lower_border"}

    assert set(prescription.UNDOES) == tried


@pytest.mark.parametrize("field", sorted(UNDONE))
def test_a_signed_change_brings_the_case_back_exactly_as_far_as_it_says(cast, field):
    """From processing's doorstep, where everything before was done."""
    sign(written(cast), cast)
    case = at(cast, Stage.FINAL_WAX, Case.objects.get())
    row = revised(case, cast, **change_of(field))
    said = prescription.undoing(row, Prescription.objects.get(revision=1))
    to = UNDONE[field][1]

    sign(row, cast)

    assert said.fields[field] == to
    assert said.to == (None if to == Stage.FINAL_WAX else to)
    assert Case.objects.get().stage == to


def test_an_arch_turned_round_brings_the_case_back_to_the_casts(cast):
    sign(written(cast), cast)
    at(cast, Stage.SET_UP, Case.objects.get())
    lower = written_lower()
    row = revised(Case.objects.get(), cast, arch="lower", lower_border="ask", **lower)

    sign(row, cast)

    assert Case.objects.get().stage == Stage.MASTER_CAST


def written_lower() -> dict[str, dict[str, str]]:
    row = Prescription.objects.get(revision=1)
    flip = {"1": "4", "2": "3"}
    return {
        "teeth": {flip[tooth[0]] + tooth[1]: mark for tooth, mark in row.teeth.items()},
        "opposing": {
            {"4": "1", "3": "2"}[tooth[0]] + tooth[1]: mark for tooth, mark in row.opposing.items()
        },
    }


@pytest.mark.parametrize(
    ("changes", "stage"),
    [
        ({"instructions": "Narrow premolars."}, Stage.FINAL_WAX),
        ({"incisal_display_mm": Decimal("3")}, Stage.FINAL_WAX),
        ({"midline_offset_mm": Decimal("1")}, Stage.FINAL_WAX),
        ({"shade": "A3"}, Stage.ACCEPTED),
        ({"jaw_record": JawRecord.CENTRIC_RELATION}, Stage.MOUNTING),
    ],
)
def test_a_change_of_nothing_that_is_done_leaves_the_case_where_it_is(cast, changes, stage):
    sign(written(cast), cast)
    case = at(cast, stage, Case.objects.get())
    row = revised(case, cast, **changes)

    assert prescription.undoing(row, Prescription.objects.get(revision=1)).to is None
    sign(row, cast)

    assert Case.objects.get().stage == stage


def test_of_several_changes_the_one_that_reaches_furthest_back_decides(cast):
    sign(written(cast), cast)
    case = at(cast, Stage.FINAL_WAX, Case.objects.get())
    row = revised(case, cast, shade="A3", overjet_mm=Decimal("4"), flange=Flange.PARTIAL)

    said = prescription.undoing(row, Prescription.objects.get(revision=1))
    sign(row, cast)

    assert said.fields == {
        "shade": Stage.SET_UP,
        "flange": Stage.FINAL_WAX,
        "overjet_mm": Stage.MOUNTING,
    }
    assert Case.objects.get().stage == Stage.MOUNTING


def test_being_brought_back_stands_in_the_history_with_the_revision(cast):
    sign(written(cast), cast)
    case = at(cast, Stage.FINAL_WAX, Case.objects.get())

    sign(revised(case, cast, shade="A3"), cast)

    entry = case.history.last()
    assert (entry.act, entry.part) == ("brought back", "stage")
    assert entry.changes == {"stage": ["Final wax", "Set-up"]}
    assert entry.reason == "revision 2 of the prescription"


def test_after_being_brought_back_the_case_goes_on_from_there(cast):
    sign(written(cast), cast)
    case = at(cast, Stage.FINAL_WAX, Case.objects.get())

    sign(revised(case, cast, shade="A3"), cast)

    assert Stage.FINAL_WAX in stages.next_stages(Case.objects.get())
