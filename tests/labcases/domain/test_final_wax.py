"""The final wax: an approval rests on what is finished, and does not outlive a change."""

from decimal import Decimal

import pytest
from django.utils import timezone

from labcases.domain import bench, files, final_wax, trimming, undo
from labcases.domain.versions import EditConflict
from labcases.enums import SetUpAct, Stage
from labcases.enums.wax import WaxList
from labcases.management import walk_wax
from labcases.models import FinalWax
from labcases.reference.checklists import lines_of, wax_checklist
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


def cut(walk, tooth):
    return trimming.log(
        case=walk.reload(),
        by=walk.hands.technician,
        method="alternate",
        trims=[{"tooth": tooth, "labial_mm": D("2.25")}],
    )


class TestFinalWax:
    @pytest.fixture
    def walk(self):
        walk = world().walk()
        walk.to(Stage.FINAL_WAX)
        walk.wax()
        walk.approve_wax()
        return walk

    def stored(self, walk):
        return FinalWax.objects.get(case=walk.case)

    def change(self, walk, **values):
        final_wax.save(
            case=walk.reload(),
            version=self.stored(walk).version,
            by=walk.hands.technician,
            values=values,
        )

    def test_an_approval_covers_wax_and_trimming_for_the_prescription_in_force(self, walk):
        row = self.stored(walk)
        assert row.approved_by == walk.hands.dentist
        assert row.trimming_approved
        assert row.approved_digest == walk.case.prescription.digest

    def test_a_later_change_takes_the_whole_approval_back(self, walk):
        self.change(walk, overjet_mm=D("2.75"))
        row = self.stored(walk)
        assert (row.approved_at, row.approved_by, row.approved_digest) == (None, None, "")
        assert not row.trimming_approved

    def test_a_save_that_changes_nothing_leaves_the_approval(self, walk):
        self.change(walk, overjet_mm=D("2"))
        assert self.stored(walk).approved_at is not None

    def test_values_that_a_form_wrote_into_the_row_in_hand_still_count_as_a_change(self, walk):
        case = walk.reload()
        case.final_wax.overjet_mm = D("2.75")
        final_wax.save(
            case=case,
            version=case.final_wax.version,
            by=walk.hands.technician,
            values={"overjet_mm": D("2.75")},
        )
        assert self.stored(walk).approved_at is None

    def test_a_wax_that_changed_meanwhile_is_not_approved_unseen(self, walk):
        seen = self.stored(walk).version
        self.change(walk, overjet_mm=D("2.75"))
        with pytest.raises(EditConflict):
            final_wax.approve(case=walk.reload(), version=seen, by=walk.hands.dentist)
        assert self.stored(walk).approved_at is None

    def test_it_names_the_photographs_that_the_dentist_saw(self, walk):
        assert self.stored(walk).approved_photographs == [
            row.pk for row in final_wax.photographs(walk.case)
        ]
        assert len(self.stored(walk).approved_photographs) == 4

    def test_an_answer_of_a_checklist_is_a_change_as_well(self, walk):
        row = self.stored(walk)
        final_wax.save_list(
            case=walk.reload(),
            version=row.version,
            by=walk.hands.technician,
            which=WaxList.BASE,
            values={"answers": {"palate": "no"}, "words": {"palate": "ridge on the left"}},
        )
        row = self.stored(walk)
        assert row.approved_at is None
        assert row.answers["palate"] == "no"
        assert row.answers["front_midline"] == "yes"
        assert "relief" not in row.answers

    def test_it_names_the_lines_of_the_trimming_that_stood(self, walk):
        line = walk.case.setup_entries.get(act=SetUpAct.TRIMMED)
        assert self.stored(walk).approved_trims == [line.pk]
        assert final_wax.trimmed_otherwise(walk.reload(), self.stored(walk)) == []

    def test_another_line_of_the_trimming_is_not_covered_until_it_is_undone(self, walk):
        late = cut(walk, "11")
        assert final_wax.trimmed_otherwise(walk.reload(), self.stored(walk)) == [late]
        assert self.stored(walk).approved_at is not None
        entry = walk.case.history.last()
        undo.undo(case=walk.reload(), numbers=[entry.sequence], by=walk.hands.technician)
        assert final_wax.trimmed_otherwise(walk.reload(), self.stored(walk)) == []

    def test_a_strike_that_is_undone_leaves_the_approval_as_it_was(self, walk):
        line = walk.case.setup_entries.get(act=SetUpAct.TRIMMED)
        bench.strike(entry=line, reason="another case", by=walk.hands.technician)
        assert final_wax.trimmed_otherwise(walk.reload(), self.stored(walk)) == [line]
        entry = walk.case.history.last()
        undo.undo(case=walk.reload(), numbers=[entry.sequence], by=walk.hands.technician)
        assert final_wax.trimmed_otherwise(walk.reload(), self.stored(walk)) == []

    def test_a_change_of_the_wax_that_is_undone_brings_back_no_later_trimming(self, walk):
        self.change(walk, overjet_mm=D("2.25"))
        entry = walk.case.history.last()
        late = cut(walk, "11")
        assert final_wax.trimmed_otherwise(walk.reload(), self.stored(walk)) == []
        undo.undo(case=walk.reload(), numbers=[entry.sequence], by=walk.hands.manager)
        assert self.stored(walk).approved_at is None
        assert self.stored(walk).approved_trims == []
        final_wax.approve(
            case=walk.reload(), version=self.stored(walk).version, by=walk.hands.dentist
        )
        assert late.pk in self.stored(walk).approved_trims

    def test_trimming_that_was_logged_meanwhile_is_not_approved_unseen(self, walk):
        self.change(walk, overjet_mm=D("2.25"))
        seen = trimming.lines(walk.reload())
        cut(walk, "11")
        with pytest.raises(final_wax.OtherTrimming):
            final_wax.approve(
                case=walk.reload(),
                version=self.stored(walk).version,
                by=walk.hands.dentist,
                trims=seen,
            )
        assert self.stored(walk).approved_at is None

    def test_another_photograph_leaves_it_and_one_that_is_gone_does_not(self, walk):
        row = self.stored(walk)
        assert not final_wax.approved_gone(walk.reload(), row)
        files.take_out(
            attachment=final_wax.photographs(walk.case)[0],
            reason="blurred",
            by=walk.hands.technician,
        )
        assert final_wax.approved_gone(walk.reload(), row)


class TestUnfinished:
    @pytest.fixture
    def walk(self):
        walk = world().walk()
        walk.to(Stage.FINAL_WAX)
        return walk

    def texts(self, walk):
        case = walk.reload()
        return [item.text for item in final_wax.unfinished(case, case.final_wax)]

    def test_a_wax_that_was_only_begun_says_all_that_is_open(self, walk):
        final_wax.save(
            case=walk.reload(), version=0, by=walk.hands.technician, values={"overjet_mm": D("2")}
        )
        assert self.texts(walk) == [
            "Photograph the wax and add it: from in front, from the right, from the left.",
            "Measure the overbite in the wax; it was measured before extraction.",
            "Measure the incisal display in the wax; it was measured before extraction.",
            "Measure the midline offset in the wax; it was measured before extraction.",
            "Say whether a change of bone is planned.",
            "Make a duplicate of the trimmed cast and tick it.",
            "Say how the flange is made.",
            "Say what is done about undercuts.",
            "Say along which path the denture goes in.",
            "Decide whether a template is made.",
            "Answer every line of the final-wax checklist for the teeth; 15 of 15 are open.",
            "Answer every line of the final-wax checklist for the base; 17 of 17 are open.",
        ]

    def test_the_dentist_is_not_asked_before_it_is_finished(self, walk):
        walk.wax()
        FinalWax.objects.update(undercut_kind="")
        case = walk.reload()
        with pytest.raises(final_wax.NotReady, match="Say what is done about undercuts") as refused:
            final_wax.approve(case=case, version=case.final_wax.version, by=walk.hands.dentist)
        assert [item.field for item in refused.value.items] == ["undercut_kind"]
        assert FinalWax.objects.get().approved_at is None

    def test_a_finished_wax_has_nothing_open(self, walk):
        walk.wax()
        assert self.texts(walk) == []

    @pytest.mark.parametrize(
        ("values", "text"),
        [
            (
                {"flange_kind": "partial flange"},
                "The prescription wants: full labial flange. The wax has: partial labial flange. "
                "Correct the wax, or ask the dentist for a revision.",
            ),
            ({"flange_left_mm": None}, "Measure the flange at the left canine."),
            (
                {"bone_change_planned": True, "template_wanted": False},
                "No template is made, though one is prescribed or bone is to change. Say in words "
                "who decided so.",
            ),
            (
                {"incisal_display_mm": D("3.1")},
                "The incisal display in wax differs by +0.6\N{NO-BREAK SPACE}mm from the record. "
                "Correct the wax, or say in words how that is as prescribed.",
            ),
        ],
    )
    def test_what_is_decided_is_held_against_the_prescription(self, walk, values, text):
        walk.wax()
        FinalWax.objects.update(**values)
        assert self.texts(walk) == [text]

    @pytest.mark.parametrize(
        "values",
        [
            {"incisal_display_mm": D("3")},
            {
                "incisal_display_mm": D("3.5"),
                "as_prescribed": {"incisal_display_mm": "1 mm longer, R01"},
            },
            {
                "bone_change_planned": True,
                "template_wanted": False,
                "template_decision": "the dentist has one",
            },
        ],
    )
    def test_what_is_explained_in_words_is_not_open(self, walk, values):
        walk.wax()
        FinalWax.objects.update(**values)
        assert self.texts(walk) == []

    def test_a_socketed_denture_has_no_flange_to_measure(self, walk):
        walk.wax()
        walk.case.prescriptions.update(flange="socketed")
        FinalWax.objects.update(flange_kind="socketed", flange_right_mm=None, flange_left_mm=None)
        assert self.texts(walk) == []


class TestUnproven:
    @pytest.fixture
    def walk(self):
        walk = world().walk()
        walk.to(Stage.FINAL_WAX)
        walk.wax()
        return walk

    def said(self, walk, key):
        case = walk.reload()
        asked = {
            line.key: line for which in WaxList for line in lines_of(wax_checklist(which, "upper"))
        }
        return final_wax.unproven(case, asked[key], case.final_wax)

    def test_everything_stands_on_the_record(self, walk):
        for which in WaxList:
            for line in final_wax.lines(walk.case, which):
                assert self.said(walk, line.key) == ""

    @pytest.mark.parametrize(
        ("key", "values", "text"),
        [
            ("wax_overjet", {"overjet_mm": None}, "the overjet in wax is not measured"),
            (
                "front_midline",
                {"midline_offset_mm": D("-1")},
                "the midline offset differs by \N{MINUS SIGN}1\N{NO-BREAK SPACE}mm",
            ),
            ("relief", {"undercut_kind": ""}, "it is not decided on the page of the final wax"),
        ],
    )
    def test_yes_says_nothing_without_what_it_rests_on(self, walk, key, values, text):
        FinalWax.objects.update(**values)
        assert self.said(walk, key) == text

    def test_trimming_stands_in_the_log_tooth_by_tooth(self, walk):
        walk.case.setup_entries.filter(act=SetUpAct.TRIMMED).update(
            struck_at=timezone.now(), struck_by=walk.hands.technician
        )
        assert self.said(walk, "trim_depth") == (
            "the set-up log does not say how 13, 12, 11, 21, 22, 23 were cut from the cast"
        )

    def test_both_casts_are_in_a_photograph(self, walk):
        walk.case.attachments.filter(view="cast").update(
            removed_at=timezone.now(), removed_by=walk.hands.technician, removed_reason="x"
        )
        assert self.said(walk, "casts_shown") == (
            "no photograph of the casts with the wax is in view"
        )


class TestCautions:
    def test_a_thin_flange_and_what_the_trimming_goes_past_are_told(self):
        here = world()
        walk = here.walk()
        walk.to(Stage.FINAL_WAX)
        walk.wax()
        assert final_wax.cautions(walk.case, walk.reload().final_wax) == []
        here.laboratory.base_min_mm = D("2.2")
        here.laboratory.save()
        FinalWax.objects.update(bone_change_planned=True, template_wanted=False)
        case = walk.reload()
        found = {one.code: one.text for one in final_wax.cautions(case, case.final_wax)}
        assert set(found) == {"bone-without-template", "thin-flange"}
        assert found["thin-flange"] == (
            "The flange is 2\N{NO-BREAK SPACE}mm thick at the midline, and the least base of Tarn "
            "Lane Laboratory is 2.2\N{NO-BREAK SPACE}mm. The dentist decides."
        )


def test_the_drawings_of_a_walk_are_added_once():
    walk = world().walk()
    case = walk.to(Stage.DRAFT)
    walk_wax.photograph(case, walk.hands.technician)
    walk_wax.photograph(case, walk.hands.technician)
    assert [row.view for row in final_wax.photographs(case)] == [
        *("intraoral front", "intraoral right", "intraoral left", "cast"),
    ]
