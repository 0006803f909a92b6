"""The commands on the packaged vans and on a filled template. The vans are invented: figures are not checked."""

import importlib
import re
from pathlib import Path

import jsonschema
import pytest

from cli.cost_schemas import COMPARISON, PART
from cli.running import assert_fits, run
from cli.schemas import CYCLE, GAP, MASS, RANGE, RATES
from hoistbook.cli import demo_page
from hoistbook.cli.demo_page import run_demo
from hoistbook.services.demo import STUDY, demo_store, van_paths

ROAD_LOAD = ("--mass-kg", 1700, "--a-n", 120, "--b-n-s-per-m", 1, "--c-n-s2-per-m2", 0.6)


@pytest.fixture(scope="module")
def vans():
    return van_paths()


def answer_once(monkeypatch, service):
    """Let a service work once and hand out the same answer again: the page and the JSON show one result."""
    module, _, name = service.rpartition(".")
    original = getattr(importlib.import_module(module), name)
    answers = []

    def answer(*arguments, **options):
        if not answers:
            answers.append(original(*arguments, **options))
        return answers[0]

    monkeypatch.setattr(service, answer)


@pytest.mark.parametrize(
    ("command", "options", "schema", "service"),
    [
        ("mass", (), MASS, "hoistbook.services.mass.mass_report"),
        ("range", ("--draws", 100), RANGE, "hoistbook.services.energy.range_report"),
        ("rates", ("--draws", 100), RATES, "hoistbook.services.rates.rates_report"),
    ],
    ids=["mass", "range", "rates"],
)
def test_one_vehicle_on_a_page_and_as_json(monkeypatch, vans, command, options, schema, service):
    answer_once(monkeypatch, service)
    ran = run(command, vans["turnstone"], *options)
    assert ran.code == 0, ran.err
    assert_fits(ran.out)
    assert "Turnstone" in ran.out
    scripted = run(command, vans["turnstone"], *options, "--json")
    jsonschema.validate(scripted.json, schema)


def assert_adds_up(walk):
    total = sum(cause["value"] for cause in walk["causes"])
    assert total == pytest.approx(walk["gap"]["value"], abs=1e-6)
    for cause in walk["causes"]:
        parts = sum(decision["value"] for decision in cause["decisions"]) + cause["unexplained"]["value"]
        assert parts == pytest.approx(cause["value"], abs=1e-6)


def test_gap_of_two_workbooks(vans):
    ran = run("gap", vans["whimbrel"], vans["turnstone"], "--quantity", "mass", "--draws", 100, "--json")
    assert ran.code == 0, ran.err
    jsonschema.validate(ran.json, GAP)
    assert_adds_up(ran.json)
    assert_adds_up(ran.json["other"])


def test_cycle_of_one_and_of_two():
    ran = run("cycle", "udds", *ROAD_LOAD, "--json")
    jsonschema.validate(ran.json, CYCLE)
    assert ran.json["cycle"] == "udds"
    # published: 40 CFR 86 appendix I (UDDS): 1369 s, 7.45 miles; the distance to the digits printed there.
    assert ran.json["duration_s"] == 1369
    assert ran.json["distance_m"] / 1609.344 == pytest.approx(7.45, abs=0.005)
    both = run("cycle", "us", *ROAD_LOAD, "--json").json
    assert [row["cycle"] for row in both["cycles"]] == ["udds", "hwfet"]
    assert_fits(run("cycle", "us", *ROAD_LOAD).out)


def test_cycle_from_a_file(tmp_path):
    path = tmp_path / "yard.csv"
    path.write_text("time [s],speed [km/h]\n0,0\n10,36\n20,36\n30,0\n")
    found = run("cycle", path, *ROAD_LOAD, "--json").json
    # first principles: 10 m/s held for 10 s and ramps of 10 s at a mean of 5 m/s: 50 + 100 + 50 m.
    assert found["distance_m"] == pytest.approx(200.0)
    assert found["cycle"] == "yard"


def test_template_can_be_loaded_once_filled(tmp_path):
    path = tmp_path / "van.xlsx"
    written = run("template", path, "--example")
    assert written.code == 0
    assert_fits(written.out.replace(str(tmp_path), "."))
    assert run("mass", path).code == 0
    again = run("template", path)
    assert again.code == 2
    assert "was left as it is" in " ".join(again.err.split())
    assert run("template", path, "--force").code == 0
    empty = run("mass", path)
    assert empty.code == 2
    assert "configurations" in empty.err


def test_template_is_a_workbook(tmp_path):
    ran = run("template", tmp_path / "van.csv")
    assert ran.code == 2
    assert "van.xlsx" in ran.err.replace("\n", "")


@pytest.fixture(scope="module")
def worked_out(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "out"
    with pytest.MonkeyPatch.context() as patch:
        # A database somebody keeps real vehicles in is never given the invented ones.
        patch.setenv("DATABASE_URL", "postgresql://nobody@127.0.0.1:1/none")
        return folder, run_demo(folder, duty="wltc3b", draws=100, seed=1, dark=False)


@pytest.fixture
def shown(monkeypatch, worked_out):
    folder, demo = worked_out
    monkeypatch.setattr("hoistbook.cli.demo_page.run_demo", lambda *_, **__: demo)
    return folder, run("demo", "--out", folder)


def test_demo_tells_the_whole_story(shown):
    folder, ran = shown
    assert ran.code == 0, ran.err
    assert_fits(ran.out.replace(str(folder), "out"))
    for wanted in (
        "Whimbrel: parts and scale",
        "Turnstone: parts and scale",
        "Dotterel: parts and scale",
        "Turnstone goes",
        "although its battery holds",
        "With unlike content set equal",
        "Turnstone weighs",
        "is not explained yet",
        "licensed people decide",
        "Vans, makers and figures are invented",
        "What should Whimbrel cost?",
        "Gear casing (W-0710) of Whimbrel should cost",
        "s of standard time for",
        "Three decisions in money",
        "likely that Turnstone is cheaper",
        "likely that Whimbrel is cheaper",
        "break-even, Volume: Whimbrel is cheaper below",
    ):
        assert wanted in ran.plain


def test_demo_as_json(shown):
    folder, page = shown
    found = run("demo", "--json").json
    assert len(found["closure"]) == 3
    for quantity in ("range", "mass"):
        jsonschema.validate({**found[quantity], "hoistbook": found["hoistbook"]}, GAP)
        assert_adds_up(found[quantity])
        assert_adds_up(found[quantity]["other"])
    jsonschema.validate(found["cost"]["part"], PART)
    assert len(found["cost"]["decisions"]) == 3
    for one in found["cost"]["decisions"]:
        jsonschema.validate({**one, "hoistbook": found["hoistbook"]}, COMPARISON)
        # first principles: a walk adds up to the difference.
        assert sum(step["value"] for step in one["walk"]) == pytest.approx(one["difference"]["value"])
    assert all((folder / name).exists() for name in found["files"])
    assert found["range"]["answer"].replace("\u202f", " ").replace("\u00a0", " ") in page.plain


def test_demo_asks_for_what_was_typed(monkeypatch, worked_out):
    asked = {}

    def run_it(out, **options):
        asked.update(options, out=out)
        return worked_out[1]

    monkeypatch.setattr("hoistbook.cli.demo_page.run_demo", run_it)
    run("demo", "--out", "here", "--duty", "us", "--draws", 200, "--seed", 3, "--dark")
    assert asked == {"out": Path("here"), "duty": "us", "draws": 200, "seed": 3, "dark": True}


def test_demo_leaves_drawings_and_workbooks_that_its_hints_name(shown):
    folder, ran = shown
    names = {path.name for path in folder.iterdir()}
    assert {"whimbrel.xlsx", "turnstone.xlsx", "dotterel.xlsx"} <= names
    drawings = {name for name in names if name.endswith(".svg")}
    assert len(drawings) >= 3
    assert all(name in ran.out for name in names)
    hints = re.findall(r"^  hoistbook (\w+) (.*)$", ran.out, flags=re.MULTILINE)
    assert {command for command, _ in hints} >= {
        "gap",
        "mass",
        "rates",
        "template",
        "claims",
        "history",
        "serve",
    }
    named = {word for _, words in hints for word in words.split() if word.endswith(".xlsx")}
    assert named <= names | {"van.xlsx"}


def test_demo_leaves_a_store_that_its_hints_can_use(shown):
    folder, _ = shown
    found = run("claims", STUDY, "--store", folder / "store", "--json").json
    assert {claim["state"] for claim in found["claims"]} == {"confirmed", "refuted", "open"}
    assert run("history", "turnstone", "F30", "--store", folder / "store").code == 0


def test_demo_leaves_a_store_as_it_was(worked_out):
    folder, _ = worked_out
    changes = run("history", "turnstone", "--store", folder / "store", "--json").json
    assert demo_store(folder / "store") is False
    assert run("history", "turnstone", "--store", folder / "store", "--json").json == changes


def test_demo_that_is_stopped_leaves_no_store(monkeypatch, tmp_path):
    def stop(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("hoistbook.services.study.freeze", stop)
    with pytest.raises(KeyboardInterrupt):
        demo_store(tmp_path / "store")
    assert list(tmp_path.iterdir()) == []


def test_demo_draws_the_walk_as_it_prints_it(shown):
    folder, _ = shown
    drawn = (folder / "range-as-found.svg").read_text()
    for wanted in (
        "Whimbrel",
        "Turnstone",
        "Usable battery energy",
        "detection limit",
        "normalised, where it differs",
    ):
        assert wanted in drawn


def test_demo_says_how_to_make_its_command_known(monkeypatch):
    monkeypatch.setattr("shutil.which", lambda name: None)
    monkeypatch.setattr("sys.prefix", "elsewhere/.venv")
    [line] = demo_page._activation()
    assert line.endswith("elsewhere/.venv/bin/activate")
    monkeypatch.setattr("shutil.which", lambda name: "/usr/bin/hoistbook")
    assert demo_page._activation() == ()
