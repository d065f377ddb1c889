"""Grinding-in: a pass is tapped and saved, judged, ground for, and the pin looked at again."""

import pytest
from django.urls import reverse

from labcases.domain import bench
from labcases.enums import Movement, SetUpAct, Stage
from labcases.models import Mark, SetUpEntry
from tests.factories import world
from tests.labcases.views.pages import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    """Far enough for a log: posterior teeth of an upper denture over natural ones."""
    walk = here.walk()
    walk.to(Stage.DRAFT)
    return walk


@pytest.fixture
def case(walk):
    return walk.case


@pytest.fixture
def tomas(here, client):
    client.force_login(here.tomas)
    return client


def address(name, case, *pk):
    return reverse(name, args=[case.code, *pk])


def tap(client, case, movement, *teeth, **typed):
    return client.post(address("passes", case), {"movement": movement, "teeth": teeth, **typed})


def seen(client, case):
    """The page of the newest pass, in words."""
    return text_of(client.get(address("pass_seen", case, last(case).pk)))


def last(case):
    return case.setup_entries.filter(act="pass").last()


class TestTapping:
    def test_teeth_stand_as_in_the_mouth_and_missing_ones_are_left_out(self, tomas, case):
        text = tomas.get(address("passes", case)).content.decode()
        for tooth in ("17", "11", "21", "27", "47", "41", "31", "37"):
            assert text.count(f'name="teeth" value="{tooth}"') == 1
        assert 'value="18"' not in text
        assert "16, upper right first molar, denture tooth" in text
        assert "46, lower right first molar, natural tooth" in text
        # 17 is the first from the left of seven, 47 stands under it; 27 is the last.
        for tooth, place in (("17", 1), ("47", 1), ("11", 7), ("21", 1), ("27", 7)):
            box = text.split(f'value="{tooth}" id="id_teeth_')[0]
            assert f"at-{place}" in box.rsplit('class="tooth ', 1)[1]

    def test_the_usual_next_movement_is_chosen_already(self, tomas, walk, case):
        assert _chosen(tomas, case) == "centric"
        walk.foil(Movement.CENTRIC, "16")
        assert _chosen(tomas, case) == "right lateral"

    def test_a_pass_is_stored_with_what_was_said_of_each_tooth(self, here, tomas, case):
        answer = tap(
            tomas,
            case,
            "right lateral",
            "46",
            "16",
            "26",
            strength_16="heavy",
            cusps_16="lingual",
            strength_26="light",
            note="red foil",
        )
        entry = SetUpEntry.objects.get()
        assert answer.url == address("pass_seen", case, entry.pk) + "#seen"
        assert (entry.movement, entry.as_wanted, entry.by) == ("right lateral", None, here.tomas)
        assert (entry.teeth, entry.note) == (["16", "26", "46"], "red foil")
        assert list(entry.marks.values_list("tooth", "strength", "cusps")) == [
            ("16", "heavy", "lingual"),
            ("26", "light", ""),
            ("46", "", ""),
        ]
        told = seen(tomas, case)
        assert "Right lateral, pass 1" in told
        assert "Marked: 16 heavy (lingual), 26 light, 46 . red foil" in told

    def test_a_pass_without_any_mark_is_said_with_a_tick(self, tomas, case):
        assert tap(tomas, case, "protrusive", none="on").status_code == 302
        assert SetUpEntry.objects.get().teeth == []
        assert not Mark.objects.exists()
        assert "Marked: no tooth marked" in seen(tomas, case)

    def test_saving_without_a_tap_is_asked_about_and_keeps_the_movement(self, tomas, case):
        answer = tap(tomas, case, "left lateral", note="blue foil")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert (
            '<a href="#id_teeth">Tap the teeth that marked, or tick '
            "&quot;No tooth marked&quot;.</a>" in text
        )
        assert 'value="left lateral" id="id_movement_2" required checked' in text
        assert 'value="blue foil"' in text
        assert not SetUpEntry.objects.exists()

    def test_a_refusal_keeps_every_tap(self, tomas, case):
        text = tap(tomas, case, "spiral", "16", "26", strength_16="heavy").content.decode()
        assert "That is no movement." in text
        for box in ('id="id_teeth_16" checked', 'id="id_teeth_26" checked'):
            assert box in text
        assert (
            'name="strength_16" value="heavy" id="id_strength_16_3" class="is-heavy" checked'
            in (text)
        )

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({"teeth": ["16"], "none": "on"}, "Take one of them away."),
            ({"teeth": ["18"]}, "No tooth stands at 18. Tap teeth that are there."),
            ({"teeth": ["16"], "strength_16": "loud"}, "Choose light, firm, heavy, or leave"),
            ({"teeth": ["16"], "cusps_16": "both"}, "Choose buccal, lingual, or leave it out."),
        ],
    )
    def test_what_cannot_be_is_refused_in_words(self, tomas, case, typed, sentence):
        answer = tomas.post(address("passes", case), {"movement": "centric", **typed})
        assert answer.status_code == 422
        assert sentence in text_of(answer).replace("&quot;", '"')
        assert not SetUpEntry.objects.exists()

    @pytest.mark.parametrize("name", ["dora", "farah", "lena"])
    def test_only_the_bench_taps(self, here, client, case, name):
        client.force_login(getattr(here, name))
        assert tap(client, case, "centric", "16").status_code == 403
        page = client.get(address("passes", case))
        assert page.status_code == 200
        assert 'name="teeth"' not in page.content.decode()

    def test_an_office_with_its_own_numbers_reads_them(self, here, tomas, client, case):
        here.laboratory.notation = "Universal"
        here.laboratory.save()
        text = tomas.get(address("passes", case)).content.decode()
        assert "3, upper right first molar, denture tooth" in text
        tap(tomas, case, "centric", "16")
        assert "Marked: 3" in seen(tomas, case)


def _chosen(client, case):
    text = client.get(address("passes", case)).content.decode()
    (box,) = (
        line for line in text.splitlines() if 'name="movement"' in line and " checked" in line
    )
    return box.split('value="')[1].split('"')[0]


class TestJudging:
    @pytest.fixture
    def entry(self, tomas, case):
        tap(tomas, case, "right lateral", "16", "17")
        return last(case)

    def test_the_scheme_proposes_and_the_person_says(self, tomas, case, entry):
        told = seen(tomas, case)
        assert "Balanced. Working: contact of posterior teeth." in told
        assert "Wanted and not marked: 15 14 24 25 26 27." in told
        assert "Proposal from scheme and marks: not as wanted" in told
        assert "Said:" not in told
        answer = tomas.post(address("pass_judge", case, entry.pk), {"verdict": "no"})
        assert answer.url == address("pass_seen", case, entry.pk) + "#seen"
        entry.refresh_from_db()
        assert entry.as_wanted is False
        assert "Judged: Not as wanted" in seen(tomas, case)

    def test_as_wanted_leads_to_the_next_pass(self, tomas, case, entry):
        answer = tomas.post(address("pass_judge", case, entry.pk), {"verdict": "yes"})
        assert answer.url == address("passes", case) + "#next"
        assert "Right lateral As wanted 17 16" in text_of(tomas.get(answer.url))

    def test_a_word_that_is_none_is_asked_for_again(self, tomas, case, entry):
        answer = tomas.post(address("pass_judge", case, entry.pk), {"verdict": "perhaps"})
        assert answer.status_code == 422
        assert "Say whether the pass was as the scheme wants: yes or no." in text_of(answer)

    def test_a_struck_pass_is_judged_no_more(self, here, tomas, case, entry):
        bench.strike(entry=entry, reason="wrong foil", by=here.tomas)
        answer = tomas.post(address("pass_judge", case, entry.pk), {"verdict": "yes"})
        assert answer.status_code == 409
        told = text_of(answer)
        assert "This pass was struck out. Make the pass again and log it." in told
        assert "by Tomas Abelard" in told
        assert "wrong foil" in told
        assert "What the rules say" not in told

    def test_without_a_scheme_nothing_is_proposed(self, tomas, walk, case, entry):
        case.prescriptions.update(scheme="")
        assert "No occlusal scheme is prescribed, so there is no proposal." in seen(tomas, case)

    def test_a_later_pass_takes_the_place_of_an_earlier_one(self, tomas, case, entry):
        tap(tomas, case, "right lateral", "16", strength_16="light")
        told = text_of(tomas.get(address("pass_seen", case, entry.pk)))
        assert "A later pass in this movement counts" in told
        assert "As the scheme wants?" not in told
        assert "Gone 17 Still there 16" in seen(tomas, case)


class TestPin:
    def test_one_tap_says_that_it_touches_where_it_is_set(self, tomas, walk, case):
        walk.log(SetUpAct.PIN_OPENED, before_mm=0, after_mm="0.5")
        answer = tomas.post(address("pass_pin", case), {"touches": "yes"})
        entry = case.setup_entries.last()
        assert (entry.act, str(entry.after_mm)) == ("pin reading", "0.50")
        assert "Logged: the pin touches the table." in text_of(tomas.get(answer.url))

    def test_a_lifted_pin_is_a_reading_above_its_setting(self, tomas, walk, case):
        tomas.post(address("pass_pin", case), {"lifted_mm": "0,3"})
        tomas.post(address("pass_pin", case), {"touches": "yes"})
        assert [str(entry.after_mm) for entry in case.setup_entries.all()] == ["0.30", "0.00"]

    def test_neither_is_asked_again_with_the_box_open(self, tomas, case):
        answer = tomas.post(address("pass_pin", case), {"lifted_mm": ""})
        assert answer.status_code == 422
        assert "Say that the pin touches the table, or by how many mm it is lifted." in text_of(
            answer
        )
        assert '<details class="fold" open><summary>Pin on the table?' in answer.content.decode()
        answer = tomas.post(address("pass_pin", case), {"lifted_mm": "11"})
        assert "Lifted by is 11 mm. Enter 0.05 to 10 mm." in text_of(answer)


def test_another_office_finds_nothing(here, client, walk, case):
    entry = walk.foil(Movement.CENTRIC, "16")
    client.force_login(here.olga)
    assert client.get(address("passes", case)).status_code == 404
    assert client.get(address("pass_seen", case, entry.pk)).status_code == 404


def test_how_many_questions_a_page_asks_does_not_grow_with_the_passes(
    tomas, walk, case, django_assert_max_num_queries
):
    def asked():
        with django_assert_max_num_queries(60) as found:
            tomas.get(address("passes", case))
        return len(found)

    walk.foil(Movement.CENTRIC, "16", "46", as_wanted=False)
    once = asked()
    for _ in range(6):
        walk.foil(Movement.CENTRIC, "16", "46", "26", as_wanted=False)
    assert asked() == once
