"""What a report sets off: a question to the dentist, a day, the strip, an end, silence."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import case as cases
from labcases.domain import (
    ending,
    incident,
    notices,
    prescription,
    stages,
    teeth_needed,
    tooth_orders,
    undo,
)
from labcases.domain import incident_effects as effects
from labcases.enums import AppointmentStatus, Stage
from labcases.management.walk import start
from labcases.models import Case
from labcases.views._head import head_context
from labcases.views._sentences import sentence
from tests.labcases.domain.gaps import discard_teeth
from tests.labcases.domain.test_incident import report

TODAY = timezone.localdate


@pytest.fixture
def waxed(before):
    return before(Stage.PROCESSING)


def book(walk, days=20):
    return cases.save_appointment(
        case=walk.reload(),
        appointment=None,
        version=0,
        by=walk.hands.office_desk,
        values={"kind": "review", "on": TODAY() + timedelta(days=days), "status": "booked"},
    )


def test_a_lost_tooth_asks_the_dentist_for_a_revision_that_takes_the_case_back(waxed, cast):
    row = report(waxed, "tooth-lost-or-changed", cast.farah, "own", teeth=["13"])

    case = waxed.reload()
    asked = row.question
    assert case.stage == Stage.FINAL_WAX
    assert (asked.about, asked.clinical, asked.blocking) == ("the teeth to be replaced", True, True)
    assert "Tooth: upper right canine, 13 (Universal 6)." in asked.text
    assert case.final_wax.approved_at is not None
    revised = prescription.answer_by_revision(asked=asked, by=cast.dora)
    teeth = revised.teeth | {"13": "lost"}
    revised = prescription.save(
        row=revised, version=revised.version, by=cast.dora, values={"teeth": teeth}
    )
    prescription.sign(
        row=revised, version=revised.version, by=cast.dora, signed_name="D", licence_number="1"
    )
    assert waxed.reload().stage == Stage.MASTER_CAST
    asked.refresh_from_db()
    assert asked.waits is False


def test_where_it_is_too_late_for_a_revision_the_dentist_says_what_is_done(before, cast):
    walk = before(Stage.DELIVERED)

    row = report(walk, "surgeon-did-otherwise", cast.dora, "kept", teeth=["14"])

    assert row.question.about == "the case"
    assert "It is too late for a revision: please say what is to be done." in row.question.text
    assert walk.reload().stage == Stage.RECEIVED


def test_a_long_report_is_cut_in_the_question_and_whole_in_itself(waxed, cast):
    row = report(waxed, "tooth-lost-or-changed", cast.farah, "own", teeth=["13"], text="x" * 1000)

    assert len(row.text) == 1000
    assert len(row.question.text) == 1000
    assert row.question.text.endswith("x ...")


def strip(case, user):
    return head_context(case, user)["head"]["safety"]


def test_a_late_allergy_stands_in_the_strip_at_once_and_materials_are_asked(waxed, cast):
    row = report(waxed, "allergy-reported-late", cast.lena, allergy="acrylate")

    case = waxed.reload()
    said = strip(case, cast.tomas)
    assert said["allergy"].startswith("acrylate, reported ")
    assert said["allergy"].endswith(" by Lena Marsh, not signed")
    assert said["allergy_alert"] is True
    assert "Named: acrylate. Which materials stay?" in row.question.text
    incident.close(incident=row, done="Asked.", by=cast.lena)
    assert strip(waxed.reload(), cast.tomas)["allergy_alert"] is True
    case.prescriptions.update(allergy="listed", allergy_text="acrylate")
    assert strip(waxed.reload(), cast.tomas)["allergy"] == "acrylate"


def test_an_allergy_that_was_reported_wrongly_leaves_the_strip(waxed, cast):
    row = report(waxed, "allergy-reported-late", cast.farah, allergy="nickel")

    incident.strike(incident=row, reason="Another patient.", by=cast.farah)

    assert "nickel" not in strip(waxed.reload(), cast.tomas)["allergy"]


def test_a_postponed_surgery_moves_the_day_and_every_approval_stays(waxed, cast):
    day = TODAY() + timedelta(days=200)

    row = report(waxed, "surgery-postponed", cast.farah, new_day=day)

    case = waxed.reload()
    assert (case.surgery_on, case.surgery_confirmed_at) == (day, None)
    assert (row.surgery_was, row.undid, row.days_lost) == (TODAY() + timedelta(days=120), [], 0)
    assert case.final_wax.approved_at is not None
    assert case.stage == Stage.FINAL_WAX


def test_a_surgery_without_a_new_day_leaves_none(waxed, cast):
    report(waxed, "surgery-postponed", cast.farah)

    assert waxed.reload().surgery_on is None


def test_a_cancelled_surgery_holds_the_case_or_ends_it_as_the_dentist_says(waxed, cast):
    booked = book(waxed)

    report(waxed, "surgery-cancelled", cast.farah, "hold")

    case = waxed.reload()
    booked.refresh_from_db()
    assert (case.on_hold, case.hold_reason) == (True, "The surgery is cancelled.")
    assert booked.status == AppointmentStatus.DROPPED
    report(waxed, "surgery-cancelled", cast.dora, "end")
    assert waxed.reload().stage == Stage.CANCELLED


def test_after_a_death_the_case_ends_and_nothing_leaves_any_more(waxed, cast):
    booked = book(waxed)

    row = report(waxed, "patient-died", cast.dora, "end")

    case = waxed.reload()
    booked.refresh_from_db()
    assert (case.stage, case.silent) == (Stage.CANCELLED, True)
    assert booked.status == AppointmentStatus.DROPPED
    assert notices.may_be_sent(case) is False
    assert row.stage_after == Stage.CANCELLED
    assert any(
        "stopped every notice about the patient" in sentence(entry)
        for entry in case.history.order_by("id")
    )


def test_the_front_desk_reports_a_death_and_the_dentist_ends_the_case(waxed, cast):
    report(waxed, "patient-died", cast.farah, "hold")

    case = waxed.reload()
    assert (case.on_hold, case.silent, case.stage) == (True, True, Stage.FINAL_WAX)


def test_other_cases_of_the_patient_rest_as_well_and_later_ones_stay_silent(waxed, cast):
    case = waxed.reload()

    def another():
        return start(
            office=case.office,
            laboratory=case.laboratory,
            hands=cast.hands,
            patient_code=case.patient.code,
            surgery_on=TODAY() + timedelta(days=90),
        )

    other = another()
    booked = book(other)

    report(waxed, "patient-died", cast.dora, "end")

    booked.refresh_from_db()
    assert (other.reload().on_hold, other.case.silent) == (True, True)
    assert booked.status == AppointmentStatus.DROPPED
    assert notices.may_be_sent(another().case) is False


def test_a_death_that_was_reported_wrongly_lifts_the_silence_and_nothing_else(waxed, cast):
    booked = book(waxed)
    row = report(waxed, "patient-died", cast.dora, "hold")

    incident.strike(incident=row, reason="It was another patient.", by=cast.dora)

    case = waxed.reload()
    booked.refresh_from_db()
    assert (case.silent, case.on_hold) == (False, True)
    assert booked.status == AppointmentStatus.DROPPED


def test_nobody_takes_a_case_off_hold_whose_patient_has_died(waxed, cast):
    row = report(waxed, "patient-died", cast.dora, "hold")
    text = (
        "A report says that the patient has died, and the case stays at rest. If that is wrong, "
        "strike the report out first."
    )

    with pytest.raises(cases.StillFrozen) as refused:
        cases.resume(case=waxed.reload(), by=cast.mona)
    entry = waxed.reload().history.filter(act="put on hold").get()
    with pytest.raises(undo.CannotUndo):
        undo.undo(case=waxed.reload(), numbers=[entry.sequence], by=cast.dora)

    assert str(refused.value) == text
    assert stages.missing(waxed.reload(), Stage.PROCESSING)[0].text == text
    incident.strike(incident=row, reason="It was another patient.", by=cast.dora)
    cases.resume(case=waxed.reload(), by=cast.mona)
    assert waxed.reload().on_hold is False


def test_a_death_after_the_end_only_silences(before, cast):
    walk = before(Stage.CLOSED)
    walk.enter(Stage.CLOSED)

    report(walk, "patient-died", cast.farah)

    assert (walk.reload().stage, walk.case.silent) == (Stage.CLOSED, True)
    assert effects.others_of_patient(walk.case) == []


def test_nothing_is_dropped_twice(waxed, cast):
    book(waxed)
    report(waxed, "patient-died", cast.dora, "end")

    assert ending.drop_appointments(case=waxed.reload(), by=cast.dora, why="again") == []
    assert Case.objects.get(pk=waxed.case.pk).appointments.count() == 1


def ordered(walk):
    walk.choose_teeth()
    discard_teeth("upper-posterior")(walk)
    case = walk.reload()
    need = teeth_needed.need_of(case, "upper-posterior")
    told = {**teeth_needed.wanted(case, "posterior"), "supplier": "Lowgate"}
    return tooth_orders.order(case=case, need=need, by=walk.hands.technician, values=told)


def test_teeth_that_come_later_leave_the_order_marked_until_they_are_here(before, cast):
    walk = before(Stage.MOUNTING)
    row = ordered(walk)

    report(walk, "teeth-out-of-stock", cast.lena, "later", text="Three weeks, says Lowgate.")

    row.refresh_from_db()
    assert (row.state, row.held_up) == ("ordered", "Three weeks, says Lowgate.")
    assert "not to be had yet: Three weeks, says Lowgate." in teeth_needed.in_words(row)
    assert [gap.text for gap in teeth_needed.gaps(walk.reload())][-1] == (
        "The upper posterior teeth (8) are ordered and not here; reported as not to be had yet."
    )
    tooth_orders.arrived(row=row, version=row.version, by=cast.lena, values={"counted": 8})
    row.refresh_from_db()
    assert (row.state, row.held_up) == ("in hand", "")


def test_where_another_mould_is_chosen_the_order_is_cancelled(before, cast):
    walk = before(Stage.MOUNTING)
    row = ordered(walk)

    report(walk, "teeth-out-of-stock", cast.lena, "other", text="Not made any more.")

    row.refresh_from_db()
    assert (row.state, row.ended_why) == ("cancelled", "Not made any more.")
    assert walk.reload().questions.get().about == "the mould"


def test_the_one_box_on_its_way_is_lost_with_the_report(cast):
    walk = cast.walk(patient_code="P-231")
    walk.to(Stage.SENT)

    report(walk, "lost-box", cast.farah, "impression", text="The courier has no trace of it.")

    assert walk.reload().stage == Stage.SENT
    box = walk.reload().boxes.get()
    assert (box.trouble, box.trouble_note) == ("lost", "The courier has no trace of it.")
    assert box.trouble_by == cast.farah


def test_of_two_boxes_on_their_way_neither_is_taken_for_the_lost_one(cast):
    walk = cast.walk(patient_code="P-232")
    walk.to(Stage.SENT)
    box = walk.reload().boxes.get()
    box.pk = None
    box.save()

    report(walk, "lost-box", cast.farah, "impression")

    assert [one.trouble for one in walk.reload().boxes.all()] == ["", ""]


def test_undoing_an_older_hold_leaves_a_case_at_rest_whose_patient_is_in_doubt(waxed, cast):
    case = waxed.reload()
    cases.hold(case=case, reason="The kiln is broken.", by=cast.tomas)
    entry = waxed.reload().history.filter(act="put on hold").get()

    report(waxed, "wrong-patient", cast.tomas)

    with pytest.raises(undo.CannotUndo, match="Two people have still to read"):
        undo.undo(case=waxed.reload(), numbers=[entry.sequence], by=cast.tomas)
    assert waxed.reload().on_hold
