"""A folder of CSV files as people and programs really write them."""

import csv
import io
import os

import pytest

from capture.books import SOUND, faults_of, sound
from hoistbook.capture.read import read_teardown
from hoistbook.capture.tables import Limits
from hoistbook.capture.write import write_csv_folder


def folder(tmp_path, rows=None, *, separator=",", encoding="utf-8", newline="\r\n"):
    """The sound rows as CSV in another dialect."""
    write_csv_folder(tmp_path, rows or sound())
    for path in tmp_path.glob("*.csv"):
        fields = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))
        text = io.StringIO(newline="")
        csv.writer(text, delimiter=separator, lineterminator=newline).writerows(fields)
        path.write_bytes(text.getvalue().encode(encoding))
    return tmp_path


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("newline", ["\r\n", "\n", "\r"])
def test_every_dialect_gives_the_same_records(tmp_path, separator, encoding, newline):
    teardown = read_teardown(folder(tmp_path, separator=separator, encoding=encoding, newline=newline))
    assert teardown.nodes[1].name == "arm"
    assert len(teardown.measurements) == len(SOUND["measurements"])
    assert any("semicolons" in n for n in teardown.reported) == (separator == ";")
    assert any("UTF-16" in n for n in teardown.reported) == (encoding == "utf-16")


def test_windows_1252_is_read_and_reported(tmp_path):
    rows = sound()
    rows["parts"][1]["name"] = "Bügel, Größe 2"
    teardown = read_teardown(folder(tmp_path, rows, encoding="cp1252"))
    assert teardown.nodes[1].name == "Bügel, Größe 2"
    assert any("Windows-1252" in n for n in teardown.reported)


def test_bytes_of_no_encoding_are_refused(tmp_path):
    folder(tmp_path)
    (tmp_path / "joints.csv").write_bytes(b"joint,parts,process\nJ1,A1,\x81\xff\n")
    assert any("neither UTF-8 nor cp1252" in f.message and f.sheet == "joints" for f in faults_of(tmp_path))


def test_a_comma_decimal_between_semicolons_is_refused(tmp_path):
    rows = sound()
    rows["measurements"][0]["value"] = "2,5"
    faults = faults_of(folder(tmp_path, rows, separator=";"))
    assert [(f.sheet, f.row, f.column, f.value) for f in faults] == [("measurements", 2, "value", "2,5")]


def test_a_comma_decimal_between_commas_is_seen_as_a_field_too_many(tmp_path):
    folder(tmp_path)
    (tmp_path / "shares.csv").write_text("part,approach,share [%]\nC1,P1,60,5\nC1,P2,40\n")
    faults = faults_of(tmp_path)
    assert ("shares", 2, "column D", "5") in [(f.sheet, f.row, f.column, f.value) for f in faults]
    assert any("double quotes" in f.message for f in faults)


def test_numbers_are_read_as_typed_and_nothing_else_is(tmp_path):
    for typed, value in [
        ("2.5", 2.5),
        ("+2.5", 2.5),
        ("2.5e0", 2.5),
        (" 2.5 ", 2.5),
        ("2.", 2.0),
        (".5", 0.5),
    ]:
        rows = sound()
        rows["measurements"][0]["value"] = 1.0
        folder(tmp_path, rows)
        text = (tmp_path / "measurements.csv").read_text()
        (tmp_path / "measurements.csv").write_text(text.replace("mass,1.0,kg", f"mass,{typed},kg"))
        assert read_teardown(tmp_path).measurements[0].value.value == value
    for typed in ("٢", "2_5", "1e999", "'2.5", "2.5 kg", "nan", "0x10", "２"):
        folder(tmp_path, rows)
        text = (tmp_path / "measurements.csv").read_text()
        (tmp_path / "measurements.csv").write_text(
            text.replace("mass,1.0,kg", f"mass,{typed},kg"), encoding="utf-8"
        )
        assert [f.column for f in faults_of(tmp_path)] == ["value"], typed


def test_rows_are_counted_as_a_spreadsheet_shows_them(tmp_path):
    """A line break inside quotes makes no row; an empty line does."""
    folder(tmp_path)
    (tmp_path / "joints.csv").write_text(
        'joint,parts,process,note\nJ1,A1,screwing,"two\nlines"\n\nJ2,Z9,screwing,\n'
    )
    assert [(f.sheet, f.row) for f in faults_of(tmp_path)] == [("joints", 4)]


@pytest.mark.parametrize("text", ["=1+1", "+49 89", "-", "@x", "'quoted", "\ttab", "plain", "'=1"])
def test_text_like_a_formula_survives_and_is_marked_in_the_file(tmp_path, text):
    rows = sound()
    rows["parts"][1]["note"] = f"{text} ."
    write_csv_folder(tmp_path, rows)
    field = list(csv.reader(io.StringIO((tmp_path / "parts.csv").read_text(), newline="")))[2][-1]
    assert not field.startswith(("=", "+", "-", "@", "\t"))
    assert read_teardown(tmp_path).nodes[1].note == f"{text} .".strip()


def test_broken_quotes_are_refused(tmp_path):
    folder(tmp_path)
    (tmp_path / "joints.csv").write_text('joint,parts,process\nJ1,"A1"x,screwing\n')
    assert any("not proper CSV" in f.message and f.sheet == "joints" for f in faults_of(tmp_path))


def test_a_nul_is_refused_where_it_stands(tmp_path):
    rows = sound()
    rows["parts"][1]["tag"] = "A\x001"
    assert any(
        f.sheet == "parts" and ("U+0000" in f.message or "not proper CSV" in f.message)
        for f in faults_of(folder(tmp_path, rows))
    )


def test_files_that_are_not_csv_are_reported(tmp_path):
    folder(tmp_path)
    (tmp_path / "photo.jpg").write_bytes(b"x")
    (tmp_path / ".hidden").write_bytes(b"x")
    assert "not read, because not CSV: photo.jpg." in read_teardown(tmp_path).reported


def test_capitals_of_file_names_do_not_matter_but_two_of_one_name_do(tmp_path):
    folder(tmp_path)
    (tmp_path / "parts.csv").rename(tmp_path / "Parts.CSV")
    assert read_teardown(tmp_path).nodes
    (tmp_path / "parts.csv").write_text("tag,parent,name,kind\n")
    assert any("two sheets named 'parts'" in f.message for f in faults_of(tmp_path))


def test_an_empty_folder_and_a_single_file(tmp_path):
    (tmp_path / "empty").mkdir()
    assert "no .csv file" in faults_of(tmp_path / "empty")[0].message
    (tmp_path / "parts.csv").write_text("tag\n")
    assert "give the folder" in faults_of(tmp_path / "parts.csv")[0].message


def test_an_empty_file_has_no_headings(tmp_path):
    folder(tmp_path)
    (tmp_path / "joints.csv").write_bytes(b"")
    assert [(f.sheet, f.row) for f in faults_of(tmp_path)] == [("joints", 1)]


def test_limits_of_a_folder(tmp_path):
    folder(tmp_path)
    assert "limits.rows" in faults_of(tmp_path, limits=Limits(rows=2))[0].message
    assert "limits.columns" in faults_of(tmp_path, limits=Limits(columns=2))[0].message
    assert "limits.unpacked_bytes" in faults_of(tmp_path, limits=Limits(unpacked_bytes=20))[0].message
    assert "more than 3" in faults_of(tmp_path, limits=Limits(entries=3))[0].message


def pipe(path):
    os.mkfifo(path)


@pytest.mark.parametrize(
    ("put", "what"),
    [
        (pipe, "a pipe"),
        (lambda path: path.symlink_to("/dev/zero"), "a device"),
        (lambda path: path.mkdir(), "a folder"),
        (lambda path: path.symlink_to(path.parent / "gone.csv"), "a link that leads nowhere"),
        (lambda path: path.symlink_to(path), "a link that leads nowhere"),
    ],
)
@pytest.mark.parametrize("sheet", ["joints", "parts"])
def test_what_is_no_file_is_a_fault_and_never_skipped(tmp_path, put, what, sheet):
    path = folder(tmp_path) / f"{sheet}.csv"
    path.unlink()
    put(path)
    faults = faults_of(tmp_path)
    assert [(f.sheet, f.value) for f in faults if "not a file" in f.message] == [(sheet, path.name)]
    assert what in faults[0].message
    # Nothing is said of the sheet being missing, nor of what points at it: that only follows.
    assert len(faults) == 1


def test_a_link_to_a_file_is_followed(tmp_path):
    path = folder(tmp_path) / "joints.csv"
    path.rename(tmp_path / "joints.txt")
    path.symlink_to(tmp_path / "joints.txt")
    assert len(read_teardown(tmp_path).joints) == 1
