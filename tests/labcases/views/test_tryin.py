"""The try-in page for the dentist, and the final wax with its approval."""

import pytest
from django.urls import reverse

from labcases.enums import Route, Stage, TryInWish
from labcases.models import FinalWax, TryIn
from labcases.reference import try_in_checklist
from tests.factories import world

pytestmark = pytest.mark.django_db

ALL_OK = {f"answer_{line.key}": "ok" for pause in try_in_checklist("upper") for line in pause.lines}


@pytest.fixture
def here():
    return world()


def get(client, user, case, name):
    client.force_login(user)
    return client.get(reverse(name, args=[case.code])).content.decode()


def post(client, user, case, name, **typed):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code]), typed)


class TestTryIn:
    @pytest.fixture
    def case(self, here):
        return here.case_at(Stage.TRY_IN)

    def approve(self, client, user, case, **more):
        return post(
            client,
            user,
            case,
            "try_in",
            **{"outcome": "approved", "vertical_mm": "68", "version": 1, **ALL_OK, **more},
        )

    def test_the_dentist_answers_line_by_line(self, here, client, case):
        text = get(client, here.dora, case, "try_in")
        assert "The pin is flush and touches the table" in text
        assert text.count('type="radio"') == 3 * 24 + 3
        assert "common practice, no source" in text

    def test_a_verdict_is_stored_and_written_to_history_once(self, here, client, case):
        before = case.history.count()
        answer = self.approve(client, here.dora, case)
        assert answer.status_code == 302
        row = TryIn.objects.get()
        assert (row.outcome, row.decided_by, str(row.vertical_mm)) == (
            "approved",
            here.dora,
            "68.00",
        )
        assert row.answers["pin"] == "ok"
        assert case.history.count() == before + 1

    def test_a_recorded_try_in_is_read_by_everybody_with_what_was_not_ok(self, here, client, case):
        self.approve(
            client,
            here.dora,
            case,
            outcome="approved with changes",
            changes="26 in by 1 mm",
            answer_width="change",
        )
        text = get(client, here.tomas, case, "try_in")
        assert "Try-in 1: approved with changes" in text
        assert "Changes: 26 in by 1 mm" in text
        assert "<li>Change: Arch width leaves room for cheeks and tongue</li>" in text
        assert "Record the try-in" not in text

    def test_a_refused_approval_keeps_the_answers_and_links_to_the_lines(self, here, client, case):
        answer = self.approve(client, here.dora, case, answer_pin="", vertical_mm="68,5")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "<title>Error: " in text
        assert '<a href="#id_answer_pin_0">Answer: The pin is flush' in text
        assert 'value="68,5"' in text
        assert text.count(" checked") == 24
        assert TryIn.objects.get().outcome == ""

    def test_a_second_dentist_sees_both_verdicts_and_loses_nothing(self, here, client, case):
        self.approve(client, here.dora, case)
        answer = self.approve(
            client, here.dora, case, outcome="new record", answer_pin="redo", version=1
        )
        text = answer.content.decode()
        assert answer.status_code == 409
        assert "Somebody saved this before you" in text
        assert "The pin is flush and touches the table: Redo" in text
        assert "The pin is flush and touches the table: OK" in text
        assert "Decided" not in text
        assert 'name="version" value="2"' in text
        assert TryIn.objects.get().outcome == "approved"

    def test_the_stored_answers_are_kept_when_chosen_after_a_conflict(self, here, client, case):
        self.approve(client, here.dora, case)
        self.approve(
            client,
            here.dora,
            case,
            version=2,
            outcome="new record",
            answer_pin="redo",
            **{"keep-answers": "stored"},
        )
        row = TryIn.objects.get()
        assert (row.outcome, row.answers["pin"]) == ("new record", "ok")

    def test_the_technician_waits_for_the_dentist(self, here, client, case):
        assert "The dentist records it." in get(client, here.tomas, case, "try_in")
        assert self.approve(client, here.tomas, case).status_code == 403
        assert TryIn.objects.get().outcome == ""

    def test_nothing_is_recorded_before_a_try_in_is_out(self, here, client):
        case = here.case_at(Stage.SET_UP)
        assert "No try-in is out for this case" in get(client, here.dora, case, "try_in")
        answer = self.approve(client, here.dora, case)
        assert answer.status_code == 422
        assert "No try-in is out for this case" in answer.content.decode()

    def test_on_the_interim_route_the_page_says_why_there_is_none(self, here, client):
        case = here.case_at(Stage.SET_UP, route=Route.INTERIM)
        text = get(client, here.dora, case, "try_in")
        assert "No try-in is possible on this route" in text

    def test_a_waived_try_in_is_said_to_be_waived(self, here, client):
        case = here.case_at(Stage.SET_UP, try_in=TryInWish.WAIVED)
        text = get(client, here.dora, case, "try_in")
        assert "The dentist has waived the try-in in the prescription." in text

    def test_another_office_finds_nothing(self, here, client, case):
        assert self.approve(client, here.olga, case).status_code == 404


class TestWaiving:
    @pytest.fixture
    def case(self, here):
        return here.case_at(Stage.SET_UP)

    def test_the_dentist_waives_with_a_reason_that_everybody_reads(self, here, client, case):
        assert "Waive the try-in" in get(client, here.dora, case, "try_in")
        answer = post(client, here.dora, case, "try_in_waive", reason="no visit is possible")
        assert answer.url == reverse("case", args=[case.code])
        row = TryIn.objects.get()
        assert (row.outcome, row.decided_by) == ("waived", here.dora)
        text = get(client, here.tomas, case, "try_in")
        assert "Try-in 1: waived by the dentist" in text
        assert "Reason: no visit is possible" in text
        assert "On the bench, before the mouth" not in text

    def test_without_a_reason_nothing_is_waived(self, here, client, case):
        answer = post(client, here.dora, case, "try_in_waive", reason=" ")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "<title>Error: " in text
        assert '<a href="#id_reason">Give the reason why the try-in is waived.</a>' in text
        assert not TryIn.objects.exists()

    def test_a_try_in_is_waived_once(self, here, client, case):
        post(client, here.dora, case, "try_in_waive", reason="no visit is possible")
        assert "Waive the try-in" not in get(client, here.dora, case, "try_in")
        answer = post(client, here.dora, case, "try_in_waive", reason="again")
        assert answer.status_code == 409
        assert "there is none to waive" in answer.content.decode()
        assert TryIn.objects.get().changes == "no visit is possible"

    @pytest.mark.parametrize("name", ["farah", "tomas", "mona"])
    def test_nobody_else_waives(self, here, client, case, name):
        user = getattr(here, name)
        assert "Waive the try-in" not in get(client, user, case, "try_in")
        assert post(client, user, case, "try_in_waive", reason="x").status_code == 403
        assert not TryIn.objects.exists()


class TestFinalWax:
    @pytest.fixture
    def walk(self, here):
        walk = here.walk()
        walk.to(Stage.FINAL_WAX)
        return walk

    def save(self, client, user, case, **typed):
        row = FinalWax.objects.filter(case=case).first()
        return post(
            client,
            user,
            case,
            "final_wax",
            **{"version": row.version if row else 0, "overjet_mm": "2", **typed},
        )

    def approve(self, client, user, case, version):
        return post(client, user, case, "final_wax_approve", version=version)

    def test_the_wax_is_shown_beside_the_natural_teeth(self, here, client, walk):
        self.save(client, here.tomas, walk.case, overjet_mm="2,75")
        text = get(client, here.dora, walk.case, "final_wax").replace("\N{NO-BREAK SPACE}", " ")
        assert "+0.75 mm" in text
        assert "More than 0.5 mm apart" in text
        assert "Not measured in wax" in text
        assert "Save the final wax" not in text

    def test_a_wax_is_saved_with_one_entry_in_history(self, here, client, walk):
        before = walk.case.history.count()
        answer = self.save(client, here.tomas, walk.case, flange_decision="full, 2 mm")
        assert answer.url == reverse("final_wax", args=[walk.case.code])
        row = FinalWax.objects.get()
        assert (row.flange_decision, row.changed_by) == ("full, 2 mm", here.tomas)
        assert row.template_wanted is None
        assert walk.case.history.count() == before + 1

    def test_fields_that_gates_point_to_are_on_the_page(self, here, client, walk):
        walk.wax()
        text = get(client, here.tomas, walk.case, "final_wax")
        for name in (
            *("duplicate_made", "flange_decision", "undercut_decision", "template_wanted"),
            *("photographs_sent", "bone_change_planned", "overjet_mm", "approve"),
            "trimming_approved",
        ):
            assert text.count(f' id="id_{name}"') == 1, name

    def test_the_dentist_approves_what_stood_on_the_page(self, here, client, walk):
        walk.wax()
        row = FinalWax.objects.get()
        text = get(client, here.dora, walk.case, "final_wax")
        assert "Approve the final wax and the trimming" in text
        assert self.approve(client, here.dora, walk.case, row.version).status_code == 302
        row.refresh_from_db()
        assert (row.approved_by, row.trimming_approved) == (here.dora, True)
        assert "Approved</span></span> by Dora Winsley" in get(
            client, here.tomas, walk.case, "final_wax"
        )

    def test_a_change_after_approval_asks_again_and_says_what_changed(self, here, client, walk):
        walk.wax()
        walk.approve_wax()
        self.save(client, here.tomas, walk.case, overjet_mm="2.75", duplicate_made="on")
        text = get(client, here.dora, walk.case, "final_wax").replace("\N{NO-BREAK SPACE}", " ")
        assert FinalWax.objects.get().approved_at is None
        assert "Not approved" in text
        assert "Changed after the last approval:" in text
        assert "overjet: 2 mm → 2.75 mm" in text

    def test_a_wax_that_changed_meanwhile_is_not_approved_unseen(self, here, client, walk):
        walk.wax()
        seen = FinalWax.objects.get().version
        self.save(client, here.tomas, walk.case, overjet_mm="2.75")
        answer = self.approve(client, here.dora, walk.case, seen)
        assert answer.status_code == 409
        assert "Tomas Abelard changed the wax while you had it open." in answer.content.decode()
        assert FinalWax.objects.get().approved_at is None

    def test_two_technicians_see_both_values(self, here, client, walk):
        walk.wax()
        self.save(client, here.mona, walk.case, overjet_mm="2.75")
        answer = self.save(client, here.tomas, walk.case, overjet_mm="3.25", version=1)
        text = answer.content.decode()
        assert answer.status_code == 409
        assert "2.75" in text
        assert 'value="3.25"' in text
        assert str(FinalWax.objects.get().overjet_mm) == "2.75"

    def test_a_limit_is_said_in_words_and_the_text_stays(self, here, client, walk):
        answer = self.save(client, here.tomas, walk.case, trim_labial_mm="12")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "Deepest labial trim is 12 mm. Enter 0 to 10 mm." in text
        assert 'value="12"' in text

    def test_there_is_nothing_to_approve_before_the_wax_is_entered(self, here, client, walk):
        answer = self.approve(client, here.dora, walk.case, 1)
        assert answer.status_code == 422
        assert "The laboratory has not entered the final wax." in answer.content.decode()

    def test_an_approval_without_a_version_is_asked_to_look_again(self, here, client, walk):
        walk.wax()
        answer = self.approve(client, here.dora, walk.case, "")
        assert answer.status_code == 422
        assert "Open the page again and look at the wax" in answer.content.decode()

    @pytest.mark.parametrize("name", ["tomas", "mona", "farah"])
    def test_only_the_dentist_approves(self, here, client, walk, name):
        walk.wax()
        answer = self.approve(client, getattr(here, name), walk.case, 1)
        assert answer.status_code == 403
        assert FinalWax.objects.get().approved_at is None

    def test_the_office_does_not_write_the_wax(self, here, client, walk):
        assert self.save(client, here.dora, walk.case).status_code == 403
        assert not FinalWax.objects.exists()
