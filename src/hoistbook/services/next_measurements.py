"""What to measure next for a gap: instruments that could be used on either vehicle, ranked by what they leave open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Side
from hoistbook.core.compare.inference import MeasurementKind
from hoistbook.core.compare.next_measurement import Candidate, Narrowing, ranked

FORCE = "force"
"""What a coast-down shows: the road load, at the speeds below."""
FORCE_SPEEDS_M_PER_S = (30.0 / 3.6, 70.0 / 3.6, 110.0 / 3.6)
"""Low, middle and high speed of one coast-down; common practice."""

WORTH_NAMING_FRAC = 0.01
"""A measurement is named when it takes at least this share off the band; project rule: less is not seen in print."""


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """One measurement at one vehicle, and what it is expected to make of the band of what is not explained."""

    vehicle: str
    narrowing: Narrowing

    @property
    def is_worth_naming(self) -> bool:
        """Whether anything would be seen of it."""
        return self.narrowing.narrower_frac >= WORTH_NAMING_FRAC


def next_measurements(
    target: Array,
    draws: WeightedDraws,
    vehicles: Sequence[Side],
    kinds: Sequence[MeasurementKind],
    surroundings: Surroundings,
    further: Mapping[str, tuple[str, Candidate]] | None = None,
) -> tuple[NextMeasurement, ...]:
    """Rank what could be measured by the band it is expected to leave, the narrowest first.

    Parameters
    ----------
    target : array, shape (n_draws,)
        What is not explained.
    draws : WeightedDraws
    vehicles : sequence of Side
        As found: content that is set equal on paper stands on the vehicle that is measured.
    kinds : sequence of MeasurementKind
        What each instrument shows, and how well.
    surroundings : Surroundings
        Gravity and air density a coast-down is spoken of in.
    further : mapping of name to (code of the vehicle, Candidate), optional
        Ranked beside them: tests that could be repeated.

    Returns
    -------
    tuple of NextMeasurement
        One per vehicle and kind, and one per further candidate.

    Raises
    ------
    ValueError
        A kind shows what is no parameter of the energy model.

    Source
    ------
    See `next_measurement.ranked`; the standard uncertainties of the kinds are data with their own marks.
    """
    known = candidates(vehicles, kinds, surroundings) | dict(further or {})
    found = ranked(target, draws.weight, [candidate for _, candidate in known.values()])
    return tuple(NextMeasurement(known[one.name][0], one) for one in found)


def candidates(
    vehicles: Sequence[Side], kinds: Sequence[MeasurementKind], surroundings: Surroundings
) -> dict[str, tuple[str, Candidate]]:
    """List what could be measured: code of the vehicle and the candidate, by its name.

    Raises
    ------
    ValueError
        A kind shows what is no parameter of the energy model.
    """
    return {
        f"{kind.name}/{side.code}": (side.code, _candidate(side, kind, surroundings))
        for side in vehicles
        for kind in kinds
    }


def _candidate(side: Side, kind: MeasurementKind, surroundings: Surroundings) -> Candidate:
    if kind.fields == (FORCE,):
        rows = np.stack([_road_load(side.fields, speed, surroundings) for speed in FORCE_SPEEDS_M_PER_S])
    else:
        unknown = [name for name in kind.fields if name not in side.fields]
        if unknown:
            msg = (
                f"measurement {kind.name!r} shows {unknown[0]!r}, which is no parameter of the energy model."
            )
            raise ValueError(msg)
        rows = np.stack([side.fields[name] for name in kind.fields])
    sd = [kind.sd * abs(float(row.mean())) if kind.relative else kind.sd for row in rows]
    return Candidate(f"{kind.name}/{side.code}", kind.words, rows, sd, kind.how, kind.minutes)


def _road_load(fields: Mapping[str, Array], speed_m_per_s: float, surroundings: Surroundings) -> Array:
    """Road load at a speed: tyres, drag force and air. [N]"""
    rolling = fields["test_mass_kg"] * surroundings.gravity_m_per_s2 * fields["tyre_coefficient"]
    air = (
        0.5 * surroundings.air_density_kg_per_m3 * fields["drag_area_m2"] + fields["drag_force_c_n_s2_per_m2"]
    )
    linear = fields["drag_force_n"] + fields["drag_force_b_n_s_per_m"] * speed_m_per_s
    return np.asarray(rolling + linear + air * speed_m_per_s**2)
