"""Range and consumption of one vehicle, and the wheel energy of a cycle."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import Interval, WeightedDraws
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.energy.duty import DutyResult, drive
from hoistbook.core.energy.parameters import EnergyParameters
from hoistbook.core.energy.resolve import DRIVE_UNIT_FIELDS, US
from hoistbook.core.energy.resolved import Resolved
from hoistbook.core.energy.wheel import wheel_energy
from hoistbook.core.quantities.assumption import Assumption, sentences
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.quantities.sampling import draws as quantity_draws
from hoistbook.core.vehicle.records import Teardown
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED, sides
from hoistbook.services.doubts import within_one_vehicle, worded_doubts
from hoistbook.services.duties import named_duty
from hoistbook.services.one_vehicle import one_vehicle
from hoistbook.services.parameter_rows import ParameterRow, parameter_rows


@dataclass(frozen=True, slots=True)
class Label:
    """The model's range [m] and consumption at the wall [J/m] times and over a label factor, and who says so."""

    factor: float
    source: str
    range: Interval
    energy: Interval


@dataclass(frozen=True, slots=True)
class RangeReport:
    """What the model makes of one vehicle, beside what was stated of it.

    Attributes
    ----------
    code, configuration, duty, basis : str
    range, energy : Interval
        The model's range [m] and consumption at the wall [J/m]; their bands hold the parameters, not
        the model's own error.
    stated_range, stated_energy : Interval or None
        As measured on the specimen or printed on the label.
    residual : Interval or None
        Stated over modelled range; 1 when the model is right.
    model_error_frac : float
        Standard deviation of the logarithm of the residual over held-out public vehicles.
    parameters : tuple of ParameterRow
    chain : mapping of str to float
        Energy per distance, mean over the draws, weighted over the cycles [J/m]. `traction` less `returned` plus
        `gears`, `loss` (of which `copper` with torque squared) and `accessory` makes `terminal`; with `pack_loss` that
        makes `cell`, with `charging` `wall`, and with `label` `consumption`, the middle of `energy`. Beside them stand
        `braking` at the wheels and `shaft`.
    one_efficiency : bool
        One assumed efficiency stands for the whole drive unit instead of gears, motor and inverter each.
    label : Label or None
        For the duty of the US label, what the label would say.
    assumed : tuple of Assumption
    doubts : tuple of str
        Figures that do not fit together; to be read first.
    """

    code: str
    configuration: str
    duty: str
    basis: str
    range: Interval
    energy: Interval
    stated_range: Interval | None
    stated_energy: Interval | None
    residual: Interval | None
    model_error_frac: float
    parameters: tuple[ParameterRow, ...]
    chain: Mapping[str, float]
    assumed: tuple[Assumption, ...]
    doubts: tuple[str, ...]
    n_draws: int
    seed: int
    one_efficiency: bool = False
    label: Label | None = None

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)


def range_report(
    teardown: Teardown,
    *,
    duty: str = "wltc3b",
    configuration: str | None = None,
    n_draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    defaults: EnergyDefaults | None = None,
) -> RangeReport:
    """Work out range and consumption of one vehicle from its facts and, where they are silent, from the defaults.

    Parameters
    ----------
    teardown : Teardown
    duty : str
        See `duties.named_duty`.
    configuration : str, optional
    n_draws, seed : int
    defaults : EnergyDefaults, optional
        What is taken for figures nobody stated; the packaged ones when left out.

    Raises
    ------
    ValueError, LookupError
        Unknown duty or configuration, or a figure is missing or impossible.
    """
    start = one_vehicle(
        teardown, duty=duty, configuration=configuration, n_draws=n_draws, seed=seed, defaults=defaults
    )
    known, asked, chosen, stated, one = (
        start.known,
        start.asked,
        start.configuration,
        start.stated,
        start.subject,
    )
    equal = WeightedDraws.equal(n_draws)
    driven = drive(asked.duty, EnergyParameters(**one.resolved.draws(n_draws, seed)))
    residual = None
    stated_range = stated_energy = None
    if stated.facts[0] is not None:
        drawn = one.drawn(stated.facts[0].value)
        stated_range, residual = equal.interval(drawn), equal.interval(drawn / driven.range_m)
    consumption = sides.stated_figures([(teardown, chosen)], "energy", asked.duty.name)
    if consumption.facts[0] is not None and consumption.basis is stated.basis:
        stated_energy = equal.interval(one.drawn(consumption.facts[0].value))
    return RangeReport(
        code=teardown.vehicle.code,
        configuration=chosen.id,
        duty=asked.duty.name,
        basis=stated.basis.value,
        range=equal.interval(driven.range_m),
        energy=equal.interval(driven.consumption_j_per_m),
        stated_range=stated_range,
        stated_energy=stated_energy,
        residual=residual,
        model_error_frac=known.residual.sd_ln,
        parameters=parameter_rows(one.resolved.values),
        chain=_chain(asked.duty.weights, driven, equal),
        assumed=one.resolved.assumed,
        doubts=worded_doubts(within_one_vehicle(teardown, chosen.id, asked.duty.name), "range"),
        n_draws=n_draws,
        seed=seed,
        one_efficiency=_has_one_efficiency(one.resolved),
        label=_label(one.resolved, driven, known, equal, n_draws, seed) if asked.duty.name == US else None,
    )


def _chain(weights: Sequence[float], driven: DutyResult, draws: WeightedDraws) -> dict[str, float]:
    """Every step of the energy chain per distance; means over draws add up as the draws do. [J/m]"""
    sums: dict[str, Array] = {}
    for weight, cycle in zip(weights, driven.cycles, strict=True):
        for name, value in cycle.per_metre().items():
            key = name.removesuffix("_j")
            sums[key] = sums.get(key, 0.0) + weight * value
    sums["gears"] = sums["shaft"] - sums["traction"] + sums["returned"]
    sums["charging"] = sums["wall"] - sums["cell"]
    sums["consumption"] = driven.consumption_j_per_m
    sums["label"] = sums["consumption"] - sums["wall"]
    return {name: draws.mean(values) for name, values in sums.items()}


def _has_one_efficiency(resolved: Resolved) -> bool:
    """Nothing of the drive unit was stated: the generic efficiency stands for gears, motor and inverter together."""
    return all(resolved.values[name].origin is Origin.ASSUMED for name in DRIVE_UNIT_FIELDS)


def _label(
    resolved: Resolved,
    driven: DutyResult,
    known: EnergyDefaults,
    draws: WeightedDraws,
    n_draws: int,
    seed: int,
) -> Label | None:
    """What the US label would say; None where the figures hold a label factor already, or the defaults have none."""
    default = known.surroundings[US].get("label_factor_frac")
    if default is None or resolved.values["label_factor_frac"].value != 1.0:
        return None
    factor = quantity_draws(default.quantity(resolved.owner), n_draws, seed)
    return Label(
        factor=default.value,
        source=f"{default.mark}: {default.source}",
        range=draws.interval(driven.range_m * factor),
        energy=draws.interval(driven.consumption_j_per_m / factor),
    )


@dataclass(frozen=True, slots=True)
class CycleReport:
    """Wheel energy over a cycle: traction and braking [J], distance [m], duration [s]."""

    cycle: str
    traction_j: float
    braking_j: float
    distance_m: float
    duration_s: float


def cycle_energy(
    cycle: str, mass_kg: float, a_n: float, b_n_s_per_m: float, c_n_s2_per_m2: float
) -> tuple[CycleReport, ...]:
    """Wheel energy of a road load over each cycle of a duty; mass is the effective mass, used as given.

    Raises
    ------
    ValueError, LookupError
        Unknown cycle, a mass that is not positive, or a figure that is not finite.
    """
    if not mass_kg > 0.0:
        msg = f"mass_kg = {mass_kg!r}: give the effective mass in kg, above 0."
        raise ValueError(msg)
    for name, value in {"a_n": a_n, "b_n_s_per_m": b_n_s_per_m, "c_n_s2_per_m2": c_n_s2_per_m2}.items():
        if not math.isfinite(value):
            msg = f"{name} = {value!r}: give a finite road load."
            raise ValueError(msg)
    reports = []
    for trace in named_duty(cycle).duty.cycles:
        with np.errstate(over="ignore", invalid="ignore"):
            wheel = wheel_energy(trace, mass_kg, a_n, b_n_s_per_m, c_n_s2_per_m2)
        if not (math.isfinite(wheel.traction_j) and math.isfinite(wheel.braking_j)):
            msg = f"{trace.name}: mass {mass_kg:g} kg or road load is out of all reach; check the units."
            raise ValueError(msg)
        reports.append(
            CycleReport(
                trace.name,
                float(wheel.traction_j),
                float(wheel.braking_j),
                trace.distance_m,
                trace.duration_s,
            )
        )
    return tuple(reports)
