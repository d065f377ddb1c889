"""Pages of the tooth stock: looking through it, adding, changing, counting; every line read."""

from __future__ import annotations

from typing import ClassVar

import pytest
from django.urls import reverse

from labcases.domain import stock
from labcases.models import ToothSet
from tests.factories import World, world
from tests.labcases.tooth_stock import BACK, chosen_case, on_shelf
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db

TYPED = {
    **{"line": "Alder", "arch": "upper", "part": "anterior", "mould": "O-44", "shade": "B2"},
    **{"material": "resin", "lot": "A-17", "together_mm": "46,2", "shelf": "drawer 3"},
    **{"expires_on": "1-May-2028", "count": "2"},
}


@pytest.fixture
def cast() -> World:
    return world()


def listed(user, cast, **asked):
    return logged_in(user).get(reverse("stock", args=[cast.laboratory.pk]), asked)


def add(user, cast, **typed):
    return logged_in(user).post(
        reverse("stock_add", args=[cast.laboratory.pk]), {**TYPED, **typed}, follow=True
    )


class TestList:
    def test_an_empty_stock_says_what_to_do(self, cast):
        words = text_of(listed(cast.tomas, cast))

        assert "No set is in the stock yet." in words
        assert "Add a set" in words

    def test_a_set_stands_with_all_that_tells_it_apart(self, cast):
        on_shelf(cast, BACK)

        assert (
            "Alder 20 S Upper, posterior teeth cusps 20 deg B2, resin P-08 Cases with it : lot "
            "P-08 30 mm drawer 5 1" in text_of(listed(cast.tomas, cast))
        )

    def test_filters_stand_in_the_address(self, cast):
        on_shelf(cast)
        on_shelf(cast, BACK, count=0)

        answer = listed(cast.tomas, cast, part="posterior", text="alder")

        assert "20 S" in text_of(answer)
        assert "O-44" not in text_of(answer)
        assert 'value="alder"' in answer.content.decode()
        none = text_of(listed(cast.tomas, cast, part="posterior", on_shelf="on"))
        assert "No set of the stock matches. Clear the filters" in none

    def test_pages_keep_the_filters(self, cast):
        for number in range(51):
            on_shelf(cast, lot=f"A-{number}")

        answer = listed(cast.tomas, cast, shade="B2")

        assert "1 to 50 of 51" in text_of(answer)
        assert "?shade=B2&amp;page=2" in answer.content.decode()

    def test_the_page_of_the_laboratory_leads_to_it_and_that_of_the_office_does_not(self, cast):
        on_shelf(cast)
        at = reverse("organisation", args=[cast.laboratory.pk])

        assert "Tooth stock 1 kind of set. Open the tooth stock" in text_of(
            logged_in(cast.lena).get(at)
        )
        office = logged_in(cast.farah).get(reverse("organisation", args=[cast.office.pk]))
        assert "Tooth stock" not in text_of(office)


class TestAdding:
    def test_a_set_is_added_and_leaves_a_line(self, cast):
        answer = add(cast.lena, cast)

        assert "Alder O-44, B2, Resin, lot A-17 is in the stock, 2 on the shelf." in text_of(answer)
        row = ToothSet.objects.get()
        assert (row.laboratory, str(row.together_mm)) == (cast.laboratory, "46.20")
        assert "Added 0 2 not said" in text_of(answer)

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({"line": ""}, "Enter the line: whatever your laboratory calls these teeth."),
            ({"arch": ""}, "Choose the arch."),
            ({"part": ""}, "Choose anterior or posterior teeth."),
            ({"mould": ""}, "Enter the mould as the card says it."),
            ({"shade": ""}, "Enter the shade as the card says it."),
            ({"material": ""}, "Choose the material."),
            ({"count": ""}, "Count the sets on the shelf and enter how many."),
            ({"count": "two"}, "Sets on the shelf: enter a whole number, for example 3."),
            ({"count": "-1"}, "Sets on the shelf is -1. Enter 0 to 10000."),
            ({"together_mm": "460"}, "Width together is 460 mm. Enter 15 to 150 mm."),
            ({"shell_min_mm": "11"}, "Least shell is 11 mm. Enter 0 to 10 mm."),
            ({"cusp_angle_deg": "20"}, "Anterior teeth have no cusp angle. Leave it empty."),
            ({"expires_on": "03/04/2028"}, "03/04/2028 can be read two ways"),
        ],
    )
    def test_what_cannot_be_is_refused_and_the_rest_stays(self, cast, typed, sentence):
        answer = add(cast.lena, cast, **typed)

        assert answer.status_code == 422
        assert sentence in text_of(answer)
        assert 'name="shelf" value="drawer 3"' in answer.content.decode()
        assert not ToothSet.objects.exists()

    def test_the_same_kind_leads_to_the_one_that_stands(self, cast):
        row = on_shelf(cast)

        answer = add(cast.lena, cast, line="  Alder ")

        assert answer.status_code == 409
        assert "lot A-17 is in the stock already, 2 on the shelf." in text_of(answer)
        assert reverse("stock_set", args=[row.pk]) in answer.content.decode()

    @pytest.mark.parametrize(
        "text", ["<script>alert(1)</script>", "=1+1", "\u202eabc", "\U0001f9b7 line", "' OR 1=1"]
    )
    def test_odd_texts_are_kept_and_shown_as_text(self, cast, text):
        answer = add(cast.lena, cast, line=text)

        assert answer.status_code == 200
        assert ToothSet.objects.get().line == text
        assert "<script>alert" not in answer.content.decode()

    def test_a_nul_is_refused(self, cast):
        answer = add(cast.lena, cast, line="Al\x00der")

        assert answer.status_code == 422
        assert "Null characters are not allowed." in text_of(answer)


class TestOneSet:
    CHANGED: ClassVar[dict[str, str]] = {**TYPED, "together_mm": "46", "expires_on": ""}

    def save(self, user, row, **typed):
        return logged_in(user).post(
            reverse("stock_set", args=[row.pk]),
            {**self.CHANGED, "version": "1", **typed},
            follow=True,
        )

    def test_counting_is_saved_with_its_reason_and_read_below(self, cast):
        row = on_shelf(cast)

        words = text_of(self.save(cast.tomas, row, count="5", why="counted on the shelf"))

        assert "5 on the shelf, drawer 3." in words
        assert "Counted 2 5 counted on the shelf" in words

    def test_a_count_without_a_reason_is_refused(self, cast):
        row = on_shelf(cast)

        answer = self.save(cast.tomas, row, count="5")

        assert answer.status_code == 422
        assert "Give the reason why the count goes from 2 to 5." in text_of(answer)
        assert 'name="count" value="5"' in answer.content.decode()

    def test_who_saves_second_sees_both_counts(self, cast):
        row = on_shelf(cast)
        stock.take_one(row=row, case=None, by=cast.mona)

        answer = self.save(cast.tomas, row, count="5", why="counted")

        assert answer.status_code == 409
        assert "Keep yours: </span>5" in answer.content.decode()
        assert "Keep stored: </span>1" in answer.content.decode()

    def test_it_does_not_become_another_kind_that_is_there(self, cast):
        row = on_shelf(cast)
        on_shelf(cast, lot="A-18")

        answer = self.save(cast.tomas, row, lot="A-18")

        assert answer.status_code == 409
        assert "lot A-18 is in the stock already" in text_of(answer)

    def test_the_log_names_the_case_that_took_it(self, cast):
        row, case = on_shelf(cast), chosen_case(cast)
        stock.take_one(row=row, case=case, by=cast.tomas)

        answer = logged_in(cast.lena).get(reverse("stock_set", args=[row.pk]))

        assert reverse("case", args=[case.code]) in answer.content.decode()
        assert "Tomas Abelard Taken for case" in text_of(answer)

    def test_a_changed_place_is_read_with_what_it_was(self, cast):
        row = on_shelf(cast)

        assert "shelf: drawer 3 to box 1" in text_of(self.save(cast.lena, row, shelf="box 1"))


@pytest.mark.parametrize("who", ["dora", "farah", "olga"])
def test_nobody_else_finds_the_stock(cast, who):
    row, user = on_shelf(cast), getattr(cast, who)

    assert listed(user, cast).status_code == 404
    assert add(user, cast).status_code == 404
    assert logged_in(user).get(reverse("stock_set", args=[row.pk])).status_code == 404
