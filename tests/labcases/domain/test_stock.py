"""The tooth stock: who keeps it, how a count changes, and the line that each change leaves."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import stock
from labcases.domain.stock import Asked, OutOfStock, SameSet
from labcases.domain.versions import EditConflict
from labcases.enums import OrganisationKind, Role
from labcases.models import AppendOnly, StockLine, ToothSet
from labcases.models.stock import IDENTITY
from tests.factories import OrganisationFactory, World, member, world
from tests.labcases.models.limits import assert_held, stored
from tests.labcases.tooth_stock import BACK, FRONT, chosen_case, on_shelf

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


def log(row: ToothSet) -> list[tuple[str, int, int, str]]:
    return list(row.lines.values_list("act", "before", "after", "why"))


class TestWho:
    def test_everybody_of_the_laboratory_keeps_its_stock_and_nobody_else(self, cast):
        who = (cast.tomas, cast.lena, cast.mona, cast.dora, cast.farah, cast.olga)

        assert [stock.may_keep(one, cast.laboratory) for one in who] == [True] * 3 + [False] * 3

    def test_a_front_desk_keeps_no_stock_in_an_office(self, cast):
        assert not stock.may_keep(cast.farah, cast.office)

    def test_in_a_house_that_is_both_the_dentist_keeps_none(self):
        both = OrganisationFactory(kind=OrganisationKind.BOTH)
        dentist, desk = member("Dirk Vane", both, Role.DENTIST), member("Fay", both, "front desk")

        assert (stock.may_keep(dentist, both), stock.may_keep(desk, both)) == (False, True)


class TestChanging:
    def test_a_new_kind_leaves_a_line(self, cast):
        row = on_shelf(cast)

        assert log(row) == [("added", 0, 2, "")]
        assert row.lines.get().by == cast.mona
        assert str(row) == "Alder O-44, B2, Resin, lot A-17"

    def test_texts_are_kept_in_one_form(self, cast):
        row = on_shelf(cast, line="  Ha\u0308rt   line ", mould="O-44\u00a0")

        assert (row.line, row.mould) == ("H\u00e4rt line", "O-44")

    def test_the_same_kind_a_second_time_is_refused_in_words(self, cast):
        on_shelf(cast)

        with pytest.raises(SameSet) as told:
            on_shelf(cast, shelf="elsewhere", count=9)

        assert str(told.value) == (
            "Alder O-44, B2, Resin, lot A-17 is in the stock already, 2 on the shelf. Count that "
            "one, or enter what differs: line, mould, shade, material or lot."
        )
        assert ToothSet.objects.get().count == 2

    def test_another_lot_is_another_kind_and_another_laboratory_another_stock(self, cast):
        on_shelf(cast)
        on_shelf(cast, lot="A-18")
        stock.add(laboratory=cast.other_laboratory, by=cast.mona, values=FRONT)

        assert cast.laboratory.tooth_sets.count() == 2

    def test_counting_says_before_after_and_why(self, cast):
        row = on_shelf(cast)

        changed = stock.change(
            row=row, version=1, by=cast.lena, values={"count": 5}, why="came with an order"
        )

        assert (changed.count, changed.version) == (5, 2)
        assert log(row)[-1] == ("counted", 2, 5, "came with an order")

    def test_a_count_changes_for_a_reason_only(self, cast):
        row = on_shelf(cast)

        with pytest.raises(ValueError, match="reason why the count goes from 2 to 5") as told:
            stock.change(row=row, version=1, by=cast.lena, values={"count": 5}, why=" ")

        assert str(told.value) == "Give the reason why the count goes from 2 to 5."
        assert len(log(row)) == 1

    def test_another_place_needs_no_reason_and_says_what_it_was(self, cast):
        row = on_shelf(cast)

        stock.change(row=row, version=1, by=cast.lena, values={"shelf": "box 1"}, why="")

        line = row.lines.last()
        assert (line.act, line.before, line.after) == ("changed", 2, 2)
        assert line.changes == {"shelf": ["drawer 3", "box 1"]}

    def test_a_save_that_changes_nothing_writes_nothing(self, cast):
        row = on_shelf(cast)

        stock.change(row=row, version=1, by=cast.lena, values={"shelf": "drawer 3"}, why="")

        assert len(log(row)) == 1

    def test_the_second_of_two_editors_is_told(self, cast):
        row = on_shelf(cast)
        stock.take_one(row=row, case=None, by=cast.tomas)

        with pytest.raises(EditConflict, match="Tomas Abelard saved this part"):
            stock.change(row=row, version=1, by=cast.lena, values={"count": 2}, why="counted")

        assert ToothSet.objects.get().count == 1

    def test_a_kind_cannot_be_changed_into_another_that_is_there(self, cast):
        row = on_shelf(cast)
        on_shelf(cast, lot="A-18", count=7)

        with pytest.raises(SameSet, match="lot A-18 is in the stock already, 7 on the shelf"):
            stock.change(row=row, version=1, by=cast.lena, values={"lot": "A-18"}, why="")


class TestTaking:
    def test_taking_and_putting_back_count_down_and_up(self, cast):
        row, case = on_shelf(cast), chosen_case(cast)

        stock.take_one(row=row, case=case, by=cast.tomas, why="case")
        stock.put_one(row=row, case=case, by=cast.tomas, why="revision")

        assert log(row)[1:] == [("taken", 2, 1, "case"), ("put back", 1, 2, "revision")]
        assert {line.case for line in row.lines.all()[1:]} == {case}

    def test_who_comes_after_the_last_one_is_told_who_took_it(self, cast):
        row, case = on_shelf(cast, count=1), chosen_case(cast)
        stock.take_one(row=row, case=case, by=cast.tomas)

        with pytest.raises(OutOfStock) as told:
            stock.take_one(row=row, case=None, by=cast.mona)

        assert str(told.value) == (
            "Out of stock: upper anterior teeth set Alder O-44, B2, Resin, lot A-17. Tomas Abelard "
            f"took the last one for case {case.code}. Take another set, or order one."
        )
        assert ToothSet.objects.get().count == 0

    def test_a_set_that_was_never_there_is_said_to_be_none(self, cast):
        row = on_shelf(cast, count=0)

        with pytest.raises(OutOfStock, match=r"A-17\. None is on the shelf\. Take another set"):
            stock.take_one(row=row, case=None, by=cast.mona)

    def test_what_did_not_come_from_the_shelf_lies_down_beside_its_like(self, cast):
        row = on_shelf(cast)
        identity = {name: FRONT[name] for name in IDENTITY}

        stock.shelve(laboratory=cast.laboratory, identity=identity, case=None, by=cast.tomas)
        other = stock.shelve(
            laboratory=cast.laboratory, identity={**identity, "lot": ""}, case=None, by=cast.tomas
        )

        row.refresh_from_db()
        assert (row.count, other.count, other.lot) == (3, 1, "")


class TestFinding:
    @pytest.fixture(autouse=True)
    def _sets(self, cast):
        on_shelf(cast)
        on_shelf(cast, BACK)
        on_shelf(cast, line="H\u00e4rt", mould="S-40", shade="A3", lot="H-1", count=0)
        stock.add(laboratory=cast.other_laboratory, by=cast.mona, values={**FRONT, "lot": "X"})

    @pytest.mark.parametrize(
        ("asked", "lots"),
        [
            (Asked(), {"A-17", "P-08", "H-1"}),
            (Asked(text="alder o-44"), {"A-17"}),
            (Asked(text="drawer 5"), {"P-08"}),
            (Asked(text="ha\u0308rt"), {"H-1"}),
            (Asked(shade="b2"), {"A-17", "P-08"}),
            (Asked(part="posterior"), {"P-08"}),
            (Asked(arch="lower"), set()),
            (Asked(on_shelf=True), {"A-17", "P-08"}),
            (Asked(material="porcelain"), set()),
        ],
    )
    def test_filters_find_what_they_say(self, cast, asked, lots):
        assert {row.lot for row in stock.search(cast.laboratory, asked)} == lots


class TestKept:
    def test_a_line_is_never_changed_or_erased(self, cast):
        row = on_shelf(cast)
        line = row.lines.get()

        for act in (
            lambda: StockLine.objects.update(why="x"),
            lambda: StockLine.objects.all().delete(),
            line.save,
            line.delete,
        ):
            with pytest.raises(AppendOnly, match="Count the set anew instead"):
                act()

    @pytest.mark.parametrize(
        ("field", "low", "high"),
        [
            ("cusp_angle_deg", "0", "60"),
            ("together_mm", "15", "150"),
            ("shell_min_mm", "0", "10"),
        ],
    )
    def test_numbers_out_of_range_are_not_stored(self, cast, field, low, high):
        assert_held(on_shelf(cast), field, low, high)

    def test_a_count_is_never_below_none(self, cast):
        assert not stored(on_shelf(cast), "count", -1)

    def test_widths_are_kept_to_a_hundredth(self, cast):
        row = on_shelf(cast, together_mm=Decimal("46.25"))
        row.refresh_from_db()

        assert str(row.together_mm) == "46.25"
