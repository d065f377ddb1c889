"""Rows of a case: which models have any, and what is told of them."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.db import models

from labcases.domain import case_rows
from labcases.enums import Stage
from labcases.models import Case, Prescription, SetUpEntry
from tests.factories import world

#: Every model that leads to a case goes into its bundle.
HELD = """
Appointment ArrangementChange ArrivalCheck ArticulatorRecord Attachment BenchCheck BenchTask Box
BoxItem CaseLink Cast CastLook CastTrim CheckRecord CheckRun Complaint ComplaintEntry DateMove
Delivery
DeviceStatement Disinfection Erasure FinalWax Finishing Handoff IdentityLook Impression Incident
IncidentRead LinePhotograph Mark MarksCompared Mounting PastMounting Piece Prescription
ProcessingRun ProcessingStep Proposal Question QuestionEntry QuestionRead Release ReleaseLot
Remake RemountCheck RemountEntry ReviewEntry SetUpEntry Settlement SignedPaper SignedPaper_pages
SiteMeasure StockLine Surgery TakenRecord TeethSupply ToothSelection ToothTrim TryIn UsedMaterial
"""
APART = {"HistoryEntry", "MarkText"}
#: Leads to no case: a house, a person, a patient or a laboratory's own shelf.
OTHER = """
BenchDevice BenchKey Case ChainHead HouseDay CuringCycle DemoMark HouseEntry Invitation Membership
OfficeLink Organisation OwnMaterial PaperDentist Patient PatientName PinTries PrescribingDefaults
StockFile ToothSet User User_groups User_user_permissions
BenchMinutes CalendarFeed FeedEntry Reminder
"""
#: Made again from the other rows of a case, of which it tells nothing new.
MADE_AGAIN = {"DeskRow"}


def test_every_model_is_of_a_case_apart_or_of_something_else():
    """A new model: read what of it may leave the house, then name it in one of the lists above."""
    every = apps.get_app_config("labcases").get_models(include_auto_created=True)
    of_case = {model.__name__ for model in case_rows.ways()}

    assert of_case == {*HELD.split(), *APART}
    assert {model.__name__ for model in case_rows.APART} == APART
    assert {model.__name__ for model in every} - of_case == {*OTHER.split(), *MADE_AGAIN}


@pytest.mark.parametrize(
    ("model", "ways"),
    [
        ("Prescription", ("case",)),
        ("CaseLink", ("first", "second")),
        ("QuestionEntry", ("question__case",)),
        ("ToothTrim", ("trim__entry__case",)),
        ("StockLine", ("case",)),
    ],
)
def test_a_model_leads_to_its_case_by_what_is_never_empty(model, ways):
    found = {one.__name__: two for one, two in case_rows.ways().items()}

    assert found[model] == ways


def test_every_measured_number_has_its_unit_in_its_name():
    assert [
        f"{model.__name__}.{field.name}"
        for model in (Case, *case_rows.ways())
        for field in case_rows.fields_of(model)
        if isinstance(field, models.DecimalField) and not case_rows.unit_of(field.name)
    ] == []


def test_keys_are_told_with_words_unit_choices_and_what_they_point_to():
    keys = case_rows.keys()

    assert keys["SetUpEntry"]["keys"]["after_mm"]["unit"] == "mm"
    assert keys["SetUpEntry"]["keys"]["case"]["key_of"] == "Case"
    assert keys["Prescription"]["keys"]["arch"]["one_of"] == {"upper": "Upper", "lower": "Lower"}
    assert keys["Mark"]["what"] != ""


def test_rows_of_another_case_stay_out_and_numbers_keep_their_digits(db):
    cast = world()
    case = cast.walk(patient_name="Ada Quill").to(Stage.SET_UP)
    other = cast.walk(patient_code="P-200")
    SetUpEntry.objects.create(case=case, act="pin read", after_mm="0.50", by=cast.tomas)
    SetUpEntry.objects.create(case=other.case, act="pin read", after_mm="9.00", by=cast.tomas)

    told = case_rows.of_case(case)

    assert [row["after_mm"] for row in told["rows"]["SetUpEntry"]][-1] == "0.50"
    assert "9.00" not in str(told["rows"]["SetUpEntry"])
    assert len(told["rows"]["Prescription"]) == Prescription.objects.filter(case=case).count()
    assert told["patient"]["code"] == "P-100"
    assert "Ada Quill" not in str(told)
    assert case_rows.of_case(case, identity=True)["patient"]["name"] == "Ada Quill"
    assert {"Dora Winsley", "Tomas Abelard"} <= {one["name"] for one in told["people"]}
