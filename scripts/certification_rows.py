"""Public certification rows, and the generic energy model driven over them.

The rows are public data; their sources stand in the header of the files under tests/data.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.model import EnergyParameters, simulate
from hoistbook.core.quantities.units import to_si
from hoistbook.reference.cycles import cycle
from hoistbook.reference.energy import energy_defaults

DATA = Path(__file__).parent.parent / "tests" / "data"
ROAD_LOAD_COLUMNS = (("a_lbf", "lbf"), ("b_lbf_per_mph", "lbf/mph"), ("c_lbf_per_mph2", "lbf/mph2"))

WH_PER_MILE = 3600.0 / 1609.344  # J/m
GALLON_WH = 33705.0  # from memory: 40 CFR 600.002, 33.705 kWh per gallon equivalent


@dataclass(frozen=True)
class Rows:
    """Certification rows as columns, in SI. `certified` holds wall energy per distance of UDDS and HWFET. [J/m]"""

    vehicle: tuple[str, ...]
    maker: NDArray[np.str_]
    flag: tuple[str, ...]
    effective_mass_kg: Array
    mass_kg: Array
    a_n: Array
    b_n_s_per_m: Array
    c_n_s2_per_m2: Array
    gross_kwh: Array
    certified: Array

    def __len__(self) -> int:
        return len(self.vehicle)

    def where(self, mask: NDArray[np.bool_]) -> Rows:
        """Return the rows of a mask."""
        index = np.flatnonzero(mask)
        return Rows(
            tuple(self.vehicle[i] for i in index),
            self.maker[index],
            tuple(self.flag[i] for i in index),
            self.effective_mass_kg[index],
            self.mass_kg[index],
            self.a_n[index],
            self.b_n_s_per_m[index],
            self.c_n_s2_per_m2[index],
            self.gross_kwh[index],
            self.certified[:, index],
        )

    @property
    def unfit(self) -> NDArray[np.bool_]:
        """Rows whose coefficients are known to belong to another configuration."""
        return np.array(["do not use for fitting" in flag for flag in self.flag], dtype=np.bool_)

    @property
    def flagged(self) -> NDArray[np.bool_]:
        """Rows with any remark."""
        return np.array([bool(flag) for flag in self.flag], dtype=np.bool_)


def raw_rows() -> list[dict[str, str]]:
    """Return the rows as printed in the file."""
    return _read(DATA / "certification_2022.csv")


def _read(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@cache
def rows() -> Rows:
    """Return all 51 rows in SI."""
    raw = raw_rows()

    def column(name: str, unit: str) -> Array:
        return np.array([to_si(float(row[name]), unit)[0] for row in raw])

    mass = column("etw_lb", "lb")
    a_n, b_n_s_per_m, c_n_s2_per_m2 = (column(name, unit) for name, unit in ROAD_LOAD_COLUMNS)
    mpge = np.array([[float(row[f"unadjusted_{c}_mpge"]) for row in raw] for c in ("city", "highway")])
    return Rows(
        vehicle=tuple(row["vehicle"] for row in raw),
        maker=np.array([row["maker"] for row in raw]),
        flag=tuple(row["flag"] for row in raw),
        effective_mass_kg=1.03 * mass,
        mass_kg=mass,
        a_n=a_n,
        b_n_s_per_m=b_n_s_per_m,
        c_n_s2_per_m2=c_n_s2_per_m2,
        gross_kwh=np.array([float(row["gross_kwh"]) for row in raw]),
        certified=GALLON_WH / mpge * WH_PER_MILE,
    )


def road_loads() -> tuple[Array, Array, Array, Array]:
    """Effective mass and A, B, C of all 51 rows, in SI."""
    r = rows()
    return r.effective_mass_kg, r.a_n, r.b_n_s_per_m, r.c_n_s2_per_m2


def cycles() -> tuple[Cycle, Cycle]:
    """UDDS and HWFET."""
    return cycle("udds"), cycle("hwfet")


def generic_parameters(
    fields: Mapping[str, float | Array], driveline: str = "generic", surroundings: str = "us"
) -> EnergyParameters:
    """Parameters of the default driveline with the given fields in place of the defaults.

    Road load is given by `drag_force_*`; the rows do not split it, and the model does not need the split.
    """
    defaults = energy_defaults().joined(driveline, surroundings)
    values: dict[str, float | Array] = {name: default.value for name, default in defaults.items()}
    values |= {"tyre_coefficient": 0.0, "drag_area_m2": 0.0, "usable_energy_j": 1.0, "label_factor_frac": 1.0}
    return EnergyParameters(**{**values, **fields})


def generic_consumption(
    traces: Sequence[Cycle],
    effective_mass_kg: float | Array,
    a_n: float | Array,
    b_n_s_per_m: float | Array,
    c_n_s2_per_m2: float | Array,
    driveline: str = "generic",
    efficiency: float | None = None,
) -> Array:
    """Wall energy per distance of the generic model, warm, unadjusted; shape (n_cycles, …). [J/m]

    Parameters
    ----------
    traces : sequence of Cycle
    effective_mass_kg, a_n, b_n_s_per_m, c_n_s2_per_m2
        Mass with rotating inertia and road load.
    driveline : str
        Set of `energy_defaults.toml`; "constant_efficiency" is the four-constant model.
    efficiency : float, optional
        Drive-unit efficiency in both directions in place of the set's own.
    """
    fields: dict[str, float | Array] = {
        "test_mass_kg": effective_mass_kg,
        "rotating_frac": 0.0,
        "drag_force_n": a_n,
        "drag_force_b_n_s_per_m": b_n_s_per_m,
        "drag_force_c_n_s2_per_m2": c_n_s2_per_m2,
    }
    if efficiency is not None:
        fields |= {"gear_efficiency_frac": efficiency, "gear_efficiency_back_frac": efficiency}
    parameters = generic_parameters(fields, driveline)
    results = (simulate(trace, parameters, engine="numpy") for trace in traces)
    return np.array([result.wall_j / result.distance_m for result in results])


def predicted(data: Rows, driveline: str = "generic", efficiency: float | None = None) -> Array:
    """UDDS and HWFET of every row by the generic model, shape (2, n). [J/m]"""
    return generic_consumption(
        cycles(),
        data.effective_mass_kg,
        data.a_n,
        data.b_n_s_per_m,
        data.c_n_s2_per_m2,
        driveline,
        efficiency,
    )


@cache
def eu_rows() -> list[dict[str, str]]:
    """Return the vehicles with a US road load and a declared EU consumption, as printed in the file."""
    return _read(DATA / "eu_consumption_2024.csv")


def eu_consumption(driveline: str) -> Array:
    """WLTP wall energy of the three vehicles with a US road load and an EU consumption, as it stands. [Wh/km]

    Notes
    -----
    The US coefficients are used unchanged (no change of air density), with the WLTP test mass × 1.03.
    """
    found = []
    for row in eu_rows():
        a, b, c = (to_si(float(row[name]), unit)[0] for name, unit in ROAD_LOAD_COLUMNS)
        mass = 1.03 * float(row["wltp_test_mass_kg"])
        found.append(float(generic_consumption([cycle("wltc3b")], mass, a, b, c, driveline)[0]) / 3.6)
    return np.array(found)


def eu_errors(driveline: str) -> Array:
    """Relative error of `eu_consumption` against the declared figures."""
    declared = np.array([float(row["declared_wh_per_km"]) for row in eu_rows()])
    return np.asarray(eu_consumption(driveline) / declared - 1.0)
