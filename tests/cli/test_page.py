"""Pages and tables: nothing wider than the window, nothing lost, numbers kept in one piece."""

import io
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from hoistbook.cli.cells import interval_cells
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Interval

WORDS = st.text(alphabet="abcdefgh ,.;−±", min_size=1, max_size=90).filter(str.strip)


def page(width):
    stream = io.StringIO()
    found = Page(stream)
    found.width = width
    return found, stream


@given(st.lists(st.tuples(WORDS, st.integers(0, 10**7), WORDS), min_size=1, max_size=5), st.integers(60, 110))
def test_table_fits_and_loses_nothing(rows, width):
    sheet, stream = page(width)
    columns = (Column("cause", wraps=True), Column("number\nkm", "right"), Column("origin", wraps=True))
    sheet.table(columns, [Row((a, str(b), c)) for a, b, c in rows])
    printed = stream.getvalue()
    assert all(len(line) <= width for line in printed.splitlines())
    for first, number, last in rows:
        assert str(number) in printed
        for letter in set(f"{first}{last}") - {" "}:
            assert printed.count(letter) >= (first + last).count(letter)


@given(WORDS, st.integers(30, 100))
def test_paragraph_fits_and_loses_nothing(words, width):
    sheet, stream = page(width)
    sheet.text(words)
    assert all(len(line) <= width for line in stream.getvalue().splitlines())
    assert stream.getvalue().split() == words.split() or len(max(words.split(), key=len)) > width


def test_number_band_and_unit_stay_together():
    sheet, stream = page(14)
    sheet.text("a gap of 20.4\u202f±\u202f4.5\u202fkm here")
    assert "20.4\u202f±\u202f4.5\u202fkm" in stream.getvalue().splitlines()[1]


def test_intervals_stand_at_the_decimal_with_their_bands_beside_them():
    # published: GUM 7.2.6, two significant digits of the band at most; the value to the same place.
    found = [Interval(-9.4, -11.4, -7.4), Interval(115.63, 113.5, 117.7), None]
    cells = interval_cells(found, signed=True, missing="none")
    assert [cell.replace("\u202f", " ") for cell in cells] == ["  −9.4 ± 2.0", "+115.6 ± 2.1", "none"]


def test_lopsided_band_goes_to_its_own_line():
    assert interval_cells([Interval(-2.4, -9.7, 1.9)], signed=True) == ("−2.4\n−9.7 to +1.9",)


@given(st.text(min_size=1, max_size=60), st.integers(30, 100))
def test_no_text_can_steer_a_terminal(words, width):
    sheet, stream = page(width)
    sheet.text(words)
    sheet.verbatim(words)
    sheet.bullets([words])
    sheet.table((Column("name", wraps=True), Column("kg")), [Row((words, "1.0"))])
    # from memory: Unicode general categories Cc, Cf, Cs, Co, Cn, Zl, Zp hold everything that is no sign one can see.
    seen = {unicodedata.category(letter) for letter in stream.getvalue() if letter != "\n"}
    assert seen.isdisjoint({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("\x1b[31mred\x1b[0m", "□[31mred□[0m"),
        ("[bold]no markup[/bold] :smile:", "[bold]no markup[/bold] :smile:"),
        ("turned\u202eround", "turned□round"),
        ("bell\x07 and c1 \x9b2J", "bell□ and c1 □2J"),
    ],
)
def test_escape_sequences_and_markup_are_shown_not_obeyed(typed, shown):
    sheet, stream = page(80)
    sheet.text(typed)
    assert stream.getvalue() == f"{shown}\n"


def test_very_long_and_wide_names_are_broken_within_the_page():
    sheet, stream = page(60)
    columns = (Column("part", wraps=True), Column("kg", "right"), Column("origin", wraps=True))
    sheet.table(columns, [Row(("x" * 300, "1.0", "measured")), Row(("門" * 90, "2.0", "measured"))])
    sheet.text("門" * 200)
    lines = stream.getvalue().splitlines()
    assert max(map(cell_len, lines)) <= 60
    assert sum(line.count("x") for line in lines) == 300
    assert sum(line.count("門") for line in lines) == 290
