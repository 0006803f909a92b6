"""The cost of a whole vehicle as a workbook: parts, fasteners and assembly, added up over its tree by live formulas."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_col_to_name, xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from hoistbook.core.cost.result import Money, PartCost
from hoistbook.report.sheet_cells import headed, put

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001  # a fixed day keeps the bytes the same; the format knows no zone
_WIDTHS = {
    "name": 40, "part": 40, "system": 30, "how it is made": 44, "why it has no cost": 80, "estimated from others": 60,
}  # fmt: skip
_NOTES = (
    "Coloured cells may be changed; sums follow over parts, tree, systems and vehicle.",
    "Lines of a piece are numbers here; the formulas of one part: hoistbook cost VEHICLE --part TAG --sheet FILE.",
    "Bands are the program's own, for the figures as they were written; they do not move, and do not add up.",
    "Tools stand apart from the piece or in it, as the scenario says; the column all tools is of the whole programme.",
)


@dataclass(frozen=True, slots=True)
class TreeRow:
    """A node in the order of its tree, parents before what hangs below them.

    Attributes
    ----------
    tag, name, system : str
    depth, below : int
        Levels under the vehicle, and how many of the next rows hang below it.
    seconds : float
        Standard time of its own joining, in the whole vehicle. [s]
    total : Money
        With all below it. [money]
    """

    tag: str
    name: str
    system: str
    depth: int
    below: int
    seconds: float
    total: Money


@dataclass(frozen=True, slots=True)
class PartRow:
    """A part with its cost, pieces of it in the vehicle, and how it is made."""

    cost: PartCost
    pieces: float
    route: str


@dataclass(frozen=True, slots=True)
class BoughtRow:
    """A fastener bought by its designation: price of one and its limits. [money]"""

    tag: str
    name: str
    pieces: float
    price: Money


@dataclass(frozen=True, slots=True)
class VehicleCost:
    """What is written.

    Attributes
    ----------
    vehicle, currency, scenario : str
        Name of the vehicle, money, and the scenario in words.
    year : int
    wage_money_per_s, overhead_frac : float
        Of who puts it together.
    tree : tuple of TreeRow
        The vehicle first.
    parts : tuple of PartRow
    bought : tuple of BoughtRow
    left_out : tuple of (str, str, str)
        Tag, name, and why there is no cost.
    """

    vehicle: str
    currency: str
    scenario: str
    year: int
    wage_money_per_s: float
    overhead_frac: float
    tree: tuple[TreeRow, ...]
    parts: tuple[PartRow, ...]
    bought: tuple[BoughtRow, ...]
    left_out: tuple[tuple[str, str, str], ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """Names of the lines of all pieces, in their order."""
        return tuple(dict.fromkeys(line.name for one in self.parts for line in one.cost.lines))


def write_vehicle_cost_sheet(path: str | Path, told: VehicleCost) -> None:
    """Write the cost of a vehicle.

    Parameters
    ----------
    path : str or Path
        An XLSX file; one that is there is replaced.
    told : VehicleCost

    Notes
    -----
    Cells hold the values of the program until something calculates anew. The same cost gives the same bytes.
    """
    with xlsxwriter.Workbook(str(path), {"in_memory": True}) as workbook:
        workbook.set_properties({"created": _CREATED, "title": f"Cost of {told.vehicle}"})
        _Book(workbook, told).write()


class _Book:
    """One workbook while it is written."""

    def __init__(self, workbook: xlsxwriter.Workbook, told: VehicleCost) -> None:
        self.told = told
        self.sheets: dict[str, Worksheet] = {
            name: workbook.add_worksheet(name)
            for name in ("vehicle", "tree", "parts", "fasteners", "without cost")
        }
        self.bold: Format = workbook.add_format({"bold": True})
        self.head: Format = workbook.add_format({"bold": True, "bottom": 1})
        self.money: Format = workbook.add_format({"num_format": "#,##0.0000"})
        self.sum: Format = workbook.add_format({"num_format": "#,##0.00", "bold": True})
        self.free: Format = workbook.add_format(
            {"bg_color": "#FFF2CC", "border": 1, "border_color": "#BFBFBF"}
        )
        self.basis = f"{told.currency} of {told.year}"
        self.where: dict[str, str] = {}
        """Cell with what the pieces of a tag cost in the vehicle."""

    def write(self) -> None:
        """Write all sheets."""
        self._parts(self.sheets["parts"])
        self._bought(self.sheets["fasteners"])
        self._tree(self.sheets["tree"])
        self._vehicle(self.sheets["vehicle"])
        sheet = self.sheets["without cost"]
        headed(sheet, ("tag", "name", "why it has no cost"), self.head, _WIDTHS)
        for row, cells in enumerate(self.told.left_out, start=1):
            for column, text in enumerate(cells):
                put(sheet, row, column, text)

    def _parts(self, sheet: Worksheet) -> None:
        lines = self.told.lines
        unit = f"[{self.basis}]"
        heads = (
            "tag", "name", "how it is made", "pieces", *lines, f"piece {unit}", "low (95 %)", "high (95 %)",
            f"per vehicle {unit}", f"all tools {unit}", "estimated from others",
        )  # fmt: skip
        headed(sheet, heads, self.head, _WIDTHS)
        first, piece = 4, 4 + len(lines)
        for row, one in enumerate(self.told.parts, start=1):
            cost, found = one.cost, one.cost.by_name()
            for column, text in enumerate((cost.tag, cost.name, one.route)):
                put(sheet, row, column, text)
            put(sheet, row, 3, one.pieces, self.free)
            for column, name in enumerate(lines, start=first):
                put(sheet, row, column, found.get(name, 0.0), self.free)
            ends = f"{xl_rowcol_to_cell(row, first)}:{xl_rowcol_to_cell(row, piece - 1)}"
            sheet.write_formula(row, piece, f"=SUM({ends})", self.money, cost.piece.value)
            put(sheet, row, piece + 1, cost.piece.low, self.money)
            put(sheet, row, piece + 2, cost.piece.high, self.money)
            self._together(sheet, row, piece + 3, piece, one.pieces * cost.piece.value, cost.tag)
            put(sheet, row, piece + 4, cost.tooling.value, self.money)
            put(sheet, row, piece + 5, "; ".join(cost.estimated))

    def _bought(self, sheet: Worksheet) -> None:
        unit = f"[{self.basis}]"
        heads = ("tag", "name", f"price {unit}", "pieces", "low", "high", f"per vehicle {unit}")
        headed(sheet, heads, self.head, _WIDTHS)
        for row, one in enumerate(self.told.bought, start=1):
            for column, value in enumerate((one.tag, one.name, one.price.value, one.pieces)):
                put(sheet, row, column, value, self.free if column > 1 else None)
            put(sheet, row, 4, one.price.low, self.money)
            put(sheet, row, 5, one.price.high, self.money)
            self._together(sheet, row, 6, 2, one.pieces * one.price.value, one.tag)

    def _together(self, sheet: Worksheet, row: int, at: int, price: int, value: float, tag: str) -> None:
        """Pieces, in column D, times what one costs."""
        formula = f"=D{row + 1}*{xl_rowcol_to_cell(row, price)}"
        sheet.write_formula(row, at, formula, self.money, value)
        self.where[tag] = f"={sheet.get_name()}!{xl_rowcol_to_cell(row, at)}"

    def _tree(self, sheet: Worksheet) -> None:
        unit = f"[{self.basis}]"
        heads = (
            "tag", "part", "system", "level", f"parts {unit}", f"fasteners {unit}", "assembly [s]", f"assembly {unit}",
            f"own {unit}", f"with all below {unit}", "low (95 %)", "high (95 %)",
        )  # fmt: skip
        headed(sheet, heads, self.head, _WIDTHS)
        values = self._own_values()
        bought = {one.tag for one in self.told.bought}
        rate = self.told.wage_money_per_s * (1.0 + self.told.overhead_frac)
        for row, one in enumerate(self.told.tree, start=1):
            for column, value in enumerate((one.tag, f"{'  ' * one.depth}{one.name}", one.system, one.depth)):
                put(sheet, row, column, value)
            if one.tag in self.where:
                column = 5 if one.tag in bought else 4
                sheet.write_formula(row, column, self.where[one.tag], self.money, values.get(one.tag, 0.0))
            put(sheet, row, 6, one.seconds, self.free)
            at = row + 1
            formula = f"=G{at}*vehicle!{_WAGE}/3600*(1+vehicle!{_OVERHEAD})"
            sheet.write_formula(row, 7, formula, self.money, one.seconds * rate)
            own = values.get(one.tag, 0.0) + one.seconds * rate
            sheet.write_formula(row, 8, f"=SUM(E{at}:F{at})+H{at}", self.money, own)
            sheet.write_formula(row, 9, f"=SUM(I{at}:I{at + one.below})", self.money, one.total.value)
            put(sheet, row, 10, one.total.low, self.money)
            put(sheet, row, 11, one.total.high, self.money)

    def _own_values(self) -> Mapping[str, float]:
        found = {one.cost.tag: one.pieces * one.cost.piece.value for one in self.told.parts}
        return found | {one.tag: one.pieces * one.price.value for one in self.told.bought}

    def _vehicle(self, sheet: Worksheet) -> None:
        told = self.told
        sheet.set_column(0, 0, 46)
        sheet.set_column(1, 5, 16)
        put(sheet, 0, 0, f"What {told.vehicle} should cost", self.bold)
        rows: tuple[tuple[str, float | str, str], ...] = (
            ("as the program gave it when this was written", told.tree[0].total.value, self.basis),
            ("low end of its 95 % band", told.tree[0].total.low, self.basis),
            ("high end of its 95 % band", told.tree[0].total.high, self.basis),
            ("labour of assembly", told.wage_money_per_s * 3600.0, f"{told.currency}/h"),
            ("overhead on it", told.overhead_frac, "share"),
            ("scenario", told.scenario, ""),
        )
        put(sheet, 1, 0, "vehicle: what is costed of it", self.bold)
        sheet.write_formula(1, 1, "=tree!J2", self.sum, told.tree[0].total.value)
        put(sheet, 1, 2, self.basis)
        for row, (words, value, unit) in enumerate(rows, start=2):
            put(sheet, row, 0, words)
            put(sheet, row, 1, value, self.free if row in (5, 6) else None)
            put(sheet, row, 2, unit)
        last = len(told.tree) + 1
        heads = ("system", "parts", "fasteners", "assembly", "together", "share")
        headed(sheet, heads, self.head, {}, 10)
        values, bought = self._own_values(), {one.tag for one in told.bought}
        rate = told.wage_money_per_s * (1.0 + told.overhead_frac)
        systems = list(dict.fromkeys(one.system for one in told.tree))
        for row, system in enumerate(systems, start=11):
            members = [one for one in told.tree if one.system == system]
            own = [
                sum(values.get(one.tag, 0.0) for one in members if one.tag not in bought),
                sum(values.get(one.tag, 0.0) for one in members if one.tag in bought),
                sum(one.seconds for one in members) * rate,
            ]
            put(sheet, row, 0, system)
            for column, (letter, value) in enumerate(zip("EFH", own, strict=True), start=1):
                formula = f"=SUMIF(tree!$C$2:$C${last},$A{row + 1},tree!${letter}$2:${letter}${last})"
                sheet.write_formula(row, column, formula, self.money, value)
            sheet.write_formula(row, 4, f"=SUM(B{row + 1}:D{row + 1})", self.money, sum(own))
            share = sum(own) / told.tree[0].total.value if told.tree[0].total.value else "#DIV/0!"
            sheet.write_formula(row, 5, f"=E{row + 1}/$B$2", None, share)
        end = 11 + len(systems)
        put(sheet, end, 0, "all systems", self.bold)
        whole = [
            sum(value for tag, value in values.items() if tag not in bought),
            sum(value for tag, value in values.items() if tag in bought),
            sum(one.seconds for one in told.tree) * rate,
        ]
        for column, value in enumerate((*whole, sum(whole)), start=1):
            letter = xl_col_to_name(column)
            sheet.write_formula(end, column, f"=SUM({letter}12:{letter}{end})", self.sum, value)
        for row, text in enumerate(_NOTES, start=end + 2):
            put(sheet, row, 0, text)


_WAGE, _OVERHEAD = "$B$6", "$B$7"
"""Cells of the sheet vehicle that assembly is paid by."""
