"""Passes with foil: what is stored, what comes next, and one pass held against the one before."""

from decimal import Decimal

import pytest

from labcases.domain import bench, history, ledger, passes
from labcases.domain.passes import Changes, Marked, NothingThere, NotStanding, NotThisTooth
from labcases.enums import Movement, SetUpAct, Stage
from labcases.management.walk import natural
from labcases.models import HistoryEntry, Mark, SetUpEntry
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
CENTRIC, RIGHT, LEFT, PROTRUSIVE = Movement


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT, opposing={**natural("lower"), "36": "missing"})
    return walk


def told(walk):
    return walk.case.history.last()


class TestLogging:
    def test_marks_are_kept_in_mouth_order_with_what_was_said_of_each(self, walk):
        entry = walk.foil(RIGHT, "46", Marked("26", "light"), Marked("16", "heavy", "lingual"))
        assert entry.teeth == ["16", "26", "46"]
        assert list(entry.marks.values_list("tooth", "strength", "cusps")) == [
            ("16", "heavy", "lingual"),
            ("26", "light", ""),
            ("46", "", ""),
        ]

    def test_history_has_one_entry_that_says_the_whole_pass(self, walk):
        before = walk.case.history.count()
        walk.foil(RIGHT, Marked("16", "heavy", "lingual"), "26", as_wanted=False)
        assert walk.case.history.count() == before + 1
        assert (told(walk).part, told(walk).act) == ("set-up log", "pass with foil")
        assert told(walk).changes == {
            "movement": [None, "Right lateral"],
            "marks": [None, "16 heavy lingual, 26"],
            "as wanted": [None, False],
        }

    def test_a_mark_on_a_natural_tooth_is_a_finding_and_is_logged(self, walk):
        assert walk.foil(CENTRIC, "46").teeth == ["46"]

    @pytest.mark.parametrize("tooth", ["36", "18", "19", ""])
    def test_a_mark_where_no_tooth_stands_is_refused(self, walk, tooth):
        with pytest.raises(NothingThere) as refused:
            walk.foil(CENTRIC, "16", tooth)
        assert str(refused.value) == (
            f"No tooth stands at {tooth}. Mark only teeth that are there."
        )
        assert not SetUpEntry.objects.exists()

    def test_a_tooth_marks_once(self, walk):
        with pytest.raises(NothingThere, match=r"^16 is named twice"):
            walk.foil(CENTRIC, "16", Marked("16", "heavy"))

    def test_a_struck_pass_takes_its_marks_with_it_and_an_undo_brings_them_back(self, walk):
        entry = walk.foil(CENTRIC, Marked("16", "heavy"), as_wanted=False)
        bench.strike(entry=entry, reason="wrong foil", by=walk.hands.technician)
        assert ledger.last_passes(walk.reload()) == {}
        assert entry.marks.get().strength == "heavy"  # readable, as the line is


class TestJudging:
    def test_it_is_said_once_or_again_and_each_time_stands_in_history(self, walk):
        entry = walk.foil(CENTRIC, "16", as_wanted=None)
        passes.judge(entry=entry, as_wanted=False, by=walk.hands.technician)
        passes.judge(entry=entry, as_wanted=True, by=walk.hands.manager)
        assert ledger.last_passes(walk.reload())[CENTRIC].as_wanted is True
        said = HistoryEntry.objects.filter(case=walk.case, act="pass judged").order_by("pk")
        assert [one.changes["as wanted"] for one in said] == [[None, False], [False, True]]

    def test_the_same_word_again_writes_nothing(self, walk):
        entry = walk.foil(CENTRIC, "16", as_wanted=True)
        before = walk.case.history.count()
        assert passes.judge(entry=entry, as_wanted=True, by=walk.hands.technician).as_wanted
        assert walk.case.history.count() == before

    def test_a_struck_pass_and_another_line_are_no_passes_to_judge(self, walk):
        entry = walk.foil(CENTRIC, "16")
        bench.strike(entry=entry, reason="wrong foil", by=walk.hands.technician)
        walk.log(SetUpAct.NOTE, note="x")
        for one in walk.case.setup_entries.all():
            with pytest.raises(NotStanding, match=r"^This pass was struck out"):
                passes.judge(entry=one, as_wanted=False, by=walk.hands.technician)


class TestGrinding:
    @pytest.fixture
    def mark(self, walk):
        return walk.foil(RIGHT, "16", "46", as_wanted=False).marks.get(tooth="16")

    def ground(self, walk, mark, tooth="16"):
        return passes.grind(mark=mark, tooth=tooth, depth_mm=D("0.2"), by=walk.hands.technician)

    def test_a_reduction_is_bound_to_its_mark(self, walk, mark):
        entry = self.ground(walk, mark)
        assert (entry.act, entry.teeth, entry.after_mm) == ("reduction", ["16"], D("0.2"))
        assert list(mark.reductions.all()) == [entry]
        assert told(walk).changes["mark"] == [None, "16"]

    def test_only_a_denture_tooth_of_the_side_that_marked_yields(self, walk, mark):
        with pytest.raises(bench.NotADentureTooth, match=r"^46 is no denture tooth"):
            self.ground(walk, mark, "46")
        with pytest.raises(NotThisTooth, match=r"^26 does not meet 16"):
            self.ground(walk, mark, "26")
        assert not SetUpEntry.objects.filter(act="reduction").exists()

    def test_central_incisors_meet_across_the_midline(self, walk):
        mark = walk.foil(PROTRUSIVE, "41").marks.get()
        assert self.ground(walk, mark, "21").teeth == ["21"]


class TestPin:
    def test_a_pin_that_touches_reads_what_it_is_set_at(self, walk):
        walk.log(SetUpAct.PIN_OPENED, before_mm=D("0"), after_mm=D("0.5"))
        assert passes.pin_set_at(walk.reload()) == D("0.5")
        entry = passes.see_pin(case=walk.case, lifted_mm=D("0"), by=walk.hands.technician)
        assert (entry.act, entry.after_mm) == ("pin reading", D("0.5"))

    def test_a_lift_does_not_move_the_setting(self, walk):
        by = walk.hands.technician
        passes.see_pin(case=walk.reload(), lifted_mm=D("0.3"), by=by)
        assert ledger.balance(walk.reload()).reading_mm == D("0.3")
        passes.see_pin(case=walk.reload(), lifted_mm=D("0"), by=by)
        assert ledger.balance(walk.reload()).reading_mm == D("0")

    def test_without_any_line_it_is_set_at_pin_zero(self, walk):
        assert passes.pin_set_at(walk.reload()) == D("0")
        walk.mount()
        walk.case.mounting.pin_zero_mm = D("2")
        assert passes.pin_set_at(walk.case) == D("2")

    def test_a_typed_reading_is_a_setting(self, walk):
        walk.log(SetUpAct.PIN_READING, after_mm=D("1"))
        assert passes.pin_set_at(walk.reload()) == D("1")


class TestNext:
    def test_centric_right_left_protrusive_and_centric_again_after_grinding(self, walk):
        def comes():
            return passes.usual_next(walk.reload())

        assert comes() == CENTRIC
        for movement, after in (
            (CENTRIC, RIGHT),
            (RIGHT, LEFT),
            (LEFT, PROTRUSIVE),
            (PROTRUSIVE, CENTRIC),
        ):
            walk.foil(movement, "16")
            assert comes() == after
        walk.foil(RIGHT, "16", as_wanted=False)
        assert comes() == RIGHT
        walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm=D("0.2"))
        assert comes() == CENTRIC
        walk.foil(CENTRIC, "16")
        assert comes() == RIGHT

    def test_a_pass_that_nobody_judged_is_not_made_again(self, walk):
        walk.foil(CENTRIC, "16", as_wanted=None)
        assert passes.usual_next(walk.reload()) == RIGHT

    def test_a_round_goes_on_from_the_newest_pass(self, walk):
        for movement in (*Movement, CENTRIC, RIGHT):
            walk.foil(movement, "16", as_wanted=None)
        assert passes.usual_next(walk.reload()) == LEFT

    def test_a_centric_that_was_not_as_wanted_comes_first(self, walk):
        walk.foil(CENTRIC, "16", as_wanted=False)
        assert passes.usual_next(walk.reload()) == CENTRIC

    def test_what_was_ground_since_names_each_tooth_once(self, walk):
        walk.log(SetUpAct.REDUCTION, teeth=["17"], after_mm=D("0.2"))
        assert passes.ground_since(walk.reload(), SetUpAct.PASS, movement=CENTRIC) == []
        walk.foil(CENTRIC, "16")
        walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm=D("0.2"))
        walk.log(SetUpAct.REDUCTION, teeth=["26", "16"], after_mm=D("0.1"))
        walk.foil(RIGHT, "16")
        assert passes.ground_since(walk.reload(), SetUpAct.PASS, movement=CENTRIC) == ["16", "26"]
        assert passes.ground_since(walk.case, SetUpAct.PASS) == []


class TestChanges:
    def test_gone_still_new_weaker_and_stronger(self):
        then = [
            Mark(tooth="17", strength="heavy"),
            Mark(tooth="16", strength="heavy"),
            Mark(tooth="15", strength="light"),
            Mark(tooth="14", strength="firm"),
            Mark(tooth="24"),
            Mark(tooth="25", strength="heavy"),
        ]
        now = [
            Mark(tooth="16", strength="light"),
            Mark(tooth="15", strength="firm"),
            Mark(tooth="14", strength="firm"),
            Mark(tooth="24", strength="heavy"),
            Mark(tooth="25"),
            Mark(tooth="27", strength="light"),
        ]
        assert passes.changes(now, then) == Changes(
            gone=("17",),
            still=("14", "24", "25"),
            weaker=("16",),
            stronger=("15",),
            new=("27",),
        )

    def test_two_teeth_that_meet_are_one_contact_whichever_is_tapped(self):
        both = [Mark(tooth="16", strength="heavy"), Mark(tooth="46")]
        assert passes.changes([Mark(tooth="16", strength="light")], both) == Changes(
            gone=(), still=(), weaker=("16",), stronger=(), new=()
        )
        assert passes.changes(both, [Mark(tooth="46")]).still == ("16", "46")
        assert passes.changes([], both).gone == ("16", "46")

    def test_the_pass_before_is_of_the_same_movement_and_stands(self, walk):
        first = walk.foil(RIGHT, "16")
        struck = walk.foil(RIGHT, "17")
        walk.foil(LEFT, "26")
        entry = walk.foil(RIGHT, "15")
        bench.strike(entry=struck, reason="wrong foil", by=walk.hands.technician)
        case = walk.reload()
        assert passes.before(case, entry) == first
        assert passes.before(case, first) is None


def test_a_pass_is_undone_by_striking_it_out(walk):
    with history.noting() as written:
        walk.foil(CENTRIC, "16")
    assert written[0].row["of"] == "setupentry"
