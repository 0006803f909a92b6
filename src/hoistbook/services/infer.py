"""Two vehicles known by published figures alone: parameters, what must be true, what contradicts, what to measure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from hoistbook.capture.public_rows import PublicTable, read_public_rows
from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.causes import RESIDUAL
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Question, ResidualPrior, Side, model_value, reconcile
from hoistbook.core.compare.inference import (
    Alternative,
    Learned,
    MeasurementKind,
    alternatives,
    error_covariance,
    learned,
    pack_log_weight,
    results_log_weight,
    weighed,
)
from hoistbook.core.compare.next_measurement import Narrowing, ranked
from hoistbook.core.compare.published import contradictions
from hoistbook.core.compare.published_rows import Contradiction, PublishedRow
from hoistbook.core.compare.walk import Walk, range_walk
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.energy.duty import Duty
from hoistbook.core.energy.model import simulate
from hoistbook.core.energy.parameters import EnergyParameters
from hoistbook.core.energy.us_label import CITY_WEIGHT, HIGHWAY_WEIGHT
from hoistbook.core.quantities.assumption import Assumption, definition, sentences
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.records import Basis
from hoistbook.reference.cycles import cycle
from hoistbook.reference.energy import energy_defaults
from hoistbook.reference.published import PublishedSettings, published_settings
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED, sides
from hoistbook.services.doubts import of_the_fit
from hoistbook.services.duties import NamedDuty, named_duty
from hoistbook.services.next_measurements import candidates
from hoistbook.services.published_entry import Entry, find_entry

LEARNED_FIELDS = (
    "gear_efficiency_frac",
    "return_frac",
    "accessory_power_w",
    "charging_efficiency_frac",
    "usable_energy_j",
)
"""Driveline, recuperation, auxiliaries, charging; usable energy goes with charging."""


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """One measurement at one vehicle, and the cause it narrows most."""

    vehicle: str
    narrowing: Narrowing
    cause: str
    cause_now: float
    cause_then: float


@dataclass(frozen=True, slots=True)
class InferReport:
    """Everything published figures of two vehicles say.

    Attributes
    ----------
    walk : Walk
        Range gap of the labels, SI.
    parameters : tuple of Learned
    alternatives : tuple of Alternative
        What must be true; probabilities add up to 1.
    next_measurements : tuple of NextMeasurement
        By the band of the unexplained rest they are expected to leave, narrowest first. [m]
    contradictions : tuple of Contradiction
        Of the whole table; those of the two vehicles first.
    """

    walk: Walk
    parameters: tuple[Learned, ...]
    alternatives: tuple[Alternative, ...]
    next_measurements: tuple[NextMeasurement, ...]
    contradictions: tuple[Contradiction, ...]
    assumed: tuple[Assumption, ...]
    doubts: tuple[str, ...]
    n_draws: int
    seed: int

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)


def expected_consumption(
    rows: Sequence[PublishedRow], defaults: EnergyDefaults
) -> dict[str, tuple[float, float]]:
    """Unadjusted city and highway consumption of every row that states mass and road load, generic driveline. [J/m]"""
    keys = ("test_mass", "road_load_a", "road_load_b", "road_load_c")
    known = [row for row in rows if all(key in row.figures for key in keys)]
    if not known:
        return {}
    mass, a, b, c = (np.array([row.figures[key].span.value for row in known]) for key in keys)
    values: dict[str, float | Array] = {
        name: default.value for name, default in defaults.joined("generic", "us").items()
    }
    # Road load goes in as it stands; the model does not need its split, nor what follows the wall.
    values |= {"tyre_coefficient": 0.0, "drag_area_m2": 0.0, "usable_energy_j": 1.0, "label_factor_frac": 1.0}
    values |= {"test_mass_kg": mass, "drag_force_n": a, "drag_force_b_n_s_per_m": b}
    parameters = EnergyParameters(**{**values, "drag_force_c_n_s2_per_m2": c})
    found = [simulate(cycle(name), parameters) for name in ("udds", "hwfet")]
    city, highway = (np.asarray(result.wall_j / result.distance_m) for result in found)
    return {row.name: (float(city[i]), float(highway[i])) for i, row in enumerate(known)}


def table_contradictions(
    rows: Sequence[PublishedRow],
    defaults: EnergyDefaults | None = None,
    settings: PublishedSettings | None = None,
) -> tuple[Contradiction, ...]:
    """Everything in a table of published figures that does not fit together."""
    model = expected_consumption(rows, defaults or energy_defaults())
    return contradictions(rows, model, (settings or published_settings()).limits)


def infer_report(
    first: str,
    second: str,
    *,
    facts: Path | None = None,
    store: Path | None = None,
    n_draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    defaults: EnergyDefaults | None = None,
    settings: PublishedSettings | None = None,
) -> InferReport:
    """Infer what published figures allow about two vehicles and the gap between them.

    Parameters
    ----------
    first, second : str
        A row of the table, a path of a workbook, or a vehicle code of the store; of the last two only published facts
        are used.
    facts : Path, optional
        Table of published figures; all its rows are context for contradictions.
    store : Path, optional
    n_draws, seed : int
    defaults : EnergyDefaults, optional
    settings : PublishedSettings, optional

    Raises
    ------
    LoadRefused
        The table or a workbook has faults.
    ValueError, LookupError
        A vehicle is unknown, a figure the model needs is not published, or the figures pull too far apart.

    Notes
    -----
    Duty: the US label, UDDS and HWFET. Every draw of both vehicles is weighed by the density of the model's error that
    it leaves, two cycles of two vehicles at once, and by the gross battery energy (`core.compare.inference`).
    """
    defaults, settings = defaults or energy_defaults(), settings or published_settings()
    table = read_public_rows(facts) if facts is not None else PublicTable((), ())
    entries = [find_entry(name, table.rows, store, settings.prior) for name in (first, second)]
    if entries[0].teardown.vehicle.code == entries[1].teardown.vehicle.code:
        msg = f"both are {first!r}: a gap needs two vehicles."
        raise ValueError(msg)
    every = table_contradictions(table.rows, defaults, settings)
    asked = named_duty("us")
    subjects = [_subject(entry, asked, n_draws, seed, defaults) for entry in entries]
    stated = sides.stated_figures([(s.teardown, s.configuration) for s in subjects], "range", asked.duty.name)
    x, y = (sides.side(s, fact) for s, fact in zip(subjects, stated.facts, strict=True))
    residual = ResidualPrior(defaults.residual.sd_ln, defaults.residual.family_correlation)
    question = Question("range", asked.duty, sides.surroundings(subjects[0].resolved), residual, seed)
    model = [cycle_consumption(question, side) for side in (x, y)]
    observed = [entry.observed for entry in entries]
    covariance = error_covariance(
        residual, settings.prior.cycle_correlation, same_family=bool(x.family) and x.family == y.family
    )
    log_weight = results_log_weight(observed, model, covariance)
    for side, one in zip((x, y), observed, strict=True):
        log_weight = log_weight + pack_log_weight(side.fields["usable_energy_j"], one.gross, settings.prior)
    draws = weighed(log_weight)
    rho = [_residual(question, side) for side in (x, y)]
    found = reconcile(question, x, y, known_residuals=(rho[0], rho[1], draws))
    doubts = of_the_fit(found, (x, y), residual, "range")
    about = {x.code, y.code}
    told = sorted(every, key=lambda c: not about & {*c.vehicles, *c.beside})
    learned_sides = [learned(s, LEARNED_FIELDS, draws, settings.prior.narrower_frac) for s in (x, y)]
    origins = [{one.field: one.origin for one in rows} for rows in learned_sides]
    x, y = (_with_origins(side, known) for side, known in zip((x, y), origins, strict=True))
    walk = range_walk(
        question,
        found,
        x,
        y,
        (),
        comparison="as found",
        basis=stated.basis.value,
        usable_energy_from_wall=any(s.resolved.usable_energy_from_wall for s in subjects),
    )
    ln_model = [np.log(CITY_WEIGHT * city + HIGHWAY_WEIGHT * highway) for city, highway in model]
    return InferReport(
        walk=walk,
        parameters=tuple(one for rows in learned_sides for one in rows),
        alternatives=alternatives(
            x, y, LEARNED_FIELDS[:4], (ln_model[0], ln_model[1]), np.log(rho[0] / rho[1]), draws
        ),
        next_measurements=_next(x, y, found.shares, draws, settings.measurements, question.surroundings),
        contradictions=tuple(told),
        assumed=(
            *(definition(note) for note in dict.fromkeys(table.notes)),
            *(definition(entry.remark) for entry in entries if entry.remark),
            *(taken.of(s.code) for s in subjects for taken in s.resolved.assumed),
        ),
        doubts=doubts,
        n_draws=n_draws,
        seed=seed,
    )


def _subject(
    entry: Entry, asked: NamedDuty, n_draws: int, seed: int, defaults: EnergyDefaults
) -> sides.Subject:
    try:
        return sides.subject(entry.teardown, asked, n_draws, seed, None, Basis.LABEL, defaults)
    except ValueError as error:
        msg = f"{error} Only published figures count here{f' ({entry.remark})' if entry.remark else ''}."
        raise ValueError(msg) from error


def cycle_consumption(question: Question, side: Side) -> tuple[Array, Array]:
    """Unadjusted consumption of UDDS and HWFET by the model, per draw. [J/m]"""
    fields = {**side.fields, "label_factor_frac": np.ones_like(side.fields["label_factor_frac"])}
    bare = replace(side, fields=fields, stated=None)
    values = []
    for trace in question.duty.cycles:
        alone = NamedDuty(Duty(trace.name, (trace,), (1.0,), "energy"), "us").duty
        values.append(model_value(replace(question, quantity="energy", duty=alone), bare))
    return values[0], values[1]


def _residual(question: Question, side: Side) -> Array:
    if side.stated is None:
        msg = (
            f"{side.code}: no range is published; state the combined label range, or city and highway range."
        )
        raise ValueError(msg)
    return np.asarray(side.stated / model_value(question, side))


def _with_origins(side: Side, known: Mapping[str, str]) -> Side:
    return replace(side, origins={**side.origins, **{name: Origin(word) for name, word in known.items()}})


def _next(
    x: Side,
    y: Side,
    shares: Mapping[str, Array],
    draws: WeightedDraws,
    kinds: Sequence[MeasurementKind],
    surroundings: Surroundings,
) -> tuple[NextMeasurement, ...]:
    known = candidates((x, y), kinds, surroundings)
    moving = {name: share for name, share in shares.items() if name != RESIDUAL and np.any(share)}
    found = []
    for narrowing in ranked(shares[RESIDUAL], draws.weight, [candidate for _, candidate in known.values()]):
        owner, candidate = known[narrowing.name]
        best = ("", 0.0, 0.0)
        for cause, share in moving.items():
            (one,) = ranked(share, draws.weight, [candidate])
            if one.half_width_now - one.half_width_then > best[1] - best[2]:
                best = (cause, one.half_width_now, one.half_width_then)
        found.append(NextMeasurement(owner, narrowing, *best))
    return tuple(found)
