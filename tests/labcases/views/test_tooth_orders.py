"""Teeth in hand on the page of the teeth: from stock, ordered, arrived, replaced, put back."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import teeth_needed, tooth_orders
from labcases.models import Case, TeethSupply
from tests.factories import World, world
from tests.labcases.tooth_stock import BACK, chosen_case, fresh, on_shelf
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db

HERE = {"mould": "O-44", "shade": "B2", "material": "resin", "lot": "L-1", "counted": "6"}
ORDER = {
    **{"mould": "O-44", "shade": "B2", "material": "resin", "supplier": "Brook Supplies"},
    **{"ordered_on": "12-Mar-2027", "lead_days": "3"},
}


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    return chosen_case(cast)


def page(user, case, **asked):
    return logged_in(user).get(reverse("teeth", args=[case.code]), asked)


def enter(user, case, what, part="upper-anterior", **typed):
    return logged_in(user).post(
        reverse("teeth_enter", args=[case.code]),
        {"what": what, "part": part, **typed},
        follow=True,
    )


def change(user, row, what, **typed):
    return logged_in(user).post(
        reverse("teeth_change", args=[row.case.code, row.pk, what]),
        {"version": str(row.version), **typed},
        follow=True,
    )


def held() -> TeethSupply:
    return TeethSupply.objects.latest("pk")


class TestWhatThePageSays:
    def test_each_set_with_its_positions_and_that_it_is_not_here(self, cast, case):
        words = text_of(page(cast.tomas, case))

        assert "Upper anterior teeth (6) 13 (Universal 6), 12 (Universal 7)" in words
        assert "Upper posterior teeth (8)" in words
        assert words.count("Not in hand") == 2

    def test_the_shelf_offers_what_was_approved(self, cast, case):
        on_shelf(cast, expires_on=date(2028, 5, 1))

        words = text_of(page(cast.tomas, case))

        assert "Alder O-44 B2, resin A-17 until 01-May-2028 drawer 3 2 Take" in words

    def test_an_empty_shelf_is_said_with_what_else_would_fit(self, cast, case):
        on_shelf(cast, count=0)
        on_shelf(cast, mould="S-40", lot="S-1")

        words = text_of(page(cast.tomas, case))

        assert "Out of stock: upper anterior teeth, mould O-44, shade B2, resin." in words
        assert "the technician decides, and the dentist is asked" in words
        assert "mould S-40 in place of O-44" in words

    def test_what_is_in_hand_is_not_called_out_of_stock(self, cast, case):
        on_shelf(cast, count=0)
        on_shelf(cast, mould="S-40", lot="S-1")
        enter(cast.tomas, case, "here", **HERE)

        words = text_of(page(cast.tomas, case))

        assert "Out of stock: upper anterior teeth" not in words
        assert "Take others from stock" in words

    def test_every_form_of_the_page_carries_its_token(self, cast, case):
        enter(cast.tomas, case, "here", **HERE)
        enter(cast.tomas, case, "order", **ORDER)

        markup = page(cast.tomas, case).content.decode()

        # A browser's post is refused without one; the test client asks for none.
        assert "Put back on the shelf" in markup
        assert markup.count('method="post"') == markup.count('name="csrfmiddlewaretoken"')

    def test_nothing_that_fits_is_said_too(self, cast, case):
        on_shelf(cast, count=0)

        assert "Nothing else of this shade and form fits." in text_of(page(cast.tomas, case))

    def test_another_shade_is_looked_for_in_the_address(self, cast, case):
        on_shelf(cast, shade="B3", lot="B-3")

        assert "As looked for" not in text_of(page(cast.tomas, case))
        found = page(cast.tomas, case, shade="b3")
        assert "As looked for Line and mould" in text_of(found)
        assert 'name="shade" id="id_look_shade" value="b3"' in found.content.decode()

    def test_the_office_reads_what_is_here_and_nothing_of_the_shelf(self, cast, case):
        on_shelf(cast)
        enter(cast.tomas, case, "here", **HERE)

        answer = page(cast.dora, case)

        assert "In hand Here, not from stock, mould O-44, shade B2, resin, lot L-1." in (
            text_of(answer)
        )
        assert "drawer 3" not in text_of(answer)
        assert "id_look_shade" not in answer.content.decode()
        assert reverse("teeth_enter", args=[case.code]) not in answer.content.decode()

    def test_the_selection_comes_first(self, cast):
        walk = cast.walk()
        walk.prescribe()

        assert "Enter the tooth selection first" in text_of(page(cast.tomas, walk.case))
        refused = enter(cast.tomas, walk.case, "here", **HERE)
        assert refused.status_code == 422
        assert "Enter the tooth selection first: what is ordered is held" in text_of(refused)

    def test_a_case_without_order_of_any_kind_refuses_words_of_nobody(self, cast, case):
        answer = enter(cast.tomas, case, "borrow")

        assert answer.status_code == 422
        assert "Open the form of what you do, and fill it in." in text_of(answer)


class TestTaking:
    @pytest.mark.parametrize("who", ["tomas", "lena", "mona"])
    def test_everybody_of_the_laboratory_takes_from_stock(self, cast, case, who):
        row = on_shelf(cast)

        answer = enter(getattr(cast, who), case, "take", tooth_set=row.pk)

        assert "Taken from stock. The count on the shelf is one less." in text_of(answer)
        row.refresh_from_db()
        assert row.count == 1

    @pytest.mark.parametrize("who", ["dora", "farah"])
    def test_the_office_takes_nothing(self, cast, case, who):
        row = on_shelf(cast)

        assert enter(getattr(cast, who), case, "take", tooth_set=row.pk).status_code == 403
        assert not TeethSupply.objects.exists()

    def test_no_button_pressed_is_said(self, cast, case):
        answer = enter(cast.tomas, case, "take")

        assert answer.status_code == 422
        assert "Press the button beside the set that you take." in text_of(answer)

    def test_a_set_of_another_laboratory_is_none(self, cast, case):
        row = on_shelf(cast)
        row.laboratory = cast.other_laboratory
        row.save()

        answer = enter(cast.tomas, case, "take", tooth_set=row.pk)

        assert answer.status_code == 422
        assert "That set is not in the stock for this part." in text_of(answer)

    def test_who_comes_second_to_the_last_set_is_told(self, cast, case):
        row = on_shelf(cast, count=0)

        answer = enter(cast.tomas, case, "take", tooth_set=row.pk)

        assert answer.status_code == 409
        assert "None is on the shelf. Take another set, or order one." in text_of(answer)

    def test_another_shade_asks_for_a_reason_and_keeps_what_was_typed(self, cast, case):
        row = on_shelf(cast, shade="B3")

        refused = enter(cast.tomas, case, "take", tooth_set=row.pk, tooth="12")

        assert refused.status_code == 422
        assert "These are not the approved upper anterior teeth: shade B3" in text_of(refused)
        assert '<option value="12" selected>' in refused.content.decode()
        enter(cast.tomas, case, "take", tooth_set=row.pk, reason="B2 is gone")
        asked = text_of(logged_in(cast.dora).get(reverse("questions", args=[case.code])))
        assert "B3 in place of B2. Reason: B2 is gone. May they be used?" in asked


class TestOrdering:
    def test_an_order_is_entered_and_expected(self, cast, case):
        answer = enter(cast.lena, case, "order", **ORDER)

        words = text_of(answer)
        assert "The order is entered." in words
        assert "Expected Wed 17-Mar-2027." in words
        assert (held().supplier, held().lead_days) == ("Brook Supplies", 3)

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({"supplier": ""}, "Supplier: enter it."),
            ({"ordered_on": ""}, "Enter the day of the order."),
            ({"ordered_on": "soon"}, "soon is not a day. Write the day like 12-Mar-2027."),
            (
                {"lead_days": "ten"},
                "Lead time, in working days: enter a whole number from 0 to 250.",
            ),
            (
                {"lead_days": "400"},
                "Lead time, in working days: enter a whole number from 0 to 250.",
            ),
            ({"material": ""}, "Choose the material of the teeth."),
            ({"tooth": "46"}, "Choose the whole set, or a tooth that is to be set."),
        ],
    )
    def test_what_cannot_be_read_is_refused_and_the_rest_stays(self, cast, case, typed, sentence):
        answer = enter(cast.lena, case, "order", **ORDER | {"line": "Birch"} | typed)

        assert answer.status_code == 422
        assert sentence in text_of(answer)
        assert 'name="line" value="Birch"' in answer.content.decode()
        assert not TeethSupply.objects.exists()

    def test_it_arrives_counted(self, cast, case):
        enter(cast.lena, case, "order", **ORDER)

        answer = change(
            cast.lena, held(), "arrived", arrived_on="16-Mar-2027", counted="6", lot="N-5"
        )

        assert "Counted in." in text_of(answer)
        assert (held().state, held().lot) == ("in hand", "N-5")

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({"counted": ""}, "Teeth counted: enter a whole number from 0 to 16."),
            ({"arrived_on": ""}, "Enter the day on which they arrived."),
            ({"arrived_on": "1-Mar-2027"}, "They cannot arrive before they were ordered."),
        ],
    )
    def test_an_arrival_is_refused_in_words(self, cast, case, typed, sentence):
        enter(cast.lena, case, "order", **ORDER)

        answer = change(
            cast.lena, held(), "arrived", **{"arrived_on": "16-Mar-2027", "counted": "6"} | typed
        )

        assert answer.status_code == 422
        assert sentence in text_of(answer)
        assert held().state == "ordered"


class TestAfterwards:
    def test_others_take_the_place_with_a_reason(self, cast, case):
        first, second = on_shelf(cast), on_shelf(cast, lot="A-18")
        enter(cast.tomas, case, "take", tooth_set=first.pk)
        typed = {"tooth_set": second.pk, "old": held().pk, "version": "1", "goes_back": "on"}

        refused = enter(cast.tomas, case, "take", **typed)
        assert "Give the reason why the upper anterior teeth are replaced." in text_of(refused)
        enter(cast.tomas, case, "take", reason="chipped", **typed)

        first.refresh_from_db()
        assert first.count == 2
        assert teeth_needed.lots(fresh(case)) == "anterior teeth A-18"

    def test_an_old_page_replaces_nothing_unseen(self, cast, case):
        row = on_shelf(cast)
        enter(cast.mona, case, "here", **HERE)

        answer = enter(cast.tomas, case, "take", tooth_set=row.pk)

        assert answer.status_code == 409
        assert "Mona Ridley entered the upper anterior teeth meanwhile: in hand." in text_of(answer)

    def test_putting_back_counts_up(self, cast, case):
        row = on_shelf(cast)
        enter(cast.tomas, case, "take", tooth_set=row.pk)

        answer = change(cast.tomas, held(), "put-back")

        row.refresh_from_db()
        assert row.count == 2
        assert "Done. The teeth no longer stand on this case." in text_of(answer)

    def test_not_used_asks_why(self, cast, case):
        enter(cast.tomas, case, "here", **HERE)

        answer = change(cast.tomas, held(), "discard")

        assert answer.status_code == 422
        assert "Give the reason why these teeth are not used." in text_of(answer)
        assert held().state == "in hand"

    def test_of_two_who_put_back_the_second_is_told(self, cast, case):
        row = on_shelf(cast)
        enter(cast.tomas, case, "take", tooth_set=row.pk)
        seen = held()
        change(cast.mona, seen, "put-back")

        answer = change(cast.tomas, seen, "put-back")

        assert answer.status_code == 409
        assert "These teeth are put back already." in text_of(answer)

    def test_teeth_of_an_earlier_revision_are_listed_and_used_again(self, cast, case):
        enter(cast.tomas, case, "take", tooth_set=on_shelf(cast).pk)
        tooth_orders.set_aside(case=case, by=cast.dora, why="revision 2 of the prescription")

        words = text_of(page(cast.tomas, case))
        assert (
            "Set aside For an earlier revision, or after something went wrong. They stay listed"
            in words
        )
        assert "Revision 1. Revision 2 of the prescription." in words
        answer = change(cast.tomas, held(), "use-again")

        assert "These teeth are used again." in text_of(answer)
        assert held().state == "in hand"

    @pytest.mark.parametrize("who", ["dora", "farah"])
    def test_the_office_changes_nothing(self, cast, case, who):
        enter(cast.tomas, case, "here", **HERE)

        assert change(getattr(cast, who), held(), "put-back").status_code == 403

    def test_another_house_finds_nothing(self, cast, case):
        enter(cast.tomas, case, "here", **HERE)

        assert change(cast.olga, held(), "put-back").status_code == 404
        assert enter(cast.olga, case, "here", **HERE).status_code == 404


def test_the_case_says_whether_the_teeth_are_in_hand(cast, case):
    def said() -> str:
        return text_of(logged_in(cast.tomas).get(reverse("case", args=[case.code])))

    assert "Not in hand" in said()
    enter(cast.tomas, case, "here", **HERE)
    enter(cast.tomas, case, "take", part="upper-posterior", tooth_set=on_shelf(cast, BACK).pk)

    assert "Not in hand" not in said()
    assert "Posterior teeth From stock, Alder, mould 20 S" in said()


def test_a_form_starts_from_what_was_approved(cast, case):
    content = page(cast.tomas, case).content.decode()

    assert 'name="mould" value="O-44"' in content
    assert f'name="ordered_on" value="{timezone.localdate().day}-' in content
