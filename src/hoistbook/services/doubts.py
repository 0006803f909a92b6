"""What does not fit together in the figures of a vehicle or a pair: printed before any result that rests on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.gap import GapDraws, ResidualPrior, Side
from hoistbook.core.energy.parameters import SIGNED
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.kinds import field_words, unit_text
from hoistbook.core.vehicle.records import Basis, Fact, MassState, Teardown

DOUBT_SD, REFUSE_SD = 3.0, 6.0
"""Stated and modelled figure further apart than this many standard deviations of the model's error are doubted, or
refused: beyond six a wrong figure or unit is the only sensible explanation. Project rule, no source."""

FEWEST_DRAWS = 30.0
"""Fewer effective draws carry no 95 % band at all (first principles: less than one draw in each tail)."""

POOR_FIT_FRAC = 0.3
"""Below this share of effective draws the parameters and the stated figure pull apart. Project rule, no source."""

BEYOND = 1.5
"""A difference beyond this multiple of its own 95 % band is doubted. Project rule: the band alone misses 1 in 20."""


def within_one_vehicle(teardown: Teardown, configuration: str, duty: str) -> tuple[str, ...]:
    """Figures of one vehicle that state the same thing twice and differ beyond their bands.

    Parameters
    ----------
    teardown : Teardown
    configuration : str
    duty : str
        Whose stated range and consumption are held against the wall energy of a charge.

    Returns
    -------
    tuple of str
        Sentences for the reader; empty when everything fits.

    Source
    ------
    first principles: usable energy = wall energy · charging efficiency; range · consumption = wall energy of a charge;
    the corner masses add up to the mass in their state; a test mass is not below curb.
    """
    facts = [f for f in teardown.facts if f.configuration == configuration and f.basis is Basis.SPECIMEN]
    code = teardown.vehicle.code
    found: list[str] = []

    def one(quantity: str, state: MassState | None = None) -> Quantity | None:
        values = [
            f.value
            for f in facts
            if f.quantity == quantity and f.mass_state is state and (not f.duty or f.duty == duty)
        ]
        return values[0] if len(values) == 1 else None

    usable, wall, charging = one("usable_energy"), one("wall_energy"), one("charging_efficiency")
    if usable is not None and wall is not None and charging is not None:
        found += _apart(code, "usable battery energy", usable, "wall energy of a charge × charging efficiency",
                        wall * charging, 3.6e6, "kWh")  # fmt: skip
    distance, consumption = one("range"), one("consumption")
    if distance is not None and consumption is not None and wall is not None:
        found += _apart(code, "range × consumption", distance * consumption, "wall energy of a charge", wall,
                        3.6e6, "kWh")  # fmt: skip
    curb, test = one("mass", MassState.CURB), one("mass", MassState.TEST)
    if curb is not None:
        corners = _corner_sum(facts, MassState.CURB)
        if corners is not None:
            found += _apart(code, "sum of the corner masses", corners, "curb mass", curb, 1.0, "kg")
        if test is not None and (test - curb).band()[1] < 0.0:
            found.append(
                f"{code}: the test mass, {test.value:.1f} kg, is below the curb mass, {curb.value:.1f} kg"
            )
    return tuple(found)


def between_two_vehicles(x: Teardown, y: Teardown) -> tuple[str, ...]:
    """Instruments that carry one name in both workbooks and differ: their shared error would be none."""
    differing = [
        name
        for name, instrument in x.instruments.items()
        if name in y.instruments and y.instruments[name] != instrument
    ]
    if not differing:
        return ()
    names = ", ".join(sorted(differing))
    doubt = (
        f"instrument {names} is described differently in the two workbooks; its error is taken as shared all the same. "
        "If they are two instruments, give them two names"
    )
    return (doubt,)


def negative_draws(code: str, fields: Mapping[str, Array]) -> tuple[str, ...]:
    """Parameters whose band reaches below zero although they cannot be negative."""
    return tuple(
        f"{code}: {field_words(name)} is below zero in {np.mean(values < 0.0):.1%} of the draws; its band is too wide"
        for name, values in fields.items()
        if name not in SIGNED and np.any(values < 0.0)
    )


def of_the_fit(
    found: GapDraws, sides: Sequence[Side], prior: ResidualPrior, quantity: str
) -> tuple[str, ...]:
    """Stated figures that the model can hardly meet.

    Parameters
    ----------
    found : GapDraws
    sides : sequence of Side
        X and Y.
    prior : ResidualPrior
    quantity : str
        "range" or "energy".

    Returns
    -------
    tuple of str

    Raises
    ------
    ValueError
        A stated figure is out of all reach of the model, or next to no draw fits both.
    """
    noun = "range" if quantity == "range" else "consumption"
    doubts: list[str] = []
    for side, residual in zip(sides, (found.residual_x, found.residual_y), strict=True):
        if side.stated is None:
            continue
        ln = float(np.median(np.log(residual)))
        ratio = float(np.exp(ln if quantity == "range" else -ln))
        distance = abs(ln) / prior.sd_ln
        if distance > REFUSE_SD:
            msg = (
                f"{side.code}: the stated {noun} is {ratio:.3g} times what the model makes of the figures, and its "
                f"error is {prior.sd_ln:.0%}; one of the figures or its unit must be wrong. Look at usable battery "
                "energy, mass, drag area, tyre coefficient and the stated figure itself."
            )
            raise ValueError(msg)
        if distance > DOUBT_SD:
            doubts.append(
                f"{side.code}: the stated {noun} is {ratio:.2f} times what the model makes of the figures, more than "
                f"{DOUBT_SD:.0f} times the model's error of {prior.sd_ln:.1%}: look for a wrong figure first"
            )
    count, taken = found.draws.effective_count, found.gap.shape[0]
    if count < FEWEST_DRAWS:
        msg = (
            f"only {count:.1f} of {taken} draws fit both stated figures: the figures of {sides[0].code} and "
            f"{sides[1].code} contradict what was stated; look for a wrong figure, or take more draws."
        )
        raise ValueError(msg)
    if count < POOR_FIT_FRAC * taken:
        doubts.append(
            f"only {count:.0f} of {taken} draws fit both stated figures: parameters and stated {noun} pull apart, so "
            "the bands are rough"
        )
    return tuple(doubts)


def _apart(
    code: str, name: str, one: Quantity, other_name: str, other: Quantity, factor: float, unit: str
) -> list[str]:
    difference = one - other
    if abs(difference.value) <= BEYOND * max(difference.expanded(), 1e-9 * abs(one.value)):
        return []
    figures = (f"{q.value / factor:.4g} {unit_text(unit)}" for q in (one, other))
    return [f"{code}: {name}, {next(figures)}, and {other_name}, {next(figures)}, differ beyond their bands"]


def _corner_sum(facts: Sequence[Fact], state: MassState) -> Quantity | None:
    corners = [f.value for f in facts if f.quantity.startswith("corner_mass_") and f.mass_state is state]
    expected = 4
    if len(corners) != expected:
        return None
    total = corners[0]
    for corner in corners[1:]:
        total = total + corner
    return total
