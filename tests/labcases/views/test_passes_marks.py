"""The marks of a pass: what is proposed for each, what is done, and what only the dentist says."""

from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.enums import Movement, SetUpAct, Stage
from labcases.management.walk import natural
from labcases.models import Mark, SetUpEntry
from tests.factories import world
from tests.labcases import kept
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


class TestDone:
    """The proposal of a mark, and what is taken off for it."""

    @pytest.fixture
    def case(self, here, walk):
        walk.sites = {"16": {"shell_over_fossa_mm": Decimal("3")}}
        walk.enter_settings()
        walk.choose_teeth()
        walk.measure()
        walk.compute()
        deep = kept.tooth("16", place="46", series=[[0.0, 0.0], [3.0, -0.33]])
        kept.keep(walk.reload(), here.tomas, kept.findings(kept.excursion("right", deep)))
        return walk.reload()

    @pytest.fixture
    def mark(self, tomas, case):
        tap(tomas, case, "right lateral", "16", "46")
        return Mark.objects.get(tooth="16")

    def done(self, client, case, mark, **typed):
        return client.post(address("pass_done", case, mark.pk), {"tooth": "16", **typed})

    def test_a_mark_has_rule_depth_and_what_it_leaves(self, tomas, case, mark):
        told = seen(tomas, case)
        assert "16 on 46 Reduce" in told
        # 9 - 2 = 7 of the 8 mm tooth: 1 mm hollow; 3 - 1 - 1.5 = 0.5 mm may come off. 0.33 mm are
        # predicted, shown to 0.05 mm; of a depth never more is told than is predicted.
        assert (
            "Depth proposed 0.3 mm Overlap predicted 0.35 mm "
            "Height budget left 0.5 mm Left after it 0.2 mm" in told
        )
        assert "lingual (inner) incline of the upper buccal cusp" in told
        assert "a natural tooth is never ground here" in told

    def test_done_as_proposed_is_one_tap_and_is_bound_to_the_mark(self, here, tomas, case, mark):
        page = tomas.get(address("pass_seen", case, mark.entry_id)).content.decode()
        assert f'id="id_mark{mark.pk}_depth_mm" class="number" value="0.3"' in page
        answer = self.done(tomas, case, mark, depth_mm="0.3")
        assert answer.url == address("pass_seen", case, mark.entry_id) + "#seen"
        entry = SetUpEntry.objects.get(act="reduction")
        assert (entry.mark, entry.teeth, str(entry.after_mm)) == (mark, ["16"], "0.30")
        told = seen(tomas, case)
        assert "16 on 46 Ground" in told
        assert "Taken off: 0.3 mm, Tomas Abelard" in told
        assert "Ground or set since" not in told  # no centric pass was made yet

    def test_after_grinding_centric_is_next_and_the_pin_is_asked_about(
        self, here, tomas, walk, case, mark
    ):
        walk.foil(Movement.CENTRIC, "16", "46")
        walk.log(SetUpAct.PIN_READING, after_mm=0)
        self.done(tomas, case, mark, depth_mm="0.3")
        told = seen_of(tomas, case, mark)
        assert "Ground or set since the last pass in centric: 16. Mark centric again." in told
        assert "Pin on the table?" in told
        assert "Next pass: centric" in told

    def test_another_number_is_taken_and_more_than_proposed_is_said(self, tomas, case, mark):
        answer = self.done(tomas, case, mark, depth_mm="0,6")
        told = text_of(tomas.get(answer.url))
        assert "That is more than the 0.3 mm proposed." in told
        assert "The height budget of the tooth is overdrawn." in told
        assert str(SetUpEntry.objects.get(act="reduction").after_mm) == "0.60"

    def test_an_empty_number_is_asked_for_and_a_wrong_one_stays(self, tomas, case, mark):
        answer = self.done(tomas, case, mark, depth_mm="")
        assert answer.status_code == 422
        assert "Enter how much was taken off, in mm." in text_of(answer)
        answer = self.done(tomas, case, mark, depth_mm="9")
        assert "Taken off is 9 mm. Enter 0.05 to 5 mm." in text_of(answer)
        assert 'class="number" value="9"' in answer.content.decode()
        assert not SetUpEntry.objects.filter(act="reduction").exists()

    def test_no_form_grinds_a_natural_tooth(self, tomas, case, mark):
        answer = self.done(tomas, case, mark, tooth="46", depth_mm="0.2")
        assert answer.status_code == 422
        assert "46 is no denture tooth, and nothing else is ground." in text_of(answer)
        answer = self.done(tomas, case, mark, tooth="26", depth_mm="0.2")
        assert "26 does not meet 16: they stand on different sides." in text_of(answer)
        assert not SetUpEntry.objects.filter(act="reduction").exists()

    def test_where_no_depth_is_known_three_numbers_are_a_tap(self, tomas, case):
        tap(tomas, case, "left lateral", "26")
        page = tomas.get(address("pass_seen", case, last(case).pk)).content.decode()
        assert 'name="quick" value="0.1"' in page
        mark = Mark.objects.get(tooth="26")
        self.done(tomas, case, mark, tooth="26", quick="0.1", depth_mm="")
        assert str(SetUpEntry.objects.get(act="reduction").after_mm) == "0.10"

    def test_a_mark_of_another_case_is_not_found(self, here, tomas, mark):
        other = here.walk(patient_code="P-200").case
        assert self.done(tomas, other, mark, depth_mm="0.2").status_code == 404

    def test_depths_and_budgets_that_are_old_or_missing_say_so(self, tomas, walk, case, mark):
        walk.settings["condylar_right_deg"] = 40
        walk.enter_settings()
        case.check_runs.filter(kind="height budget").delete()
        told = seen(tomas, case)
        assert "Depths are those of an older clearance check." in told
        assert "No budget is known : the height budget was not kept." in told
        case.check_runs.all().delete()
        told = seen(tomas, case)
        assert "No depth is known : the clearance check was not computed." in told
        assert "no depth is known. Take off a little where the foil marks" in told

    def test_a_tooth_that_lost_more_than_its_budget_says_how_much_over(self, tomas, walk, case):
        walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm="0.6")
        tap(tomas, case, "right lateral", "16")
        assert "Height budget left 0.10 mm over" in seen(tomas, case)


def seen_of(client, case, mark):
    return text_of(client.get(address("pass_seen", case, mark.entry_id)))


class TestNaturalTeeth:
    """A natural tooth is the place of a finding; the dentist decides, and one tap asks."""

    @pytest.fixture
    def case(self, here):
        """15 stays, so that in 15 on 45 two natural teeth meet; 46 is missing."""
        walk = here.walk()
        opposing = {**natural("lower"), "46": "missing"}
        case = walk.to(Stage.DRAFT, opposing=opposing)
        case.prescriptions.update(teeth={**case.prescription.teeth, "15": "stays"})
        return walk.reload()

    def test_two_natural_teeth_bring_the_question_and_no_depth(self, tomas, case):
        tap(tomas, case, "right lateral", "15")
        told = seen(tomas, case)
        assert "15 on 45 The dentist decides" in told
        page = tomas.get(address("pass_seen", case, last(case).pk)).content.decode()
        assert 'name="depth_mm"' not in page.split('id="mark')[1]
        assert 'name="about" value="tooth 45"' in page
        answer = tomas.post(
            address("questions", case),
            {
                "about": "tooth 45",
                "text": "Does it stay as it is?",
                "waits_for": "office",
                "clinical": "on",
                "aside": "on",
            },
        )
        assert answer.status_code == 302
        assert "Asked, not answered yet" in seen(tomas, case)

    def test_marks_over_a_gap_have_no_rule_and_the_page_says_so(self, tomas, case):
        tap(tomas, case, "right lateral", "16")
        assert "No rule says anything of these marks" in seen(tomas, case)


class TestExcursions:
    """In centric the rule first asks whether the same cusp marks in the excursions too."""

    @pytest.fixture
    def mark(self, walk):
        walk.foil(Movement.CENTRIC, "16", "46", as_wanted=False)
        return Mark.objects.get(tooth="16")

    def say(self, client, case, mark, answer):
        return client.post(address("pass_excursions", case, mark.pk), {"marks_too": answer})

    def test_it_is_asked_with_one_tap_and_nothing_is_proposed_before(self, tomas, case, mark):
        page = tomas.get(address("pass_seen", case, mark.entry_id)).content.decode()
        told = seen(tomas, case)
        assert "16 on 46 Say first" in told
        assert "Nothing is proposed before it is known." in told
        assert page.count('name="marks_too"') == 3
        assert 'name="depth_mm"' not in page
        assert "budget left" not in told

    def test_an_answer_brings_the_proposal_and_may_be_changed(self, tomas, case, mark):
        answer = self.say(tomas, case, mark, "no")
        assert answer.url == address("pass_seen", case, mark.entry_id) + f"#mark{mark.pk}"
        told = seen(tomas, case)
        assert "Excursions of tooth 16 (Universal 3): no, only in centric." in told
        assert "16, upper fossa: " in told
        assert "The same cusp marks in none of the excursions, as was said here." in told
        assert "Say otherwise of the excursions" in told
        self.say(tomas, case, mark, "not known")
        assert "16 on 46 Say first" in seen(tomas, case)

    def test_passes_in_the_excursions_answer_it(self, walk, tomas, case, mark):
        walk.foil(Movement.RIGHT)
        walk.foil(Movement.LEFT)
        walk.foil(Movement.PROTRUSIVE)
        told = seen_of(tomas, case, mark)
        assert "16, upper fossa: " in told
        assert "The same cusp marks in none of the excursions (last passes)." in told
        assert "Say otherwise of the excursions" not in told

    def test_another_word_is_asked_again_and_another_movement_refused(self, walk, tomas, case):
        entry = walk.foil(Movement.RIGHT, "16", as_wanted=False)
        mark = entry.marks.get()
        answer = self.say(tomas, case, mark, "perhaps")
        assert answer.status_code == 422
        assert "Say whether the same cusp marks in the excursions too: yes, no, or" in text_of(
            answer
        )
        answer = self.say(tomas, case, mark, "yes")
        assert answer.status_code == 409
        assert "This is asked of marks in centric only." in text_of(answer)
