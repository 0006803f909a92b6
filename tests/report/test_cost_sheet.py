"""The cost sheet as people get it: worked out by a general-purpose library that computes spreadsheets."""

import warnings
from dataclasses import replace

import pytest
from openpyxl import load_workbook

from core.cost.any_part import any_part
from core.cost.changed import with_figure, with_reading
from core.cost.processes.metal_parts import to_cost
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.traced import traced
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.reference.cost import packaged_scenario
from hoistbook.report.cost_sheet import write_cost_sheet

QUICK = ("injection_moulding", "electrocoat", "bought_part")
CASTING = "high_pressure_die_casting"


def engine(part, around=None, n_draws=0):
    found = cost_parts([part], around or packaged_scenario(), PROCESSES, n_draws)
    assert not found.refused, found.refused
    return found.parts[part.tag]


def written(path, part, around=None, n_draws=0):
    around = around or packaged_scenario()
    found = traced(part, around, PROCESSES)
    write_cost_sheet(path, found, engine(part, around, n_draws))
    return found


class Spreadsheet:
    """A workbook, worked out by the library `formulas`; cells are changed as people change them."""

    def __init__(self, path):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of the library's own libraries
            import formulas

            self._model = formulas.ExcelModel().loads(str(path)).finish()
        self._file = path.name
        book = load_workbook(path)
        self.places, self.free = {}, {}
        for sheet in ("readings", "figures"):
            heads = [cell.value for cell in book[sheet][1]]
            at, value = heads.index("name in formulas"), heads.index("value")
            for number, row in enumerate(book[sheet].iter_rows(min_row=2, values_only=True), start=2):
                self.places[row[at]] = f"'[{path.name}]{sheet.upper()}'!B{number}"
                self.free[row[at]] = row[value]

    def piece(self, **factors):
        """Cost of the piece with some of the free cells times a factor."""
        changed = {self.places[name]: self.free[name] * factor for name, factor in factors.items()}
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            self.solution = self._model.calculate(inputs=changed)
        return float(self.solution[f"'[{self._file}]'!PIECE_MONEY"].value[0, 0])

    def cell(self, place):
        return self.solution[f"'[{self._file}]COST'!{place}"].value[0, 0]


# computed: the engine itself, once as it is and once for each change of the cells.
@pytest.mark.parametrize(
    "name", [name if name in QUICK else pytest.param(name, marks=pytest.mark.slow) for name in PROCESSES]
)
def test_the_sheet_gives_the_engines_figure_and_follows_its_cells(name, tmp_path):
    part, around = any_part(name), packaged_scenario()
    found = written(tmp_path / "cost.xlsx", part)
    sheet = Spreadsheet(tmp_path / "cost.xlsx")
    as_written = engine(part).piece.value
    assert sheet.piece() == pytest.approx(as_written, rel=1e-12)
    changes = {
        "volume_per_year": ("scenario/volume_per_year", 2.0),
        "interest_frac": ("scenario/interest_frac", 0.5),
        "wage_money_per_s": (f"region/{around.region}/wage_money_per_s", 1.1),
        "energy_money_per_j": (f"region/{around.region}/energy_money_per_j", 1.5),
        "profit_frac": (f"supplier/{around.supplier}/profit_frac", 2.0),
        "material_price_money_per_kg": (f"material/{part.material}/material_price_money_per_kg", 1.3),
    }
    changed = {key: found for key, found in changes.items() if key in sheet.places}
    # A route that only buys holds the mark-up of its maker: none comes on top.
    always = {"volume_per_year"} if PROCESSES[name].family == "buy" else {"volume_per_year", "profit_frac"}
    assert always <= set(changed)
    for key, (place, factor) in changed.items():
        expected = engine(part, with_figure(around, place, factor)).piece.value
        assert sheet.piece(**{key: factor}) == pytest.approx(expected, rel=1e-12), key
    # All at once, besides one reading after the other.
    for place, factor in changed.values():
        around = with_figure(around, place, factor)
    factors = {key: factor for key, (_, factor) in changed.items()}
    assert sheet.piece(**factors) == pytest.approx(engine(part, around).piece.value, rel=1e-12)
    tried = 0
    for one in found.inputs:
        if one.reading is None:
            continue
        try:
            other = with_reading(part, one.node.name, 1.2)
        except ValueError:  # a part that cannot be
            continue
        expected = cost_parts([other], packaged_scenario(), PROCESSES, 0).parts
        if expected:
            value = sheet.piece(**{one.node.name: 1.2})
            assert value == pytest.approx(expected[part.tag].piece.value, rel=1e-12), one.node.name
            tried += 1
    assert tried


def test_a_wall_that_cannot_be_cast_breaks_a_check(tmp_path):
    written(tmp_path / "cost.xlsx", to_cost(CASTING))
    sheet = Spreadsheet(tmp_path / "cost.xlsx")
    rows = [row[0].value or "" for row in load_workbook(tmp_path / "cost.xlsx")["cost"].iter_rows()]
    row = next(number for number, words in enumerate(rows, start=1) if "below 0.5 mm" in words)
    sheet.piece()
    assert sheet.cell(f"C{row}") == "holds"
    # first principles: a twentieth of 6 mm is 0.3 mm, below the 0.5 mm that a die fills.
    sheet.piece(wall_thickness_max_m=0.05)
    assert sheet.cell(f"C{row}") == "BROKEN"


def test_cells_show_the_engines_figures_before_anything_is_calculated(tmp_path):
    part = to_cost("electrocoat")
    written(tmp_path / "cost.xlsx", part, n_draws=50)
    cost = engine(part, n_draws=50)
    rows = list(load_workbook(tmp_path / "cost.xlsx", data_only=True)["cost"].iter_rows(values_only=True))
    shown = {(row[1], row[0]): row[2] for row in rows}
    # computed: by the engine.
    assert shown[(None, "piece: sum of the lines")] == cost.piece.value
    assert shown[(None, "high end of its 95 % band")] == pytest.approx(cost.piece.high, rel=1e-14)
    for line in cost.lines:
        title = f"{line.step} {cost.steps[line.step - 1].title}" if line.step else "on all"
        assert shown[(title, line.name)] == line.value_money
    assert shown[(None, "all tools over the programme")] == cost.tooling.value


def test_values_and_bands_stand_in_units_of_the_trade(tmp_path):
    part = to_cost(CASTING)
    wall = Quantity(0.006, "m", ((Source("calliper"), 0.0003),), Origin.INFERRED)
    words = "wall thickness, thickest 0.006 m estimated from mean wall"
    part = replace(
        part, readings={**part.readings, "wall_thickness_max_m": wall}, estimated=(words, "mass weighed")
    )
    written(tmp_path / "cost.xlsx", part)
    book = load_workbook(tmp_path / "cost.xlsx", data_only=True)
    rows = {row[0]: row for row in book["readings"].iter_rows(min_row=2, values_only=True)}
    # first principles: 6 mm; exp(±1.96 x 0.3/6) about it.
    assert rows["wall thickness, thickest"][1:3] == (6.0, "mm")
    assert rows["wall thickness, thickest"][3:5] == pytest.approx((5.4399, 6.6178), abs=1e-4)
    assert rows["wall thickness, thickest"][5:7] == ("estimated", words)
    assert rows["mass"][5] == "no"
    assert rows["cavities of the tool"][6] == "not stated, taken as none"
    figures = {row[0]: row for row in book["figures"].iter_rows(min_row=2, values_only=True)}
    around = packaged_scenario()
    wage = around.money(around.regions[around.region].figures["wage_money_per_s"])
    shown = figures["labour, with everything that is paid besides the wage"]
    assert shown[1] == pytest.approx(wage.value * 3600.0, rel=1e-14)
    assert shown[2] == "USD/h"
    assert shown[5:7] == (wage.mark, wage.source)


def test_text_is_never_a_formula(tmp_path):
    part = replace(to_cost(CASTING), tag="=1+1", name="@SUM(A1)", estimated=("=HYPERLINK(0)", "+1"))
    written(tmp_path / "cost.xlsx", part)
    book = load_workbook(tmp_path / "cost.xlsx")
    texts = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "s"]
    assert any(cell.value == "=HYPERLINK(0)" for cell in texts)
    # first principles: whatever people typed is among the texts, and no formula holds any of it.
    formulas = [
        cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"
    ]
    assert len(formulas) > 100
    assert not [one for one in formulas if "HYPERLINK" in one or "@" in one or "1+1" in one]


def test_the_same_part_gives_the_same_bytes(tmp_path):
    for name in ("one.xlsx", "two.xlsx"):
        written(tmp_path / name, to_cost(CASTING))
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


def test_every_free_cell_has_a_unit_and_every_figure_its_mark(tmp_path):
    for name in ("sheet_stamping", "machining", "harness_assembly"):
        written(tmp_path / "cost.xlsx", any_part(name))
        book = load_workbook(tmp_path / "cost.xlsx")
        for sheet in ("readings", "figures"):
            for row in book[sheet].iter_rows(min_row=2, values_only=True):
                assert row[2], row
        marked = [row for row in book["figures"].iter_rows(min_row=2, values_only=True) if row[5]]
        assert len(marked) > 15


def test_the_cost_of_another_scenario_is_refused(tmp_path):
    part = to_cost(CASTING)
    found = traced(part, packaged_scenario(), PROCESSES)
    dearer = with_figure(packaged_scenario(), "scenario/shift_count", 0.5)
    with pytest.raises(ValueError, match="not the same cost"):
        write_cost_sheet(tmp_path / "cost.xlsx", found, engine(part, dearer))
    assert not (tmp_path / "cost.xlsx").exists()
