"""hoistbook cost: objects that add up, pages an engineer can read, and refusals with their reasons."""

from collections import defaultdict

import jsonschema
import openpyxl
import pytest

from capture.books import saved
from cli.cost_rows import ROWS
from cli.cost_schemas import COST, ONE_PART
from cli.running import assert_fits, run
from cli.schemas import FAULTS
from hoistbook.services.demo import van_paths

VAN = van_paths()["whimbrel"]
FEW = ("--draws", 100)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """A vehicle of two parts and four screws."""
    return saved(tmp_path_factory.mktemp("small"), ROWS)


@pytest.fixture(scope="module")
def told():
    ran = run("cost", VAN, *FEW, "--json")
    assert ran.code == 0
    return ran.json


@pytest.fixture(scope="module")
def page():
    ran = run("cost", VAN, *FEW)
    assert ran.code == 0
    return ran


def test_the_object_is_as_promised(told):
    jsonschema.validate(told, COST)


def test_lines_of_every_part_add_up_to_its_piece(told):
    for part in told["parts"]:
        # first principles: a cost is the sum of its lines.
        assert sum(line["value"] for line in part["lines"]) == pytest.approx(part["piece"]["value"], rel=1e-9)
        for name in ("currency", "year"):
            assert part[name] == told[name]


def test_parts_add_up_over_nodes_to_systems_functions_and_vehicle(told):
    made, bought = defaultdict(float), defaultdict(float)
    for part in told["parts"]:
        where = made if part["basis"] == "should cost" else bought
        where[part["tag"]] += part["piece"]["value"] * part["pieces_per_vehicle"]
    below = defaultdict(list)
    for node in told["nodes"]:
        below[node["parent"]].append(node)
    for node in told["nodes"]:
        children = below[node["key"]]
        # first principles: a node is its own pieces and what hangs below it; should costs and prices stay apart.
        for kind, own in (("parts", made), ("fasteners", bought)):
            assert node[kind] == pytest.approx(
                own[node["key"]] + sum(child[kind] for child in children), rel=1e-9, abs=1e-9
            )
        kinds = node["parts"] + node["fasteners"] + node["assembly"]
        assert kinds == pytest.approx(node["total"]["value"], rel=1e-9, abs=1e-9)
    (root,) = below[""]
    assert root["total"] == told["total"]
    for several in (told["systems"], told["functions"]):
        for kind in ("parts", "fasteners", "assembly", "tooling", "assembly_s"):
            # first principles: systems divide the vehicle; shares of functions and the rest do too.
            assert sum(one[kind] for one in several) == pytest.approx(root[kind], rel=1e-9)


def test_what_is_left_out_and_what_has_a_cost_are_all_there_is(told):
    kinds = [{one["tag"] for one in told[name]} for name in ("parts", "refused", "without_route")]
    assert sum(map(len, kinds)) == len(set.union(*kinds))
    assert 0.0 < told["covered"]["mass_frac"] < 1.0


def test_one_part_is_the_same_part(small):
    ran = run("cost", small, "--part", "P1", *FEW, "--json")
    jsonschema.validate(ran.json, ONE_PART)
    whole = next(one for one in run("cost", small, *FEW, "--json").json["parts"] if one["tag"] == "P1")
    assert ran.json["parts"] == [whole]
    assert {name: ran.json[name] for name in whole} == whole


def test_a_fastener_has_a_price_and_no_should_cost(small):
    told = run("cost", small, "--part", "B1", *FEW, "--json").json
    jsonschema.validate(told, ONE_PART)
    assert told["basis"] == "purchase price"
    ran = run("cost", small, "--part", "B1", *FEW)
    assert_fits(ran.out)
    assert "a price, not a should cost" in ran.plain


def test_the_long_form_is_the_same_command(small):
    short, long = (run("cost", *words, small, "--part", "P1", *FEW) for words in ((), ("vehicle",)))
    assert (short.code, short.out) == (long.code, long.out)


def test_without_a_word_the_commands_are_listed():
    ran = run("cost")
    assert ran.code == 0
    assert "vehicle" in ran.out


def test_the_page_says_what_it_rests_on(page):
    assert_fits(page.out)
    for words in (
        "USD of 2023", "machines are shared", "−20 to +30 %", "none is live", "Left out: what has no cost",
        "Cell, prismatic (W-0603)", "% of the mass",
    ):  # fmt: skip
        assert words in page.plain


def test_printed_sums_add_up_as_printed(page, told):
    rows = [line for line in page.out.splitlines() if line.startswith("Vehicle ")]
    expected = f"{told['total']['value']:,.2f}".replace(",", "\u202f")
    # first principles: systems and functions close with the same vehicle.
    assert len(rows) == 2
    assert all(expected in row for row in rows)


def test_the_page_of_a_part_names_steps_readings_and_estimates(small):
    ran = run("cost", small, "--part", "P2", *FEW)
    assert ran.code == 0
    assert_fits(ran.out)
    for words in (
        "High-pressure die casting", "set by", "a running hour", "Read off the part", "measured", "Piece",
        "Estimated from other readings", "wall thickness, thickest", "All tools over the programme",
    ):  # fmt: skip
        assert words in ran.plain


def test_depth_prints_the_tree_with_what_is_below(told):
    ran = run("cost", VAN, *FEW, "--depth", 1)
    assert_fits(ran.out)
    tree = ran.plain.partition("Down the part tree")[2].partition("Dearest parts")[0]
    assert all(
        one["words"] in tree for one in told["nodes"] if one["parent"] == "W-0000" and one["total"]["value"]
    )
    assert "W-0101" not in tree


def test_a_dedicated_machine_costs_more_and_is_said(small):
    shared, dedicated = (
        run("cost", small, "--part", "P1", *FEW, "--machines", word, "--json").json
        for word in ("shared", "dedicated")
    )
    # first principles: a whole press for 60,000 pieces a year costs no less than the hours they need.
    assert dedicated["piece"]["value"] > shared["piece"]["value"]
    assert (shared["scenario"]["dedicated"], dedicated["scenario"]["dedicated"]) == (False, True)
    assert any("dedicated" in line for line in dedicated["assumed"])


def test_other_money_is_the_same_cost_at_the_dated_rate(small):
    usd, eur = (
        run("cost", small, "--part", "P1", *FEW, "--currency", code, "--json").json for code in ("USD", "eur")
    )
    # common practice: the packaged scenario takes 1.08 USD for a EUR of 2023. What was stated in USD is divided by it,
    # what was stated in EUR is not changed twice: the piece as a whole is divided.
    assert usd["piece"]["value"] / eur["piece"]["value"] == pytest.approx(1.08, rel=1e-9)
    assert (eur["currency"], eur["year"]) == ("EUR", 2023)


def test_the_sheet_is_written_with_the_piece_in_it(tmp_path, small):
    path = tmp_path / "part.xlsx"
    ran = run("cost", small, "--part", "P1", *FEW, "--sheet", path)
    assert ran.code == 0
    assert str(path.name) in ran.plain
    book = openpyxl.load_workbook(path)
    formulas = [
        cell.value for sheet in book for row in sheet for cell in row if str(cell.value).startswith("=")
    ]
    assert formulas


def test_the_sheet_of_a_vehicle_ends_in_its_total(told, tmp_path):
    ran = run("cost", VAN, *FEW, "--sheet", tmp_path / "van.xlsx")
    assert ran.code == 0
    book = openpyxl.load_workbook(tmp_path / "van.xlsx", data_only=True)
    # computed: by the command itself.
    assert book["vehicle"]["B2"].value == pytest.approx(told["total"]["value"], rel=1e-12)


def test_a_sister_pools_the_volume_of_tools():
    vans = van_paths()
    alone, pooled = (
        run("cost", vans["turnstone"], *FEW, *more, "--json").json
        for more in ((), ("--sister", vans["dotterel"]))
    )
    before = {one["tag"]: one for one in alone["parts"]}
    carried = [one for one in pooled["parts"] if one["carried_over"]]
    assert carried
    for one in carried:
        assert one["pieces_per_year"] >= before[one["tag"]]["pieces_per_year"]
        assert sum(one["carried_over"]["probability"].values()) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--volume", 0), "volume_per_year = 0.0; it must be a number above 0"),
        (("--volume", "nan"), "volume_per_year = nan"),
        (("--volume", "inf"), "volume_per_year = inf"),
        (("--volume", -5), "volume_per_year = -5.0"),
        (("--region", "mars"), "no region named 'mars'; known: north america"),
        (("--supplier", "nobody"), "no supplier named 'nobody'"),
        (("--currency", "XYZ"), "no rate of exchange for 'XYZ'; known: USD, EUR"),
        (("--year", 1960), "has no point for 1960"),
        (("--part", "P3"), "P3: no route; list how it is made in the sheet routes"),
        (("--part", "VAN"), "is put together from parts"),
        (("--part", "P11"), "no part 'P11'; did you mean P1"),
        (("--configuration", "loaded"), "no configuration 'loaded'"),
        (("--sheet", "van.csv"), "end the name in .xlsx"),
        (("--part", "P1", "--sheet", "part.csv"), "end the name in .xlsx"),
        (("--part", "P1", "--sheet", "nowhere/part.xlsx"), "there is no folder nowhere"),
        (("--sister-volume", 100), "belongs to --sister"),
        (("--scenario", "nowhere.toml"), "nowhere.toml: No such file"),
    ],
)
def test_what_is_wrong_is_refused_with_the_reason(small, words, why):
    ran = run("cost", small, *words, *FEW, "--json")
    assert ran.code == 2
    jsonschema.validate(ran.json, FAULTS)
    assert why in ran.json["faults"][0]["message"]


def test_a_vehicle_is_not_its_own_sister(small):
    ran = run("cost", small, "--sister", small)
    assert ran.code == 2
    assert "is not its own sister" in " ".join(ran.err.split())


def test_a_refusal_is_said_on_standard_error(small):
    ran = run("cost", small, "--volume", 0)
    assert ran.code == 2
    assert ran.out == ""
    assert "volume_per_year = 0.0" in " ".join(ran.err.split())
