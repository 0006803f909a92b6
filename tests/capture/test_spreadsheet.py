"""The streaming reader, held against openpyxl and against files as other programs write them."""

import datetime
import io
import zipfile

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from hoistbook.capture.archive import opened
from hoistbook.capture.faults import Findings
from hoistbook.capture.number_formats import day_text, oddity_of
from hoistbook.capture.spreadsheet import cell_place, read_workbook
from hoistbook.capture.tables import Limits, Odd, Oddity, column_index, column_letters


def read(data):
    findings = Findings()
    archive = opened(data, findings, Limits())
    assert archive is not None, findings.faults
    return read_workbook(archive, lambda _: True, findings, Limits()), findings


# Text a spreadsheet can hold: no half characters, no controls that XML cannot carry.
TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Cn")), min_size=1, max_size=20)
CELLS = st.one_of(
    st.none(),
    TEXTS,
    st.booleans(),
    st.integers(-(10**12), 10**12),
    st.floats(allow_nan=False, allow_infinity=False, width=32),
    st.datetimes(
        datetime.datetime.fromisoformat("1900-03-02"), datetime.datetime.fromisoformat("2100-01-01")
    ).map(lambda moment: moment.replace(microsecond=0)),
)
GRIDS = st.lists(st.lists(CELLS, min_size=1, max_size=6), min_size=1, max_size=6)


def by_openpyxl(data):
    """What openpyxl sees, in the words of the loader."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    sheets = []
    for sheet in book.worksheets:
        rows = {}
        for row in sheet.iter_rows():
            cells = {}
            for cell in row:
                value = cell.value
                if value is None or value == "":
                    continue
                if isinstance(value, datetime.datetime):
                    midnight = value.time() == datetime.time()
                    value = Odd(
                        Oddity.DATE, value.date().isoformat() if midnight else value.isoformat(sep=" ")
                    )
                elif not isinstance(value, str | bool):
                    value = float(value)
                cells[cell.column - 1] = value
            if cells:
                rows[row[0].row] = cells
        sheets.append(rows)
    return sheets


def written_by_openpyxl(grid):
    book = openpyxl.Workbook()
    for row, cells in enumerate(grid, start=1):
        for column, value in enumerate(cells, start=1):
            cell = book.active.cell(row=row, column=column)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"  # text like =1 is text here
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


def written_by_xlsxwriter(grid):
    buffer = io.BytesIO()
    book = xlsxwriter.Workbook(buffer, {"default_date_format": "yyyy-mm-dd hh:mm:ss"})
    sheet = book.add_worksheet()
    for row, cells in enumerate(grid):
        for column, value in enumerate(cells):
            if isinstance(value, str):
                sheet.write_string(row, column, value)
            elif value is not None:
                sheet.write(row, column, value)
    book.close()
    return buffer.getvalue()


@settings(max_examples=60, deadline=None)
@given(grid=GRIDS, write=st.sampled_from([written_by_openpyxl, written_by_xlsxwriter]))
def test_the_same_cells_as_openpyxl_sees(grid, write):
    data = write(grid)
    tables, findings = read(data)
    assert findings.faults == []
    expected = by_openpyxl(data)
    if write is written_by_xlsxwriter:
        # openpyxl leaves the format's _xHHHH_ escapes as they are; the text that was written is the truth.
        expected = [
            {
                row: {
                    c: grid[row - 1][c] if isinstance(grid[row - 1][c], str) else value
                    for c, value in cells.items()
                }
                for row, cells in rows.items()
            }
            for rows in expected
        ]
    assert [table.rows for table in tables] == expected


def handmade(sheet, workbook="", strings="", prefix=""):
    """A workbook of one sheet from hand-written XML."""
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    package = "http://schemas.openxmlformats.org/package/2006/relationships"
    head = '<?xml version="1.0" encoding="UTF-8"?>'
    declared = f'xmlns:{prefix[:-1]}="{main}"' if prefix else f'xmlns="{main}"'
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr(
            "_rels/.rels",
            f'{head}<Relationships xmlns="{package}"><Relationship Id="a" Type="{rel}/officeDocument" '
            'Target="book/main.xml"/>'
            "</Relationships>",
        )
        archive.writestr(
            "book/main.xml",
            f'{head}<{prefix}workbook {declared} xmlns:r="{rel}">{workbook}<{prefix}sheets>'
            f'<{prefix}sheet name="parts" sheetId="1" r:id="x"/></{prefix}sheets></{prefix}workbook>',
        )
        archive.writestr(
            "book/_rels/main.xml.rels",
            f'{head}<Relationships xmlns="{package}"><Relationship Id="x" Type="{rel}/worksheet" Target="/book/s.xml"/>'
            f'<Relationship Id="y" Type="{rel}/sharedStrings" Target="t.xml"/></Relationships>',
        )
        archive.writestr("book/t.xml", f'{head}<sst xmlns="{main}">{strings}</sst>')
        archive.writestr("book/s.xml", f"{head}<{prefix}worksheet {declared}>{sheet}</{prefix}worksheet>")
    return buffer.getvalue()


def cells_of(sheet, **parts):
    tables, findings = read(handmade(sheet, **parts))
    assert findings.faults == []
    return tables[0].rows


def test_cells_and_rows_without_their_addresses_are_counted():
    sheet = "<sheetData><row><c><v>1</v></c><c/><c><v>3</v></c></row><row/><row><c t='b'><v>1</v></c></row></sheetData>"
    assert cells_of(sheet) == {1: {0: 1.0, 2: 3.0}, 3: {0: True}}


def test_elements_with_a_prefix():
    sheet = '<x:sheetData><x:row r="2"><x:c r="B2"><x:v>1.5</x:v></x:c></x:row></x:sheetData>'
    assert cells_of(sheet, prefix="x:") == {2: {1: 1.5}}


def test_text_in_the_cell_in_runs_and_with_phonetics():
    sheet = (
        '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><r><t>arm, </t></r><r><t>lower</t></r></is></c>'
        '<c r="B1" t="s"><v>0</v></c><c r="C1" t="s"><v>1</v></c>'
        '<c r="D1" t="str"><f>A1</f><v>arm</v></c></row></sheetData>'
    )
    strings = (
        "<si><t>plain</t></si><si><r><t>東</t></r><rPh sb='0' eb='1'><t>ヒガシ</t></rPh><r><t>京</t></r></si>"
    )
    assert cells_of(sheet, strings=strings) == {1: {0: "arm, lower", 1: "plain", 2: "東京", 3: "arm"}}


def test_a_formula_is_judged_by_its_stored_result():
    sheet = (
        '<sheetData><row r="1"><c r="A1"><f>1+1</f><v>2</v></c><c r="B1"><f>1+1</f></c><c r="C1"><f>1+1</f><v/></c>'
        '<c r="D1" t="str"><f>""</f><v></v></c><c r="E1" t="e"><f>1/0</f><v>#DIV/0!</v></c></row></sheetData>'
    )
    formula = Odd(Oddity.FORMULA, "(formula)")
    assert cells_of(sheet) == {1: {0: 2.0, 1: formula, 2: formula, 4: Odd(Oddity.ERROR, "#DIV/0!")}}
    pending = cells_of(sheet, workbook='<calcPr fullCalcOnLoad="1"/>')
    assert all(pending[1][column] == formula for column in (0, 1, 2, 3))


def test_escaped_characters_come_back():
    # from memory: ECMA-376 part 1, 22.4.2.4 (ST_Xstring): _xHHHH_ stands for a character, _x005F_ for the underscore.
    strings = "<si><t>a_x000A_b_x005F_x000A_</t></si><si><t>half _xD83D_ pair _xD83D__xDD27_</t></si>"
    sheet = '<sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row></sheetData>'
    assert cells_of(sheet, strings=strings) == {1: {0: "a\nb_x000A_", 1: "half \ufffd pair \U0001f527"}}


def test_merges_and_hidden_rows_are_noticed():
    sheet = (
        '<cols><col min="2" max="3" hidden="1"/></cols>'
        '<sheetData><row r="1" hidden="1"><c r="A1"><v>1</v></c></row></sheetData>'
        '<mergeCells count="1"><mergeCell ref="A2:B3"/></mergeCells>'
    )
    tables, _ = read(handmade(sheet))
    assert (list(tables[0].merged), tables[0].hidden_rows, tables[0].hidden_columns) == (["A2:B3"], [1], 1)


def test_a_workbook_in_utf16():
    data = handmade(
        '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Bügel</t></is></c></row></sheetData>'
    )
    buffer = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(buffer, "w") as copy:
        for name in source.namelist():
            text = source.read(name).decode()
            copy.writestr(
                name, text.replace("UTF-8", "UTF-16").encode("utf-16") if name == "book/s.xml" else text
            )
    tables, _ = read(buffer.getvalue())
    assert tables[0].rows == {1: {0: "Bügel"}}


@pytest.mark.parametrize(
    ("number", "code", "oddity"),
    [
        # from memory: ECMA-376 part 1, 18.8.30: 14–22 and 45–47 are days and times, 9 and 10 percentages.
        (0, "", None),
        (2, "", None),
        (9, "", Oddity.PERCENT),
        (10, "", Oddity.PERCENT),
        (11, "", None),
        (14, "", Oddity.DATE),
        (22, "", Oddity.DATE),
        (46, "", Oddity.DATE),
        (49, "", None),
        (164, "0.00", None),
        (164, "General", None),
        (164, '0.0 "mm, day by day"', None),
        (164, "[Red]0.0", None),
        (164, "[$-409]0.00", None),
        (164, "0.0\\d", None),
        (164, '#,##0 "kg"', None),
        (164, "yyyy-mm-dd", Oddity.DATE),
        (164, "[h]:mm:ss", Oddity.DATE),
        (164, "[$-407]d. mmmm yyyy", Oddity.DATE),
        (164, "0.0%", Oddity.PERCENT),
        (164, '0"%"', None),
    ],
)
def test_which_formats_show_days_or_percentages(number, code, oddity):
    assert oddity_of(number, code) is oddity


@given(
    st.datetimes(datetime.datetime.fromisoformat("1904-01-02"), datetime.datetime.fromisoformat("2199-12-31"))
)
def test_days_agree_with_openpyxl_in_both_calendars(moment):
    from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, to_excel

    moment = moment.replace(microsecond=0)
    for epoch in (CALENDAR_WINDOWS_1900, CALENDAR_MAC_1904):
        serial = to_excel(moment, epoch=epoch)
        text = day_text(float(serial), from_1904=epoch is CALENDAR_MAC_1904)
        assert datetime.datetime.fromisoformat(text) == moment


@pytest.mark.parametrize("serial", [1e12, -1e12, float("inf"), float("nan")])
def test_a_serial_that_is_no_day_is_shown_as_it_is(serial):
    assert "no day" in day_text(serial, from_1904=False)


@given(st.integers(0, 20_000))
def test_column_letters_and_back(index):
    assert column_index(column_letters(index)) == index
    # computed: openpyxl's own conversion.
    assert column_letters(index % 18_278) == openpyxl.utils.get_column_letter(index % 18_278 + 1)


def test_the_first_cell_of_a_range():
    assert cell_place("B3:D9") == (3, 1)
    assert cell_place("nonsense") is None
