"""What the bench writes: kept with its history, never ground into a natural tooth."""

from decimal import Decimal

import pytest

from labcases.domain import bench, calculations
from labcases.domain import question as asking
from labcases.domain.striking import AlreadyStruck
from labcases.domain.versions import EditConflict
from labcases.enums import OpposingTooth, SetUpAct, Side, Stage
from labcases.management.walk import natural
from labcases.models import Case, SetUpEntry
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def here():
    return world()


def last_entry(case):
    return case.history.last()


def told_of(here, case, tooth):
    """The dentist's word about a tooth of the opposing denture."""
    question = asking.ask(
        case=case,
        about=f"tooth {tooth}",
        tooth=tooth,
        text="May it be adjusted?",
        waits_for=Side.OFFICE,
        clinical=True,
        by=here.tomas,
    )
    asking.answer(question=question, text="Yes.", by=here.dora)


class TestTakingOverAHeight:
    @pytest.fixture
    def case(self, here):
        return here.case_at(
            Stage.DRAFT,
            over_eruption_mm={"37": "1.6", "31": "1"},
            over_eruption_by="mounted cast",
        )

    def test_it_becomes_the_tip_height_and_the_history_names_where_it_comes_from(self, here, case):
        row = bench.take_over_height(case=case, tooth="37", by=here.tomas)

        assert (row.tooth, row.tip_height_mm) == ("37", D("1.6"))
        assert last_entry(case).reason == (
            "offered by revision 1 of the prescription, on the mounted cast, against the plane of "
            "the articulator"
        )

    def test_of_an_upper_tooth_it_is_counted_down(self, here):
        walk = here.walk(patient_code="P-101")
        walk.prescribe(
            arch="lower", over_eruption_mm={"26": "1.2"}, over_eruption_by="mounted cast"
        )
        row = bench.take_over_height(case=walk.reload(), tooth="26", by=here.tomas)

        assert row.tip_height_mm == D("-1.2")

    @pytest.mark.parametrize("tooth", ["36", "31", "16", "no tooth"])
    def test_what_the_prescription_does_not_say_is_refused(self, here, case, tooth):
        with pytest.raises(bench.NothingToTakeOver) as refused:
            bench.take_over_height(case=case, tooth=tooth, by=here.tomas)
        assert str(refused.value) == (
            "The prescription says no height of this tooth that callipers could read. Enter what "
            "they read."
        )

    def test_what_callipers_read_goes_before(self, here, case):
        bench.save_site(
            case=case, tooth="37", version=0, by=here.tomas, values={"tip_height_mm": D("1.20")}
        )
        with pytest.raises(bench.NothingToTakeOver) as refused:
            bench.take_over_height(case=case, tooth="37", by=here.tomas)
        assert str(refused.value) == (
            "Callipers have read 37 already (1.2 mm), and they go before the prescription. Change "
            "it in the table of callipers."
        )
        assert case.sites.get(tooth="37").tip_height_mm == D("1.2")


class TestLog:
    @pytest.fixture
    def case(self, here):
        return here.case_at(
            Stage.DRAFT, opposing={**natural("lower"), "37": OpposingTooth.DENTURE.value}
        )

    def test_a_line_is_stored_with_who_and_one_entry_in_history(self, here, case):
        before = case.history.count()
        entry = bench.log(
            case=case,
            by=here.tomas,
            values={"act": SetUpAct.PIN_READING, "after_mm": D("0.5"), "note": ""},
        )
        assert (entry.by, entry.after_mm) == (here.tomas, D("0.5"))
        assert case.history.count() == before + 1
        assert last_entry(case).act == "pin read"
        assert last_entry(case).changes == {"at mm": [None, "0.5"]}

    @pytest.mark.parametrize("act", [SetUpAct.REDUCTION, SetUpAct.HOLLOW_GROUND])
    @pytest.mark.parametrize("tooth", ["46", "18"])
    def test_only_a_denture_tooth_is_ground(self, here, case, act, tooth):
        before = case.history.count()
        values = {"act": act, "teeth": ["16", tooth], "after_mm": D("0.3")}
        with pytest.raises(bench.NotADentureTooth) as refused:
            bench.log(case=case, by=here.tomas, values=values)
        assert str(refused.value) == (
            f"{tooth} is no denture tooth, and nothing else is ground. Log it as a note and ask "
            "the dentist."
        )
        assert not SetUpEntry.objects.exists()
        assert case.history.count() == before

    @pytest.mark.parametrize("act", [SetUpAct.REDUCTION, SetUpAct.HOLLOW_GROUND])
    def test_a_worn_opposing_denture_waits_for_the_dentists_word(self, here, case, act):
        values = {"act": act, "teeth": ["37"], "after_mm": D("0.3")}
        with pytest.raises(bench.NotADentureTooth) as refused:
            bench.log(case=case, by=here.tomas, values=values)
        assert str(refused.value) == (
            "37 belongs to the opposing denture, and a denture that is worn is adjusted only on "
            "the dentist's word. Ask the dentist about 37 first; once the question is answered, "
            "log the line."
        )
        assert not SetUpEntry.objects.exists()

    @pytest.mark.parametrize("tooth", ["16", "13", "37"])
    def test_a_denture_tooth_of_either_arch_may_be_ground(self, here, case, tooth):
        told_of(here, case, "37")
        values = {"act": SetUpAct.REDUCTION, "teeth": [tooth], "after_mm": D("0.3")}
        assert bench.log(case=case, by=here.tomas, values=values).teeth == [tooth]

    def test_a_pass_is_no_line_like_others(self, here, case):
        with pytest.raises(ValueError, match=r"^A pass is logged with its marks"):
            bench.log(case=case, by=here.tomas, values={"act": SetUpAct.PASS, "teeth": ["46"]})
        assert not SetUpEntry.objects.exists()


class TestStrike:
    @pytest.fixture
    def entry(self, here):
        case = here.case_at(Stage.DRAFT)
        values = {"act": SetUpAct.NOTE, "note": "wrong tray"}
        return bench.log(case=case, by=here.tomas, values=values)

    def test_a_struck_line_keeps_its_words_and_says_why(self, here, entry):
        struck = bench.strike(entry=entry, reason=" other case ", by=here.mona)
        assert struck.note == "wrong tray"
        assert (struck.struck_reason, struck.struck_by) == ("other case", here.mona)
        assert last_entry(entry.case).reason == "other case"

    def test_no_line_is_struck_without_a_reason(self, here, entry):
        with pytest.raises(ValueError, match="Give the reason why the line is struck out"):
            bench.strike(entry=entry, reason="  ", by=here.tomas)
        entry.refresh_from_db()
        assert entry.struck_at is None

    def test_the_second_to_strike_is_told_and_the_first_reason_stays(self, here, entry):
        bench.strike(entry=entry, reason="other case", by=here.mona)
        with pytest.raises(AlreadyStruck):
            bench.strike(entry=entry, reason="mine", by=here.tomas)
        entry.refresh_from_db()
        assert entry.struck_reason == "other case"


class TestSettings:
    @pytest.fixture
    def walk(self, here):
        walk = here.walk()
        walk.to(Stage.SETTINGS)
        walk.settings |= {"condylar_right_deg": D("70")}
        walk.enter_settings()
        return walk

    def test_acknowledging_names_exactly_these_warnings(self, walk):
        case = walk.reload()
        record = case.articulator
        assert calculations.settings_findings(record).warnings
        bench.acknowledge_settings(case=case, version=record.version, by=walk.hands.technician)
        record = walk.reload().articulator
        assert record.acknowledged == calculations.settings_findings(record).digest
        assert record.acknowledged_by == walk.hands.technician

    def test_a_later_change_asks_again(self, walk):
        case = walk.reload()
        bench.acknowledge_settings(
            case=case, version=case.articulator.version, by=walk.hands.technician
        )
        walk.settings |= {"condylar_right_deg": D("71")}
        walk.enter_settings()
        record = walk.reload().articulator
        assert record.acknowledged != calculations.settings_findings(record).digest


class TestParts:
    def test_each_part_is_one_row_that_is_entered_once_and_then_changed(self, here):
        case = here.case_at(Stage.DRAFT)
        for version, shade in ((0, "A2"), (1, "B2")):
            bench.save_selection(
                case=Case.objects.get(pk=case.pk),
                version=version,
                by=here.tomas,
                values={"shade": shade},
            )
        entries = case.history.filter(part="tooth selection")
        assert [entry.act for entry in entries] == ["entered", "changed"]
        assert entries[1].changes == {"shade": ["A2", "B2"]}

    def test_a_save_from_an_old_version_is_refused_with_both_values(self, here):
        case = here.case_at(Stage.DRAFT)
        save = {"case": case, "tooth": "16", "by": here.tomas}
        bench.save_site(version=0, values={"space_mm": D("9")}, **save)
        bench.save_site(version=1, values={"space_mm": D("8")}, **save)
        with pytest.raises(EditConflict) as refused:
            bench.save_site(version=1, values={"space_mm": D("7")}, **save)
        (clash,) = refused.value.clashes
        assert (clash.yours, clash.stored) == (D("7"), D("8"))
        assert case.sites.get(tooth="16").space_mm == D("8")

    def test_a_site_is_entered_by_its_tooth(self, here):
        case = here.case_at(Stage.DRAFT)
        bench.save_site(
            case=case, tooth="26", version=0, by=here.tomas, values={"space_mm": D("9")}
        )
        assert case.history.last().part == "site 26"
