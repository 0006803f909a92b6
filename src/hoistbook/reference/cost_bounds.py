"""Bounds of the figures of a scenario: the unit and the reach that each must have, by its name.

A figure is taken by its name, so a wrong unit would go through unseen: a wage per piece for one per hour, or a shift of
8 s. What lies out of reach is a slip or would end in no number at all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.scenario import Machine, Scenario

LEAST, MOST = 1e-15, 1e15
"""project rule: no figure of a cost in SI is smaller than the first (unless it is 0) or larger than the second."""
_DAY_S, _YEAR_DAYS = 86_400.0, 366.0

Reach = tuple[str, float, float]
"""Unit, and the lowest and highest value that a limit may have."""


def _reach(unit: str, low: float = 0.0, high: float = MOST) -> Reach:
    return unit, low, high


# fmt: off
_SCENARIO: Mapping[str, Reach] = MappingProxyType({
    "days_per_year": _reach("1", LEAST, _YEAR_DAYS), "shift_count": _reach("1", LEAST),
    "shift_s": _reach("s", LEAST, _DAY_S), "availability_frac": _reach("1", LEAST, 1.0),
    "performance_frac": _reach("1", LEAST), "install_frac": _reach("1"), "residual_frac": _reach("1", 0.0, 1.0),
    "maintenance_frac": _reach("1"), "insurance_frac": _reach("1"), "standing_paid_frac": _reach("1", 0.0, 1.0),
    "packaging_money_per_kg": _reach("money/kg"), "freight_money_per_kg": _reach("money/kg"),
    "model_low_frac": _reach("1", -1.0, 0.0), "model_high_frac": _reach("1", 0.0, 10.0),
    "model_own_share_frac": _reach("1", 0.0, 1.0), "battery_money_per_j": _reach("money/J"),
})
_REGION: Mapping[str, Reach] = MappingProxyType({
    "wage_money_per_s": _reach("money/s"), "overhead_frac": _reach("1"), "energy_money_per_j": _reach("money/J"),
    "floor_money_per_m2": _reach("money/m2"),
})
_SUPPLIER: Mapping[str, Reach] = MappingProxyType({
    "scrap_frac": _reach("1"), "sga_frac": _reach("1"), "profit_frac": _reach("1"), "development_frac": _reach("1"),
})
_MATERIAL: Mapping[str, Reach] = MappingProxyType({
    "material_price_money_per_kg": _reach("money/kg"), "material_scrap_credit_frac": _reach("1", 0.0, 1.0),
    "material_density_kg_per_m3": _reach("kg/m3", LEAST), "material_tensile_strength_pa": _reach("Pa", LEAST),
    "material_shear_strength_pa": _reach("Pa", LEAST), "material_yield_strength_pa": _reach("Pa", LEAST),
    "material_diffusivity_m2_per_s": _reach("m2/s", LEAST), "material_injection_k": _reach("K", LEAST),
    "material_mould_k": _reach("K", LEAST), "material_ejection_k": _reach("K", LEAST),
    "material_injection_pressure_pa": _reach("Pa", LEAST),
})
# fmt: on
_STEEPEST = 3.0
"""project rule: prices, draws and floors of machines grow at most with the volume, so with the cube of a size."""


def check_bounds(scenario: Scenario, place: str) -> None:
    """Refuse figures in another unit than their name says, of the wrong sign or out of reach.

    Parameters
    ----------
    scenario : Scenario
    place : str
        Name of its file, for messages.

    Raises
    ------
    ValueError
        The message names the first one, and what it should be.
    """
    for name, figure in scenario.figures.items():
        _check(figure, _SCENARIO[name], f"{place} [figure] {name}")
    _check_day(scenario, place)
    for code, region in scenario.regions.items():
        for name, figure in region.figures.items():
            _check(figure, _REGION[name], f"{place} [region.{code}] {name}")
    for code, supplier in scenario.suppliers.items():
        for name, figure in supplier.figures.items():
            _check(figure, _SUPPLIER[name], f"{place} [supplier.{code}] {name}")
    for code, material in scenario.materials.items():
        _check_material(material.figures, f"{place} material {code!r}")
    for code, machine in scenario.machines.items():
        _check_machine(machine, f"{place} machine {code!r}")
    for name, figure in scenario.overrides.items():
        _check_override(name, figure, f"{place} [process.{name!r}]")
    for code, index in scenario.indices.items():
        for year, value in index.points.items():
            _number(value, LEAST, MOST, f"{place} [index.{code}] {year}")
    for code, exchange in scenario.exchange.items():
        _number(exchange.rate, LEAST, MOST, f"{place} [exchange.{code}] rate")
        if not exchange.at.strip():
            msg = f"{place} [exchange.{code}]: a rate has a date; state it under at."
            raise ValueError(msg)


def _check(figure: Figure, reach: Reach, place: str) -> None:
    unit, low, high = reach
    if figure.unit != unit:
        msg = f"{place}: it is in {_said(figure.unit, figure)}; give it in {_said(unit, figure)}."
        raise ValueError(msg)
    for value in (figure.low, figure.value, figure.high):
        _number(value, low, high, place, unit)
        if 0.0 < abs(value) < LEAST:
            msg = f"{place}: {value!r} {unit} is smaller than {LEAST:g}; write 0 where there is none."
            raise ValueError(msg)


def _said(unit: str, figure: Figure) -> str:
    """Return a unit as people write it; hours and kilowatt-hours are taken, too."""
    said = unit.replace("money", figure.currency or "an amount")
    return "a plain number (unit 1)" if unit == "1" else said


def _number(value: float, low: float, high: float, place: str, unit: str = "1") -> None:
    if not low <= value <= high:
        said = "" if unit == "1" else f" {unit}"
        ends = f"above 0 and at most {high:g}" if low == LEAST else f"between {low:g} and {high:g}"
        msg = f"{place}: {value!r}{said} is out of reach; it must be {ends}{said}."
        raise ValueError(msg)


def _check_day(scenario: Scenario, place: str) -> None:
    shifts, length = scenario.figures["shift_count"].value, scenario.figures["shift_s"].value
    if shifts * length > _DAY_S * (1.0 + 1e-9):
        msg = (
            f"{place} [figure]: {shifts:g} shifts of {length / 3600.0:g} h are more than a day has; lower shift_count "
            "or shift_s."
        )
        raise ValueError(msg)


def _check_material(figures: Mapping[str, Figure], place: str) -> None:
    for name, figure in figures.items():
        said = "price" if name == "material_price_money_per_kg" else name.removeprefix("material_")
        if name not in _MATERIAL:
            known = ", ".join(one.removeprefix("material_") for one in _MATERIAL).replace(
                "price_money_per_kg", "price"
            )
            msg = f"{place}: no property named {said!r}; known: {known}."
            raise ValueError(msg)
        _check(figure, _MATERIAL[name], f"{place} {said}")
    if "material_price_money_per_kg" not in figures:
        msg = f"{place}: price missing; a material without one would be free."
        raise ValueError(msg)


def _check_machine(machine: Machine, place: str) -> None:
    for name, figure, unit in (
        ("investment", machine.investment, "money"),
        ("power", machine.power_w, "W"),
        ("area", machine.area_m2, "m2"),
        ("other", machine.consumables, "money/s"),
    ):
        _check(figure, _reach(unit), f"{place} {name}")
    for name in ("smallest", "reference_size", "largest"):
        _number(getattr(machine, name), LEAST, MOST, f"{place} {name}")
    if not machine.smallest <= machine.largest:
        msg = (
            f"{place}: smallest = {machine.smallest:g} is above largest = {machine.largest:g}; exchange them."
        )
        raise ValueError(msg)
    for name in ("investment_exponent", "power_exponent", "area_exponent"):
        _number(getattr(machine, name), 0.0, _STEEPEST, f"{place} {name}")


def _check_override(name: str, figure: Figure, place: str) -> None:
    """Refuse another unit than that of the figure it stands for, and another sign.

    Shares that cannot exceed 1 are told by their names: a step that loses every piece makes none.
    """
    packaged = next(
        one for process in PROCESSES.values() for one in process.figures if process.key(one) == name
    )
    low, high = (0.0 if packaged.low >= 0.0 else -MOST), (0.0 if packaged.high < 0.0 else MOST)
    if packaged.name == "reject_frac":
        high = math.nextafter(1.0, 0.0)
    _check(figure, (packaged.unit, low, high), place)
