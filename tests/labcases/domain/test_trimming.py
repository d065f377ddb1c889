"""The trimming of the cast: what is stored, which line counts, and each flag at its boundary."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench, final_wax, history, taking_back, trimming, undo
from labcases.domain.trimming import CannotTrim
from labcases.enums import Arch, SetUpAct, Stage, Thing, TrimMethod
from labcases.management.sample import WAX
from labcases.models import SetUpEntry, ToothTrim
from tests.factories import world

D = Decimal


def codes(labial="0", *, probed=None, method="one by one", palatal=None, apical=False):
    row = ToothTrim(
        tooth="11",
        labial_mm=D(labial),
        palatal_mm=None if palatal is None else D(palatal),
        apical_third=apical,
    )
    return [flag.code for flag in trimming.flags_of(row, method=method, probed=probed)]


@pytest.mark.parametrize(
    ("told", "flagged"),
    [
        # Labially at most the probed depth and 1 mm; at the figure itself nothing is said.
        ({"labial": "4", "probed": "3"}, []),
        ({"labial": "4.01", "probed": "3"}, ["beyond-pocket"]),
        ({"labial": "1", "probed": "0"}, []),
        ({"labial": "1.01", "probed": "0"}, ["beyond-pocket"]),
        ({"labial": "3.5", "probed": "2.5"}, []),
        ({"labial": "9", "probed": None}, []),
        # A socket: 5.0 mm labially, 2.0 mm palatally. Not of other ways.
        ({"labial": "5", "method": "socketed"}, []),
        ({"labial": "5.01", "method": "socketed"}, ["socket-labial"]),
        ({"labial": "5.01", "method": "staged"}, []),
        ({"palatal": "2", "method": "socketed"}, []),
        ({"palatal": "2.01", "method": "socketed"}, ["socket-palatal"]),
        ({"palatal": "2.01", "method": "thirds"}, []),
        # Any trim in the apical third.
        ({"apical": True}, ["apical-third"]),
        (
            {"labial": "6", "palatal": "3", "probed": "3", "method": "socketed", "apical": True},
            ["beyond-pocket", "socket-labial", "socket-palatal", "apical-third"],
        ),
    ],
)
def test_a_flag_is_said_above_its_figure_and_not_at_it(told, flagged):
    assert codes(**told) == flagged


def test_a_flag_says_what_was_cut_against_what_and_from_where():
    row = ToothTrim(tooth="11", labial_mm=D("4.5"))
    (flag,) = trimming.flags_of(row, method="staged", probed="3")

    assert flag.text == (
        "4.5 mm off labially, pocket probed at 3 mm: more than 1 mm beyond the bottom of the pocket"
    )
    assert flag.source.startswith("Standard SG, Preparation of casts for immediate dentures")


def test_a_socket_in_the_lower_arch_cannot_be_chosen():
    assert TrimMethod.SOCKETED in trimming.methods_for(Arch.UPPER)
    assert TrimMethod.SOCKETED not in trimming.methods_for(Arch.LOWER)


@pytest.mark.django_db
class TestLog:
    @pytest.fixture
    def here(self):
        return world()

    @pytest.fixture
    def walk(self, here):
        walk = here.walk()
        walk.prescribe(probing_mm={"11": "3"})
        return walk

    def cut(self, walk, *teeth, method="one by one", **more):
        return trimming.log(
            case=walk.reload(),
            by=walk.hands.technician,
            method=method,
            trims=[{"tooth": tooth, "labial_mm": D("1.5"), **more} for tooth in teeth],
        )

    def test_a_line_keeps_the_way_the_order_and_the_depths(self, walk):
        trimming.log(
            case=walk.reload(),
            by=walk.hands.technician,
            method="alternate",
            trims=[
                {"tooth": "12", "labial_mm": D("2"), "crest_mm": D("1"), "palatal_mm": D("0.5")},
                {"tooth": "11", "labial_mm": D("4.25")},
            ],
        )
        told = trimming.of(walk.case)
        assert [(row.place, row.tooth, row.how) for row in told.teeth] == [
            (1, "12", "Every second tooth"),
            (2, "11", "Every second tooth"),
        ]
        assert (told.teeth[0].crest_mm, told.teeth[0].palatal_mm) == (D("1"), D("0.5"))
        assert [flag.code for flag in told.teeth[1].flags] == ["beyond-pocket"]
        assert told.teeth[0].open == "not probed, so not held against the pocket"
        assert told.teeth[1].open == ""
        assert told.not_yet == ("13", "21", "22", "23")
        assert told.flagged

    def test_the_last_line_of_a_tooth_counts_and_a_struck_one_gives_way(self, walk):
        self.cut(walk, "11", "21")
        again = self.cut(walk, "11", method="staged")
        assert [(r.tooth, r.method.value) for r in trimming.of(walk.case).teeth] == [
            ("21", "one by one"),
            ("11", "staged"),
        ]
        bench.strike(entry=again, reason="wrong cast", by=walk.hands.technician)
        assert [(r.tooth, r.method.value) for r in trimming.of(walk.case).teeth] == [
            ("11", "one by one"),
            ("21", "one by one"),
        ]

    def test_history_says_it_tooth_by_tooth_and_an_undo_strikes_the_line_out(self, walk):
        with history.noting() as written:
            entry = self.cut(walk, "13", crest_mm=D("1"), apical_third=True)
        (said,) = written
        assert (said.part, said.act) == ("set-up log", "stone teeth cut and cast trimmed")
        assert said.changes == {
            "method": [None, "One tooth at a time"],
            "13": [None, "labially 1.5 mm, crest 1 mm, into the apical third"],
        }
        undo.undo(case=walk.case, numbers=[said.sequence], by=walk.hands.technician)
        entry.refresh_from_db()
        assert entry.struck_at is not None
        assert trimming.of(walk.case).teeth == ()

    @pytest.mark.parametrize(
        ("teeth", "more", "sentence"),
        [
            ((), {}, "No tooth is named. Enter the teeth in the order in which they were cut."),
            (("11", "11"), {}, "A tooth is named twice. Name each once, in the order of removal."),
            (
                ("16",),
                {},
                "16 stands on no cast of this denture until surgery. Stone teeth of this cast: "
                "13 12 11 21 22 23.",
            ),
            (("11",), {"method": "other"}, "Say in words how the cast was trimmed."),
        ],
    )
    def test_a_line_that_cannot_be_is_refused_in_words(self, walk, teeth, more, sentence):
        with pytest.raises(CannotTrim) as refused:
            self.cut(walk, *teeth, **more)
        assert str(refused.value) == sentence
        assert not SetUpEntry.objects.exists()

    def test_sockets_in_a_lower_cast_are_refused_with_the_source(self, here):
        walk = here.walk()
        walk.prescribe(arch=Arch.LOWER)
        with pytest.raises(CannotTrim) as refused:
            self.cut(walk, "41", method="socketed")
        assert str(refused.value) == (
            "Into the sockets, open face is for upper teeth only, and this denture is a lower one. "
            "Choose another way. Source: course text on immediate dentures, cast preparation "
            "(quoted)."
        )

    @pytest.mark.parametrize(
        ("method", "planned", "in_wax", "prescribed", "flagged"),
        [
            ("surgical", None, None, None, True),
            ("surgical", None, None, True, False),
            ("surgical", False, True, None, False),
            ("one by one", True, False, True, True),
            ("one by one", True, True, False, False),
            ("one by one", False, False, False, False),
        ],
    )
    def test_bone_that_is_to_be_cut_asks_for_a_template(
        self, walk, method, planned, in_wax, prescribed, flagged
    ):
        walk.prescribe(template_wanted=prescribed)
        if planned is not None:
            final_wax.save(
                case=walk.reload(),
                version=0,
                by=walk.hands.technician,
                values={**WAX, "bone_change_planned": planned, "template_wanted": in_wax},
            )
        self.cut(walk, "11", method=method)
        found = [flag.code for flag in trimming.of(walk.reload()).flags]
        assert found == (["bone-without-template"] if flagged else [])

    def test_lines_that_are_new_or_struck_out_since_others_were_approved_are_told(self, walk):
        early = self.cut(walk, "11")
        assert trimming.changed_since(walk.reload(), [early.pk]) == []
        late = self.cut(walk, "21")
        assert trimming.changed_since(walk.reload(), [early.pk]) == [late]
        bench.strike(entry=early, reason="wrong cast", by=walk.hands.technician)
        assert trimming.changed_since(walk.reload(), [early.pk]) == [early, late]
        bench.strike(entry=late, reason="wrong cast", by=walk.hands.technician)
        assert trimming.changed_since(walk.reload(), [early.pk]) == [early]

    def test_a_new_cast_takes_back_what_was_cut_from_the_old_one(self, here):
        walk = here.walk()
        case = walk.to(Stage.DRAFT)
        entry = self.cut(walk, "11")
        assert taking_back.there_is(case, [Thing.CASTS]) == [Thing.CASTS]
        with history.turn(case):
            taking_back.take_back(
                case=case, things=[Thing.CASTS], by=here.tomas, why="the cast broke"
            )
        entry.refresh_from_db()
        assert (entry.act, entry.struck_reason) == (SetUpAct.TRIMMED, "the cast broke")
