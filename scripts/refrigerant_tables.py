"""Write the property tables of the check of refrigerant lines from CoolProp, and say how far they are off.

`python scripts/refrigerant_tables.py` refreshes `core/checks/refrigerant_line/table_*.py`. Each surface is interpolated
at Chebyshev points and then held to CoolProp on an even grid of six times as many points both ways, edges included: a
series of that degree shows between such points what it does. The greatest deviation found goes into the module as
`DEVIATION`; a test draws other states at random and holds the tables to it.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import CoolProp
import numpy as np
from numpy.polynomial import chebyshev

from hoistbook.core.arrays import Array
from hoistbook.core.checks.refrigerant_line.fluid import SURFACES, Fluid, Region, Surface

TABLES = Path(__file__).parent.parent / "src" / "hoistbook" / "core" / "checks" / "refrigerant_line"
FINER = 6
ICE_K = 273.15
DIGITS = 10


@dataclass(frozen=True)
class Wanted:
    """What is tabulated of a fluid: saturation range, hottest state, pressures above critical, orders of the series."""

    name: str
    saturation_k: tuple[float, float]
    hottest_k: float
    orders: tuple[int, int] = (14, 10)
    liquid_orders: tuple[int, int] = (12, 8)
    condensing_k: tuple[float, float] = (0.0, 0.0)
    dense_pa: tuple[float, float] = (0.0, 0.0)
    dense_k: tuple[float, float] = (0.0, 0.0)
    dense_orders: tuple[int, int] = (0, 0)
    gas_j_per_kg: float = 0.0
    gas_orders: tuple[int, int] = (0, 0)


WANTED = (
    Wanted("R1234yf", (241.15, 348.15), 410.0, condensing_k=(280.15, 348.15)),
    Wanted("R134a", (241.15, 348.15), 425.0, condensing_k=(280.15, 348.15)),
    # above the critical pressure: what leaves the gas cooler, and what leaves the compressor, which has more enthalpy
    # than any saturated vapour of the range, and that is above 400 kJ/kg
    Wanted(
        "R744",
        (243.15, 293.15),
        380.0,
        dense_pa=(83e5, 152e5),
        dense_k=(280.15, 335.15),
        dense_orders=(12, 28),
        gas_j_per_kg=400e3,
        gas_orders=(10, 14),
    ),
)
DENSE_HOTTEST_K = 460.0


class Source:
    """CoolProp's states of a fluid, with the reference of the International Institute of Refrigeration."""

    def __init__(self, name: str) -> None:
        self.state = CoolProp.AbstractState("HEOS", name)
        self.state.update(CoolProp.QT_INPUTS, 0.0, ICE_K)
        self.shift_h = 200e3 - self.state.hmass()
        self.shift_s = 1000.0 - self.state.smass()

    def saturated(self, quality: float, pressure: float) -> float:
        """Enthalpy of saturated liquid (0) or vapour (1)."""
        self.state.update(CoolProp.PQ_INPUTS, pressure, quality)
        return float(self.state.hmass()) + self.shift_h

    def hot(self, temperature: float, pressure: float) -> float:
        """Enthalpy at a temperature."""
        self.state.update(CoolProp.PT_INPUTS, pressure, temperature)
        return float(self.state.hmass()) + self.shift_h

    def surfaces(self, enthalpy: float, pressure: float) -> tuple[float, float, float, float]:
        """Return T, s, pv and ln µ."""
        self.state.update(CoolProp.HmassP_INPUTS, enthalpy - self.shift_h, pressure)
        state = self.state
        return (
            state.T(),
            state.smass() + self.shift_s,
            pressure / state.rhomass(),
            np.log(state.viscosity()),
        )


def _points(n: int) -> Array:
    return np.asarray(chebyshev.chebpts1(n))


def _series(values: Array, points: Array) -> Array:
    """Coefficients of the interpolating series along the first axis."""
    n = len(points)
    return np.linalg.solve(chebyshev.chebvander(points, n - 1), values)


def _between(low: float, high: float, points: Array) -> Array:
    return 0.5 * (low + high) + 0.5 * (high - low) * points


def tabulate_region(
    source: Source,
    log_pressure: tuple[float, float],
    edges: Callable[[float], tuple[float, float]],
    orders: tuple[int, int],
) -> Region:
    """Interpolate all surfaces of a region; `edges` gives least and greatest enthalpy at a pressure."""
    rows, columns = orders
    x, y = _points(rows), _points(columns)
    pressures = np.exp(_between(*log_pressure, x))
    ends = np.array([edges(pressure) for pressure in pressures])
    edge_series = _series(ends, x)
    grid = np.empty((rows, columns, 4))
    for i, pressure in enumerate(pressures):
        for j, enthalpy in enumerate(_between(*ends[i], y)):
            grid[i, j] = source.surfaces(enthalpy, pressure)
    surfaces = {}
    for place, name in enumerate(SURFACES):
        along = _series(grid[:, :, place], x)
        surfaces[name] = _series(along.T, y).T
    return Region(log_pressure, edge_series[:, 0], edge_series[:, 1], surfaces)


def deviations(source: Source, region: Region, n: tuple[int, int]) -> dict[Surface, float]:
    """Greatest deviation on an even grid with the edges: K, J/(kg.K), and relative for pv and viscosity."""
    low, high = region.log_pressure
    worst = dict.fromkeys(SURFACES, 0.0)
    columns = np.linspace(0.0, 1.0, n[1])
    for log_pressure in np.linspace(low, high, n[0]):
        pressure = np.full(n[1], np.exp(log_pressure))
        isobars = region.at(pressure)
        enthalpy = isobars.least_j_per_kg + columns * isobars.width_j_per_kg
        true = np.array([source.surfaces(one, pressure[0]) for one in enthalpy]).T
        found = (
            isobars.temperature_k(enthalpy),
            isobars.entropy_j_per_kg_k(enthalpy),
            pressure / isobars.density_kg_per_m3(enthalpy),
            np.log(isobars.viscosity_pa_s(enthalpy)),
        )
        for name, one, other in zip(SURFACES, found, true, strict=True):
            off = np.abs(one / other - 1.0) if name == "pressure_volume" else np.abs(one - other)
            worst[name] = max(worst[name], float(off.max()))
    return worst


def tabulate(wanted: Wanted) -> tuple[Fluid, Source]:
    """Tabulate a fluid."""
    source = Source(wanted.name)
    low, high = wanted.saturation_k

    def saturation(temperature: float) -> float:
        source.state.update(CoolProp.QT_INPUTS, 1.0, temperature)
        return float(np.log(source.state.p()))

    points = _points(16)
    log_saturation = _series(np.array([saturation(one) for one in _between(low, high, points)]), points)

    def vapour(pressure: float) -> tuple[float, float]:
        return source.saturated(1.0, pressure), source.hot(wanted.hottest_k, pressure)

    suction = tabulate_region(source, (saturation(low), saturation(high)), vapour, wanted.orders)
    if wanted.dense_pa[0]:

        def dense(pressure: float) -> tuple[float, float]:
            return source.hot(wanted.dense_k[0], pressure), source.hot(wanted.dense_k[1], pressure)

        def gas(pressure: float) -> tuple[float, float]:
            return wanted.gas_j_per_kg, source.hot(DENSE_HOTTEST_K, pressure)

        first, last = (float(one) for one in np.log(wanted.dense_pa))
        bottom = tabulate_region(source, (first, last), dense, wanted.dense_orders)
        top = tabulate_region(source, (first, last), gas, wanted.gas_orders)
    else:

        def liquid(pressure: float) -> tuple[float, float]:
            source.state.update(CoolProp.PQ_INPUTS, pressure, 0.0)
            return source.hot(float(source.state.T()) - 40.0, pressure), source.saturated(0.0, pressure)

        top = suction
        ends = (saturation(wanted.condensing_k[0]), saturation(wanted.condensing_k[1]))
        bottom = tabulate_region(source, ends, liquid, wanted.liquid_orders)
    critical = float(source.state.p_critical())
    return Fluid(wanted.name, wanted.saturation_k, log_saturation, suction, top, bottom, critical), source


def _rounded(table: Array) -> list[str]:
    """Numbers as text, to a billionth of the largest."""
    places = max(0, DIGITS - 1 - int(np.floor(np.log10(np.abs(table).max()))))
    return [f"{one:.{places}f}".rstrip("0").rstrip(".") if one else "0" for one in np.ravel(table)]


def _text(table: Array) -> str:
    numbers = ["0" if one in ("-0", "") else one for one in _rounded(table)]
    return '"""\n' + "\n".join(textwrap.wrap(" ".join(numbers), 108)) + '\n"""'


def _region_text(name: str, region: Region) -> str:
    rows, columns = region.surfaces["temperature"].shape
    low, high = region.log_pressure
    parts = [f"{name} = region(", f"    ({low!r}, {high!r}),", f"    ({rows}, {columns}),"]
    parts.append(_text(np.stack([region.least_j_per_kg, region.most_j_per_kg])) + ",")
    parts.append("{")
    parts += [f'"{one}": {_text(region.surfaces[one])},' for one in SURFACES]
    return "\n".join([*parts, "},", ")"])


def module(fluid: Fluid, off: Mapping[Surface, float]) -> str:
    """Return the text of the module of a fluid."""
    regions = {"SUCTION": fluid.suction, "LIQUID": fluid.liquid}
    high = "SUCTION"
    if fluid.high is not fluid.suction:
        regions["GAS"] = fluid.high
        high = "GAS"
    worst = ", ".join(f'"{name}": {_up(value):.2g}' for name, value in off.items())
    return "\n".join(
        [
            f'"""Property tables of {fluid.name}, written by scripts/refrigerant_tables.py: not to be edited.',
            "",
            f"computed: CoolProp {CoolProp.__version__}; reference of the International Institute of Refrigeration.",
            '"""',
            "",
            "from hoistbook.core.checks.refrigerant_line.fluid import Fluid, numbers, region",
            "",
            f"DEVIATION = {{{worst}}}",
            '"""Greatest found against CoolProp: K, J/(kg.K), relative, relative."""',
            "# fmt: off",
            f"SATURATION = {_text(fluid.log_saturation)}",
            *(_region_text(name, one) for name, one in regions.items()),
            (
                f'FLUID = Fluid("{fluid.name}", {fluid.saturation_k!r}, numbers(SATURATION), SUCTION, {high}, LIQUID,'
                f" {fluid.critical_pa!r})"
            ),
            "",
        ]
    )


def _up(value: float) -> float:
    """A deviation rounded up to two digits, so that the module says no less than was found."""
    step = 10.0 ** (np.floor(np.log10(value)) - 1)
    return float(np.ceil(value / step) * step)


def main() -> None:
    """Write the tables."""
    for wanted in WANTED:
        fluid, source = tabulate(wanted)
        regions = {id(one): one for one in (fluid.suction, fluid.high, fluid.liquid)}.values()
        worst = dict.fromkeys(SURFACES, 0.0)
        for region in regions:
            rows, columns = region.surfaces["temperature"].shape
            for name, off in deviations(source, region, (FINER * rows + 1, FINER * columns + 1)).items():
                worst[name] = max(worst[name], off)
        path = TABLES / f"table_{wanted.name.lower()}.py"
        path.write_text(module(fluid, worst), encoding="utf-8")
        print(path.name, path.stat().st_size, worst)


if __name__ == "__main__":
    main()
