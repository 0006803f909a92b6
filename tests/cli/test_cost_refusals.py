"""What cannot be right is refused with what, where and how to mend it: by workbook, process or scenario."""

import copy

import jsonschema
import pytest

from capture.books import saved
from cli.cost_rows import ROWS
from cli.running import run
from cli.schemas import FAULTS

NO = ("--draws", 100)


def changed(folder, sheet, row, **cells):
    rows = copy.deepcopy(ROWS)
    if sheet:
        rows[sheet][row].update(cells)
    return saved(folder, rows)


def why(path, tag="P1", *words):
    """What is said of a part: by the list of all, and when it is asked for alone."""
    alone = run("cost", path, "--part", tag, *NO, *words, "--json")
    assert alone.code == 2
    jsonschema.validate(alone.json, FAULTS)
    whole = run("cost", path, *NO, *words, "--json")
    if whole.code == 0:
        (refused,) = [one["why"] for one in whole.json["refused"] if one["tag"] == tag]
        assert refused in alone.json["faults"][0]["message"]
        assert tag not in {one["tag"] for one in whole.json["parts"]}
    return " ".join(one["message"] for one in alone.json["faults"])


def test_the_workbook_as_it_stands_is_costed(tmp_path):
    told = run("cost", changed(tmp_path, "", 0), *NO, "--json").json
    assert {one["tag"] for one in told["parts"]} == {"P1", "P2", "B1"}
    assert told["refused"] == []
    assert [one["tag"] for one in told["without_route"]] == ["P3"]


def test_a_negative_wall_is_refused_by_the_workbook(tmp_path):
    ran = run("cost", changed(tmp_path, "measurements", 4, value=-2.5), *NO, "--json")
    assert ran.code == 2
    (fault,) = ran.json["faults"]
    # first principles: row 6 of the sheet is the fifth reading below the heading.
    assert (fault["sheet"], fault["row"]) == ("measurements", 6)
    assert "wall thickness" in fault["message"]


@pytest.mark.parametrize(
    ("row", "value", "reason"),
    [
        (4, 35, "a wall of 35 mm is thicker than the envelope (30 mm)"),
        (4, 0.05, "sheet below 0.1 mm or above 12 mm is not stamped"),
        (4, 0, "wall thickness, mean = 0.0 m is outside"),
        (4, 900, "wall thickness, mean = 0.9 m is outside"),  # a slip of the unit
    ],
)
def test_a_wall_that_cannot_be_is_refused_by_the_engine(tmp_path, row, value, reason):
    assert reason in why(changed(tmp_path, "measurements", row, value=value))


def test_a_wall_too_thin_to_be_cast_is_refused_with_the_step(tmp_path):
    said = why(changed(tmp_path, "measurements", 10, quantity="wall thickness max", value=0.4), "P2")
    assert said.startswith("P2, step 1 (high-pressure die casting)")
    assert "wall" in said


def test_a_material_that_is_missing_or_unknown_is_refused(tmp_path):
    assert "no material is stated" in why(changed(tmp_path, "parts", 1, material=None))
    said = why(changed(tmp_path, "parts", 1, material="steel sheet, mld"))
    assert "material 'steel sheet, mld' is not in the scenario; did you mean steel sheet, mild" in said


def test_a_material_that_the_process_does_not_work_is_refused(tmp_path):
    # first principles: rubber is no sheet metal: the model asks for a strength that a rubber does not state.
    assert "P1" in why(changed(tmp_path, "parts", 1, material="epdm"))


def test_a_process_or_a_choice_nobody_knows_is_refused(tmp_path):
    said = why(changed(tmp_path, "routes", 0, process="sheet stampng"))
    assert "no process named 'sheet stampng'; did you mean sheet stamping" in said
    said = why(changed(tmp_path, "routes", 0, options="line: magic"))
    assert "line 'magic'; known: progressive, transfer" in said


def test_a_reading_that_is_missing_is_named(tmp_path):
    rows = copy.deepcopy(ROWS)
    rows["measurements"] = [one for one in rows["measurements"] if one["of"] != "P1"]
    said = why(saved(tmp_path, rows))
    assert "not stated; read it off the part" in said


def test_a_function_without_anything_that_has_a_cost_is_refused(tmp_path):
    rows = copy.deepcopy(ROWS)
    rows["functions"].append({"function": "F2", "name": "shine"})
    path = saved(tmp_path, rows)
    ran = run("cost", "compare", path, path, "--function", "shine", *NO, "--json")
    assert ran.code == 2
    assert "no approach to shine" in ran.json["faults"][0]["message"]


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        ("volume_per_year = 60000.0", "volume_per_year = 0.0", "volume_per_year = 0.0; it must be a number above 0"),
        ("volume_per_year = 60000.0", 'volume_per_year = "many"', "'many'; it must be a number"),
        ("interest_frac = 0.10", "interest_frac = -0.10", "interest_frac = -0.1; a share"),
        ('region = "north america"', 'region = "the moon"', "no region named 'the moon'"),
        ("[figure]", "[figures]", "no table named 'figures'"),
        ("shift_s = { value = 28800.0, low = 28800.0", "shift_s = { value = 28800.0, low = 3e4", "outside its limits"),
        ("shift_s = {", "shift_seconds = {", "shift_seconds"),
        ('unit = "USD/m2"', 'unit = "USD/acre"', "money is given per one of"),
        ('programme_years = 6.0', "", "programme_years missing"),
        ("[scenario]", "[scenario", "TOML"),
    ],
)  # fmt: skip
def test_a_scenario_that_cannot_be_is_refused_with_its_place(tmp_path, old, new, reason):
    path = tmp_path / "mine.toml"
    run("cost", "scenario", "--write", path)
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    ran = run("cost", "scenario", "--scenario", path, "--json")
    assert ran.code == 2, ran.out[-500:]
    assert reason in ran.json["faults"][0]["message"]


@pytest.mark.parametrize(
    ("table", "reason"),
    [
        ('[material.gold]\nprice = 3.0\n', "mine.toml"),
        ('[material.gold]\nwords = "gold"\nprice = { value = 1.0 }\n', "low, high, unit, mark, source missing"),
        ('[machine.press]\nwords = "a press"\n', "missing"),
        ('[index.gold]\nwords = "gold"\n', "'points' missing"),
        ('[exchange.GBP]\nrate = 1.25\n', "'at' missing"),
        ('[region.moon]\nwords = "the Moon"\n', "[region.moon]: wage_money_per_s, overhead_frac"),
        ('[process.spot_welding]\nspot_s = 3.0\n', "no process has this figure"),
    ],
)  # fmt: skip
def test_a_table_that_lacks_something_is_refused_with_its_place(tmp_path, table, reason):
    path = tmp_path / "mine.toml"
    run("cost", "scenario", "--write", path)
    path.write_text(f"{path.read_text()}\n{table}")
    ran = run("cost", "scenario", "--scenario", path, "--json")
    assert ran.code == 2, ran.out[-500:]
    assert reason in ran.json["faults"][0]["message"]


def test_a_figure_of_a_process_nobody_knows_is_refused(tmp_path):
    path = tmp_path / "mine.toml"
    run("cost", "scenario", "--write", path)
    figure = 'value = 3.0\nlow = 2.5\nhigh = 4.0\nunit = "s"\nmark = "common practice"\nsource = "timed"\n'
    path.write_text(f'{path.read_text()}\n[process."spot_welding/spot_seconds"]\n{figure}')
    ran = run("cost", "scenario", "--scenario", path, "--json")
    assert ran.code == 2
    assert "spot_welding/spot_seconds" in ran.json["faults"][0]["message"]
