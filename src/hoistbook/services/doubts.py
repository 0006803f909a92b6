"""What does not fit together in the figures of a vehicle or a pair: printed before any result that rests on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.gap import GapDraws, ResidualPrior, Side
from hoistbook.core.energy.parameters import SIGNED
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import field_words, unit_text
from hoistbook.core.vehicle.records import Basis, Fact, MassState, Teardown
from hoistbook.services.replaced import bands_apart, replaced_figures
from hoistbook.services.touched import about, about_facts, touches
from hoistbook.services.wording import figure_words, quantity_words, statement_words, usual_unit

DOUBT_SD, REFUSE_SD = 3.0, 6.0
"""Stated and modelled figure further apart than this many standard deviations of the model's error are doubted, or
refused: beyond six a wrong figure or unit is the only sensible explanation. Project rule, no source."""

FEWEST_DRAWS = 30.0
"""Fewer effective draws carry no 95 % band at all (first principles: less than one draw in each tail)."""

POOR_FIT_FRAC = 0.3
"""Below this share of effective draws the parameters and the stated figure pull apart. Project rule, no source."""

BEYOND = 1.5
"""A difference beyond this multiple of its own 95 % band is doubted. Project rule: the band alone misses 1 in 20."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """What does not fit together, in words, and the figures it is about (as in `touched.about`)."""

    text: str
    about: frozenset[str]


def worded_doubts(doubts: Iterable[Doubt], gap_in: str = "") -> tuple[str, ...]:
    """Doubts in words, each once; of a gap in range, energy or mass only those that touch its figures."""
    found = (one.text for one in doubts if not gap_in or touches(gap_in, one.about))
    return tuple(dict.fromkeys(found))


def within_one_vehicle(teardown: Teardown, configuration: str, duty: str) -> tuple[Doubt, ...]:
    """Figures of one vehicle that state the same thing twice and differ beyond their bands.

    Parameters
    ----------
    teardown : Teardown
    configuration : str
    duty : str
        Whose stated range and consumption are held against the wall energy of a charge; empty takes any.

    Returns
    -------
    tuple of Doubt
        Empty when everything fits.

    Notes
    -----
    A figure that a later one took the place of is no doubt while their bands meet.

    Source
    ------
    first principles: usable energy = wall energy · charging efficiency; range · consumption = wall energy of a charge;
    the corner masses add up to the mass in their state; a test mass is not below curb.
    """
    facts = [f for f in teardown.facts if f.configuration == configuration and f.basis is Basis.SPECIMEN]
    code = teardown.vehicle.code
    found: list[Doubt] = []

    def doubt(texts: Sequence[str], *quantities: str, states: Sequence[MassState] = ()) -> None:
        mine = [f for f in facts if f.quantity in quantities and (not states or f.mass_state in states)]
        found.extend(Doubt(text, about_facts(mine, facts)) for text in texts)

    def one(quantity: str, state: MassState | None = None) -> Quantity | None:
        values = [
            f.value
            for f in facts
            if f.quantity == quantity and f.mass_state is state and duty in ("", f.duty or duty)
        ]
        return values[0] if len(values) == 1 else None

    usable, wall, charging = one("usable_energy"), one("wall_energy"), one("charging_efficiency")
    if usable is not None and wall is not None and charging is not None:
        product = wall * charging
        told = _apart(code, "usable battery energy", usable, "wall energy of a charge × charging efficiency", product,
                      3.6e6, "kWh")  # fmt: skip
        doubt(told, "usable_energy", "wall_energy", "charging_efficiency")
    distance, consumption = one("range"), one("consumption")
    if distance is not None and consumption is not None and wall is not None:
        told = _apart(code, "range × consumption", distance * consumption, "wall energy of a charge", wall,
                      3.6e6, "kWh")  # fmt: skip
        doubt(told, "range", "consumption", "wall_energy")
    curb, test = one("mass", MassState.CURB), one("mass", MassState.TEST)
    if curb is not None:
        corners = _corner_sum(facts, MassState.CURB)
        if corners is not None:
            told = _apart(code, "sum of the corner masses", corners, "curb mass", curb, 1.0, "kg")
            doubt(told, "mass", states=(MassState.CURB,))
        if test is not None and (test - curb).band()[1] < 0.0:
            told = [
                f"{code}: the test mass, {test.value:.1f} kg, is below the curb mass, {curb.value:.1f} kg"
            ]
            doubt(told, "mass", states=(MassState.CURB, MassState.TEST))
    for one_replaced in replaced_figures(teardown, configuration, duty=duty):
        now, was = one_replaced.now, one_replaced.was
        gap_si = bands_apart(now.value, was.value)
        if gap_si > 0.0:
            unit = usual_unit(now.quantity, now.value.unit)
            figures = [figure_words(fact.value, now.quantity) for fact in (now, was)]
            words = ", ".join(filter(None, (quantity_words(now.quantity), now.mass_state and now.mass_state.value,
                                            now.duty)))  # fmt: skip
            text = (
                f"{code}: {words}, {figures[0]} by {statement_words(one_replaced.now_from)} and {figures[1]} by "
                f"{statement_words(one_replaced.was_from)}, which it took the place of: their bands are "
                f"{_difference(gap_si, unit, now.value.unit)} apart"
            )
            found.append(Doubt(text, about_facts([now], facts)))
    return tuple(found)


def _difference(si: float, unit: str, si_unit: str) -> str:
    """A difference in a unit: a zero that is moved (°C) does not count in it."""
    number = from_si(si, unit, expected=si_unit) - from_si(0.0, unit, expected=si_unit)
    return f"{number:.2g} {unit_text(unit)}".rstrip()


def between_two_vehicles(x: Teardown, y: Teardown) -> tuple[Doubt, ...]:
    """Instruments that carry one name in both workbooks and differ: their shared error would be none."""
    return tuple(
        Doubt(
            f"instrument {name} is described differently in the two workbooks; its error is taken as shared all the "
            "same. If they are two instruments, give them two names",
            _read_with(name, x) | _read_with(name, y),
        )
        for name, instrument in sorted(x.instruments.items())
        if name in y.instruments and y.instruments[name] != instrument
    )


def _read_with(instrument: str, teardown: Teardown) -> frozenset[str]:
    """What was read with an instrument."""
    facts = [fact for fact in teardown.facts if fact.instrument == instrument]
    readings = (one.quantity for one in teardown.measurements if one.instrument == instrument)
    return about_facts(facts, teardown.facts) | about(readings)


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
