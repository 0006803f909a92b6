"""Files made to harm: each is refused with a sentence, quickly and without unpacking what it hides."""

import io
import os
import struct
import tempfile
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from capture.books import edit, faults_of, saved, sound
from hoistbook.capture.read import read_teardown
from hoistbook.capture.tables import Limits

SHEET = "xl/worksheets/sheet4.xml"  # parts
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


@pytest.fixture
def path(tmp_path):
    return saved(tmp_path, sound())


def entries(path):
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def repacked(path, entries):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries.items():
            archive.writestr(name, data)
    return path


def added(path, name, data=b"x"):
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, data)
    return path


def only(path, **options):
    faults = faults_of(path, **options)
    assert len(faults) == 1, faults
    return faults[0].message


def test_an_archive_bomb_is_refused_before_it_is_unpacked(path, monkeypatch):
    # first principles: deflate packs a run of zeros about 1000 to 1, an honest sheet about 10 to 1.
    added(path, "xl/media/zeros.bin", bytes(3_000_000))
    monkeypatch.setattr(zipfile.ZipFile, "open", lambda *_: pytest.fail("an entry was unpacked"))
    assert "archive bomb" in only(path)


def test_many_entries_are_refused_before_the_directory_is_parsed(path, monkeypatch):
    with zipfile.ZipFile(path, "a") as archive:
        for number in range(1200):
            archive.writestr(f"xl/media/{number}", b"")
    monkeypatch.setattr(zipfile, "ZipFile", lambda *_: pytest.fail("the directory was parsed"))
    assert "more than 1000 entries" in only(path)


def test_the_sum_of_all_entries_is_bounded(path):
    assert "unpacks to" in only(path, limits=Limits(unpacked_bytes=30_000))


def test_a_file_too_large_is_refused_unread(path):
    assert "limits.file_bytes" in only(path, limits=Limits(file_bytes=1000))


@pytest.mark.parametrize(
    "name",
    ["../../etc/cron.d/x", "/etc/passwd", "xl/../../x", "C:\\x.xml", "xl\\worksheets\\sheet1.xml", "xl/a\tb"],
)
def test_a_name_that_leads_elsewhere_is_refused(path, name):
    assert any("entry of the archive" in fault.message for fault in faults_of(added(path, name)))


def test_a_name_cut_at_a_nul_is_seen_whole(path):
    data = added(path, "xl/worksheets/evilAxml").read_bytes()
    path.write_bytes(data.replace(b"evilAxml", b"evil\x00xml"))
    assert "control character" in only(path)


def test_an_entry_twice_is_refused(path):
    with pytest.warns(UserWarning, match="Duplicate name"):
        added(path, SHEET, b"<worksheet/>")
    assert "twice" in only(path)


def test_entries_that_differ_in_capitals_only_are_refused(path):
    assert "twice" in only(added(path, SHEET.upper()))


def test_a_link_is_refused(path):
    info = zipfile.ZipInfo("xl/link")
    info.external_attr = 0o120777 << 16
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(info, "/etc/passwd")
    assert "link to another file" in only(path)


def test_macros_are_refused(path):
    assert "macros" in only(added(path, "xl/vbaProject.bin"))


def test_an_encrypted_entry_is_refused(path):
    data = bytearray(path.read_bytes())
    directory = data.index(b"PK\x01\x02")
    struct.pack_into("<H", data, directory + 8, 1)
    path.write_bytes(data)
    assert any("password" in fault.message for fault in faults_of(path))


def test_a_size_that_lies_is_not_believed(path):
    """The directory announces 10 bytes for a sheet that holds more: never more is read, and the file is refused."""
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as archive:
        name = SHEET.encode()
        assert SHEET in archive.namelist()
    at = data.rindex(name) - 46
    assert data[at : at + 4] == b"PK\x01\x02"
    struct.pack_into("<I", data, at + 24, 10)
    path.write_bytes(data)
    assert any("cannot be read to its end" in fault.message for fault in faults_of(path))


@pytest.mark.parametrize("share", [0.0, 0.02, 0.5, 0.9, 0.999])
def test_a_file_cut_off_anywhere_is_refused(path, share):
    data = path.read_bytes()
    path.write_bytes(data[: int(share * len(data))])
    assert any(word in only(path) for word in ("empty", "damaged or cut off"))


def test_a_damaged_sheet_is_refused(path):
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as archive:
        start = archive.getinfo(SHEET).header_offset + 30 + len(SHEET)
    data[start + 20 : start + 40] = bytes(20)
    path.write_bytes(data)
    assert any(
        "cannot be read to its end" in fault.message and fault.sheet == "parts" for fault in faults_of(path)
    )


LAUGHS = '<!DOCTYPE w [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
OUTSIDE = '<!DOCTYPE w [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
SUBSET = '<!DOCTYPE w SYSTEM "http://example.invalid/x.dtd">'


@pytest.mark.parametrize(
    "doctype", [LAUGHS, OUTSIDE, SUBSET], ids=["expansion", "external entity", "external subset"]
)
@pytest.mark.parametrize(
    "entry", [SHEET, "xl/sharedStrings.xml", "xl/workbook.xml", "xl/styles.xml", "_rels/.rels"]
)
def test_entities_are_refused_wherever_they_are_declared(path, entry, doctype):
    edit(path, entry, "?>", f"?>{doctype}")
    assert "document type" in only(path)


def test_nesting_300_000_deep_costs_no_stack(path):
    found = entries(path)
    found[SHEET] = f"<worksheet {MAIN}>".encode() + b"<a>" * 300_000 + b"</a>" * 300_000 + b"</worksheet>"
    limits = Limits(ratio=5000)
    assert any(
        "holds no headings" in fault.message for fault in faults_of(repacked(path, found), limits=limits)
    )


def test_nesting_left_open_is_refused(path):
    found = entries(path)
    found[SHEET] = f"<worksheet {MAIN}>".encode() + b"<a>" * 1000
    assert any("cannot be read to its end" in fault.message for fault in faults_of(repacked(path, found)))


@pytest.mark.parametrize("dimension", ["A1:XFD1048576", "A1:ZZZZZZ9999999999", "nonsense"])
def test_the_announced_size_of_a_sheet_is_not_believed(path, dimension):
    edit(path, SHEET, '<dimension ref="A1:J5"/>', f'<dimension ref="{dimension}"/>')
    assert faults_of(path) == ()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('<row r="5"', '<row r="1048576"', "limits.rows"),
        (
            "</sheetData>",
            '<row r="1048576" ht="12.8"/></sheetData>',
            None,
        ),  # only tall, as some programs write it
        (
            '<row r="5"',
            '<row r="99999999999999999999"',
            None,
        ),  # not a row number at all: counted on from the last
        ('r="J1"', 'r="XFD1"', "limits.columns"),
        ('r="J1"', 'r="ZZZZZZZZZZ1"', None),
        ('<row r="5"', '<row r="2"', "this row twice"),
        ('<row r="5"', '<row r="-5"', None),
        ('t="s"><v>', 't="s"><v>99999', "missing from the file"),
        ('t="s"><v>', 't="s"><v>-', "missing from the file"),
    ],
)
def test_numbers_that_lie_inside_a_sheet(path, old, new, words):
    edit(path, SHEET, old, new)
    messages = [fault.message for fault in faults_of(path)]
    # None: an address that is none is passed over, the cell or row counted on from the last, and all is well.
    assert any(words in message for message in messages) if words else messages == []


def test_a_merged_range_of_the_whole_sheet_costs_nothing(path):
    edit(path, SHEET, "</sheetData>", '</sheetData><mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>')
    assert "are merged" in only(path)


@pytest.mark.parametrize(
    "target", ["/etc/passwd", "../../../etc/passwd", "file:///etc/passwd", "worksheets/none.xml"]
)
def test_a_sheet_that_points_outside_is_a_missing_entry(path, target):
    edit(path, "xl/_rels/workbook.xml.rels", "worksheets/sheet4.xml", target)
    assert any("missing entry" in fault.message and fault.sheet == "parts" for fault in faults_of(path))


def test_an_external_sheet_is_not_followed(path):
    edit(
        path,
        "xl/_rels/workbook.xml.rels",
        'Target="worksheets/sheet4.xml"',
        'Target="http://example.invalid/x" TargetMode="External"',
    )
    assert "points at nothing" in only(path)


@pytest.mark.parametrize("entry", ["xl/workbook.xml", "[Content_Types].xml", "xl/_rels/workbook.xml.rels"])
def test_a_workbook_without_its_parts(path, entry):
    found = entries(path)
    del found[entry]
    faults = faults_of(repacked(path, found))
    if entry == "[Content_Types].xml":
        assert faults == ()  # not needed to find the sheets
    else:
        assert "cannot be read" in faults[0].message


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600), "old .xls kind"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600) + "EncryptedPackage".encode("utf-16-le"), "password"),
        (b"tag,parent\nA,B\n", "not an .xlsx workbook"),
        (b"<html>PK</html>", "not an .xlsx workbook"),
        (b"PK\x03\x04" + bytes(100), "damaged or cut off"),
    ],
)
def test_other_files_under_the_name_of_a_workbook(tmp_path, content, words):
    path = tmp_path / "van.xlsx"
    path.write_bytes(content)
    assert words in only(path)


def test_another_kind_of_zip(tmp_path):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    (tmp_path / "van.xlsx").write_bytes(buffer.getvalue())
    assert "cannot be read" in only(tmp_path / "van.xlsx")


def test_a_sheet_of_too_many_cells_is_given_up(path):
    assert "limits.cells" in only(path, limits=Limits(cells=40))
    assert faults_of(path, limits=Limits(cells=400)) == ()


def test_a_million_wrong_cells_get_one_answer_not_a_list(tmp_path):
    rows = sound()
    rows["measurements"] = [{"reading": f"R{i}", "replicate": i + 1} for i in range(100)]
    faults = faults_of(saved(tmp_path, rows), limits=Limits(faults=50))
    assert len(faults) == 51
    # Each of the 100 rows lacks four compulsory cells.
    assert "350 more faults" in faults[0].message


@pytest.mark.parametrize("header", ["tag", "parent", "kind", "system", "function"])
def test_a_name_of_thirty_thousand_characters_is_refused_at_once(tmp_path, header):
    rows = sound()
    rows["parts"][1][header] = "a" + " " * 30_000 + "b"
    faults = [f for f in faults_of(saved(tmp_path, rows)) if f.column == header]
    assert "too many for a name" in faults[0].message
    assert len(faults[0].value) < 200


@pytest.mark.parametrize(
    ("sheet", "header"), [("measurements", "unit"), ("measurements", "covers"), ("instruments", "kind")]
)
def test_long_blanks_in_what_is_compared_cost_nothing(tmp_path, sheet, header):
    rows = sound()
    rows[sheet][0][header] = "a" + " " * 30_000 + "b"
    assert any("too many" in f.message for f in faults_of(saved(tmp_path, rows)) if f.column == header)


PIECES = [
    *(b"-1", b"9" * 5000, b'"', b"<", b">", b"&#0;", b"&x;", b"\x00", b"\xff", b'r="A1"', b't="s"', b't="d"'),
    *(b"<v>", b"</v>", b"<f>x</f>", b"1e999", b"nan", b"'", b",", b";", b"\r", b"\n", b"=", b"\xe2\x80\xae"),
    *(b's="99"', b"_xD800_", b'numFmtId="x"'),
]


@settings(max_examples=60)
@given(random=st.randoms(use_true_random=False))
def test_whatever_is_done_to_a_file_it_loads_or_says_why(random):
    """Random damage inside the entries of a workbook: no other error than a refusal with its reasons."""
    with tempfile.TemporaryDirectory() as folder:
        path = saved(Path(folder), sound())
        found = entries(path)
        name = random.choice(sorted(found))
        data = bytearray(found[name])
        for _ in range(random.randint(1, 5)):
            at = random.randrange(len(data) + 1)
            data[at : at + random.choice([0, 0, 1, 20])] = random.choice(PIECES)
        found[name] = bytes(data)
        repacked(path, found)
        refused = faults_of(path)
        assert all(fault.message for fault in refused)
        assert refused or read_teardown(path).vehicle.code


def test_a_workbook_without_sheets_lacks_the_compulsory_ones(path):
    with zipfile.ZipFile(path) as archive:
        book = archive.read("xl/workbook.xml").decode()
    edit(path, "xl/workbook.xml", book[book.index("<sheets>") : book.index("</sheets>")], "<sheets>")
    assert {f.sheet for f in faults_of(path) if "missing" in f.message} == {"vehicle", "configurations"}


def test_what_is_neither_file_nor_folder_is_not_opened(tmp_path):
    os.mkfifo(tmp_path / "van.xlsx")
    assert "neither a file nor a folder" in only(tmp_path / "van.xlsx")


def test_text_like_a_formula_is_text(tmp_path):
    rows = sound()
    rows["parts"][1]["note"] = '=HYPERLINK("http://example.invalid")'
    assert read_teardown(saved(tmp_path, rows)).nodes[1].note.startswith("=HYPERLINK")


FIGURES = [
    (sheet, number, header)
    for sheet, rows in sound().items()
    for number, row in enumerate(rows)
    for header, value in row.items()
    if isinstance(value, int | float) and not isinstance(value, bool)
]


@pytest.mark.parametrize(("sheet", "number", "header"), FIGURES, ids=lambda value: str(value))
@pytest.mark.parametrize("value", [1e31, -5e-324])
def test_a_figure_no_vehicle_has_is_a_fault_of_its_cell(tmp_path, sheet, number, header, value):
    rows = sound()
    rows[sheet][number][header] = value
    faults = faults_of(saved(tmp_path, rows))
    # first principles: 1e308 kg in tonnes, or divided by 5e-324, is no number any more.
    assert ("no figure of a vehicle", sheet, number + 2, header) in {
        (fault.message[3:25], fault.sheet, fault.row, fault.column) for fault in faults
    }
