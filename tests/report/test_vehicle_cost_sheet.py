"""The cost sheet of a vehicle, worked out by a general-purpose library that computes spreadsheets."""

import warnings

import pytest
from openpyxl import load_workbook

from core.cost.any_part import any_part
from hoistbook.capture.read import read_teardown
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.result import Money
from hoistbook.reference.cost import packaged_scenario
from hoistbook.report.vehicle_cost_sheet import (
    BoughtRow,
    PartRow,
    TreeRow,
    VehicleCost,
    write_vehicle_cost_sheet,
)
from hoistbook.services.cost import cost_report
from hoistbook.services.cost_sheet import vehicle_cost_sheet
from hoistbook.services.demo import van_paths

EVIL = "=HYPERLINK(0)"


def small():
    """A vehicle of two assemblies with two parts, a fastener and a part that has no cost."""
    made = [any_part(name) for name in ("injection_moulding", "electrocoat")]
    parts = [cost_parts([one], packaged_scenario(), PROCESSES, 20).parts[one.tag] for one in made]
    tags = [one.tag for one in parts]
    assert len(set(tags)) == 2

    def node(tag, system, depth, below, seconds=0.0):
        return TreeRow(tag, f"name of {tag}", system, depth, below, seconds, Money(0.0, 0.0, 0.0))

    tree = (
        node("V", "Body", 0, 5), node("A", "Body", 1, 2, 30.0), node(tags[0], "Body", 2, 0),
        node("F", "Body", 2, 0, 12.0), node("B", "Drive", 1, 1), node(tags[1], "Drive", 2, 0, 6.0),
    )  # fmt: skip
    return VehicleCost(
        EVIL, "USD", "+1", 2023, 36.0 / 3600.0, 0.5, tree,
        (PartRow(parts[0], 2.0, "@made"), PartRow(parts[1], 1.0, "-1")),
        (BoughtRow("F", "=1+1", 8.0, Money(0.05, 0.02, 0.08)),),
        (("X", "=X", "+why"),),
    )  # fmt: skip


def calculated(path, **changed):
    """Values of the cells once a library has worked them out, with some cells changed."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of the library's own libraries
        import formulas

        model = formulas.ExcelModel().loads(str(path)).finish()
        found = model.calculate(inputs={f"'[{path.name}]{place}": value for place, value in changed.items()})
    return lambda place: float(found[f"'[{path.name}]{place}"].value[0, 0])


def test_sums_follow_their_cells(tmp_path):
    told = small()
    path = tmp_path / "van.xlsx"
    write_vehicle_cost_sheet(path, told)
    pieces = [one.pieces * one.cost.piece.value for one in told.parts]
    cell = calculated(path)
    # first principles: two parts by their pieces, eight fasteners at 0.05, 48 s at 36 an hour with half of it on top.
    assembly = 48.0 * 36.0 / 3600.0 * 1.5
    whole = sum(pieces) + 0.4 + assembly
    assert cell("VEHICLE'!B2") == pytest.approx(whole, rel=1e-12)
    assert cell("TREE'!J3") == pytest.approx(pieces[0] + 0.4 + 42.0 * 0.015, rel=1e-12)  # assembly A
    assert cell("TREE'!J6") == pytest.approx(pieces[1] + 6.0 * 0.015, rel=1e-12)  # assembly B
    assert [cell(f"VEHICLE'!E{row}") for row in (12, 13, 14)] == pytest.approx(
        [pieces[0] + 0.4 + 42.0 * 0.015, pieces[1] + 6.0 * 0.015, whole], rel=1e-12
    )
    # first principles: another count, another price, another wage.
    cell = calculated(path, **{"PARTS'!D2": 3.0, "FASTENERS'!C2": 0.10, "VEHICLE'!B6": 72.0})
    more = 1.5 * pieces[0] + pieces[1] + 0.8 + 2.0 * assembly
    assert cell("VEHICLE'!B2") == pytest.approx(more, rel=1e-12)


def test_text_is_never_a_formula(tmp_path):
    write_vehicle_cost_sheet(tmp_path / "van.xlsx", small())
    book = load_workbook(tmp_path / "van.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    texts = {cell.value for cell in cells if cell.data_type == "s"}
    # first principles: what people typed is text, and in no formula.
    assert {f"What {EVIL} should cost", "+1", "@made", "-1", "=1+1", "=X", "+why"} <= texts
    live = [cell.value for cell in cells if cell.data_type == "f"]
    assert len(live) > 25
    assert not [one for one in live if "HYPERLINK" in one or "@" in one]


def test_the_same_vehicle_gives_the_same_bytes(tmp_path):
    for name in ("one.xlsx", "two.xlsx"):
        write_vehicle_cost_sheet(tmp_path / name, small())
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


@pytest.fixture(scope="module")
def van(tmp_path_factory):
    report = cost_report(read_teardown(van_paths()["whimbrel"]), packaged_scenario(), n_draws=50)
    path = tmp_path_factory.mktemp("sheet") / "van.xlsx"
    vehicle_cost_sheet(report, "Whimbrel", path)
    return report, path


def test_a_van_shows_every_node_and_every_cost(van):
    report, path = van
    book = load_workbook(path, data_only=True)
    tree = {row[0]: row for row in book["tree"].iter_rows(min_row=2, values_only=True)}
    assert list(tree) == list(report.tree.order)
    below = {tag: len(report.tree.subtree(tag)) - 1 for tag in report.tree.order}
    formulas = {row[0].value: row for row in load_workbook(path)["tree"].iter_rows(min_row=2)}
    own = [row[8] for row in tree.values()]
    for place, one in enumerate(report.nodes):
        assert tree[one.key][9] == pytest.approx(one.total.value, rel=1e-12)
        # first principles: what hangs below a node stands in the rows right after it.
        assert sum(own[place : place + below[one.key] + 1]) == pytest.approx(
            one.total.value, rel=1e-9, abs=1e-9
        )
        assert formulas[one.key][9].value == f"=SUM(I{place + 2}:I{place + 2 + below[one.key]})"
    systems = {row[0]: row[4] for row in book["vehicle"].iter_rows(min_row=12, values_only=True) if row[1]}
    told = {one.words: one.total.value for one in report.systems if one.total.value}
    assert {name: value for name, value in systems.items() if name in told} == pytest.approx(told)
    assert systems["all systems"] == pytest.approx(report.whole.total.value, rel=1e-9)
    assert book["without cost"].max_row - 1 == len(report.refused) + len(report.unrouted)


@pytest.mark.slow
def test_a_spreadsheet_works_a_van_out_to_the_same_total(van):
    report, path = van
    # computed: by the library formulas, all sheets; against the engine.
    cell = calculated(path)
    assert cell("VEHICLE'!B2") == pytest.approx(report.whole.total.value, rel=1e-9)
