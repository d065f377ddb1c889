"""The stock as a table of text: what is read, and what is refused and in which words."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from labcases.domain import stock_table
from labcases.domain.stock_table import COLUMNS, Unreadable, read

HEAD = ",".join(COLUMNS)
ROW = "Alder,upper,posterior,20 S,B2,resin,P-08,20,30,1.5,2028-05-31,drawer 5,3"
VALUES = (
    *("Alder", "upper", "posterior", "20 S", "B2", "resin", "P-08", Decimal("20"), Decimal("30")),
    *(Decimal("1.5"), date(2028, 5, 31), "drawer 5", 3),
)


def file(*rows: str, head: str = HEAD) -> bytes:
    return "\r\n".join([head, *rows]).encode()


def with_cell(name: str, text: str) -> str:
    cells = ROW.split(",")
    cells[COLUMNS.index(name)] = text
    return ",".join(cells)


class TestRead:
    @pytest.mark.parametrize(
        "content",
        [
            file(ROW),
            b"\xef\xbb\xbf" + file(ROW),
            file(ROW).replace(b"\r\n", b"\n"),
            file(ROW).replace(b",", b";"),
            file(ROW.replace("1.5", "1,5").replace(",", ";").replace("1;5", "1,5")).replace(
                HEAD.encode(), HEAD.replace(",", ";").encode()
            ),
            file(ROW.replace("Alder", '"Alder"'), "", ",,,,,,,,,,,,"),
            file(ROW.replace("upper", "Upper").replace("resin", "RESIN")),
            file(ROW.replace("2028-05-31", "31-May-2028")),
            file(ROW, head=HEAD.upper()),
        ],
    )
    def test_every_usual_way_of_writing_it_says_the_same(self, content):
        rows = read(content)

        assert [(row.number, row.values, row.refusals) for row in rows] == [(2, VALUES, ())]

    def test_columns_stand_in_any_order(self):
        head, cells = HEAD.split(","), ROW.split(",")

        rows = read(file(",".join(reversed(cells)), head=",".join(reversed(head))))

        assert rows[0].values == VALUES

    def test_what_may_be_empty_is_nothing(self):
        rows = read(file("Alder,lower,anterior,O-44,B2,porcelain,,,,,,,0"))

        assert rows[0].values == (
            *("Alder", "lower", "anterior", "O-44", "B2", "porcelain", ""),
            *(None, None, None, None, "", 0),
        )

    def test_letters_are_compared_in_one_form(self):
        rows = read(file(with_cell("line", "Ha\u0308rt  line")))

        assert rows[0].values[0] == "H\u00e4rt line"


class TestRefusedCells:
    @pytest.mark.parametrize(
        ("name", "text", "sentence"),
        [
            ("line", "", "It is empty. Enter it."),
            ("line", "x" * 81, "It has 81 characters. Enter up to 80."),
            ("arch", "top", "It says top. Enter upper or lower."),
            ("arch", "16", "It says 16. Enter upper or lower."),
            ("part", "front", "It says front. Enter posterior or anterior."),
            ("mould", "", "It is empty. Enter it."),
            ("shade", "", "It is empty. Enter it."),
            ("shade", "y" * 31, "It has 31 characters. Enter up to 30."),
            ("material", "gold", "It says gold. Enter resin, composite or porcelain."),
            ("lot", "z" * 61, "It has 61 characters. Enter up to 60."),
            (
                *("cusp_angle_deg", "61"),
                "It says 61. Enter 0 to 60 deg, as a number like 46.5.",
            ),
            ("cusp_angle_deg", "20.25", "It says 20.25. Enter at most 1 decimals."),
            (
                *("together_mm", "wide"),
                "It says wide. Enter 15 to 150 mm, as a number like 46.5.",
            ),
            (
                *("together_mm", "NaN"),
                "It says NaN. Enter 15 to 150 mm, as a number like 46.5.",
            ),
            ("shell_min_mm", "-1", "It says -1. Enter 0 to 10 mm, as a number like 46.5."),
            (
                *("expires_on", "05/31/28"),
                "It says 05/31/28. Enter a day like 2028-05-31 or 31-May-2028.",
            ),
            (
                *("expires_on", "2028-02-30"),
                "It says 2028-02-30. Enter a day like 2028-05-31 or 31-May-2028.",
            ),
            (
                *("expires_on", "1899-02-20"),
                "It says 1899-02-20. Enter a day like 2028-05-31 or 31-May-2028.",
            ),
            ("shelf", "s" * 41, "It has 41 characters. Enter up to 40."),
            ("count", "", "It is empty. Enter it."),
            ("count", "-1", "It says -1. Enter a whole number from 0 to 10000."),
            ("count", "1.5", "It says 1.5. Enter a whole number from 0 to 10000."),
            ("count", "10001", "It says 10001. Enter a whole number from 0 to 10000."),
            ("count", "\u0663", "It says \u0663. Enter a whole number from 0 to 10000."),
            ("count", "9" * 40, f"It says {'9' * 29}\u2026. Enter a whole number from 0 to 10000."),
        ],
    )
    def test_each_is_named_with_its_row_and_column(self, name, text, sentence):
        rows = read(file(ROW, with_cell(name, text)))

        assert rows[0].refusals == ()
        assert [(rows[1].number, one.column, one.text) for one in rows[1].refusals] == [
            (3, name, sentence)
        ]

    def test_every_cell_of_a_row_is_told_at_once(self):
        rows = read(file("Alder,top,posterior,20 S,B2,gold,,,,,,,many"))

        assert [one.column for one in rows[0].refusals] == ["arch", "material", "count"]

    def test_anterior_teeth_have_no_cusp_angle(self):
        rows = read(file(with_cell("part", "anterior")))

        assert [(one.column, one.text) for one in rows[0].refusals] == [
            ("cusp_angle_deg", "Anterior teeth have no cusp angle.")
        ]

    def test_a_row_with_a_cell_too_many_is_refused(self):
        rows = read(file(f"{ROW},more"))

        assert [(one.column, one.text) for one in rows[0].refusals] == [
            ("row", "The row has 14 cells, the first row 13.")
        ]


COLUMNS_ARE = (
    "The first row names the columns: line, arch, part, mould, shade, material, lot, "
    "cusp_angle_deg, together_mm, shell_min_mm, expires_on, shelf, count."
)


class TestRefusedFiles:
    @pytest.mark.parametrize(
        ("content", "sentence"),
        [
            (b"", "The file is empty. Choose another one."),
            (b" \r\n", "The file is empty. Choose another one."),
            (
                file(ROW).decode().encode("utf-16"),
                "The file is UTF-16. Save it as CSV in UTF-8 and choose it again.",
            ),
            (
                file(ROW, with_cell("line", "H\u00e4rt")).decode().encode("latin-1"),
                "The file is not UTF-8: row 3 holds the byte E4. Save it as CSV in UTF-8 and "
                "choose it again.",
            ),
            (
                file(with_cell("line", "Al\0der")),
                "The file holds NUL characters, so it is no text. Save it as CSV in UTF-8.",
            ),
            (file(), "The file names its columns and holds no row. Choose another file."),
            (
                file(ROW.rpartition(",")[0], head=HEAD.rpartition(",")[0]),
                f"The first row lacks count. {COLUMNS_ARE}",
            ),
            (
                file(f"{ROW},x", head=f"{HEAD},colour"),
                f"The first row has columns that are not known: colour. {COLUMNS_ARE}",
            ),
            (
                file(f"{ROW},x", head=f"{HEAD},tooth"),
                f"Teeth are never read by number here; say arch and part in words. {COLUMNS_ARE}",
            ),
            (
                file(f"{ROW},x", head=f"{HEAD},lot"),
                f"The first row names lot twice. {COLUMNS_ARE}",
            ),
            (
                file(ROW, head=HEAD.replace(",", "\t")),
                f"The cells are separated by tabs. Use comma or semicolon. {COLUMNS_ARE}",
            ),
            (
                file(ROW, with_cell("line", '"Al"der"')),
                "Row 3 cannot be read as a table (',' expected after '\"'). Look at the quotes in "
                "it: a quote inside a quoted cell is written twice.",
            ),
        ],
    )
    def test_it_is_said_what_is_wrong_and_what_to_do(self, content, sentence):
        with pytest.raises(Unreadable) as refused:
            read(content)

        assert str(refused.value) == sentence

    def test_a_file_of_too_many_rows_is_refused(self, monkeypatch):
        monkeypatch.setattr(stock_table, "MOST_ROWS", 2)
        assert len(read(file(ROW, ROW))) == 2

        with pytest.raises(Unreadable, match="more than 2 rows"):
            read(file(ROW, ROW, ROW))

    def test_fifty_thousand_rows_are_taken(self):
        assert stock_table.MOST_ROWS == 50_000
