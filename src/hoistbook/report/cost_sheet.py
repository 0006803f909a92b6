"""The cost of one part as a workbook of live formulas: change a wage, a wall, a price or the volume and see it move."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from pathlib import Path

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from hoistbook.core.cost.result import PartCost
from hoistbook.core.cost.symbol import CONSTANT, Node
from hoistbook.core.cost.traced import Check, Stated, Traced, TracedStep
from hoistbook.core.quantities.quantity import Origin
from hoistbook.report.formula import ENDLESS, Formulas
from hoistbook.report.sheet_cells import headed, put

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001  # a fixed day keeps the bytes the same; the format knows no zone
_NORMAL_95 = 1.959963984540054
_TRADE_UNITS = {
    "m": ("mm", "/", 1e3),
    "m2": ("cm2", "/", 1e4),
    "m3": ("cm3", "/", 1e6),
    "Pa": ("N/mm2", "*", 1e6),
    "N": ("kN", "*", 1e3),
    "W": ("kW", "*", 1e3),
    "J": ("kWh", "*", 3.6e6),
    "money/s": ("money/h", "/", 3600.0),
    "money/J": ("money/kWh", "/", 3.6e6),
}
"""Units that people change inputs in: what leads from them to SI."""
PIECE = "piece_money"
"""Name of the cell with the cost of the piece."""
_Cell = float | str | None
_Row = list[_Cell]
_Told = Callable[[Stated], _Row]
_NOTES = (
    "Coloured cells of the sheets readings and figures may be changed; everything else follows.",
    "The formulas are those of the program: written down while it worked out this part, not typed a second time.",
    "Built into the formulas: processes, options, materials, region, supplier, how machines and tools are paid.",
    "Write another file for others of them.",
    "Readings that were estimated from others stay as they are when those change.",
    "The band is the program's own, for the inputs as they were written; it does not move.",
    "Inside, everything is in SI units; -INT(-x) is x rounded up to a whole number.",
)
_READING_HEADS = (
    "reading", "value", "unit", "low (95 %)", "high (95 %)", "estimated?", "where from", "step", "name in formulas",
    "in SI", "SI unit",
)  # fmt: skip
_FIGURE_HEADS = (
    "figure", "value", "unit", "low", "high", "mark", "source", "reviewed", "belongs to", "note", "name in formulas",
    "in SI", "SI unit",
)  # fmt: skip
_WIDTHS = {
    "reading": 40, "figure": 46, "what": 52, "source": 30, "where from": 30, "how": 90, "name in formulas": 26,
}  # fmt: skip
_WORKING_HEADS = ("step", "what", "value", "unit", "name in formulas", "how")


def write_cost_sheet(path: str | Path, found: Traced, cost: PartCost) -> None:
    """Write the cost of a part as formulas.

    Parameters
    ----------
    path : str or Path
        An XLSX file; one that is there is replaced.
    found : Traced
    cost : PartCost
        The same part as the engine costs it, for its band, what was assumed, and what sets the pace.

    Raises
    ------
    ValueError
        The two are not the same part at the same cost.

    Notes
    -----
    Cells hold the values of the program until something calculates anew. Text is written as text whatever it begins
    with; the same part gives the same bytes.
    """
    value = sum(node.value for _, _, node in found.lines)
    if cost.tag != found.part.tag or not math.isclose(value, cost.piece.value, rel_tol=1e-12):
        msg = (
            f"{cost.tag} at {cost.piece.value!r} and the formulas of {found.part.tag} at {value!r} are not the same "
            "cost; trace the part with the scenario it was costed with."
        )
        raise ValueError(msg)
    with xlsxwriter.Workbook(str(path), {"in_memory": True}) as workbook:
        workbook.set_properties({"created": _CREATED, "title": f"Cost of {cost.tag}"})
        _Book(workbook, found, cost).write()


class _Book:
    """One workbook while it is written."""

    def __init__(self, workbook: xlsxwriter.Workbook, found: Traced, cost: PartCost) -> None:
        self.workbook = workbook
        self.found = found
        self.cost = cost
        known = {node for _, _, node in found.lines} | {found.tooling}
        for step in found.steps:
            known |= {node for _, _, node in step.stages} | {node for _, node in step.amounts}
        self.formulas = Formulas(found.nodes, known)
        self.bold: Format = workbook.add_format({"bold": True})
        self.head: Format = workbook.add_format({"bold": True, "bottom": 1})
        self.free: Format = workbook.add_format(
            {"bg_color": "#FFF2CC", "border": 1, "border_color": "#BFBFBF"}
        )
        self.money: Format = workbook.add_format({"num_format": "0.0000"})
        self.sum: Format = workbook.add_format({"num_format": "0.0000", "bold": True, "top": 1})

    def write(self) -> None:
        """Write all sheets."""
        sheets = {
            name: self.workbook.add_worksheet(name) for name in ("cost", "readings", "figures", "workings")
        }
        readings = [one for one in self.found.inputs if one.place.split("/")[0] in ("reading", "part")]
        figures = [one for one in self.found.inputs if one not in readings]
        self._inputs(sheets["readings"], _READING_HEADS, readings, self._reading_row)
        self._inputs(sheets["figures"], _FIGURE_HEADS, figures, self._figure_row)
        self._workings(sheets["workings"])
        self._cost(sheets["cost"])

    def _inputs(self, sheet: Worksheet, heads: Sequence[str], rows: Iterable[Stated], told: _Told) -> None:
        headed(sheet, heads, self.head, _WIDTHS)
        si = heads.index("in SI")
        for row, one in enumerate(rows, start=1):
            node = one.node
            unit, way, factor = _TRADE_UNITS.get(node.unit, (node.unit, "", 1.0))
            low, high, *texts = told(one)
            numbers = [_shown(value, way, factor) for value in (float(node.value), low, high)]
            content = [node.words, numbers[0], self._unit(unit), *numbers[1:], *texts]
            content += [self.formulas.names[node], None, self._unit(node.unit)]
            for column, value in enumerate(content):
                put(sheet, row, column, value, self.free if column == 1 else None)
            sheet.write_formula(
                row, si, f"=B{row + 1}{way}{factor:.0f}" if way else f"=B{row + 1}", None, node.value
            )
            self._name(self.formulas.names[node], sheet, row, si)

    def _reading_row(self, one: Stated) -> _Row:
        reading = one.reading
        step = one.node.step or None
        if reading is None:
            said = "" if one.place.startswith("part/") else "not stated, taken as none"
            return [None, None, "", said, step]
        spread = _NORMAL_95 * reading.standard_uncertainty / abs(reading.value) if reading.value else 0.0
        ends = (
            [reading.value * math.exp(-spread), reading.value * math.exp(spread)] if spread else [None, None]
        )
        estimated = reading.origin is Origin.INFERRED
        sentence = next((said for said in self.cost.estimated if said.startswith(one.node.words)), "")
        return [
            *ends,
            "estimated" if estimated else "no",
            (estimated and sentence) or reading.origin.value,
            step,
        ]

    def _figure_row(self, one: Stated) -> _Row:
        *owner, _ = one.place.split("/")
        place = ", ".join(owner).replace("_", " ")
        figure = one.figure
        if figure is None:
            return [None, None, "", "", "", place, ""]
        return [figure.low, figure.high, figure.mark, figure.source, figure.reviewed, place, figure.note]

    def _workings(self, sheet: Worksheet) -> None:
        headed(sheet, _WORKING_HEADS, self.head, _WIDTHS)
        inputs = {one.node for one in self.found.inputs}
        rows = [node for node in self.formulas.cells if node not in inputs]
        for row, node in enumerate(rows, start=1):
            name, how = self.formulas.names[node], self.formulas.formula(node)
            words = node.words or node.name.replace("_", " ") or "part of what follows"
            content = (node.step or None, words, None, self._unit(node.unit), name, how)
            for column, value in enumerate(content):
                put(sheet, row, column, value, None)
            sheet.write_formula(row, 2, f"={how}", None, _cached(node.value))
            self._name(name, sheet, row, 2)

    def _cost(self, sheet: Worksheet) -> None:
        sheet.set_column(0, 0, 44)
        sheet.set_column(1, 1, 34)
        sheet.set_column(2, 3, 16)
        cost, scenario = self.cost, self.found.scenario
        basis = f"{cost.currency} of {cost.year}"
        put(sheet, 0, 0, f"What one {cost.name} ({cost.tag}) should cost", self.bold)
        facts: list[tuple[str, float | str]] = [
            ("as the program gave it when this was written", cost.piece.value),
            ("low end of its 95 % band", cost.piece.low),
            ("high end of its 95 % band", cost.piece.high),
            ("scenario", f"{scenario.title}, version {scenario.version} of {scenario.at}"),
        ]
        put(sheet, 1, 0, "piece", self.bold)
        for row, (words, value) in enumerate(facts, start=2):
            put(sheet, row, 0, words, None)
            put(sheet, row, 2, value, self.money)
            put(sheet, row, 3, basis if isinstance(value, float) else None, None)
        row = self._lines(sheet, len(facts) + 3, basis)
        row = self._checks(sheet, row + 1)
        for place, step in enumerate(self.found.steps, start=1):
            row = self._step(sheet, row + 1, place, step)
        for title, said in (
            ("Assumed", cost.assumed),
            ("Estimated", cost.estimated),
            ("How to use this file", _NOTES),
        ):
            if said:
                put(sheet, row + 1, 0, title, self.bold)
                for text in said:
                    put(sheet, row + 2, 0, text, None)
                    row += 1
                row += 2

    def _lines(self, sheet: Worksheet, row: int, basis: str) -> int:
        headed(sheet, ("line", "step", "amount", "money", "share"), self.head, {}, row)
        first = row + 1
        last = first + len(self.found.lines) - 1
        for place, (step, name, node) in enumerate(self.found.lines):
            at = first + place
            title = f"{step} {self.found.steps[step - 1].process.title}" if step else "on all"
            put(sheet, at, 0, name, None)
            put(sheet, at, 1, title, None)
            self._refer(sheet, at, 2, node, self.money)
            put(sheet, at, 3, basis, None)
            whole = self.cost.piece.value
            share = float(node.value) / whole if whole else "#DIV/0!"
            sheet.write_formula(at, 4, f"=C{at + 1}/C${last + 2}", None, share)
        put(sheet, last + 1, 0, "piece: sum of the lines", self.bold)
        value = self.cost.piece.value
        sheet.write_formula(last + 1, 2, f"=SUM(C{first + 1}:C{last + 1})", self.sum, value)
        put(sheet, last + 1, 3, basis, None)
        self._name(PIECE, sheet, last + 1, 2)
        sheet.write_formula(1, 2, f"={PIECE}", self.money, value)
        put(sheet, 1, 3, basis, None)
        put(sheet, last + 2, 0, "all tools over the programme", None)
        self._refer(sheet, last + 2, 2, self.found.tooling, self.money)
        put(sheet, last + 2, 3, basis, None)
        return last + 3

    def _checks(self, sheet: Worksheet, row: int) -> int:
        headed(sheet, ("the figure holds only while", "", "now"), self.head, {}, row)
        for check in self.found.checks:
            row += 1
            put(sheet, row, 0, self._check_words(check), None)
            bad = "BROKEN" if check.refuses else "mind"
            yes, no = ("holds", bad) if check.when else (bad, "holds")
            answer = yes if check.node.value else no
            formula = f'=IF({self.formulas.refer(check.node)},"{yes}","{no}")'
            sheet.write_formula(row, 2, formula, None, answer)
        return row + 1

    def _check_words(self, check: Check) -> str:
        if not check.words:
            return f"{self.formulas.formula(check.node)} is {'true' if check.when else 'false'}"
        return check.words if check.when else f"this is not so: {check.words}"

    def _step(self, sheet: Worksheet, row: int, place: int, step: TracedStep) -> int:
        taken = self.cost.steps[place - 1]
        put(sheet, row, 0, f"Step {place}: {step.process.title}", self.bold)
        said = [("material", self.found.scenario.materials[step.material].words)]
        said += [(choice.words, choice.options[step.choices[choice.name]]) for choice in step.process.choices]
        said += [("machine", taken.machine_words), ("what sets the pace, as costed", taken.limits)]
        for words, text in said:
            if text:
                row += 1
                put(sheet, row, 0, words, None)
                put(sheet, row, 1, text, None)
        stages = [
            (f"{words} (beside the line)" if aside else words, node) for words, aside, node in step.stages
        ]
        for words, node in (*stages, *step.amounts):
            if node.function == CONSTANT and node.value in (0.0, math.inf):
                continue
            row += 1
            put(sheet, row, 0, words, None)
            self._refer(sheet, row, 2, node, None)
            put(sheet, row, 3, self._unit(node.unit), None)
        return row + 1

    def _refer(self, sheet: Worksheet, row: int, column: int, node: Node, form: Format | None) -> None:
        sheet.write_formula(row, column, f"={self.formulas.refer(node)}", form, _cached(node.value))

    def _name(self, name: str, sheet: Worksheet, row: int, column: int) -> None:
        cell = xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True)
        if self.workbook.define_name(name, f"={sheet.get_name()}!{cell}"):
            msg = f"{name!r} is no name for a cell."
            raise ValueError(msg)

    def _unit(self, unit: str) -> str:
        return unit.replace("money", self.cost.currency)


def _shown(value: _Cell, way: str, factor: float) -> _Cell:
    """A number in the unit of the trade: `way` and `factor` lead back to SI."""
    if not isinstance(value, float) or not way:
        return value
    return float(f"{value * factor if way == '/' else value / factor:.16g}")


def _cached(value: float | bool) -> float | bool | str:
    """What a cell shows until it is calculated."""
    if isinstance(value, bool) or math.isfinite(value):
        return value
    return "#NUM!" if math.isnan(value) else math.copysign(ENDLESS, value)
