"""The final wax with its approval."""

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.models import FinalWax
from tests.factories import world

pytestmark = pytest.mark.django_db


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
