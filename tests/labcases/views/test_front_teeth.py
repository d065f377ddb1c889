"""The page of the front teeth: what was cut from the cast, with sources beside flags and ways."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.domain import trimming
from labcases.enums import Arch, Stage
from labcases.models import SetUpEntry
from tests.factories import world
from tests.labcases.views.pages import text_of

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.walk().to(Stage.DRAFT, probing_mm={"11": "3"})


def page(client, user, case):
    client.force_login(user)
    return client.get(reverse("front_teeth", args=[case.code]))


def send(client, user, case, **typed):
    client.force_login(user)
    posted = {name.replace("__", "-"): value for name, value in typed.items()}
    return client.post(
        reverse("front_teeth", args=[case.code]), {"what": "trim", "method": "one by one", **posted}
    )


class TestTrimming:
    def test_the_boxes_are_those_of_the_stone_teeth_and_nothing_is_filled_in_but_the_order(
        self, here, client, case
    ):
        text = page(client, here.tomas, case).content.decode()
        assert 'value="13 12 11 21 22 23"' in text
        assert 'name="11-labial_mm"' in text
        assert 'name="14-labial_mm"' not in text
        assert text.split('id="arrangement"')[0].count('class="number"') == 3 + 6 * 3
        assert "No stone tooth is logged as cut yet." in text

    def test_each_way_stands_with_its_figures_and_its_source(self, here, client, case):
        words = text_of(page(client, here.tomas, case))
        assert "at most 5 mm deep labially and 2 mm palatally" in words
        assert (
            "Jerbi FC, J Prosthet Dent 1966;16:1047-53 (from memory, its figure less surely)"
            in words
        )

    def test_one_number_for_all_goes_to_the_teeth_that_have_none(self, here, client, case):
        answer = send(
            client,
            here.tomas,
            case,
            order="11 21",
            all__labial_mm="1,5",
            **{"11-labial_mm": "4.5", "21-palatal_mm": "0.5", "21-apical_third": "on"},
        )
        assert answer.status_code == 302
        first, second = trimming.of(case).teeth
        assert (first.labial_mm, first.palatal_mm, first.apical_third) == (D("4.5"), None, False)
        assert (second.labial_mm, second.palatal_mm, second.apical_third) == (
            D("1.5"),
            D("0.5"),
            True,
        )

    def test_what_is_flagged_stands_beside_the_tooth_with_its_source(self, here, client, case):
        send(client, here.tomas, case, order="11 21", all__labial_mm="4.5")
        words = text_of(page(client, here.dora, case))
        assert "more than 1 mm beyond the bottom of the pocket Source: Standard SG" in words
        assert "not probed, so not held against the pocket" in words
        assert "Not logged as cut: 13 12 22 23." in words

    def test_the_line_stands_in_the_set_up_log(self, here, client, case):
        send(client, here.tomas, case, order="11", all__labial_mm="2", all__crest_mm="1")
        words = text_of(client.get(reverse("setup", args=[case.code])))
        assert "One tooth at a time: 11 labially 2 mm, crest 1 mm" in words

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({"order": "11"}, "11: enter how much is gone labially, 0 where nothing is."),
            ({"order": ""}, "Enter the teeth in the order in which they were cut."),
            ({"order": "11 11"}, "11 is named twice. Name each tooth once, in the order of"),
            (
                {"order": "16 11"},
                "16: no stone tooth of this cast that stands until surgery. Those are 13 12 11 21",
            ),
            (
                {"order": "11", "21-labial_mm": "1", "11-labial_mm": "1"},
                "21 has entries below and is not in the order of removal. Add it here, or empty",
            ),
            ({"order": "11", "11-labial_mm": "10.01"}, "11: labial is 10.01 mm. Enter 0 to 10 mm"),
            ({"order": "11", "method": ""}, "Choose the way in which the cast was trimmed."),
            (
                {"order": "11", "all-labial_mm": "1", "method": "other"},
                "Say in words how the cast was trimmed.",
            ),
        ],
    )
    def test_a_refusal_says_what_to_do_and_keeps_what_was_typed(
        self, here, client, case, typed, sentence
    ):
        answer = send(client, here.tomas, case, **{"note": "wax chilled", **typed})
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "<title>Error: " in text
        assert sentence in text
        assert 'value="wax chilled"' in text
        assert not SetUpEntry.objects.exists()

    def test_a_cast_without_a_stone_tooth_is_refused_in_one_sentence(self, here, client):
        lost = dict.fromkeys(("13", "12", "11", "21", "22", "23"), "lost")
        case = here.walk().to(Stage.DRAFT, teeth=lost)
        answer = send(client, here.tomas, case, order="11")
        assert answer.status_code == 422
        assert "No stone tooth of this cast stands until surgery" in text_of(answer)
        assert "id_trim_order" not in answer.content.decode()
        assert not SetUpEntry.objects.exists()

    def test_own_words_are_kept_where_the_way_is_another(self, here, client, case):
        send(
            client,
            here.tomas,
            case,
            order="11",
            all__labial_mm="1",
            method="other",
            words="by the key of the wax",
        )
        assert trimming.of(case).teeth[0].how == "by the key of the wax"

    def test_a_lower_denture_is_not_offered_sockets_and_reads_lingual(self, here, client):
        lower = here.walk().to(Stage.DRAFT, arch=Arch.LOWER)
        text = page(client, here.tomas, lower).content.decode()
        assert 'value="socketed"' not in text
        assert '<th scope="col">Lingual</th>' in text
        answer = send(client, here.tomas, lower, order="41", all__labial_mm="1", method="socketed")
        assert answer.status_code == 422

    def test_teeth_are_typed_and_shown_in_the_laboratorys_notation(self, here, client, case):
        here.laboratory.notation = "Universal"
        here.laboratory.save()
        send(client, here.tomas, case, order="9 8", all__labial_mm="1")
        assert [row.tooth for row in trimming.of(case).teeth] == ["21", "11"]
        # The order has a column of its own: two bare numbers would be taken for each other.
        assert "9 (ISO 21) 1 " in text_of(page(client, here.tomas, case))

    @pytest.mark.parametrize("name", ["dora", "farah", "lena"])
    def test_only_the_bench_logs_and_others_read(self, here, client, case, name):
        answer = send(client, getattr(here, name), case, order="11", all__labial_mm="1")
        assert answer.status_code == 403
        assert "Log the trimming" not in page(client, getattr(here, name), case).content.decode()

    def test_another_office_finds_nothing(self, here, client, case):
        assert page(client, here.olga, case).status_code == 404


class TestArrangement:
    def arrange(self, client, user, case, **typed):
        client.force_login(user)
        given = {"tooth": "11", "deviation": "longer", "wanted_by": "technician", **typed}
        return client.post(reverse("front_teeth", args=[case.code]), {"what": "arrange", **given})

    def test_without_a_line_the_natural_arrangement_is_copied(self, here, client, case):
        assert "the natural arrangement is copied" in text_of(page(client, here.dora, case))

    def test_a_technicians_own_deviation_is_shown_as_not_asked(self, here, client, case):
        answer = self.arrange(client, here.tomas, case, amount_mm="0,5", words="as in youth")
        assert answer.status_code == 302
        words = text_of(page(client, here.tomas, case))
        assert "11 longer by 0.5 mm, as in youth Tomas Abelard The technician Not asked" in words
        assert "Propose it" in words
        log = text_of(client.get(reverse("setup", args=[case.code])))
        assert "11 longer by 0.5 mm, as in youth; wanted by the technician" in log

    def test_a_prescribed_deviation_asks_nobody(self, here, client, case):
        self.arrange(client, here.tomas, case, wanted_by="prescription")
        words = text_of(page(client, here.tomas, case))
        assert "11 longer Tomas Abelard The prescription" in words
        assert "Not asked" not in words

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({"tooth": ""}, "Choose the tooth that is set otherwise."),
            ({"deviation": ""}, "Choose how the tooth is set otherwise."),
            ({"wanted_by": ""}, "Say who wants it: the prescription, or the technician."),
            ({"deviation": "other"}, "Say in words how the tooth is set otherwise."),
            (
                {"deviation": "turned", "amount_mm": "2"},
                "Turned about its long axis is told in deg, and 2 mm stands here. Empty this box",
            ),
            ({"amount_deg": "5"}, "Longer is told in mm, and 5 deg stands here."),
            ({"amount_mm": "10.1"}, "if moved, is 10.1 mm. Enter 0.1 to 10 mm."),
            ({"deviation": "turned", "amount_deg": "91"}, "is 91 deg. Enter 0.5 to 90 deg."),
        ],
    )
    def test_a_refusal_says_what_to_do(self, here, client, case, typed, sentence):
        answer = self.arrange(client, here.tomas, case, **typed)
        assert answer.status_code == 422
        assert sentence in text_of(answer)
        assert not SetUpEntry.objects.exists()

    def test_only_the_bench_logs(self, here, client, case):
        assert self.arrange(client, here.dora, case).status_code == 403
