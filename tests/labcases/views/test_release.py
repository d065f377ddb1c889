"""Remount, second look and delivery, as people meet them."""

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.models import Release
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


class TestRelease:
    @pytest.fixture
    def case(self, here):
        return here.case_at(Stage.REMOUNT)

    def save(self, client, user, case, **typed):
        row = Release.objects.filter(case=case).first()
        return post(
            client,
            user,
            case,
            "release",
            **{"version": row.version if row else 0, "agent": "spray", **typed},
        )

    def look(self, client, user, case, version=1):
        return post(client, user, case, "release_look", version=version)

    def test_a_release_is_saved_with_one_entry_in_history(self, here, client, case):
        before = case.history.count()
        assert self.save(client, here.tomas, case).status_code == 302
        row = Release.objects.get()
        assert (row.agent, row.finished_by) == ("spray", here.tomas)
        assert case.history.count() == before + 1

    def test_fields_that_gates_point_to_are_on_the_page(self, here, client, case):
        text = get(client, here.tomas, case, "release")
        for name in ("agent", "actual_minutes", "lot"):
            assert text.count(f' id="id_{name}"') == 1, name

    def test_a_second_person_is_offered_the_look_and_the_first_is_not(self, here, client, case):
        self.save(client, here.tomas, case)
        assert "I have looked at the denture" in get(client, here.mona, case, "release")
        assert "I have looked at the denture" not in get(client, here.tomas, case, "release")
        assert self.look(client, here.mona, case).status_code == 302
        assert Release.objects.get().second_look_by == here.mona
        assert "Looked at</span></span> by Mona Ridley" in get(client, here.tomas, case, "release")

    def test_who_finished_it_is_refused_in_words(self, here, client, case):
        self.save(client, here.tomas, case)
        answer = self.look(client, here.tomas, case)
        assert answer.status_code == 422
        assert "You finished this denture. A second person looks" in answer.content.decode()
        assert Release.objects.get().second_look_at is None

    def test_a_denture_that_changed_meanwhile_is_looked_at_again(self, here, client, case):
        self.save(client, here.tomas, case)
        self.save(client, here.tomas, case, agent="bath", version=1)
        answer = self.look(client, here.mona, case, version=1)
        assert answer.status_code == 409
        assert "Tomas Abelard changed the release" in answer.content.decode()
        assert Release.objects.get().second_look_at is None

    def test_there_is_nothing_to_look_at_before_the_release_is_entered(self, here, client, case):
        answer = self.look(client, here.mona, case)
        assert answer.status_code == 422
        assert "Enter the disinfection first" in answer.content.decode()

    def test_two_people_see_both_values(self, here, client, case):
        self.save(client, here.tomas, case)
        self.save(client, here.tomas, case, agent="mist")
        answer = self.save(client, here.mona, case, agent="bath", version=1)
        text = answer.content.decode()
        assert answer.status_code == 409
        assert "mist" in text
        assert 'value="bath"' in text
        assert Release.objects.get().agent == "mist"

    @pytest.mark.parametrize("name", ["dora", "farah", "lena"])
    def test_only_the_bench_writes_and_looks(self, here, client, case, name):
        user = getattr(here, name)
        assert self.save(client, user, case).status_code == 403
        assert self.look(client, user, case).status_code == 403
        assert "The laboratory has not entered the release yet." in get(
            client, user, case, "release"
        )

    def test_another_office_finds_nothing(self, here, client, case):
        assert self.save(client, here.olga, case).status_code == 404
