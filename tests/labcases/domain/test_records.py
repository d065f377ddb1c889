"""Check records: kept, struck out, and adopted by a person with how sure they are."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench, calculations, records
from labcases.domain.versions import EditConflict
from labcases.enums import CheckRecordKind, SettingsOrigin
from labcases.management.sample import GAP_RECORD, POINT_RECORDS, SETTINGS
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
ANGLES = ("condylar_right_deg", "condylar_left_deg", "bennett_right_deg", "bennett_left_deg")


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    walk = here.walk()
    walk.prescribe()
    return walk.reload()


def with_settings(case, here, **values):
    return bench.save_articulator(
        case=case, version=0, by=here.tomas, values={**SETTINGS, **values}
    )


def read_in(case, here, *kinds):
    """The sample's points: closed, then the records of these kinds, or all of them."""
    for values in POINT_RECORDS:
        if values["kind"] == CheckRecordKind.CLOSED or not kinds or values["kind"] in kinds:
            records.add(case=case, by=here.tomas, values=values)


def adopt(case, here, fields=ANGLES, *, version=1, digest=""):
    case = type(case).objects.get(pk=case.pk)
    return records.adopt(
        case=case,
        version=version,
        method="points",
        digest=digest or calculations.record_proposals(case)["points"].digest,
        fields=fields,
        by=here.tomas,
    )


class TestAdd:
    def test_a_reading_is_kept_with_one_entry_in_the_history(self, here, case):
        before = case.history.count()

        row = records.add(case=case, by=here.tomas, values=GAP_RECORD)

        assert (row.by, row.right_gap_mm, row.left_tooth) == (here.tomas, D("1.6"), "26")
        entry = case.history.last()
        assert case.history.count() == before + 1
        assert (entry.part, entry.act) == ("check records", "entered")
        assert entry.changes["record"][1] == (
            "Posterior gap in a protrusive record: advance 5.5 mm, gap 1.6 mm at 16 and 1.8 mm "
            "at 26"
        )

    def test_moved_points_belong_to_the_points_that_were_read_last(self, here, case):
        read_in(case, here)
        again = records.add(case=case, by=here.tomas, values=POINT_RECORDS[0])
        later = records.add(case=case, by=here.tomas, values=POINT_RECORDS[1])

        assert later.closed == again
        assert case.check_records.filter(closed=again).count() == 1

    def test_moved_points_need_points_that_they_moved_from(self, here, case):
        with pytest.raises(ValueError, match="with the casts closed first"):
            records.add(case=case, by=here.tomas, values=POINT_RECORDS[1])

        assert not case.check_records.exists()

    def test_a_record_that_is_struck_out_counts_no_longer(self, here, case):
        read_in(case, here)
        told = calculations.record_proposals(case)["points"]

        records.strike(
            row=case.check_records.get(kind=CheckRecordKind.RIGHT), reason="bent", by=here.mona
        )

        after = calculations.record_proposals(case)["points"]
        assert [value.field for value in told.values] == [
            *("condylar_right_deg", "condylar_left_deg", "bennett_right_deg", "bennett_left_deg")
        ]
        assert [value.field for value in after.values] == [
            *("condylar_right_deg", "condylar_left_deg", "bennett_right_deg")
        ]
        assert case.history.last().changes["line"][0].startswith("Points in a right lateral record")


class TestAdopt:
    def test_the_ticked_values_are_taken_with_how_sure_they_are(self, here, case):
        with_settings(case, here, origin=SettingsOrigin.AVERAGE)
        read_in(case, here)

        row = adopt(case, here, ("condylar_right_deg", "bennett_left_deg"))

        assert (row.condylar_right_deg, row.condylar_right_sd_deg) == (D("33.9"), D("2.4"))
        assert (row.bennett_left_deg, row.bennett_left_sd_deg) == (D("15.0"), D("1.9"))
        assert (row.condylar_left_deg, row.condylar_left_sd_deg) == (D("30.0"), None)
        assert row.origin == SettingsOrigin.RECORDS

    def test_history_keeps_what_stood_there_and_that_it_was_prescribed(self, here, case):
        with_settings(case, here, origin=SettingsOrigin.PRESCRIBED)
        read_in(case, here)

        adopt(case, here, ("condylar_left_deg",))

        entry = case.history.last()
        assert (entry.act, entry.reason) == (
            *("adopted", "in place of settings that the dentist prescribed"),
        )
        assert entry.changes["condylar left deg"] == ["30.0", "37.1"]
        assert entry.changes["origin"] == ["prescribed", "check records"]

    def test_average_values_are_replaced_without_that_remark(self, here, case):
        with_settings(case, here, origin=SettingsOrigin.AVERAGE)
        read_in(case, here)

        adopt(case, here)

        assert case.history.last().reason == ""

    def test_a_proposal_that_changed_meanwhile_is_not_adopted(self, here, case):
        with_settings(case, here)
        read_in(case, here)
        seen = calculations.record_proposals(case)["points"].digest
        records.strike(row=case.check_records.last(), reason="bent", by=here.mona)

        with pytest.raises(records.NotAdopted, match="Read the proposal again"):
            adopt(case, here, digest=seen)

        case.articulator.refresh_from_db()
        assert case.articulator.condylar_right_deg == D("30")

    def test_settings_that_somebody_changed_meanwhile_are_not_overwritten(self, here, case):
        with_settings(case, here)
        read_in(case, here)
        bench.save_articulator(
            case=type(case).objects.get(pk=case.pk),
            version=1,
            by=here.mona,
            values={"condylar_right_deg": D("40")},
        )

        with pytest.raises(EditConflict):
            adopt(case, here, version=1)

        case.articulator.refresh_from_db()
        assert case.articulator.condylar_right_deg == D("40")

    def test_nothing_is_adopted_before_there_is_a_record(self, here, case):
        read_in(case, here)

        with pytest.raises(records.NotAdopted, match="no articulator record yet"):
            adopt(case, here)

    @pytest.mark.parametrize("fields", [(), ("overjet_mm",), ("bennett_right_deg",)])
    def test_only_what_records_say_can_be_adopted(self, here, case, fields):
        with_settings(case, here)
        read_in(case, here, CheckRecordKind.PROTRUSIVE)

        with pytest.raises(records.NotAdopted, match="Tick the values"):
            adopt(case, here, fields)

        case.articulator.refresh_from_db()
        assert (case.articulator.version, case.articulator.origin) == (1, "prescribed")

    def test_a_side_shift_that_two_records_tell_is_taken_with_the_angle(self, here, case):
        with_settings(case, here, side_shift_left_mm=D("1"))
        closed = POINT_RECORDS[0]["points"]
        records.add(case=case, by=here.tomas, values=POINT_RECORDS[0])
        for forward, sideways in ((4.0, -0.9), (8.0, -1.3)):
            points = {
                name: [x + forward, y + sideways, z - forward / 2]
                for name, (x, y, z) in closed.items()
            }
            values = {"kind": CheckRecordKind.RIGHT, "points": points}
            records.add(case=case, by=here.tomas, values=values)

        row = adopt(case, here, ("bennett_left_deg", "side_shift_left_mm"))

        assert (row.side_shift_left_mm, row.bennett_left_deg) == (D("0.50"), D("5.7"))


class TestDeviation:
    @pytest.fixture
    def adopted(self, here, case):
        with_settings(case, here)
        read_in(case, here)
        adopt(case, here)
        return type(case).objects.get(pk=case.pk)

    def deviations(self, adopted, here, **values):
        row = bench.save_articulator(case=adopted, version=2, by=here.mona, values=values)
        return [
            *(row.condylar_right_sd_deg, row.condylar_left_sd_deg),
            *(row.bennett_right_sd_deg, row.bennett_left_sd_deg),
        ]

    def test_a_value_that_is_changed_by_hand_loses_its_own_only(self, adopted, here):
        assert self.deviations(adopted, here, condylar_right_deg=D("35")) == [
            *(None, D("2.3"), D("1.8"), D("1.9"))
        ]

    def test_saving_the_same_values_keeps_all(self, adopted, here):
        assert self.deviations(adopted, here, condylar_right_deg=D("33.9"), overjet_mm=D("3")) == [
            D("2.4"),
            D("2.3"),
            D("1.8"),
            D("1.9"),
        ]

    @pytest.mark.parametrize(
        "other",
        [{"origin": "average"}, {"plane_tilt_deg": D("5")}, {"reference_plane": "occlusal plane"}],
    )
    def test_another_origin_or_plane_takes_all_away(self, adopted, here, other):
        assert self.deviations(adopted, here, **other) == [None, None, None, None]

    def test_that_it_went_stands_in_the_history(self, adopted, here):
        self.deviations(adopted, here, bennett_left_deg=D("10"))

        assert adopted.history.last().changes == {
            "bennett left deg": ["15.0", "10"],
            "bennett left deviation deg": ["1.9", None],
        }
