"""The final wax with its approval."""

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import trimming
from labcases.enums import SetUpAct, Stage
from labcases.management.sample import WAX
from labcases.models import FinalWax
from tests.factories import world

pytestmark = pytest.mark.django_db


#: What the technician of a walk entered, as the page holds it.
ENTERED = {
    name: ("yes" if value else "no") if isinstance(value, bool) else str(value)
    for name, value in WAX.items()
    if name not in ("as_prescribed", "duplicate_made")
} | {"duplicate_made": "on"}


@pytest.fixture
def here():
    return world()


def get(client, user, case, name):
    client.force_login(user)
    return client.get(reverse(name, args=[case.code])).content.decode()


def post(client, user, case, name, **typed):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code]), typed)


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
            **{"version": row.version if row else 0, **ENTERED, **typed},
        )

    def approve(self, client, user, case, version):
        return post(client, user, case, "final_wax_approve", version=version)

    def test_the_wax_is_shown_beside_the_natural_teeth(self, here, client, walk):
        self.save(client, here.tomas, walk.case, overjet_mm="2,75")
        text = get(client, here.dora, walk.case, "final_wax").replace("\N{NO-BREAK SPACE}", " ")
        assert "+0.75 mm" in text
        assert "More than 0.5 mm apart" in text
        assert "try-in 1" in text
        assert "Save the final wax" not in text

    def test_a_wax_is_saved_with_one_entry_in_history(self, here, client, walk):
        before = walk.case.history.count()
        answer = self.save(
            client, here.tomas, walk.case, flange_decision="thin at 13", template_wanted=""
        )
        assert answer.url == reverse("final_wax", args=[walk.case.code])
        row = FinalWax.objects.get()
        assert (row.flange_decision, row.changed_by) == ("thin at 13", here.tomas)
        assert row.template_wanted is None
        assert walk.case.history.count() == before + 1

    def test_fields_that_gates_point_to_are_on_the_page(self, here, client, walk):
        walk.wax()
        text = get(client, here.tomas, walk.case, "final_wax")
        for name in (
            *("duplicate_made", "flange_kind", "flange_left_mm", "undercut_kind", "insertion"),
            *("template_wanted", "template_decision", "bone_change_planned", "overjet_mm"),
            *("words_overjet_mm", "central_length_mm", "approve", "trimming_approved"),
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

    def test_the_dentist_reads_the_trimming_before_the_button_that_approves_it(
        self, here, client, walk
    ):
        walk.wax()
        text = get(client, here.dora, walk.case, "final_wax")
        trimming, button = text.index('id="trimming"'), text.index('id="id_approve"')
        assert trimming < button

    def test_a_change_after_approval_asks_again_and_says_what_changed(self, here, client, walk):
        walk.wax()
        walk.approve_wax()
        self.save(client, here.tomas, walk.case, overjet_mm="2.75")
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

    def test_what_is_open_is_listed_and_nothing_is_approved_before(self, here, client, walk):
        self.save(client, here.tomas, walk.case)
        text = get(client, here.dora, walk.case, "final_wax")
        assert (
            "Photograph the wax and add it: from in front, from the right, from the left." in text
        )
        assert "Approve the final wax and the trimming" not in text
        answer = self.approve(client, here.dora, walk.case, FinalWax.objects.get().version)
        assert answer.status_code == 422
        assert "The laboratory has not finished the wax" in answer.content.decode()
        assert FinalWax.objects.get().approved_at is None

    def test_photographs_of_the_wax_stand_beside_the_millimetres(self, here, client, walk):
        walk.wax()
        text = get(client, here.dora, walk.case, "final_wax")
        assert text.count('alt="Final wax, ') == 4
        assert "Not added yet" not in text

    def test_a_photograph_that_is_gone_asks_the_dentist_again(self, here, client, walk):
        walk.wax()
        walk.approve_wax()
        walk.case.attachments.filter(view="cast").update(
            removed_at=timezone.now(), removed_by=here.tomas, removed_reason="blurred"
        )
        text = get(client, here.dora, walk.case, "final_wax")
        assert "a photograph that it was approved by is out of view" in text
        assert "Approve the final wax and the trimming" in text

    def test_a_trimming_logged_after_the_approval_asks_the_dentist_again(self, here, client, walk):
        walk.wax()
        walk.approve_wax()
        before = get(client, here.dora, walk.case, "final_wax")
        assert "trimmed otherwise" not in before
        assert "Approve the final wax and the trimming" not in before
        client.force_login(here.tomas)
        told = client.post(
            reverse("front_teeth", args=[walk.case.code]),
            {"method": "alternate", "order": "11", "11-labial_mm": "2.25"},
            follow=True,
        ).content.decode()
        assert "so the final wax is to be approved again." in told
        text = get(client, here.dora, walk.case, "final_wax")
        assert "the cast is trimmed otherwise than it was approved" in text
        assert "<li>Trimming logged by Tomas Abelard, " in text
        assert "and the cast is trimmed otherwise since" in get(
            client, here.dora, walk.case, "case"
        )
        row = FinalWax.objects.get()
        trims = ",".join(str(one) for one in trimming.lines(walk.reload()))
        answer = post(
            client,
            *(here.dora, walk.case, "final_wax_approve"),
            version=row.version,
            trims=trims,
        )
        assert answer.status_code == 302
        text = get(client, here.dora, walk.case, "final_wax")
        assert "trimmed otherwise" not in text

    def test_a_trimming_struck_out_after_the_approval_is_said_to_who_struck_it(
        self, here, client, walk
    ):
        walk.wax()
        walk.approve_wax()
        line = walk.case.setup_entries.get(act=SetUpAct.TRIMMED)
        client.force_login(here.tomas)
        told = client.post(
            reverse("setup_strike", args=[walk.case.code, line.pk]),
            {"reason": "another case"},
            follow=True,
        ).content.decode()
        assert "so the final wax is to be approved again." in told
        assert "<li>Trimming struck out by Tomas Abelard, " in get(
            client, here.dora, walk.case, "final_wax"
        )

    @pytest.mark.parametrize(
        ("trims", "status", "sentence"),
        [
            ("", 409, "Look at it below and approve it again."),
            ("x", 422, "Open the page again and look at the trimming before you approve it."),
        ],
    )
    def test_a_page_with_another_trimming_approves_nothing(
        self, here, client, walk, trims, status, sentence
    ):
        walk.wax()
        version = FinalWax.objects.get().version
        answer = post(
            client, here.dora, walk.case, "final_wax_approve", version=version, trims=trims
        )
        assert answer.status_code == status
        assert sentence in answer.content.decode()
        assert FinalWax.objects.get().approved_at is None

    def test_the_trimming_is_that_of_the_log(self, here, client, walk):
        walk.wax()
        text = get(client, here.dora, walk.case, "final_wax")
        assert "What is gone from the cast, in the order of removal" in text
        FinalWax.objects.update(trim_method="one by one", trim_labial_mm="2")
        walk.case.setup_entries.filter(act=SetUpAct.TRIMMED).update(
            struck_at=timezone.now(), struck_by=here.tomas
        )
        old = get(client, here.dora, walk.case, "final_wax")
        assert "Entered before the log had it: one tooth at a time" in old

    def test_a_difference_is_explained_where_it_is_measured(self, here, client, walk):
        walk.wax()
        self.save(
            client, here.tomas, walk.case, overjet_mm="3", words_overjet_mm="3 mm wanted, R01"
        )
        text = get(client, here.dora, walk.case, "final_wax")
        assert "As prescribed</span></span>: 3 mm wanted, R01" in text

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
        answer = self.save(client, here.tomas, walk.case, flange_left_mm="12")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "Thick at the left canine is 12 mm. Enter 0 to 10 mm." in text
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


class TestLists:
    @pytest.fixture
    def walk(self, here):
        walk = here.walk()
        walk.to(Stage.FINAL_WAX)
        return walk

    def url(self, walk, which="teeth"):
        return reverse("final_wax_checklist", args=[walk.case.code, which])

    def save(self, client, user, walk, which="teeth", **typed):
        client.force_login(user)
        return client.post(self.url(walk, which), {"version": 0, **typed})

    def test_a_list_is_answered_and_its_state_stands_on_the_page_of_the_wax(
        self, here, client, walk
    ):
        answer = self.save(
            client, here.tomas, walk, answer_sealed="yes", answer_necks="no", words_necks="ragged"
        )
        assert answer.url == reverse("final_wax", args=[walk.case.code])
        text = get(client, here.dora, walk.case, "final_wax")
        assert "1 yes, 1 no, 13 open" in text
        assert "<b>No:</b> The necks of the teeth are clean: ragged" in text

    def test_yes_to_what_is_not_on_record_is_refused_at_its_line(self, here, client, walk):
        answer = self.save(client, here.tomas, walk, answer_front_midline="yes")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert (
            '<a href="#id_answer_front_midline_0">Answered yes, and the midline offset in' in text
        )

    def test_the_other_list_stays_as_it_was(self, here, client, walk):
        self.save(client, here.tomas, walk, answer_sealed="yes")
        self.save(client, here.tomas, walk, "base", version=1, answer_palate="yes")
        assert FinalWax.objects.get().answers == {"sealed": "yes", "palate": "yes"}

    def test_two_who_answer_at_once_see_both_answers(self, here, client, walk):
        self.save(client, here.mona, walk, answer_sealed="no", words_sealed="23 lifts")
        answer = self.save(client, here.tomas, walk, answer_sealed="yes")
        text = answer.content.decode()
        assert answer.status_code == 409
        assert "All teeth are sealed in wax: No" in text
        assert "All teeth are sealed in wax: 23 lifts" in text

    def test_the_office_reads_it_and_another_list_is_none(self, here, client, walk):
        client.force_login(here.dora)
        assert 'type="radio"' not in client.get(self.url(walk)).content.decode()
        assert self.save(client, here.dora, walk, answer_sealed="yes").status_code == 403
        assert client.get(self.url(walk, "gums")).status_code == 404
