"""Where the pieces of a case are, as its boxes tell."""

import pytest

from labcases.domain import box
from labcases.domain.inventory import inventory
from labcases.enums import Stage
from tests.factories import world
from tests.labcases.domain.test_box import CLEAN, TO_LABORATORY, TO_OFFICE, pack

pytestmark = pytest.mark.django_db


class TestWhereThingsAre:
    def where(self, case):
        return {
            held.content.value: (held.laboratory, held.office, held.under_way, held.missing)
            for held in inventory(case.boxes.prefetch_related("items"))
        }

    def test_a_tray_goes_to_and_fro(self):
        here = world()
        walk = here.walk()
        case = walk.to(Stage.JAW_RECORDS)

        def trays(way, by, receiver, listed, counted):
            row = pack(case, by, {"content": "tray", "count": listed, **CLEAN}, direction=way)
            before = self.where(case).get("tray")
            box.send(box=row, by=by)
            on_the_way = self.where(case)["tray"]
            box.receive(box=row, counts={row.items.get().pk: counted}, by=receiver)
            return before, on_the_way, self.where(case)["tray"]

        assert trays(TO_OFFICE, here.lena, here.farah, 2, 2) == (None, (0, 0, 2, 0), (0, 2, 0, 0))
        assert trays(TO_LABORATORY, here.farah, here.lena, 2, 1) == (
            (0, 2, 0, 0),
            (0, 0, 2, 0),
            (1, 0, 0, 1),
        )

    def test_what_was_missing_and_comes_after_all_is_missing_no_more(self):
        here = world()
        case = here.case_at(Stage.JAW_RECORDS)
        for listed, counted in ((2, 1), (1, 2)):
            row = pack(case, here.farah, {"content": "jaw record", "count": listed, **CLEAN})
            box.send(box=row, by=here.farah)
            box.receive(box=row, counts={row.items.get().pk: counted}, by=here.lena)
        assert self.where(case)["jaw record"] == (3, 0, 0, 0)
