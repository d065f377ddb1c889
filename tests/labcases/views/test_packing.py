"""Packing a box, as the house that sends it does."""

import pytest
from django.urls import reverse

from labcases.enums import Stage
from tests.factories import world

pytestmark = pytest.mark.django_db

CLEAN = {
    **{"agent": "spray, closed bag", "label_minutes": "10", "actual_minutes": "10"},
    "disinfected_by": "Farah Kline",
}


def packed(*rows, courier="own round", version=0, **more):
    """What the form posts: the given rows, then one that was left empty."""
    data = {
        "courier": courier,
        "version": version,
        "items-TOTAL_FORMS": len(rows) + 1,
        "items-INITIAL_FORMS": 0,
        f"items-{len(rows)}-content": "",
        **more,
    }
    for number, row in enumerate(rows):
        for name, value in row.items():
            data[f"items-{number}-{name}"] = value
    return data


def pack(client, user, case, *rows, **more):
    client.force_login(user)
    return client.post(reverse("box_new", args=[case.code]), packed(*rows, **more))


def at(name, box):
    return reverse(name, args=[box.case.code, box.pk])


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.walk().case


@pytest.fixture
def box(here):
    """A box on its way to the laboratory."""
    case = here.case_at(Stage.SENT)
    return case.boxes.get()


class TestPacking:
    def test_the_office_packs_to_the_laboratory(self, client, here, case):
        row = {"content": "impression", "count": "2", **CLEAN}
        assert pack(client, here.farah, case, row).status_code == 302
        box = case.boxes.get()
        assert box.direction == "to the laboratory"
        assert box.courier == "own round"
        item = box.items.get()
        assert (item.count, item.agent, item.label_minutes) == (2, "spray, closed bag", 10)

    def test_the_laboratory_packs_to_the_office(self, client, here, case):
        pack(client, here.lena, case, {"content": "tray", "count": "1", **CLEAN})
        assert case.boxes.get().direction == "to the office"

    def test_the_form_has_rows_to_fill_without_javascript(self, client, here, case):
        client.force_login(here.farah)
        text = client.get(reverse("box_new", args=[case.code])).content.decode()
        assert text.count("nothing in this row</option>") == 6
        assert "This box goes <b>to the laboratory</b>." in text

    def test_an_empty_box_is_refused(self, client, here, case):
        refused = pack(client, here.farah, case)
        assert refused.status_code == 422
        assert "Enter at least one thing that is in the box." in refused.content.decode()
        assert not case.boxes.exists()

    def test_a_row_without_a_content_is_refused_with_what_was_typed(self, client, here, case):
        refused = pack(client, here.farah, case, {"content": "", "agent": "spray"})
        assert refused.status_code == 422
        text = refused.content.decode()
        assert "Choose what this row holds, or empty the row." in text
        assert 'value="spray"' in text
        assert "<title>Error: " in text

    def test_a_row_without_a_count_is_refused(self, client, here, case):
        refused = pack(client, here.farah, case, {"content": "cast", "count": ""})
        assert refused.status_code == 422
        assert "Enter how many pieces." in refused.content.decode()

    def test_a_box_without_disinfection_is_packed_with_a_warning(self, client, here, case):
        client.force_login(here.farah)
        data = packed({"content": "impression", "count": "1"})
        answer = client.post(reverse("box_new", args=[case.code]), data, follow=True)
        text = answer.content.decode()
        assert "The box is packed but may not leave yet." in text
        assert "Treat as contaminated: disinfect and log before handling." in text

    def test_it_is_packed_again_while_it_is_here(self, client, here, case):
        pack(client, here.farah, case, {"content": "impression", "count": "1", **CLEAN})
        box = case.boxes.get()
        data = packed({"content": "cast", "count": "2", **CLEAN}, version=box.version)
        assert client.post(at("box", box), data).status_code == 302
        assert [str(item) for item in box.items.all()] == ["2 x cast"]

    def test_only_the_house_that_sends_packs_it_again(self, client, here, case):
        pack(client, here.farah, case, {"content": "impression", "count": "1", **CLEAN})
        box = case.boxes.get()
        client.force_login(here.lena)
        data = packed({"content": "cast", "count": "2"}, version=box.version)
        assert client.post(at("box", box), data).status_code == 403
        assert [str(item) for item in box.items.all()] == ["1 x impression"]

    def test_a_box_that_has_left_is_not_packed_again(self, client, here, box):
        client.force_login(here.farah)
        data = packed({"content": "cast", "count": "2", **CLEAN}, version=box.version)
        answer = client.post(at("box", box), data)
        assert answer.status_code == 409
        assert "This box has left. Pack another one." in answer.content.decode()

    def test_two_people_who_pack_it_see_both_contents(self, client, here, case):
        pack(client, here.farah, case, {"content": "impression", "count": "1", **CLEAN})
        box = case.boxes.get()
        first = packed({"content": "cast", "count": "2", **CLEAN}, version=1, courier="bike")
        client.post(at("box", box), first)
        client.force_login(here.dora)
        second = packed({"content": "tray", "count": "1", **CLEAN}, version=1, courier="van")
        answer = client.post(at("box", box), second)
        assert answer.status_code == 409
        text = answer.content.decode()
        for value in ("1 x tray", "2 x cast", "bike", "van", "Farah Kline saved it on"):
            assert value in text
        stored = {"keep-contents": "stored", "keep-courier": "yours"}
        box.refresh_from_db()
        again = packed(
            {"content": "tray", "count": "1", **CLEAN},
            version=box.version,
            courier="van",
            **stored,
        )
        assert client.post(at("box", box), again).status_code == 302
        box.refresh_from_db()
        assert box.courier == "van"
        assert [str(item) for item in box.items.all()] == ["2 x cast"]
