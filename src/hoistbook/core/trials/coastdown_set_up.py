"""What a coast-down stands on: the test as described, runs put together, and where wind, slope and air come from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from hoistbook.core.energy.road_load import (
    US_REFERENCE_AIR_PA_K,
    WLTP_REFERENCE_AIR_PA_K,
    dry_air_density_kg_per_m3,
)
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.trials.coasting import Rejected, Run, RunRules
from hoistbook.core.trials.road_equations import GRAVITY_M_PER_S2, Conditions, SlopeFrom, WindFrom

REFERENCE_AIR_PA_K = {"us": US_REFERENCE_AIR_PA_K, "wltp": WLTP_REFERENCE_AIR_PA_K}
"""Pressure [Pa] and temperature [K] of the air that C is stated for, by rule set."""

WLTP_ROLLING_PER_K = 0.0086
"""Share by which rolling resistance falls per kelvin; from memory: UN GTR 15 Annex 4, 4.5.2 (K0)."""

_EXACT_ONE = Quantity(1.0, "1")
_EXACT_ZERO = Quantity(0.0, "1")


@dataclass(frozen=True, slots=True)
class CoastDownTest:
    """What a coast-down needs to know besides the recordings.

    Parameters
    ----------
    name : str
        Names the errors of this test, e.g. "whimbrel coast-down 2026-05-04".
    mass : Quantity
        The vehicle as driven, with driver and instruments. [kg]
    rotating_share : Quantity
        Inertia of rotating parts over mass (`road_load.rotating_frac_us`, `road_load.rotating_mass_wltp_kg`). [1]
    rotating_words : str
        Where that comes from.
    speed_scale : Quantity
        True over read speed: value 1 with the calibration error of the sensor. [1]
    slope_offset : Quantity
        True less read slope in the direction of travel: value 0 with the zero error of the sensor. [1]
    density_scale : Quantity
        True over stated air density. [1]
    reference : str
        "us" or "wltp": the air that C is stated for.
    air_pa_k : (float, float), optional
        Pressure and temperature of the test where no channel holds them.
    rolling_per_k : float
        Correction of A and B to the reference temperature, as a share per kelvin; 0 for none.
    with_b : bool
        False fixes B at 0.
    wind, slope : str, optional
        Where they come from; left out, the best that the recordings hold.
    rules : RunRules
    directions : tuple of int
        As in `coasting.find_runs`.
    disturbance_s, disturbance_m_per_s2, disturbance_sigma : float
        A stretch this long whose slowing is off by more than both limits is braking, steering or drive. common practice
        (project rules).
    outlier_significance : float
        Level of the test for a run whose mean does not belong to the others.
    most_outliers_frac : float
        Share of the runs that test may reject. published: one third of the pairs, proposal WLTP-AH-07-04 to
        UN R154, Annex B4 4.3.1.4.3 (its summary was seen).
    gravity_m_per_s2 : float
    """

    name: str
    mass: Quantity
    rotating_share: Quantity
    rotating_words: str = "as stated"
    speed_scale: Quantity = _EXACT_ONE
    slope_offset: Quantity = _EXACT_ZERO
    density_scale: Quantity = _EXACT_ONE
    reference: str = "wltp"
    air_pa_k: tuple[float, float] | None = None
    rolling_per_k: float = 0.0
    with_b: bool = True
    wind: WindFrom | None = None
    slope: SlopeFrom | None = None
    rules: RunRules = field(default_factory=RunRules)
    directions: tuple[int, ...] = ()
    disturbance_s: float = 2.0
    disturbance_m_per_s2: float = 0.15
    disturbance_sigma: float = 6.0
    outlier_significance: float = 0.01
    most_outliers_frac: float = 1.0 / 3.0
    gravity_m_per_s2: float = GRAVITY_M_PER_S2

    def __post_init__(self) -> None:
        if self.reference not in REFERENCE_AIR_PA_K:
            msg = f"no reference air named {self.reference!r}; known: {', '.join(REFERENCE_AIR_PA_K)}."
            raise ValueError(msg)
        if not self.mass.value > 0.0:
            msg = f"mass = {self.mass.value!r} kg: give the mass of the vehicle as driven, above 0."
            raise ValueError(msg)
        if not 0.0 <= self.rotating_share.value < 0.5:
            msg = f"rotating share = {self.rotating_share.value!r}: a share of the mass, e.g. 0.03."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True, eq=False)
class SetUp:
    """Runs ordered by cluster (a run, or a pair to and fro), the cluster of each, and what was decided about them."""

    runs: tuple[Run, ...]
    cluster_of: tuple[int, ...]
    conditions: Conditions
    lonely: tuple[Rejected, ...]
    notes: tuple[str, ...]


def rejection(run: Run, reason: str) -> Rejected:
    """A run that was looked at and is not used."""
    return Rejected(run.number, run.source, float(run.time_s[0]), float(run.time_s[-1]), reason)


def settle(runs: Sequence[Run], mate: Mapping[int, int], test: CoastDownTest) -> SetUp:
    """Decide where wind, slope and air come from, and pair runs where that asks for it.

    Parameters
    ----------
    runs : sequence of Run
    mate : mapping of int to int
        Which run goes with which, from `coasting.Found`.
    test : CoastDownTest

    Returns
    -------
    SetUp
        Without runs where pairing leaves none.

    Raises
    ------
    ValueError
        The test asks for a wind or a slope that the recordings do not hold.
    """
    to_and_fro = {run.direction for run in runs} >= {1, -1}
    wind, wind_note = _wind_from(runs, test.wind, to_and_fro)
    slope, slope_note = _slope_from(runs, test.slope, to_and_fro)
    notes = [wind_note, slope_note]
    if "pairs" in (wind, slope):
        ordered, clusters, lonely = _paired(runs, mate)
    else:
        ordered, clusters, lonely = list(runs), list(range(len(runs))), []
    pressure, temperature = REFERENCE_AIR_PA_K[test.reference]
    reference = dry_air_density_kg_per_m3(pressure, temperature)
    air, air_note = _air(ordered, test, reference)
    warmth, rolling, warmth_note = _temperature(ordered, test, temperature)
    conditions = Conditions(
        wind,
        slope,
        reference,
        tuple(air),
        temperature,
        tuple(warmth),
        rolling,
        test.with_b,
        test.gravity_m_per_s2,
    )
    return SetUp(tuple(ordered), tuple(clusters), conditions, tuple(lonely), (*notes, air_note, warmth_note))


def _wind_from(runs: Sequence[Run], asked: WindFrom | None, to_and_fro: bool) -> tuple[WindFrom, str]:
    known = bool(runs) and all(run.wind is not None and run.wind.head_m_per_s is not None for run in runs)
    choice: WindFrom = asked or ("measured" if known else "pairs" if to_and_fro else "none")
    if choice == "measured" and runs and not known:
        msg = (
            "wind: measured is asked for, but not every run has wind speed, its direction and the direction of travel; "
            "map those columns, or take the wind from pairs of runs."
        )
        raise ValueError(msg)
    if choice == "pairs" and runs and not to_and_fro:
        raise ValueError(_one_way("wind"))
    return choice, {
        "measured": (
            "wind: as measured beside the track, its mean and its variance along the track over each run; wind across "
            "the track is taken as doing nothing"
        ),
        "pairs": (
            "wind: solved for from each pair of runs to and fro, taken as the same in both; its gusts and what blows "
            "across the track are taken as doing nothing"
        ),
        "none": "wind: none is measured and runs go one way only, so it is taken as none",
    }[choice]


def _slope_from(runs: Sequence[Run], asked: SlopeFrom | None, to_and_fro: bool) -> tuple[SlopeFrom, str]:
    with_grade = bool(runs) and all(run.grade is not None for run in runs)
    with_altitude = bool(runs) and all(run.altitude_m is not None for run in runs)
    choice: SlopeFrom = asked or (
        "grade" if with_grade else "altitude" if with_altitude else "pairs" if to_and_fro else "flat"
    )
    if runs and ((choice == "grade" and not with_grade) or (choice == "altitude" and not with_altitude)):
        msg = f"slope: {choice} is asked for, but not every run has that channel throughout; map it, or choose another."
        raise ValueError(msg)
    if choice == "pairs" and runs and not to_and_fro:
        raise ValueError(_one_way("slope"))
    return choice, {
        "grade": "slope: as recorded",
        "altitude": "slope: from the recorded height of the road",
        "pairs": "slope: solved for from each pair of runs to and fro, one mean slope for both",
        "flat": "slope: none is recorded, so the road is taken as level",
    }[choice]


def _one_way(what: str) -> str:
    return (
        f"{what}: it is to come from pairs of runs to and fro, but all runs go one way or say no direction; "
        "map a column to the direction, or say that runs alternate."
    )


def _paired(runs: Sequence[Run], mate: Mapping[int, int]) -> tuple[list[Run], list[int], list[Rejected]]:
    there = {run.number: run for run in runs}
    ordered: list[Run] = []
    lonely: list[Rejected] = []
    for run in runs:
        other = mate.get(run.number)
        if other is None:
            lonely.append(rejection(run, "no run in the other direction to go with it"))
        elif other not in there:
            lonely.append(
                rejection(run, f"run {other}, which goes with it in the other direction, is rejected")
            )
        elif run.number < other:
            ordered += [run, there[other]]
    return ordered, [i // 2 for i in range(len(ordered))], lonely


def _air(runs: Sequence[Run], test: CoastDownTest, reference: float) -> tuple[list[float], str]:
    """Density of each run."""
    words = f"C is stated for {test.reference.upper()} reference air, {reference:.4g} kg/m³"
    known = [run.density_kg_per_m3 for run in runs if run.density_kg_per_m3 is not None]
    if test.air_pa_k is not None:
        stated = dry_air_density_kg_per_m3(*test.air_pa_k)
        return [stated] * len(runs), f"air: {stated:.4g} kg/m³ as stated, for every run; {words}"
    if not known:
        lone = runs and all(run.temperature_k is not None for run in runs)
        what = (
            "its temperature is recorded and its pressure is not, so it is"
            if lone
            else "neither recorded nor stated,"
        )
        return [reference] * len(runs), (
            f"air: {what} taken as the reference; {words} only as far as that holds"
        )
    mean = sum(known) / len(known)
    found = [mean if run.density_kg_per_m3 is None else run.density_kg_per_m3 for run in runs]
    filled = len(runs) - len(known)
    extra = f"; {filled} runs without it take the mean of the others" if filled else ""
    return found, f"air: {min(found):.4g} to {max(found):.4g} kg/m³ as recorded{extra}; {words}"


def _temperature(
    runs: Sequence[Run], test: CoastDownTest, reference_k: float
) -> tuple[list[float], float, str]:
    """Temperature of each run, and the correction that can be made with it."""
    given = test.air_pa_k[1] if test.air_pa_k is not None else None
    known = [given if given is not None else run.temperature_k for run in runs]
    filled = [reference_k if one is None else one for one in known]
    if test.rolling_per_k == 0.0:
        return filled, 0.0, "rolling resistance: not corrected for temperature"
    if any(one is None for one in known):
        msg = (
            "rolling resistance is to be corrected for temperature, but not every run has one; map a column to the "
            "temperature of the air, or state it."
        )
        raise ValueError(msg)
    return (
        filled,
        test.rolling_per_k,
        (
            f"rolling resistance: A and B corrected to {reference_k - 273.15:.4g} °C by "
            f"{100 * test.rolling_per_k:.2g} % per kelvin, the temperature of the air standing for that of the tyres"
        ),
    )
