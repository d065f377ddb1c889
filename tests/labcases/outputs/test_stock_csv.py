"""The tooth stock as a file: as the standard has it, and the same again when it is read."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from labcases.domain.stock_table import read
from labcases.outputs import stock_csv
from tests.factories import World, world
from tests.labcases.domain.test_stock_table import HEAD
from tests.labcases.tooth_stock import BACK, on_shelf

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    cast = world()
    on_shelf(
        cast,
        BACK,
        line='=cmd|"calc"!A1',
        mould="20, S",
        lot="+7",
        expires_on=date(2028, 5, 31),
        shelf="",
    )
    return cast


def test_as_the_standard_has_it(cast):
    assert stock_csv.content(cast.laboratory).decode("utf-8-sig") == (
        f"{HEAD}\r\n"
        '"\'=cmd|""calc""!A1",upper,posterior,"20, S",B2,resin,\'+7,20,30,,2028-05-31,,1\r\n'
    )


def test_what_is_written_reads_the_same_again(cast):
    rows = read(stock_csv.content(cast.laboratory))

    assert rows[0].values == (
        *('=cmd|"calc"!A1', "upper", "posterior", "20, S", "B2", "resin", "+7"),
        *(Decimal("20"), Decimal("30"), None, date(2028, 5, 31), "", 1),
    )


def test_an_empty_stock_is_the_names_of_the_columns(cast):
    assert stock_csv.content(cast.other_laboratory).decode("utf-8-sig") == f"{HEAD}\r\n"
