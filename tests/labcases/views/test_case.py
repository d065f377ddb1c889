"""The page of a case: what is next, who does it, and what is refused."""

import re

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse

from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.enums import Side, Stage
from labcases.models import Case, Handoff
from tests.factories import world

pytestmark = pytest.mark.django_db


def page(client, user, case, name="case"):
    client.force_login(user)
    return client.get(reverse(name, args=[case.code]))


def move(client, user, case, to, **more):
    client.force_login(user)
    data = {"to": to, "seen": case.stage, **more}
    return client.post(reverse("case_move", args=[case.code]), data)


def told(answer, code):
    """A page without the code in it and without the token that differs each time."""
    text = re.sub(r'value="[A-Za-z0-9]{64}"', "", answer.content.decode())
    return text.replace(code, "")


class TestWhoSeesIt:
    @pytest.mark.parametrize("stage", [Stage.DRAFT, Stage.SET_UP, Stage.PROCESSING, Stage.CLOSED])
    def test_everybody_of_both_houses_sees_the_case_at_every_stage(self, client, stage):
        here = world()
        case = here.case_at(stage)
        for person in (here.dora, here.farah, here.tomas, here.lena, here.mona):
            answer = page(client, person, case)
            assert answer.status_code == 200
            assert "What is next" in answer.content.decode()

    def test_another_office_of_the_same_laboratory_gets_the_answer_for_an_unknown_code(
        self, client
    ):
        here = world()
        case = here.case_at(Stage.DRAFT)
        client.force_login(here.olga)
        hidden = client.get(reverse("case", args=[case.code]))
        unknown = client.get(reverse("case", args=["0" * 12]))
        assert (hidden.status_code, unknown.status_code) == (404, 404)
        assert told(hidden, case.code) == told(unknown, "0" * 12)

    def test_nobody_sees_it_without_logging_in(self, client):
        here = world()
        case = here.case_at(Stage.DRAFT)
        answer = client.get(reverse("case", args=[case.code]))
        assert answer.status_code == 302

    def test_the_name_is_shown_to_the_office_only(self, client):
        here = world()
        case = here.walk(patient_name="Nell Harrow").to(Stage.SENT)
        for person in (here.dora, here.farah):
            assert "Nell Harrow" in page(client, person, case).content.decode()
        for person in (here.tomas, here.lena, here.mona):
            assert "Nell Harrow" not in page(client, person, case).content.decode()


class TestHead:
    def test_the_safety_strip_says_that_allergies_were_not_asked(self, client):
        here = world()
        case = here.walk().case
        text = page(client, here.dora, case).content.decode()
        assert "Not asked yet" in text
        assert "No box packed yet" in text

    def test_a_listed_allergy_is_shown_in_its_words(self, client):
        here = world()
        case = here.case_at(Stage.SENT, allergy="listed", allergy_text="methacrylate monomer")
        assert "methacrylate monomer" in page(client, here.tomas, case).content.decode()

    def test_a_surgery_day_that_is_not_confirmed_says_so_and_carries_its_weekday(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        text = page(client, here.lena, case).content.decode()
        assert "not confirmed by the dentist" in text
        assert f"{case.surgery_on:%a}" in text

    def test_a_case_that_is_late_says_by_how_many_working_days(self, client):
        here = world()
        case = here.walk(surgery_in_days=7).case
        text = page(client, here.dora, case).content.decode()
        assert "working days" in text
        assert "late by" in text

    def test_an_item_without_disinfection_is_to_be_treated_as_contaminated(self, client):
        here = world()
        walk = here.walk()
        walk.prescribe()
        walk.pack("to the laboratory", "impression", by=here.farah)
        walk.case.boxes.get().items.update(agent="", label_minutes=None, actual_minutes=None)
        text = page(client, here.lena, walk.case).content.decode()
        assert "Impression: disinfection not declared or too short" in text
        assert "Treat as contaminated: disinfect and log before handling." in text

    def test_the_office_reads_where_the_case_is_and_the_laboratory_the_stage_alone(self, client):
        here = world()
        case = here.case_at(Stage.SET_UP)
        assert "At the laboratory: set-up" in page(client, here.farah, case).content.decode()
        assert "At the laboratory" not in page(client, here.tomas, case).content.decode()


class TestNext:
    def test_what_is_missing_is_a_sentence_with_the_link_that_mends_it(self, client):
        here = world()
        case = here.walk().case
        text = page(client, here.dora, case).content.decode()
        assert "The dentist has not signed the prescription." in text
        assert f'href="{reverse("prescription_check", args=[case.code])}"' in text
        assert f'href="{reverse("box_new", args=[case.code])}"' in text

    def test_the_button_is_there_only_for_those_who_make_the_move(self, client):
        here = world()
        walk = here.walk()
        case = walk.to(Stage.SENT)
        walk.take_in("to the laboratory", by=here.lena)
        assert "Accept the case</button>" in page(client, here.tomas, case).content.decode()
        office = page(client, here.farah, case).content.decode()
        assert "Accept the case</button>" not in office
        assert "This move is made by the technician or laboratory manager." in office

    def test_an_open_question_is_said_once_and_keeps_the_case(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        asking.ask(
            case=case, about="the shade", text="B2 or B3?", waits_for=Side.OFFICE, by=here.tomas
        )
        text = page(client, here.tomas, case).content.decode()
        assert text.count("a question about the shade is open") == 1
        assert re.search(r"Waits for the office since .{10,25}: a question is open\.", text)
        refused = move(client, here.tomas, case, Stage.MASTER_CAST)
        assert refused.status_code == 422

    def test_an_ended_case_offers_no_move(self, client):
        here = world()
        case = here.case_at(Stage.CLOSED)
        text = page(client, here.dora, case).content.decode()
        assert "The case is closed. Nothing more is to be done." in text
        assert reverse("case_move", args=[case.code]) not in text
        assert "Cancel the case" not in text

    def test_a_case_that_was_cancelled_on_hold_waits_for_nobody(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        cases.hold(case=case, reason="The patient is in hospital.", by=here.lena)
        move(client, here.dora, case, Stage.CANCELLED, reason="Patient moved away")

        text = page(client, here.dora, case).content.decode()

        assert "Nothing more is to be done." in text
        assert "Take the case off hold" not in text
        assert "The patient is in hospital" not in text


class TestMove:
    def test_an_open_move_changes_the_stage_and_is_written_down(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        before = case.history.count()
        answer = move(client, here.tomas, case, Stage.MASTER_CAST)
        assert answer.status_code == 302
        said = [str(one) for one in get_messages(answer.wsgi_request)]
        assert said == ["The master cast and the rims are begun."]
        case.refresh_from_db()
        assert case.stage == "master cast and rims"
        assert case.history.count() == before + 1
        assert case.history.last().changes == {"stage": ["Accepted", "Master cast and rims"]}

    def test_a_move_that_is_not_for_the_role_is_forbidden(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        assert move(client, here.farah, case, Stage.MASTER_CAST).status_code == 403
        case.refresh_from_db()
        assert case.stage == "accepted"

    def test_a_refused_move_lists_what_is_missing_and_changes_nothing(self, client):
        here = world()
        case = here.case_at(Stage.SETTINGS)
        answer = move(client, here.tomas, case, Stage.SET_UP)
        assert answer.status_code == 422
        text = answer.content.decode()
        assert "<title>Error: " in text
        assert "Enter the articulator record." in text
        case.refresh_from_db()
        assert case.stage == "settings"

    def test_a_manager_goes_on_without_what_is_missing_and_the_reason_is_kept(self, client):
        here = world()
        walk = here.walk()
        case = walk.to(Stage.SETTINGS)
        walk.enter_settings()
        walk.measure()
        text = page(client, here.mona, case).content.decode()
        assert "Enter the tooth selection." in text
        assert "Go on without it" in text
        answer = move(client, here.mona, case, Stage.SET_UP, reason="Teeth arrive tomorrow")
        assert answer.status_code == 302
        case.refresh_from_db()
        assert case.stage == "set-up"
        assert case.history.last().reason.startswith("Teeth arrive tomorrow (open: Enter the tooth")

    def test_a_manager_who_gives_no_reason_is_asked_for_it_at_the_field(self, client):
        here = world()
        walk = here.walk()
        case = walk.to(Stage.SETTINGS)
        walk.enter_settings()
        walk.measure()
        answer = move(client, here.mona, case, Stage.SET_UP, reason="")
        assert answer.status_code == 422
        text = answer.content.decode()
        assert "Give the reason for going on without what is listed." in text
        case.refresh_from_db()
        assert case.stage == "settings"

    def test_a_technician_reads_who_may_go_on_without_it_and_cannot(self, client):
        here = world()
        walk = here.walk()
        case = walk.to(Stage.SETTINGS)
        walk.enter_settings()
        walk.measure()
        text = page(client, here.tomas, case).content.decode()
        assert "The laboratory manager may go on without what is listed, with a reason." in text
        assert "Go on without it" not in text
        answer = move(client, here.tomas, case, Stage.SET_UP, reason="In a hurry")
        assert answer.status_code == 422
        case.refresh_from_db()
        assert case.stage == "settings"

    def test_a_dentist_goes_on_without_the_approved_try_in(self, client):
        here = world()
        walk = here.walk()
        case = walk.to(Stage.FINAL_WAX)
        case.try_ins.update(outcome="")
        walk.wax()
        walk.approve_wax()
        Handoff.objects.create(
            case=case,
            revision=1,
            base_material="heat-cured resin",
            base_product="pink",
            frozen={},
            engine_version="1",
            by=here.tomas,
        )
        assert "The dentist may go on without what is listed, with a reason." in (
            page(client, here.tomas, case).content.decode()
        )
        assert move(client, here.dora, case, Stage.PROCESSING).status_code == 403
        answer = move(client, here.dora, case, Stage.PROCESSING, reason="Patient cannot travel")
        assert answer.status_code == 302
        case.refresh_from_db()
        assert case.stage == "processing"
        assert case.history.last().reason.startswith("Patient cannot travel")

    def test_the_slower_of_two_people_is_told_who_was_faster(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        move(client, here.tomas, case, Stage.MASTER_CAST)
        answer = move(client, here.mona, case, Stage.TRAY)
        assert answer.status_code == 409
        text = answer.content.decode()
        assert "Somebody else was faster: the case now stands at master cast and rims." in text
        assert "Tomas Abelard (technician) moved the case" in text

    def test_a_case_is_cancelled_with_a_reason_only(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        without = move(client, here.dora, case, Stage.CANCELLED, reason=" ")
        assert without.status_code == 422
        assert "Give the reason why the case is cancelled." in without.content.decode()
        answer = move(client, here.dora, case, Stage.CANCELLED, reason="Patient moved away")
        assert answer.status_code == 302
        case.refresh_from_db()
        assert case.stage == "cancelled"
        assert case.history.last().reason == "Patient moved away"

    def test_a_stage_that_does_not_exist_is_refused_in_words(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        answer = move(client, here.tomas, case, "lunch")
        assert answer.status_code == 422
        assert "There is no such stage." in answer.content.decode()

    def test_a_jump_over_stages_is_refused(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        answer = move(client, here.tomas, case, Stage.PROCESSING)
        assert answer.status_code == 422
        assert "A case in sent cannot go to processing." in answer.content.decode()

    def test_the_reason_that_was_typed_stands_in_the_refused_form(self, client):
        here = world()
        walk = here.walk()
        case = walk.to(Stage.SETTINGS)
        walk.enter_settings()
        walk.measure()
        cases.hold(case=Case.objects.get(pk=case.pk), reason="Cast broke", by=here.tomas)
        answer = move(client, here.mona, case, Stage.SET_UP, reason="Teeth arrive tomorrow")
        assert answer.status_code == 422
        assert "The case is on hold. Take it off hold first." in answer.content.decode()


class TestHold:
    def test_a_held_case_shows_why_and_goes_on_when_it_is_taken_off(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        client.force_login(here.tomas)
        client.post(reverse("case_hold", args=[case.code]), {"reason": "Cast broke"})
        assert "On hold: Cast broke." in page(client, here.dora, case).content.decode()
        assert move(client, here.tomas, case, Stage.MASTER_CAST).status_code == 422
        client.post(reverse("case_resume", args=[case.code]))
        assert move(client, here.tomas, case, Stage.MASTER_CAST).status_code == 302

    def test_a_hold_without_a_reason_is_refused(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        client.force_login(here.tomas)
        answer = client.post(reverse("case_hold", args=[case.code]), {"reason": ""})
        assert answer.status_code == 422
        sentence = "Give the reason why the case is put on hold."
        assert f'<li><a href="#id_reason_hold">{sentence}</a></li>' in answer.content.decode()
        case.refresh_from_db()
        assert case.on_hold is False


class TestTray:
    def test_the_bench_writes_the_tray_number_and_the_office_does_not(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        data = {"tray_number": "T-17", "version": case.version}
        client.force_login(here.farah)
        assert client.post(reverse("case_tray", args=[case.code]), data).status_code == 403
        client.force_login(here.tomas)
        assert client.post(reverse("case_tray", args=[case.code]), data).status_code == 302
        case.refresh_from_db()
        assert case.tray_number == "T-17"

    def test_two_people_who_name_a_tray_see_both_numbers(self, client):
        here = world()
        case = here.case_at(Stage.ACCEPTED)
        cases.set_tray_number(case=case, version=case.version, tray_number="T-3", by=here.mona)
        client.force_login(here.tomas)
        address = reverse("case_tray", args=[case.code])
        answer = client.post(address, {"tray_number": "T-17", "version": case.version})
        assert answer.status_code == 409
        text = answer.content.decode()
        assert "T-3" in text
        assert "T-17" in text
        case.refresh_from_db()
        again = {"tray_number": "T-17", "version": case.version, "keep-tray_number": "stored"}
        assert client.post(address, again).status_code == 302
        case.refresh_from_db()
        assert case.tray_number == "T-3"


class TestParts:
    def test_each_part_is_folded_to_a_line_with_its_state(self, client):
        here = world()
        case = here.case_at(Stage.FINAL_WAX)
        text = page(client, here.tomas, case).content.decode()
        assert "Revision 1, signed by Dora Winsley" in text
        assert "Condylar inclination right 30\N{NO-BREAK SPACE}deg" in text
        assert "8 of 8 posterior sites measured or ample" in text
        assert "pin 0\N{NO-BREAK SPACE}mm, agreed 0\N{NO-BREAK SPACE}mm: balanced" in text
        assert "Not handed over" in text

    def test_a_draft_says_that_nothing_was_entered(self, client):
        here = world()
        text = page(client, here.dora, here.walk().case).content.decode()
        assert "Nothing entered" in text
        assert "0 of" in text
