"""How commands end: exit codes, faults, and messages a person can act on."""

import io
import json
import os
import subprocess
import sys

import jsonschema
import pytest

from cli.running import assert_fits, run, vehicle
from cli.schemas import FAULTS
from hoistbook.capture.faults import Fault, LoadRefused
from hoistbook.cli.outcome import DONE, MOST_FAULTS, REFUSED, UNEXPECTED, faults_of, report
from hoistbook.cli.page import NARROWEST, Page


def refused(*words):
    """Run a command that must be refused in both forms; returns the message for people and the faults for scripts."""
    plain = run(*words)
    assert plain.code == REFUSED
    assert plain.out == ""
    assert "Traceback" not in plain.err
    assert_fits(plain.err)
    scripted = run(*words, "--json")
    assert scripted.code == REFUSED
    jsonschema.validate(scripted.json, FAULTS)
    return " ".join(plain.err.split()), scripted.json["faults"]


def test_missing_file(tmp_path):
    said, faults = refused("mass", tmp_path / "none.xlsx")
    assert "none.xlsx" in said.replace(" ", "")
    assert "none.xlsx" in json.dumps(faults)


def test_file_that_is_no_workbook(tmp_path):
    path = tmp_path / "notes.xlsx"
    path.write_text("not a workbook")
    said, _ = refused("range", path)
    assert said


def test_broken_workbook_lists_every_fault_with_its_place(tmp_path):
    folder = tmp_path / "van"
    folder.mkdir()
    (folder / "vehicle.csv").write_text("code,name\nW1,Whimbrel\n")
    (folder / "configurations.csv").write_text("configuration\ndelivered\n")
    (folder / "parts.csv").write_text(
        "tag,parent,name,kind,count\nW-1,,van,assembly,1\nW-2,W-9,door,part,many\n"
    )
    said, faults = refused("mass", folder)
    places = {(fault["sheet"], fault["row"], fault["column"]) for fault in faults}
    assert ("parts", 3, "count") in places
    assert ("parts", 3, "parent") in places
    assert "nothing was loaded" in said
    assert "parts row 3, count: 'many'" in said


def test_unknown_cycle_names_the_closest():
    numbers = ("--mass-kg", 1700, "--a-n", 120, "--b-n-s-per-m", 1, "--c-n-s2-per-m2", 0.6)
    said, faults = refused("cycle", "wltc3", *numbers)
    assert "wltc3b" in said
    assert "wltc3b" in faults[0]["message"]


def test_mass_that_cannot_be():
    said, _ = refused("cycle", "udds", "--mass-kg", -1, "--a-n", 1, "--b-n-s-per-m", 0, "--c-n-s2-per-m2", 1)
    assert "mass_kg = -1.0" in said


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("gap", "a.xlsx"), "Missing argument 'B'"),
        (("gap", "a.xlsx", "b.xlsx", "--quantity", "cost"), "'cost' is not one of 'range', 'energy', 'mass'"),
        (("gap", "a.xlsx", "b.xlsx", "--quantiy", "mass"), "--quantity"),
        (("range", "a.xlsx", "--draws", "5"), "--draws"),
        (("mas", "a.xlsx"), "No such command 'mas'"),
    ],
)
def test_wrong_command_line_says_what_is_known(words, expected):
    said, _ = refused(*words)
    assert expected in said
    assert "--help" in said


def test_long_list_of_faults_is_counted_not_cut_silently(monkeypatch):
    faults = [Fault("parts", row, "tag", "", "give every part a tag.") for row in range(2, MOST_FAULTS + 5)]

    def load(path, progress=None):
        raise LoadRefused(faults)

    monkeypatch.setattr("hoistbook.services.loading.load_teardown", load)
    said, listed = refused("mass", "x.xlsx")
    assert said.count("give every part a tag.") == MOST_FAULTS
    assert "3 more faults are not printed; --json lists all of them." in said
    assert len(listed) == len(faults)


def unexpected(monkeypatch, **environment):
    def load(path, progress=None):
        return vehicle("W1", "Whimbrel")

    def report(*_, **__):
        return {}["nothing"]

    monkeypatch.setattr("hoistbook.services.loading.load_teardown", load)
    monkeypatch.setattr("hoistbook.services.mass.mass_report", report)
    return run("mass", "x.xlsx", **environment)


def test_fault_of_the_program_is_owned_up_to(monkeypatch):
    ran = unexpected(monkeypatch)
    assert ran.code == UNEXPECTED
    assert ran.out == ""
    assert "Traceback" not in ran.err
    assert "fault of the program, not of your workbook" in " ".join(ran.err.split())


def test_traceback_can_be_asked_for(monkeypatch):
    assert "Traceback" in unexpected(monkeypatch, HOISTBOOK_TRACEBACK="1").err


def test_value_error_from_a_library_is_no_refusal(monkeypatch):
    def load(path, progress=None):
        return json.loads("{")  # a ValueError, but not one written for people

    monkeypatch.setattr("hoistbook.services.loading.load_teardown", load)
    assert run("mass", "x.xlsx").code == UNEXPECTED


def test_help_and_nothing_are_no_errors():
    for words in ((), ("--help",), ("gap", "--help")):
        ran = run(*words)
        assert ran.code == 0
        assert_fits(ran.out.replace("[ARGS]...", "[ARGS]"))
        assert "Exit codes: 0 done; 2 a workbook or an argument was refused" in ran.plain


def test_reader_that_stops_reading_ends_the_command_quietly():
    # first principles: a pipe whose reading end is closed refuses the first byte.
    reading, writing = os.pipe()
    os.close(reading)
    command = "from hoistbook.cli.main import app; app()"
    ran = subprocess.run(
        [sys.executable, "-c", command, "cycle", "us", "--mass-kg", "1700", "--a-n", "120",
         "--b-n-s-per-m", "1", "--c-n-s2-per-m2", "0.6"],
        stdout=writing, stderr=subprocess.PIPE, text=True, check=False,
    )  # fmt: skip
    os.close(writing)
    assert ran.stderr == ""
    assert ran.returncode == DONE


def test_a_page_is_set_whatever_the_terminal_says_of_its_width(monkeypatch):
    monkeypatch.setenv("COLUMNS", "0")
    assert Page(io.StringIO()).width >= NARROWEST
    Page(io.StringIO()).bullets(["a sentence of several words that must be broken somewhere"])


def test_an_unexpected_error_is_one_json_object_too(capsys):
    code = report(RuntimeError("no locator"), as_json=True)
    said = json.loads(capsys.readouterr().out)
    assert code == UNEXPECTED
    assert "no locator" in said["faults"][0]["message"]


def test_too_little_memory_asks_for_fewer_draws():
    [fault] = faults_of(MemoryError())
    assert "fewer" in fault.message


@pytest.mark.parametrize(
    "words",
    [
        ("--mass-kg", "inf", "--a-n", "150", "--b-n-s-per-m", "1", "--c-n-s2-per-m2", "0.4"),
        ("--mass-kg", "2060", "--a-n", "nan", "--b-n-s-per-m", "1", "--c-n-s2-per-m2", "0.4"),
        ("--mass-kg", "2060", "--a-n", "150", "--b-n-s-per-m", "1", "--c-n-s2-per-m2", "1e308"),
    ],
)
def test_a_road_load_out_of_reach_is_refused_in_both_forms(words):
    refused("cycle", "wltc3b", *words)
