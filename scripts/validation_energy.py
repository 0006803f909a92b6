"""The generic energy model against public certification rows, each maker left out in turn.

`section()` returns a Markdown section and the figures behind it. Run by itself the script prints the section.
The rows are public data with their sources in the file's header; nothing here enters the package but the one fitted
constant, the drive-unit efficiency of the default driveline (`energy_defaults.toml`, driveline "generic").
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from hoistbook.core.arrays import Array
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.model import EnergyParameters, simulate
from hoistbook.core.energy.wheel import wheel_energy
from hoistbook.core.quantities.units import to_si
from hoistbook.reference.cycles import cycle
from hoistbook.reference.energy import energy_defaults

DATA = Path(__file__).parent.parent / "tests" / "data"
ROAD_LOAD_COLUMNS = (("a_lbf", "lbf"), ("b_lbf_per_mph", "lbf/mph"), ("c_lbf_per_mph2", "lbf/mph2"))

WH_PER_MILE = 3600.0 / 1609.344  # J/m
GALLON_WH = 33705.0  # from memory: 40 CFR 600.002, 33.705 kWh per gallon equivalent

EFFICIENCY_BOUNDS = (0.75, 0.97)

PACKS_ALIKE = 0.05


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


def fit_efficiency(data: Rows) -> float:
    """Fit the one free constant of the generic driveline to rows.

    Notes
    -----
    Least squares of the relative errors of both cycles. Every maker has the same weight, however many rows it has:
    most of the error is common to a maker, so eleven rows of one tell little more than two of another. Every other
    constant is the default of `energy_defaults.toml`.
    """
    size = np.array([np.count_nonzero(data.maker == maker) for maker in data.maker], dtype=float)

    def residuals(p: Array) -> Array:
        return np.asarray(errors(predicted(data, efficiency=float(p[0])), data) / np.sqrt(size)).ravel()

    return float(least_squares(residuals, [0.88], bounds=EFFICIENCY_BOUNDS).x[0])


def four_constant_model(data: Rows, constants: Sequence[float] | Array) -> Array:
    """Wall = (E+/eta_t − eta_r E− + P_aux T)/0.88 of every row, shape (2, n). [J/m]

    `constants` are eta_t, eta_r and P_aux in W.
    """
    eta_t, eta_r, auxiliaries = constants
    found = []
    for trace in cycles():
        e = wheel_energy(trace, data.effective_mass_kg, data.a_n, data.b_n_s_per_m, data.c_n_s2_per_m2)
        battery = e.traction_j / eta_t - eta_r * e.braking_j + auxiliaries * trace.duration_s
        found.append(battery / 0.88 / trace.distance_m)
    return np.array(found)


def fit_four_constants(data: Rows) -> Array:
    """Fit the constants of `four_constant_model` to rows.

    Notes
    -----
    Relative errors of both cycles, every row alike, soft-L1 loss of scale 0.03, bounds as below. Three constants are
    free; charging is fixed, since it cannot be told from eta_t.
    """

    def residuals(p: Array) -> Array:
        return np.asarray(errors(four_constant_model(data, p), data).ravel())

    found = least_squares(
        residuals,
        [0.87, 0.70, 250.0],
        bounds=([0.75, 0.40, 150.0], [0.95, 0.90, 500.0]),
        loss="soft_l1",
        f_scale=0.03,
        x_scale=[0.87, 0.70, 250.0],
    )
    return np.asarray(found.x)


def errors(model: Array, data: Rows) -> Array:
    """Relative error of the model, shape (2, n)."""
    return np.asarray(model / data.certified - 1.0)


def held_out_errors(data: Rows, model: str = "generic") -> Array:
    """Relative error of every row with the constants fitted to the other makers only, shape (2, n).

    `model` is "generic" or "four constants".
    """
    found = np.empty_like(data.certified)
    for maker in sorted(set(data.maker)):
        is_own = data.maker == maker
        own, rest = data.where(is_own), data.where(~is_own)
        if model == "generic":
            guess = predicted(own, efficiency=fit_efficiency(rest))
        else:
            guess = four_constant_model(own, fit_four_constants(rest))
        found[:, is_own] = errors(guess, own)
    return found


def mape(error: Array) -> float:
    """Mean absolute error in percent."""
    return float(100.0 * np.mean(np.abs(error)))


def bootstrap_interval(
    error: Array, maker: NDArray[np.str_], repeats: int = 4000, seed: int = 1
) -> tuple[float, float]:
    """95 % interval of the mean absolute error in percent when makers, not rows, are drawn again.

    Notes
    -----
    Rows of one maker are alike, so 46 rows carry the information of some twelve makers.
    """
    rng = np.random.default_rng(seed)
    makers = sorted(set(maker))
    sums = np.array([np.abs(error[:, maker == m]).sum() for m in makers])
    sizes = np.array([error[:, maker == m].size for m in makers])
    chosen = rng.integers(0, len(makers), (repeats, len(makers)))
    means = 100.0 * sums[chosen].sum(axis=1) / sizes[chosen].sum(axis=1)
    low, high = np.percentile(means, [2.5, 97.5])
    return float(low), float(high)


def combined(per_cycle: Array) -> Array:
    """0.55 city + 0.45 highway, energy per distance."""
    return np.asarray(0.55 * per_cycle[0] + 0.45 * per_cycle[1])


def residual_prior(error: Array, data: Rows) -> tuple[float, float]:
    """Spread of ln(measured/model) of combined energy with the maker held out, and its correlation within a maker.

    Notes
    -----
    The spread is about 0 (the model's error, bias included), row by row. The correlation is the intraclass correlation
    of a one-way random-effects analysis of variance with unequal groups (Fisher; from memory: Searle, Casella and
    McCulloch, Variance Components, 1992, eq. for n_0).
    """
    ln = np.log(combined(data.certified) / combined(data.certified * (1.0 + error)))
    groups = [ln[data.maker == maker] for maker in sorted(set(data.maker))]
    total, count = len(ln), len(groups)
    sizes = np.array([len(group) for group in groups])
    within = sum(float(np.sum((group - group.mean()) ** 2)) for group in groups) / (total - count)
    between = sum(len(group) * (group.mean() - ln.mean()) ** 2 for group in groups) / (count - 1)
    effective = (total - np.sum(sizes**2) / total) / (count - 1)
    variance_between = max((between - within) / effective, 0.0)
    return float(np.sqrt(np.mean(ln**2))), float(variance_between / (variance_between + within))


def ratio_errors(model: Array, data: Rows, same_maker: bool) -> Array:
    """Relative error of the ratio of combined consumption, over pairs whose gross battery energies are within 5 %."""
    certified, computed = combined(data.certified), combined(model)
    found = []
    for i in range(len(data)):
        for j in range(i + 1, len(data)):
            packs = data.gross_kwh[[i, j]]
            alike = packs.max() / packs.min() - 1.0 <= PACKS_ALIKE
            if alike and (data.maker[i] == data.maker[j]) == same_maker:
                found.append((computed[i] / computed[j]) / (certified[i] / certified[j]) - 1.0)
    return np.array(found)


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


@dataclass(frozen=True)
class Figures:
    """What the comparison with the public rows found; percentages."""

    efficiency: float
    in_sample: float
    in_sample_by_cycle: tuple[float, float]
    held_out: float
    held_out_by_cycle: tuple[float, float]
    held_out_interval: tuple[float, float]
    held_out_combined: float
    held_out_makers: float
    flagged: float
    unfit: float
    four_constants_held_out: float
    ratio_same_maker: tuple[int, float, float]
    ratio_other_maker: tuple[int, float, float]
    residual_sd_ln: float
    family_correlation: float
    maker_factors: tuple[float, ...]
    eu_errors: tuple[float, ...]


def _pairs(found: Array) -> tuple[int, float, float]:
    return len(found), mape(found), float(100.0 * np.median(np.abs(found)))


def figures() -> Figures:
    """Compute everything the report says."""
    every = rows()
    data = every.where(~every.unfit)
    model = predicted(data)
    held_out = held_out_errors(data)
    everything = predicted(every)
    sd, correlation = residual_prior(held_out, data)
    factor = combined(data.certified) / combined(model)
    inside = errors(model, data)
    return Figures(
        efficiency=fit_efficiency(data),
        in_sample=mape(inside),
        in_sample_by_cycle=(mape(inside[0]), mape(inside[1])),
        held_out=mape(held_out),
        held_out_by_cycle=(mape(held_out[0]), mape(held_out[1])),
        held_out_interval=bootstrap_interval(held_out, data.maker),
        held_out_combined=mape(combined(data.certified * (1.0 + held_out)) / combined(data.certified) - 1.0),
        held_out_makers=float(np.mean([mape(held_out[:, data.maker == m]) for m in sorted(set(data.maker))])),
        flagged=mape(errors(everything, every)[:, every.flagged]),
        unfit=mape(errors(everything, every)[:, every.unfit]),
        four_constants_held_out=mape(held_out_errors(data, "four constants")),
        ratio_same_maker=_pairs(ratio_errors(model, data, same_maker=True)),
        ratio_other_maker=_pairs(ratio_errors(model, data, same_maker=False)),
        residual_sd_ln=sd,
        family_correlation=correlation,
        maker_factors=tuple(sorted(float(factor[data.maker == m].mean()) for m in set(data.maker))),
        eu_errors=tuple(float(100.0 * e) for e in eu_errors("generic")),
    )


def section(found: Figures | None = None) -> tuple[str, Figures]:
    """Return the Markdown section of the validation report and the figures in it."""
    f = found or figures()
    low, high = f.held_out_interval
    city, highway = f.in_sample_by_cycle
    city_out, highway_out = f.held_out_by_cycle
    same, other = f.ratio_same_maker, f.ratio_other_maker
    eu = ", ".join(f"{error:+.1f} %" for error in f.eu_errors)
    text = f"""## Energy model against public certification rows

Model year 2022, unadjusted UDDS and HWFET wall energy from public test weight and road load; 46 rows x 2 cycles, 12
makers. One constant (drive-unit efficiency, {f.efficiency:.4f}) is fitted; no figure is tuned per vehicle or maker.

| Mean absolute error | % |
|---|---|
| in sample (UDDS, HWFET) | {f.in_sample:.2f} ({city:.2f}, {highway:.2f}) |
| each maker left out in turn (UDDS, HWFET) | {f.held_out:.2f} ({city_out:.2f}, {highway_out:.2f}) |
| the same, 95 % interval drawing makers again | {low:.1f} to {high:.1f} |
| the same, every maker weighing alike | {f.held_out_makers:.2f} |
| the same, 0.55/0.45 combined energy | {f.held_out_combined:.2f} |
| four-constant model, each maker left out in turn | {f.four_constants_held_out:.2f} |
| all rows with a remark (15) | {f.flagged:.2f} |
| rows with coefficients of another configuration (5, in no fit) | {f.unfit:.2f} |

Ratio of combined consumption of two vehicles with packs within 5 %, same maker: {same[0]} pairs, mean error
{same[1]:.1f} %, median {same[2]:.1f} %. Different makers: {other[0]} pairs, mean {other[1]:.1f} %, median
{other[2]:.1f} %.

Held-out ln(measured/model) of combined energy: standard deviation about zero {f.residual_sd_ln:.3f}, correlation
within a maker {f.family_correlation:.2f}. Measured/model by maker: {f.maker_factors[0]:.3f} to
{f.maker_factors[-1]:.3f}.

Three vehicles with a US road load and a declared EU consumption (WLTP): model less declared {eu}.
"""
    return text, f


if __name__ == "__main__":
    print(section()[0])
