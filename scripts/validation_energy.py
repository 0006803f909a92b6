"""The generic energy model against public certification rows, each maker left out in turn.

`section()` returns a Markdown section and the figures behind it. Run by itself the script prints the section.
Nothing of the rows enters the package but the one fitted constant, the drive-unit efficiency of the default driveline
(`energy_defaults.toml`, driveline "generic"), and the spread of the held-out error.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from certification_rows import (
    Rows,
    cycles,
    eu_consumption,
    eu_errors,
    eu_rows,
    generic_consumption,
    generic_parameters,
    predicted,
    raw_rows,
    road_loads,
    rows,
)
from hoistbook.core.arrays import Array
from hoistbook.core.energy.wheel import wheel_energy

__all__ = [
    "Figures",
    "Rows",
    "bootstrap_interval",
    "combined",
    "cycles",
    "errors",
    "eu_consumption",
    "eu_errors",
    "eu_rows",
    "figures",
    "fit_efficiency",
    "fit_four_constants",
    "four_constant_model",
    "generic_consumption",
    "generic_parameters",
    "held_out_errors",
    "mape",
    "predicted",
    "ratio_errors",
    "raw_rows",
    "residual_prior",
    "road_loads",
    "rows",
    "section",
]

EFFICIENCY_BOUNDS = (0.75, 0.97)
PACKS_ALIKE = 0.05


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
