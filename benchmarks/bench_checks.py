"""How long checks take with 10,000 draws, and how much faster tables of refrigerants are than the library per draw.

Every check that has a worked example in the tests is run on it, each bare number with its band. Baseline of the
refrigerant line, in the same run: the same cycle and line, draw by draw, from CoolProp's low-level interface and
Colebrook's friction factor of fluids; measured on a subset and scaled. Also printed: how far the two are apart.
"""

from __future__ import annotations

import argparse
import importlib.util
import math
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

import CoolProp
import fluids
import numpy as np

sys.path.append(str(Path(__file__).parent.parent / "tests"))
sys.path.append(str(Path(__file__).parent.parent / "scripts"))

from core.checks.worked import Worked
from hoistbook.core.arrays import Array
from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.declared import Given
from hoistbook.core.checks.run import CHECK_DRAWS, Stated, run_check, with_band

TESTS = Path(__file__).parent.parent / "tests"
LINE = CHECKS["refrigerant_line"]
STATED = {"length_m": 0.6, "bore_m": 0.013, "outer_m": 0.018}


def worked_examples() -> dict[str, Worked]:
    """Return the first worked example of each check."""
    found: dict[str, Worked] = {}
    for path in sorted((TESTS / "core" / "checks").glob("test_*.py")):
        spec = importlib.util.spec_from_file_location(f"bench_{path.stem}", path)
        if spec is None or spec.loader is None:
            continue
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        for one in getattr(module, "WORKED", ()):
            if isinstance(one, Worked):
                found.setdefault(one.check, one)
    return found


def timed(call: Callable[[], object], runs: int = 5) -> float:
    """Return the shortest of some runs. [s]"""
    best = math.inf
    for _ in range(runs):
        start = time.perf_counter()
        call()
        best = min(best, time.perf_counter() - start)
    return best


def time_check(one: Worked) -> float:
    """Time a worked example with 10,000 draws. [s]"""
    check = CHECKS[one.check]
    values = {}
    for name, told in one.stated.items():
        reading = check.reading(name)
        several = told if isinstance(told, (list, tuple)) else [told]
        values[name] = [with_band(reading, value, f"{name} {i}") for i, value in enumerate(several)]
    stated = Stated(values, one.choices, one.names)
    return timed(lambda: run_check(check, stated))


def draws(n: int) -> dict[str, Array]:
    """Draw every reading within its usual band, or its band about what is stated."""
    rng = np.random.default_rng(1)
    values = {}
    for reading in LINE.readings:
        value, half = STATED.get(reading.name, 0.0), reading.half_width
        if reading.name not in STATED and reading.usual is not None:
            value, half = reading.usual.value, reading.usual.half_width
        values[reading.name] = value + half * rng.uniform(-1.0, 1.0, n)
    return values


class PerDraw:
    """The suction line from the library, one draw at a time."""

    def __init__(self, refrigerant: str) -> None:
        self.state = CoolProp.AbstractState("HEOS", refrigerant.replace("-", ""))
        self.supercritical = refrigerant == "R-744"

    def work(self, pressure: float, enthalpy: float, high: float, efficiency: float) -> float:
        """Work of the compressor. [J/kg]"""
        self.state.update(CoolProp.HmassP_INPUTS, enthalpy, pressure)
        self.state.update(CoolProp.PSmass_INPUTS, high, self.state.smass())
        return (self.state.hmass() - enthalpy) / efficiency

    def rises(self, g: Mapping[str, float]) -> list[float]:
        """Rise of power by each formula for bends, with the parts that the check also gives."""
        state = self.state
        state.update(CoolProp.QT_INPUTS, 1.0, g["evaporating_k"])
        low = state.p()
        state.update(CoolProp.PT_INPUTS, low, g["evaporating_k"] + g["superheat_k"])
        suction, density, viscosity = state.hmass(), state.rhomass(), state.viscosity()
        if self.supercritical:
            high, out = g["cooler_pa"], g["cooler_out_k"]
        else:
            state.update(CoolProp.QT_INPUTS, 1.0, g["condensing_k"])
            high, out = state.p(), g["condensing_k"] - g["subcooling_k"]
        state.update(CoolProp.PT_INPUTS, high, out)
        flow = g["cooling_w"] / (suction - state.hmass())
        base = self.work(low, suction, high, g["efficiency_frac"])
        heat = g["film_w_per_m2_k"] * math.pi * g["outer_m"] * g["length_m"]
        heat *= g["surroundings_k"] - g["evaporating_k"] - g["superheat_k"]
        drops = [*self.drops(g, g["bore_m"], flow, density, viscosity)]
        for drop in (*drops, next(iter(self.drops(g, g["bore_m"] - 0.001, flow, density, viscosity)))):
            self.work(low - drop, suction, high, g["efficiency_frac"])
        inlet = suction + heat / flow
        return [self.work(low - drop, inlet, high, g["efficiency_frac"]) / base - 1.0 for drop in drops]

    @staticmethod
    def drops(
        g: Mapping[str, float], bore: float, flow: float, density: float, viscosity: float
    ) -> list[float]:
        """Drop by the stated loss of bends, a smooth bend, and a standard elbow. [Pa]"""
        velocity = flow / density / (0.25 * math.pi * bore**2)
        reynolds = density * velocity * bore / viscosity
        friction = fluids.friction.Clamond(reynolds, g["roughness_m"] / bore)
        smooth = fluids.fittings.bend_rounded(
            Di=bore, angle=90, fd=friction, bend_diameters=g["bend_ratio"], method="Rennels"
        )
        elbow = 30.0 * (2.0 * math.log10(3.7 * bore / 45.7e-6)) ** -2.0
        rest = friction * g["length_m"] / bore + g["joints"] * g["joint_k"]
        half = 0.5 * density * velocity**2
        return [(rest + g["bends"] * k) * half for k in (g["bend_k"], smooth, elbow)]


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--subset", type=int, default=500, help="draws of the baseline that are run")
    given = parser.parse_args()
    examples = worked_examples()
    for name in CHECKS:
        if name in examples:
            print(f"{name}: {time_check(examples[name]) * 1e3:.0f} ms for {CHECK_DRAWS} draws")
        else:
            print(f"{name}: no worked example to time")
    every = draws(CHECK_DRAWS)
    subset = [{name: float(values[i]) for name, values in every.items()} for i in range(given.subset)]
    for refrigerant in ("R-1234yf", "R-134a", "R-744"):
        direct = PerDraw(refrigerant)
        start = time.perf_counter()
        expected = np.array([direct.rises(one) for one in subset]).T
        slow = (time.perf_counter() - start) * CHECK_DRAWS / given.subset
        choices = {one.name: next(iter(one.options)) for one in LINE.choices} | {"refrigerant": refrigerant}

        def tables(choices: dict[str, str] = choices) -> Mapping[str, object]:
            with np.errstate(all="ignore"):
                return LINE.evaluate(Given(every, choices, {}, LINE.title))

        fast = timed(tables)
        found = np.stack(list(tables()["power_rise_frac"].by_formula.values()))[:, : given.subset]
        apart = float(np.abs(found / expected - 1.0).max())
        print(
            f"{refrigerant}: library per draw {slow:.2f} s, tables {fast * 1e3:.0f} ms: {slow / fast:.0f} times "
            "faster; "
            f"rise of power at most {apart:.1e} of itself apart in {given.subset} draws"
        )


if __name__ == "__main__":
    main()
