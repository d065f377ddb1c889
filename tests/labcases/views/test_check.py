"""The clearance check page: the kept answer, its state in words, and a button to compute."""

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.models import CheckRun
from tests.factories import world
from tests.labcases import kept
from tests.labcases.domain.test_proposal_answer import answered, propose
from tests.labcases.views.pages import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def page(client, user, case):
    client.force_login(user)
    return client.get(reverse("check", args=[case.code]))


def compute(client, user, case, kind="clearance"):
    client.force_login(user)
    return client.post(reverse("check_compute", args=[case.code]), {"kind": kind})


class TestLooking:
    def test_without_a_check_the_page_says_what_it_needs_and_computes_nothing(self, here, client):
        case = here.case_at(Stage.SETTINGS)
        text = page(client, here.tomas, case).content.decode()
        assert "No clearance check has been computed for this case." in text
        assert 'id="id_compute"' in text
        assert not CheckRun.objects.exists()

    def test_a_chance_is_said_to_be_of_the_whole_way(self, here, client):
        case = here.case_at(Stage.SETTINGS)
        possible = {
            "state": "interference possible",
            "verdict": "not as wanted",
            "gap_mm": 0.85,
            "at_travel_mm": 4.25,
            "p_interference": 0.29,
        }
        kept.keep(
            case, here.tomas, kept.findings(kept.excursion("right", kept.tooth("16", **possible)))
        )
        assert "not as wanted chance 29 % somewhere on the way +0.85 mm" in text_of(
            page(client, here.tomas, case)
        )

    def test_the_kept_answer_is_shown_tooth_by_tooth_and_drawn(self, here, client):
        case = here.case_at(Stage.SETTINGS)
        kept.keep(
            case,
            here.tomas,
            kept.findings(
                kept.excursion("right", kept.tooth("16", **kept.INTERFERENCE), kept.tooth("26")),
                warnings=[{"code": "tilt", "text": "The plane tilts much.", "source": "practice"}],
                left_out=[{"tooth": "27", "text": "No opposing tooth."}],
            ),
        )
        text = page(client, here.tomas, case).content.decode().replace("\N{NO-BREAK SPACE}", " ")
        assert "Not as wanted: 16." in text
        assert "\N{MINUS SIGN}0.35 mm" in text
        assert "± 0.15 mm" in text
        assert text.count('<svg class="arch"') == 1
        assert "upper right first molar: denture tooth, interference, not as wanted" in text
        assert "The plane tilts much." in text
        assert "27: No opposing tooth." in text
        assert "The jaw moves as a rigid body." in text
        assert "Tomas Abelard" in text
        assert "That no contact is predicted does not mean that there is none." in text

    def test_what_stands_in_the_way_says_which_denture_tooth_could_yield(self, here, client):
        case = here.case_at(Stage.SETTINGS)
        told = kept.findings(
            reduction=[
                kept.reduction("17", vertical_mm=0.12),
                kept.reduction("16"),
                kept.reduction("26", vertical_mm=0.9, place="36", incline="buccal outer mesial"),
                kept.reduction("27", object=None, incline=None, place="37"),
            ]
        )
        kept.keep(case, here.tomas, told)
        words = text_of(page(client, here.tomas, case))
        way = words.partition("What stands in the way")[2]
        rows = [
            "17 47 Right lateral inner distal incline of the lingual cusp 0.1 mm "
            "Mark with foil: less than callipers can tell",
            "16 47 Right lateral inner distal incline of the lingual cusp 0.4 mm "
            "Denture tooth 16 could yield so much there, or be set again",
            "26 36 Right lateral outer mesial incline of the buccal cusp 0.9 mm "
            "Set denture tooth 26 again",
            "27 37 Right lateral not told 0.4 mm The dentist decides",
        ]
        assert [row for row in rows if row not in way] == []
        assert "Adjusting natural teeth is the dentist's decision." in way
        assert "Denture tooth 46" not in way

    def test_a_natural_tooth_in_the_way_is_requested_here_and_shows_the_dentist_s_word(
        self, here, client
    ):
        walk = here.walk()
        case = walk.to(Stage.SETTINGS)
        kept.keep(case, here.tomas, kept.findings(reduction=[kept.reduction("16")]))
        html = page(client, here.tomas, case).content.decode()
        link = (
            f"/cases/{case.code}/proposals/new/natural-tooth/?tooth=47&amp;"
            "why=In%20right%20lateral%20denture%20tooth%2016%20meets%20it%2C%20as%20modelled."
        )
        assert f'href="{link}"' in html
        assert "before the dentist" not in text_of(page(client, here.dora, case))

        row = propose(walk, ProposalKind.NATURAL, tooth="47")
        answered(walk, row, ProposalState.YES, text="")

        words = text_of(page(client, here.tomas, case))
        assert "could yield so much there, or be set again Proposal 1: I see to it" in words
        assert "before the dentist" not in words

    def test_where_nothing_stands_in_the_way_the_depth_that_was_looked_for_is_named(
        self, here, client
    ):
        case = here.case_at(Stage.SETTINGS)
        kept.keep(case, here.tomas, kept.findings(reduction=[]))
        words = text_of(page(client, here.tomas, case))
        assert "None predicted above 0.05 mm in the three excursions, as modelled." in words

    def test_assumptions_are_folded_and_counted(self, here, client):
        case = here.case_at(Stage.SETTINGS)
        kept.keep(case, here.tomas, kept.findings(assumptions=["Jaws are stiff.", "Paths too."]))
        text = page(client, here.tomas, case).content.decode()
        assert "<summary>Assumed, and not modelled: 2 statements</summary>" in text
        assert "<li>Jaws are stiff.</li>" in text

    def test_nothing_on_the_page_is_called_clear(self, here, client):
        case = here.case_at(Stage.SET_UP)
        text = page(client, here.tomas, case).content.decode().lower()
        words = text.replace("clearance", "").replace(">", " ").replace("<", " ").split()
        assert not {"clear", "clear.", "clear,"} & set(words)
        assert "no interference" not in text

    def test_a_current_answer_bears_no_stale_mark(self, here, client):
        case = here.case_at(Stage.SET_UP)
        assert b"Stale" not in page(client, here.tomas, case).content

    def test_a_stale_answer_says_so_and_what_changed(self, here, client):
        walk = here.walk()
        case = walk.to(Stage.SET_UP)
        walk.settings["condylar_right_deg"] = 40
        walk.enter_settings()
        text = page(client, here.tomas, case).content.decode()
        assert "Stale" in text
        assert "<li>condylar right: 30 → 40</li>" in text
        assert "Compute again" in text

    def test_the_height_budget_stands_below_with_a_link_to_the_sites(self, here, client):
        case = here.case_at(Stage.SET_UP)
        text = page(client, here.tomas, case).content.decode()
        assert "8 sites: fits." in text
        assert reverse("sites", args=[case.code]) in text

    def test_the_office_reads_in_its_own_notation_and_computes_nothing(self, here, client):
        here.office.notation = "Universal"
        here.office.save()
        case = here.case_at(Stage.SET_UP)
        text = page(client, here.dora, case).content.decode()
        assert '<th scope="row" class="nowrap">3<span class="under">ISO 16</span></th>' in text
        assert "Compute again" not in text
        assert "The laboratory computes it." in text

    def test_another_office_finds_nothing(self, here, client):
        assert page(client, here.olga, here.case_at(Stage.SET_UP)).status_code == 404


class TestComputing:
    @pytest.mark.parametrize(
        ("kind", "stored"), [("clearance", "clearance"), ("height", "height budget")]
    )
    def test_the_technician_computes_and_the_answer_is_kept(self, here, client, kind, stored):
        case = here.case_at(Stage.SET_UP)
        before = case.check_runs.filter(kind=stored).count()
        answer = compute(client, here.tomas, case, kind)
        assert answer.url == reverse("check", args=[case.code])
        assert case.check_runs.filter(kind=stored).count() == before + 1
        assert "computed and kept" in client.get(answer.url).content.decode()

    def test_what_keeps_the_engine_from_answering_is_said_with_a_link(self, here, client):
        case = here.case_at(Stage.SETTINGS)
        answer = compute(client, here.tomas, case)
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "<title>Error: " in text
        assert "<h2>Enter the articulator record first.</h2>" in text
        assert reverse("settings", args=[case.code]) in text
        assert not CheckRun.objects.exists()

    def test_an_unknown_kind_is_refused_in_words(self, here, client):
        answer = compute(client, here.tomas, here.case_at(Stage.SET_UP), "everything")
        assert answer.status_code == 422
        assert "Choose the clearance check or the height budget." in answer.content.decode()

    @pytest.mark.parametrize("name", ["dora", "farah", "lena"])
    def test_only_the_bench_computes(self, here, client, name):
        case = here.case_at(Stage.SET_UP)
        before = CheckRun.objects.count()
        assert compute(client, getattr(here, name), case).status_code == 403
        assert CheckRun.objects.count() == before

    def test_looking_at_the_compute_address_is_not_computing(self, here, client):
        case = here.case_at(Stage.SET_UP)
        client.force_login(here.tomas)
        assert client.get(reverse("check_compute", args=[case.code])).status_code == 405
