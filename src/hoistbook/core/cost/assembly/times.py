"""Times that are no table of motions: powered run-down, allowances, coarser systems of motions."""

from __future__ import annotations

import math
import re
from enum import StrEnum

from hoistbook.core.cost.assembly.mtm import TMU_S
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.quantities.quantity import Quantity

_KCAL_PER_H_W = 1.163  # 1 kcal/h of 4186.8 J in watts, exact
_MOD_S = 0.129  # from memory: MODAPTS
_MODAPTS = {
    **{f"M{n}": n for n in (1, 2, 3, 4, 5, 7)},
    "G0": 0, "G1": 1, "G3": 3, "P0": 0, "P2": 2, "P5": 5, "E2": 2, "R2": 2, "D3": 3, "A4": 4, "C4": 4, "F3": 3, "W5": 5,
    "B17": 17, "S30": 30, "L1": 1,
}  # fmt: skip
_INDEX = frozenset({0, 1, 3, 6, 10, 16, 24, 32, 42, 54})


class AllowanceForm(StrEnum):
    """What the allowance is a share of; the two differ by A² and the form is printed with the time."""

    OF_NORMAL_TIME = "share of normal time"
    OF_SHIFT = "share of the shift"


def run_down(travel: Quantity, pitch_m: float, figures: FigureSet) -> Quantity:
    """Time a powered tool takes from the first turn to the tightened joint. [s]

    Parameters
    ----------
    travel : Quantity
        Thread the tool runs down, after what was started by hand. [m]
    pitch_m : float
    figures : FigureSet
        `run_down_rev_per_s`, `final_rev_per_s`, `final_angle_rad`, `tool_control_s`.

    Raises
    ------
    ValueError
        A pitch that is not positive, or a negative travel.

    Notes
    -----
    t = (travel/P)/n1 + (θ/2π)/n2 + t_control: run-down, final stage, and the tool's own decision.

    Source
    ------
    first principles; figures common practice.
    """
    if not pitch_m > 0.0:
        msg = f"pitch_m = {pitch_m!r} m: a pitch is positive, e.g. 0.00125."
        raise ValueError(msg)
    if travel.value < 0.0:
        msg = f"travel = {travel.value!r} m: it cannot be negative; the hand start leaves at least nothing to run down."
        raise ValueError(msg)
    turns = travel / Quantity(pitch_m, "m")
    final = figures["final_angle_rad"] * (1.0 / (2.0 * math.pi))
    down = (turns / figures["run_down_rev_per_s"]).in_unit("s")
    tighten = (final / figures["final_rev_per_s"]).in_unit("s")
    return down + tighten + figures["tool_control_s"]


def standard_time(normal: Quantity, allowance: Quantity, form: AllowanceForm) -> Quantity:
    """Standard time from normal time. [s]

    Parameters
    ----------
    normal : Quantity
        Time at normal performance. [s]
    allowance : Quantity
        A, for personal needs, fatigue and delay. [1]
    form : AllowanceForm

    Raises
    ------
    ValueError
        An allowance that is negative, or of the whole shift.

    Notes
    -----
    normal × (1 + A) where A is a share of normal time; normal/(1 − A) where it is a share of the shift.

    Source
    ------
    published: first form, encyclopaedia text on allowances; from memory: second form.
    """
    if not 0.0 <= allowance.value < 1.0:
        msg = f"allowance = {allowance.value!r}: it is a share from 0 to below 1, e.g. 0.15."
        raise ValueError(msg)
    if form is AllowanceForm.OF_NORMAL_TIME:
        return (normal * (allowance + 1.0)).in_unit("s")
    return (normal / (1.0 - allowance)).in_unit("s")


def heat_allowance_frac(metabolic_w: float, wet_bulb_globe_k: float) -> float:
    """Rest allowance in a hot place, as a share of normal time. [1]

    Parameters
    ----------
    metabolic_w : float
        Heat the worker turns over. [W]
    wet_bulb_globe_k : float
        Wet-bulb globe temperature. [K]

    Raises
    ------
    ValueError
        A metabolic rate that is not positive, or a temperature outside 280–320 K, where the relation was not fitted.

    Notes
    -----
    RA % = exp(−41.5 + 0.0161 W + 0.497 WBGT) with W in kcal/h and WBGT in °F.

    Source
    ------
    published: Niebel and Freivalds, relation behind table 11-11 (second hand).
    """
    if not metabolic_w > 0.0:
        msg = f"metabolic_w = {metabolic_w!r} W: give the heat turned over, e.g. 350."
        raise ValueError(msg)
    if not 280.0 <= wet_bulb_globe_k <= 320.0:
        msg = f"wet_bulb_globe_k = {wet_bulb_globe_k!r} K is outside 280–320 K; give kelvin, e.g. 300."
        raise ValueError(msg)
    fahrenheit = 1.8 * (wet_bulb_globe_k - 273.15) + 32.0
    return 0.01 * math.exp(-41.5 + 0.0161 * metabolic_w / _KCAL_PER_H_W + 0.497 * fahrenheit)


def sequence_time_s(indices: str) -> float:
    """Time of a basic motion sequence such as A1B0G1A1B0P3A0: 10 TMU for each index. [s]

    Raises
    ------
    ValueError
        No such sequence, or a number that is no index.

    Source
    ------
    from memory: Zandin, Work Measurement Systems; indices 0 1 3 6 10 16 24 32 42 54.
    """
    found = re.findall(r"([A-Z])(\d+)", indices)
    if not found or "".join(f"{letter}{index}" for letter, index in found) != indices:
        msg = f"sequence {indices!r}: write letters with indices, e.g. A1B0G1A1B0P3A0."
        raise ValueError(msg)
    numbers = [int(index) for _, index in found]
    unknown = [n for n in numbers if n not in _INDEX]
    if unknown:
        msg = f"sequence {indices!r}: {unknown[0]} is no index; known: {', '.join(map(str, sorted(_INDEX)))}."
        raise ValueError(msg)
    return 10.0 * sum(numbers) * TMU_S


def modapts_time_s(codes: str) -> float:
    """Time of motions coded in modules, e.g. "M3G1 M3P2": 0.129 s each module. [s]

    Raises
    ------
    ValueError
        An unknown code.

    Source
    ------
    from memory: Heyde, Modapts.
    """
    found = re.findall(r"[A-Z]\d+", codes)
    if not found or "".join(found) != re.sub(r"\s", "", codes):
        msg = f"motions {codes!r}: write codes such as M3G1 M3P2."
        raise ValueError(msg)
    unknown = [code for code in found if code not in _MODAPTS]
    if unknown:
        msg = f"motions {codes!r}: no code {unknown[0]!r}; known: {', '.join(_MODAPTS)}."
        raise ValueError(msg)
    return _MOD_S * sum(_MODAPTS[code] for code in found)
