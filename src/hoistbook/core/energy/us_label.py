"""Arithmetic of the US consumption and range label, in the regulation's own units.

The core works in SI; labels are computed and rounded in miles, gallons equivalent and kWh, and so named here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

KWH_PER_GALLON_EQUIVALENT = 33.705
"""from memory: 40 CFR 600.002. computed: label kWh/100 mi × MPGe/100 is 33.705 in 43 of 51 public rows."""

CITY_WEIGHT, HIGHWAY_WEIGHT = 0.55, 0.45
"""published: 40 CFR 600.206-12(a)(3), seen as carried by regulation text services."""

DEFAULT_ADJUSTMENT = 0.70
"""from memory: 40 CFR 600.210-12(d). computed: 0.7000 in 18 of 51 public rows, 0.674 to 0.750 over all."""


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not (value > 0.0 and math.isfinite(value)):
            msg = f"{name} = {value!r}: give a finite figure above 0."
            raise ValueError(msg)


def mpge_from_wh_per_mi(wall_wh_per_mi: float) -> float:
    """Miles per gallon equivalent of a wall consumption.

    Raises
    ------
    ValueError
        Not above 0.

    Source
    ------
    from memory: 40 CFR 600.002, 33.705 kWh per gallon equivalent.

    Examples
    --------
    >>> round(mpge_from_wh_per_mi(211.317), 1)
    159.5
    """
    _positive(wall_wh_per_mi=wall_wh_per_mi)
    return 1000.0 * KWH_PER_GALLON_EQUIVALENT / wall_wh_per_mi


def kwh_per_100mi_from_mpge(mpge: float) -> float:
    """Wall consumption as the label prints it.

    Raises
    ------
    ValueError
        Not above 0.

    Source
    ------
    published: § 600.311-12(c)(3), kWh of wall energy per 100 miles (regulation text service).
    """
    _positive(mpge=mpge)
    return 100.0 * KWH_PER_GALLON_EQUIVALENT / mpge


def combined_mpge(city_mpge: float, highway_mpge: float) -> float:
    """Combined economy: harmonic, so arithmetic in energy per mile.

    Raises
    ------
    ValueError
        A figure is not above 0.

    Source
    ------
    published: § 600.206-12(a)(3), weights 0.55 and 0.45 (regulation text service).
    """
    _positive(city_mpge=city_mpge, highway_mpge=highway_mpge)
    return 1.0 / (CITY_WEIGHT / city_mpge + HIGHWAY_WEIGHT / highway_mpge)


def combined_range_mi(city_mi: float, highway_mi: float) -> float:
    """Combined range: arithmetic, with the weights of the economy.

    Raises
    ------
    ValueError
        A figure is not above 0.

    Source
    ------
    computed: reproduces the published whole number of all 27 public rows with a city and a highway range; the harmonic
    mean is up to 2.2 miles off.
    """
    _positive(city_mi=city_mi, highway_mi=highway_mi)
    return CITY_WEIGHT * city_mi + HIGHWAY_WEIGHT * highway_mi


def full_recharge_wall_kwh(kwh_per_100mi: float, range_mi: float) -> float:
    """Wall energy of a full recharge, read off a label's consumption and range of the same cycle. [kWh]

    Raises
    ------
    ValueError
        A figure is not above 0.

    Notes
    -----
    Adjustment cancels: consumption is divided by it, range multiplied. City and highway must give the same figure;
    where they do not, range and consumption are not of one test.

    Source
    ------
    first principles.
    """
    _positive(kwh_per_100mi=kwh_per_100mi, range_mi=range_mi)
    return kwh_per_100mi * range_mi / 100.0


@dataclass(frozen=True, slots=True)
class Label:
    """What a US label prints, before rounding."""

    city_mpge: float
    highway_mpge: float
    combined_mpge: float
    city_kwh_per_100mi: float
    highway_kwh_per_100mi: float
    combined_kwh_per_100mi: float
    city_range_mi: float
    highway_range_mi: float
    range_mi: float

    @property
    def printed_range_mi(self) -> int:
        """Range as printed: the nearest mile, halves up."""
        return math.floor(self.range_mi + 0.5)


def label(
    city_wh_per_mi: float,
    highway_wh_per_mi: float,
    city_range_mi: float,
    highway_range_mi: float,
    adjustment_frac: float = DEFAULT_ADJUSTMENT,
) -> Label:
    """Label figures from two-cycle results.

    Parameters
    ----------
    city_wh_per_mi, highway_wh_per_mi : float
        Unadjusted wall consumption of UDDS and HWFET. [Wh/mi]
    city_range_mi, highway_range_mi : float
        Unadjusted ranges. [mi]
    adjustment_frac : float
        On economy and range alike; a maker that runs five cycles has its own, 0.71 to 0.75 in the public rows. [1]

    Returns
    -------
    Label

    Raises
    ------
    ValueError
        A figure is not above 0.

    Source
    ------
    As for the functions above; adjustment from memory: 40 CFR 600.210-12(d).
    """
    _positive(adjustment_frac=adjustment_frac, city_range_mi=city_range_mi, highway_range_mi=highway_range_mi)
    city = adjustment_frac * mpge_from_wh_per_mi(city_wh_per_mi)
    highway = adjustment_frac * mpge_from_wh_per_mi(highway_wh_per_mi)
    both = combined_mpge(city, highway)
    ranges = (adjustment_frac * city_range_mi, adjustment_frac * highway_range_mi)
    return Label(
        city_mpge=city,
        highway_mpge=highway,
        combined_mpge=both,
        city_kwh_per_100mi=kwh_per_100mi_from_mpge(city),
        highway_kwh_per_100mi=kwh_per_100mi_from_mpge(highway),
        combined_kwh_per_100mi=kwh_per_100mi_from_mpge(both),
        city_range_mi=ranges[0],
        highway_range_mi=ranges[1],
        range_mi=combined_range_mi(*ranges),
    )


# from memory: § 600.210-12(a)(2) and the coefficient letter of 2015: (intercept, slope) of city and highway.
_DERIVED = {
    "to 2016": ((0.003259, 1.1805), (0.001376, 1.3466)),
    "from 2017": ((0.004091, 1.1601), (0.003191, 1.2945)),
}
_NEW_COEFFICIENTS_FROM = 2017


def derived_five_cycle_mpg(ftp_mpg: float, hfet_mpg: float, model_year: int) -> tuple[float, float]:
    """City and highway economy derived from two cycles, combustion vehicles.

    Raises
    ------
    ValueError
        A figure is not above 0.

    Notes
    -----
    1/(intercept + slope/economy). Fitted to combustion vehicles; electric ones use 0.70 or five cycles of their own.

    Source
    ------
    from memory: 40 CFR 600.210-12(a)(2) and the 2015 letter with the coefficients from model year 2017; not seen.
    """
    _positive(ftp_mpg=ftp_mpg, hfet_mpg=hfet_mpg)
    rows = _DERIVED["from 2017" if model_year >= _NEW_COEFFICIENTS_FROM else "to 2016"]
    (city_0, city_1), (highway_0, highway_1) = rows
    return 1.0 / (city_0 + city_1 / ftp_mpg), 1.0 / (highway_0 + highway_1 / hfet_mpg)


@dataclass(frozen=True, slots=True)
class FiveCycleEconomies:
    """Economy of every bag of the five tests, in one unit: mpg, MPGe or mi/kWh.

    Bags 1 to 3 of the city test at 75 °F and at 20 °F; US06 split into its city and highway part; HFET; SC03.
    """

    bag1_75: float
    bag2_75: float
    bag3_75: float
    bag1_20: float
    bag2_20: float
    bag3_20: float
    us06_city: float
    us06_highway: float
    hfet: float
    sc03: float


def vehicle_specific_five_cycle(economies: FiveCycleEconomies) -> tuple[float, float]:
    """City and highway economy of a vehicle's own five tests, in the unit given.

    Raises
    ------
    ValueError
        A figure is not above 0.

    Notes
    -----
    Energy per mile: start + running, each divided by 0.905 (0.905 stands for what the tests do not hold).
    Start: SF75 = 3.6 (1/Bag1 − 1/Bag3) at 75 °F, SF20 alike at 20 °F; 0.330 (0.76 SF75 + 0.24 SF20) per 4.1 mi city,
    per 60 mi highway.
    City running: 0.82 (0.48/Bag2 + 0.41/Bag3 + 0.11/US06 city) at 75 °F + 0.18 (0.5/Bag2 + 0.5/Bag3) at 20 °F
    + 0.133 · 1.083 (1/SC03 − (0.61/Bag3 + 0.39/Bag2)).
    Highway running: 1.007 (0.79/US06 highway + 0.21/HFET) + 0.133 · 0.377 (1/SC03 − (0.61/Bag3 + 0.39/Bag2)).

    Source
    ------
    from memory: 40 CFR 600.114-12; the paragraph was not seen, check it before quoting a figure.
    """
    e = economies
    _positive(**{name: getattr(e, name) for name in FiveCycleEconomies.__slots__})
    start = 0.330 * (
        0.76 * 3.6 * (1.0 / e.bag1_75 - 1.0 / e.bag3_75) + 0.24 * 3.6 * (1.0 / e.bag1_20 - 1.0 / e.bag3_20)
    )
    air_conditioning = 1.0 / e.sc03 - (0.61 / e.bag3_75 + 0.39 / e.bag2_75)
    city = (
        start / 4.1
        + 0.82 * (0.48 / e.bag2_75 + 0.41 / e.bag3_75 + 0.11 / e.us06_city)
        + 0.18 * (0.5 / e.bag2_20 + 0.5 / e.bag3_20)
        + 0.133 * 1.083 * air_conditioning
    )
    highway = (
        start / 60.0 + 1.007 * (0.79 / e.us06_highway + 0.21 / e.hfet) + 0.133 * 0.377 * air_conditioning
    )
    return 0.905 / city, 0.905 / highway
