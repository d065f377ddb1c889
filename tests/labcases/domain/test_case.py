"""Opening a case, its dates and holds."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases import codes
from labcases.domain import case as cases
from labcases.domain import stages
from labcases.domain.versions import EditConflict
from labcases.enums import Stage
from labcases.models import Appointment, Case, OfficeLink, Patient, PatientName
from tests.factories import world

pytestmark = pytest.mark.django_db

DAY = date(2027, 3, 12)


def open_one(here, **more):
    values = {
        "office": here.office,
        "laboratory": here.laboratory,
        "patient_code": "P-100",
        "by": here.dora,
        **more,
    }
    return cases.open_case(**values)


class TestOpening:
    def test_a_case_opens_as_a_draft_with_an_empty_first_revision(self):
        case = open_one(world(), surgery_on=DAY)
        assert (case.stage, case.surgery_on) == ("draft", DAY)
        assert codes.is_valid(case.code)
        row = case.prescription
        assert (row.revision, row.status, row.teeth) == (1, "draft", {})
        assert [entry.act for entry in case.history.all()] == ["opened"]

    def test_no_two_cases_share_a_code(self):
        here = world()
        found = {open_one(here, patient_code=f"P-{n}").code for n in range(20)}
        assert len(found) == 20

    def test_the_same_patient_code_is_one_patient_in_an_office_and_another_elsewhere(self):
        here = world()
        first, second = open_one(here), open_one(here)
        elsewhere = open_one(here, office=here.other_office, by=here.olga)
        assert first.patient == second.patient
        assert elsewhere.patient != first.patient
        assert Patient.objects.count() == 2

    def test_a_name_is_kept_apart_and_never_in_the_history(self):
        here = world()
        case = open_one(here, patient_name="Nell Harrow")
        assert PatientName.objects.get(patient=case.patient).name == "Nell Harrow"
        assert all("Harrow" not in str(entry.changes) for entry in case.history.all())

    def test_an_office_without_a_link_opens_nothing(self):
        here = world()
        with pytest.raises(cases.NotLinked, match="Ask the laboratory's manager for a link"):
            open_one(here, laboratory=here.other_laboratory)
        assert not Case.objects.exists()
        assert not Patient.objects.exists()

    def test_an_ended_link_opens_nothing_new_and_leaves_what_is_there(self):
        here = world()
        case = open_one(here)
        OfficeLink.objects.filter(office=here.office).update(active=False)
        with pytest.raises(cases.NotLinked):
            open_one(here)
        assert Case.objects.get() == case


class TestSurgeryDay:
    def test_a_move_takes_the_confirmation_away(self):
        here = world()
        case = open_one(here, surgery_on=DAY)
        case = cases.confirm_surgery(case=case, version=case.version, by=here.dora)
        assert case.surgery_confirmed_by == here.dora
        case = cases.set_surgery(
            case=case, version=case.version, on=DAY + timedelta(days=1), by=here.farah
        )
        assert (case.surgery_confirmed_by, case.surgery_confirmed_at) == (None, None)

    def test_saving_the_same_day_keeps_the_confirmation_and_writes_nothing(self):
        here = world()
        case = open_one(here, surgery_on=DAY)
        case = cases.confirm_surgery(case=case, version=case.version, by=here.dora)
        entries = case.history.count()
        case = cases.set_surgery(case=case, version=case.version, on=DAY, by=here.farah)
        assert case.surgery_confirmed_by == here.dora
        assert case.history.count() == entries

    def test_the_slower_of_two_people_changes_nothing_and_reads_both_days(self):
        here = world()
        case = open_one(here, surgery_on=DAY)
        early, late = DAY - timedelta(days=7), DAY + timedelta(days=7)
        cases.set_surgery(case=case, version=1, on=early, by=here.dora)
        with pytest.raises(EditConflict) as found:
            cases.set_surgery(case=case, version=1, on=late, by=here.farah)
        clash = next(one for one in found.value.clashes if one.field == "surgery_on")
        assert (clash.yours, clash.stored) == (late, early)
        assert Case.objects.get(pk=case.pk).surgery_on == early

    def test_nothing_is_confirmed_without_a_day(self):
        here = world()
        case = open_one(here)
        with pytest.raises(ValueError, match="There is no surgery date to confirm"):
            cases.confirm_surgery(case=case, version=case.version, by=here.dora)


class TestAppointments:
    def test_the_laboratory_proposes_and_the_office_books(self):
        here = world()
        case = open_one(here)
        row = cases.propose_appointment(
            case=case, by=here.lena, values={"kind": "try-in", "on": DAY, "status": "booked"}
        )
        assert row.status == "proposed"
        row = cases.save_appointment(
            case=case, appointment=row, version=1, by=here.farah, values={"status": "booked"}
        )
        assert (row.status, row.version) == ("booked", 2)

    def test_the_laboratory_moves_only_what_is_still_proposed(self):
        here = world()
        case = open_one(here)
        proposed = Appointment(case=case, kind="try-in", on=DAY, status="proposed")
        booked = Appointment(case=case, kind="try-in", on=DAY, status="booked")
        for person in (here.lena, here.mona):
            assert cases.may_change_appointment(person, case, None) is True
            assert cases.may_change_appointment(person, case, proposed) is True
            assert cases.may_change_appointment(person, case, booked) is False
        for person in (here.dora, here.farah):
            assert cases.may_change_appointment(person, case, booked) is True
        for person in (here.tomas, here.olga):
            assert cases.may_change_appointment(person, case, None) is False


class TestHold:
    def test_a_held_case_goes_nowhere_until_it_is_taken_off(self):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        case = cases.hold(case=case, reason=" Cast broke ", by=here.tomas)
        assert (case.on_hold, case.hold_reason) == (True, "Cast broke")
        with pytest.raises(stages.Refused, match="Not ready"):
            stages.move(case=case, to=Stage.MASTER_CAST, by=here.tomas)
        case = cases.resume(case=case, by=here.lena)
        assert (case.on_hold, case.hold_reason) == (False, "")
        stages.move(case=case, to=Stage.MASTER_CAST, by=here.tomas)
        assert case.stage == "master cast and rims"

    def test_a_held_case_can_still_be_cancelled(self):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        cases.hold(case=case, reason="Patient unwell", by=here.farah)
        case.refresh_from_db()
        stages.move(case=case, to=Stage.CANCELLED, by=here.dora, reason="Patient moved away")
        assert case.stage == "cancelled"

    @pytest.mark.parametrize("reason", ["", "   "])
    def test_a_hold_has_a_reason(self, reason):
        here = world()
        case = open_one(here)
        with pytest.raises(ValueError, match="Give the reason"):
            cases.hold(case=case, reason=reason, by=here.farah)
        assert Case.objects.get(pk=case.pk).on_hold is False


def test_a_tray_number_is_kept_with_one_entry():
    here = world()
    case = open_one(here)
    case = cases.set_tray_number(case=case, version=1, tray_number="T-17", by=here.tomas)
    assert case.tray_number == "T-17"
    assert case.history.last().changes == {"tray number": ["", "T-17"]}
    assert case.history.last().at <= timezone.now()
