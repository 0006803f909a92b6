"""Planted truth: made-up pairs of vehicles with known causes and decisions, seen through instrument errors.

The truth of each pair is known because it is made here; tested is whether the 95 % bands of causes and decisions hold
it as often as they say. Nothing of the truth reaches the reconciliation but through readings with stated bands.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import Bar, Interval
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Decision, Question, ResidualPrior, Side, model_value, reconcile
from hoistbook.core.compare.walk import Walk, range_walk
from hoistbook.core.energy.duty import Duty
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.quantities.sampling import draws
from hoistbook.reference.cycles import cycle

RESIDUAL_SD, FAMILY_CORRELATION = 0.08, 0.7
"""Prior of the planted residual; its truths are drawn from it."""


@dataclass(frozen=True)
class Observed:
    """How one parameter is seen: relative error of its own, relative error shared with the other vehicle."""

    low: float
    high: float
    own_frac: float
    shared_frac: float = 0.0
    unit: str = "1"


# Truth is drawn evenly between low and high for each vehicle; errors are those of the instrument named.
PARAMETERS: Mapping[str, Observed] = {
    "test_mass_kg": Observed(1600.0, 2000.0, 0.0008, 0.0005, "kg"),  # four corner pads, one calibration
    "tyre_coefficient": Observed(0.0065, 0.0100, 0.03, 0.02),  # drum test, one laboratory
    "drag_area_m2": Observed(0.70, 1.20, 0.02, 0.02, "m2"),  # tunnel figures of one tunnel
    "drag_force_n": Observed(20.0, 60.0, 0.08, 0.0, "N"),  # spin-down with a stopwatch
    "drag_force_b_n_s_per_m": Observed(0.3, 1.2, 0.08, 0.0, "N.s/m"),
    "gear_efficiency_frac": Observed(0.90, 0.95, 0.006, 0.0),
    "gear_efficiency_back_frac": Observed(0.90, 0.95, 0.006, 0.0),
    "loss_c0_w": Observed(100.0, 250.0, 0.10, 0.0, "W"),
    "loss_k1": Observed(0.07, 0.13, 0.10, 0.0, "W/(N.m)2"),
    "return_frac": Observed(0.60, 0.90, 0.03, 0.0),
    "cut_in_low_m_per_s": Observed(1.0, 2.0, 0.10, 0.0, "m/s"),
    "cut_in_full_m_per_s": Observed(3.0, 4.5, 0.05, 0.0, "m/s"),
    "accessory_power_w": Observed(200.0, 450.0, 0.03, 0.0, "W"),
    "usable_energy_j": Observed(1.8e8, 2.2e8, 0.008, 0.004, "J"),
    "pack_resistance_ohm": Observed(0.05, 0.12, 0.10, 0.0, "ohm"),
    "label_factor_frac": Observed(0.95, 1.05, 0.004, 0.0),
}
FIXED: Mapping[str, float] = {
    "rotating_frac": 0.03,
    "drag_force_c_n_s2_per_m2": 0.0,
    "wheel_radius_m": 0.33,
    "gear_ratio": 10.0,
    "loss_k2": 1.0,
    "loss_k3": 3e-7,
    "regen_power_cap_w": 80e3,
    "regen_torque_cap_n_m": 300.0,
    "adhesion_frac": 0.8,
    "driven_load_frac": 0.5,
    "load_transfer": 0.0,
    "pack_voltage_v": 360.0,
    "charging_efficiency_frac": 0.88,
}
RANGE_OWN, RANGE_SHARED = 0.006, 0.006
"""Relative standard errors of a measured range on one dynamometer."""

DECIDED: Mapping[str, tuple[str, ...]] = {
    "test_mass_kg": ("floor", "battery_case"),
    "drag_area_m2": ("mirrors",),
    "drag_force_n": ("bearings",),
    "accessory_power_w": ("pumps",),
    "tyre_coefficient": ("wheels",),
}
DECISION_ERROR_FRAC = 0.05
COEFFICIENTS_PRIOR_FRAC = 0.12
"""Relative standard error of the tyre coefficient where only the road-load coefficients are known."""


@dataclass
class World:
    """The errors nature drew for one pair: each named source once, for both vehicles."""

    rng: np.random.Generator
    errors: dict[str, float] = field(default_factory=dict)

    def error(self, name: str) -> float:
        """Return the standardised error of a source, drawn at first use."""
        return self.errors.setdefault(name, float(self.rng.standard_normal()))

    def observe(self, truth: float, unit: str, errors: Mapping[str, float]) -> Quantity:
        """Read a true value through named errors: what the instrument shows, with its band."""
        shown = truth + sum(size * self.error(name) for name, size in errors.items())
        return Quantity(
            shown,
            unit,
            tuple((Source(name), size) for name, size in errors.items() if size > 0.0),
            origin=Origin.MEASURED,
        )


@dataclass(frozen=True)
class Pair:
    """One planted pair: what was observed, and the true share of every cause and decision."""

    walk: Walk
    causes: Mapping[str, float]
    decisions: Mapping[tuple[str, str], float]


def plant(seed: int, n_draws: int, *, coefficients_only: bool, duty: Duty) -> Pair:
    """Make one pair, observe it, reconcile it.

    Parameters
    ----------
    seed : int
        Of the pair.
    n_draws : int
        Draws of the reconciliation.
    coefficients_only : bool
        Only the sum of tyre and drag force is known, as from a coast-down; the split rests on an assumed coefficient.
    duty : Duty
    """
    world = World(np.random.default_rng([seed, 415]))
    rng = world.rng
    same_family = bool(rng.integers(2))
    truths, decided = [], {}
    for _ in (0, 1):
        truth = {name: float(rng.uniform(p.low, p.high)) for name, p in PARAMETERS.items()} | dict(FIXED)
        truths.append(truth)
    for name, decisions in DECIDED.items():
        delta = truths[1][name] - truths[0][name]
        scale = 0.04 * 0.5 * (PARAMETERS[name].low + PARAMETERS[name].high)
        for decision in decisions:
            # Some decisions go with the difference, some against it.
            decided[name, decision] = float(0.4 * delta + scale * rng.standard_normal())
    correlation = FAMILY_CORRELATION if same_family else 0.0
    z = rng.standard_normal(2)
    ln_rho = RESIDUAL_SD * np.array([z[0], correlation * z[0] + math.sqrt(1 - correlation**2) * z[1]])
    question = Question(
        "range", duty, Surroundings(9.80665, 1.189), ResidualPrior(RESIDUAL_SD, FAMILY_CORRELATION), seed=seed
    )

    families = ("one", "one") if same_family else ("one", "other")
    true_sides, observed_sides = [], []
    for side, truth in enumerate(truths):
        fields_true = {name: np.full(1, value) for name, value in truth.items()}
        plain = Side("XY"[side], families[side], fields_true, dict.fromkeys(truth, Origin.MEASURED))
        stated = float(model_value(question, plain)[0] * np.exp(ln_rho[side]))
        true_sides.append(
            Side(plain.code, plain.family, fields_true, plain.origins, np.full(1, stated), Origin.MEASURED)
        )
        observed_sides.append(_observed(world, side, truth, stated, n_draws, seed, coefficients_only, plain))
    true_decisions = [
        Decision(f"{decision}", decision, {name: np.full(1, amount)})
        for (name, decision), amount in decided.items()
    ]
    seen_decisions = []
    for (name, decision), amount in decided.items():
        size = DECISION_ERROR_FRAC * abs(amount) + 1e-6 * PARAMETERS[name].high
        seen = world.observe(amount, PARAMETERS[name].unit, {f"decision {decision}": size})
        seen_decisions.append(Decision(decision, decision, {name: draws(seen, n_draws, seed)}))
    true = reconcile(question, true_sides[0], true_sides[1], true_decisions)
    found = reconcile(question, observed_sides[0], observed_sides[1], seen_decisions)
    walk = range_walk(
        question, found, observed_sides[0], observed_sides[1], seen_decisions, comparison="as found"
    )
    return Pair(
        walk,
        {name: float(share[0]) for name, share in true.shares.items()},
        {key: float(share[0]) for key, share in true.decisions.items()},
    )


def _observed(
    world: World,
    side: int,
    truth: Mapping[str, float],
    stated: float,
    n_draws: int,
    seed: int,
    coefficients_only: bool,
    plain: Side,
) -> Side:
    code = "XY"[side]
    seen: dict[str, Array] = {name: np.full(n_draws, truth[name]) for name in FIXED}
    for name, p in PARAMETERS.items():
        quantity = world.observe(
            truth[name],
            p.unit,
            {f"{code}/{name}": p.own_frac * truth[name], f"shared/{name}": p.shared_frac * truth[name]},
        )
        seen[name] = draws(quantity, n_draws, seed)
    if coefficients_only:
        # A = m g c_r + F_0 is known to 2 N; c_r only as an assumption, and the rest follows draw by draw.
        weight = truth["test_mass_kg"] * 9.80665
        a = world.observe(
            weight * truth["tyre_coefficient"] + truth["drag_force_n"], "N", {f"{code}/road_load_a": 2.0}
        )
        tyre = world.observe(
            truth["tyre_coefficient"],
            "1",
            {f"{code}/tyre": COEFFICIENTS_PRIOR_FRAC * truth["tyre_coefficient"]},
        )
        seen["tyre_coefficient"] = draws(tyre, n_draws, seed)
        seen["drag_force_n"] = (
            draws(a, n_draws, seed) - seen["test_mass_kg"] * 9.80665 * seen["tyre_coefficient"]
        )
    reading = world.observe(
        stated, "m", {f"{code}/range": RANGE_OWN * stated, "shared/dynamometer": RANGE_SHARED * stated}
    )
    return Side(code, plain.family, seen, plain.origins, draws(reading, n_draws, seed), Origin.MEASURED)


@dataclass
class Count:
    """How often a band held the truth."""

    held: int = 0
    tried: int = 0

    def add(self, interval: Interval, truth: float) -> None:
        """Count one band."""
        self.tried += 1
        self.held += interval.low <= truth <= interval.high

    @property
    def share_frac(self) -> float:
        """Share of bands that held the truth."""
        return self.held / self.tried


@dataclass
class Coverage:
    """Coverage by cause, by decision and by merged bar."""

    causes: dict[str, Count] = field(default_factory=dict)
    decisions: dict[str, Count] = field(default_factory=dict)
    merged: dict[str, Count] = field(default_factory=dict)
    merged_pairs: int = 0
    coefficient_pairs: int = 0
    wrong_merges: int = 0
    worst_closing_frac: float = 0.0

    def add(self, pair: Pair, *, coefficients_only: bool) -> None:
        """Count one pair."""
        self.coefficient_pairs += coefficients_only
        for bar in pair.walk.bars:
            names = bar.merged or (bar.name,)
            truth = sum(pair.causes[name] for name in names)
            if bar.merged:
                self.merged.setdefault(" + ".join(sorted(names)), Count()).add(bar.amount, truth)
                expected = {"tyres", "drag_force"} <= set(names)
                self.merged_pairs += coefficients_only and expected
                self.wrong_merges += not (coefficients_only and expected)
            elif pair.causes[bar.name] != 0.0:
                self.causes.setdefault(bar.name, Count()).add(bar.amount, truth)
            self._add_decisions(pair, bar, names)
        largest = max(abs(share) for share in pair.causes.values())
        self.worst_closing_frac = max(self.worst_closing_frac, pair.walk.closing_error / largest)

    def _add_decisions(self, pair: Pair, bar: Bar, names: Sequence[str]) -> None:
        left = sum(pair.causes[name] for name in names)
        for line in bar.decisions:
            truth = sum(
                pair.decisions[name, line.name] for name in names if (name, line.name) in pair.decisions
            )
            left -= truth
            self.decisions.setdefault(line.name, Count()).add(line.amount, truth)
        if bar.decisions:
            self.decisions.setdefault(f"rest of {bar.name}", Count()).add(bar.unexplained, left)


def run(n_pairs: int, n_draws: int, seed: int) -> Coverage:
    """Plant and reconcile `n_pairs` pairs of each kind: known by their parts, and by road-load coefficients alone."""
    duty = Duty("wltc3b", (cycle("wltc3b"),), (1.0,), "energy")
    coverage = Coverage()
    for i in range(2 * n_pairs):
        coefficients_only = i % 2 == 1
        pair = plant(seed + i, n_draws, coefficients_only=coefficients_only, duty=duty)
        coverage.add(pair, coefficients_only=coefficients_only)
    return coverage


def markdown(coverage: Coverage, n_pairs: int, n_draws: int, seed: int) -> str:
    """Return a section for docs/validation.md."""
    lines = [
        "## Planted truth",
        "",
        (
            f"{n_pairs} pairs known by their parts and {n_pairs} by road-load coefficients alone, {n_draws} draws "
            f"each, seeds {seed}–{seed + 2 * n_pairs - 1}. A 95 % band must hold the truth in 93–97 % of pairs."
        ),
        "",
        "| what | bands | held the truth |",
        "|---|---:|---:|",
    ]
    for title, counts in (
        ("cause", coverage.causes),
        ("merged", coverage.merged),
        ("decision", coverage.decisions),
    ):
        lines.extend(
            f"| {title}: {name.replace('_', ' ')} | {count.tried} | {count.share_frac:.1%} |"
            for name, count in sorted(counts.items())
        )
    lines += [
        "",
        (
            f"Pairs of which only road-load coefficients were known: {coverage.coefficient_pairs}; tyres and drag "
            f"force became one bar in {coverage.merged_pairs} of them. "
            f"Merges for any other reason: {coverage.wrong_merges}. "
            f"Worst error of the decisions' slopes: {coverage.worst_closing_frac:.2%} of the largest cause of its pair."
        ),
        "",
    ]
    return "\n".join(lines)


def main() -> None:
    """Print the section."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pairs", type=int, default=1000)
    parser.add_argument("--draws", type=int, default=1500)
    parser.add_argument("--seed", type=int, default=20261125)
    given = parser.parse_args()
    coverage = run(given.pairs, given.draws, given.seed)
    print(markdown(coverage, given.pairs, given.draws, given.seed))


if __name__ == "__main__":
    main()
