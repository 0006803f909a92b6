"""One vehicle as it is published: figures with the rounding of their printed digits, in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from hoistbook.core.energy.us_label import CITY_WEIGHT, HIGHWAY_WEIGHT

CYCLES = ("city", "highway", "combined")
BASES = ("unadjusted", "adjusted")


@dataclass(frozen=True, slots=True)
class Span:
    """A figure and the ends its rounding allows, in SI."""

    value: float
    low: float
    high: float

    def __mul__(self, other: Span) -> Span:
        """Product of two positive figures."""
        return Span(self.value * other.value, self.low * other.low, self.high * other.high)

    def over(self, other: Span) -> Span:
        """Quotient of two positive figures."""
        return Span(self.value / other.value, self.low / other.high, self.high / other.low)

    def scaled(self, factor: float) -> Span:
        """The figure times a positive number."""
        return Span(self.value * factor, self.low * factor, self.high * factor)

    def apart(self, other: Span, tolerance_frac: float) -> bool:
        """Whether rounding, and a relative tolerance on top of it, cannot bring two figures together."""
        slack = tolerance_frac * max(abs(self.value), abs(other.value))
        return self.low > other.high + slack or other.low > self.high + slack


@dataclass(frozen=True, slots=True)
class Printed:
    """One published figure.

    Attributes
    ----------
    span : Span
        In SI.
    text, unit : str
        As printed.
    whole : bool
        No digits after the decimal point.
    """

    span: Span
    text: str
    unit: str
    whole: bool

    def __str__(self) -> str:
        """Figure and unit as printed."""
        return f"{self.text} {self.unit}"


@dataclass(frozen=True, slots=True)
class PublishedRow:
    """Published figures of one vehicle, with who says so.

    Attributes
    ----------
    name, maker, source : str
    figures : mapping of key to Printed
        Keys: test_mass, road_load_a, road_load_b, road_load_c, battery_gross, battery_usable, wall_energy, and
        {city, highway, combined}_{economy, consumption, range}_{unadjusted, adjusted}. Economy (MPGe, mi/kWh) and
        consumption are both energy per distance in SI.
    note : str
    line : int
        Row of the table.
    """

    name: str
    maker: str
    source: str
    figures: Mapping[str, Printed]
    note: str = ""
    line: int = 0

    def span(self, key: str) -> Span | None:
        """The figure of a key, or None."""
        found = self.figures.get(key)
        return None if found is None else found.span

    def consumption(self, cycle: str, basis: str) -> Span | None:
        """Energy per distance of a cycle: the form printed more finely. [J/m]"""
        found = [
            span
            for form in ("economy", "consumption")
            if (span := self.span(f"{cycle}_{form}_{basis}")) is not None
        ]
        return min(found, key=lambda span: (span.high - span.low) / span.value) if found else None

    def label_factor(self) -> Span | None:
        """Stated over unadjusted distance per energy, of the city cycle, else of the highway one. [1]"""
        for cycle in ("city", "highway"):
            test, label = self.consumption(cycle, "unadjusted"), self.consumption(cycle, "adjusted")
            if test is not None and label is not None:
                return test.over(label)
        return None

    def charge(self, cycle: str) -> Span | None:
        """Wall energy of a full charge: range times consumption of one cycle on one basis. [J]

        Source
        ------
        first principles: the label factor multiplies range and divides consumption, so it cancels.
        """
        for basis in BASES:
            reach, use = self.span(f"{cycle}_range_{basis}"), self.consumption(cycle, basis)
            if reach is not None and use is not None:
                return reach * use
        return None

    def best_charge(self) -> Span | None:
        """Wall energy of a full charge: as stated, of one cycle, or of the combined label. [J]

        Notes
        -----
        The combined label multiplies 0.55 R_c + 0.45 R_h by 0.55 e_c + 0.45 e_h, which is the charge times
        0.55² + 0.45² + 0.55 · 0.45 (x + 1/x), x = e_c/e_h; it is divided by that where both consumptions are known.

        Source
        ------
        first principles.
        """
        for found in (self.span("wall_energy"), self.charge("city"), self.charge("highway")):
            if found is not None:
                return found
        both = self.charge("combined")
        if both is None:
            return None
        for basis in ("adjusted", "unadjusted"):
            city, highway = self.consumption("city", basis), self.consumption("highway", basis)
            if city is not None and highway is not None:
                x = city.value / highway.value
                cross = CITY_WEIGHT * HIGHWAY_WEIGHT * (x + 1.0 / x)
                return both.scaled(1.0 / (CITY_WEIGHT**2 + HIGHWAY_WEIGHT**2 + cross))
        return both


class Strength(StrEnum):
    """How sure a contradiction is."""

    CERTAIN = "certain"
    LIKELY = "likely"
    WORTH_ASKING = "worth asking"


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Published figures that cannot all be true of one vehicle.

    Attributes
    ----------
    kind : str
    strength : Strength
    vehicles : tuple of str
        Whose figures are in doubt.
    beside : tuple of str
        Vehicles the evidence rests on, whose own figures are not in doubt.
    sentence, means : str
        What does not fit, and what it would mean.
    evidence : tuple of str
        The figures as printed, with their source.
    """

    kind: str
    strength: Strength
    vehicles: tuple[str, ...]
    beside: tuple[str, ...]
    sentence: str
    means: str
    evidence: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PublishedLimits:
    """Bounds for judging published figures; every one is data with a source (`reference/data/published.toml`).

    Attributes
    ----------
    tolerance_frac : float
        Beyond the rounding of the printed digits, for figures that were rounded on the way.
    family_ratio_frac : float
        Consumption ratios of one maker further from the model than this disagree.
    carried_frac : float
        Equal labels although the model sets the two apart by more than this.
    pack_siblings_frac : float
        Wall energy per stated battery energy off the maker's other rows by more than this.
    charging_low_frac, charging_high_frac : float
        Least and largest usable energy per wall energy.
    usable_low_frac : float
        Least usable share of the gross battery energy.
    factor_low_frac, factor_high_frac : float
        Usual label factors.
    model_ln : float
        ln(published/model) beyond this is no vehicle but a slip.
    mended_ln : float
        What a mended figure must come within.
    rolling_low, rolling_high : float
        Road load A per weight.
    drag_area_low_m2, drag_area_high_m2 : float
        2 C/ρ.
    mass_low_kg, mass_high_kg : float
    """

    tolerance_frac: float
    family_ratio_frac: float
    carried_frac: float
    pack_siblings_frac: float
    charging_low_frac: float
    charging_high_frac: float
    usable_low_frac: float
    factor_low_frac: float
    factor_high_frac: float
    model_ln: float
    mended_ln: float
    rolling_low: float
    rolling_high: float
    drag_area_low_m2: float
    drag_area_high_m2: float
    mass_low_kg: float
    mass_high_kg: float
