"""How long thousands of parts take to cost, against a loop over draws and against the time a page may take.

Invented parts on routes of 3–5 steps over the process models, each reading with an error of its own and one shared with
all others, draws keyed by the names of the errors included. Loops over draws are timed on one part of each route and
scaled to all parts and draws, with everything drawn beforehand: the engine's own code on one number at a time, and the
models alone in plain floats. Their processor time is compared with half of the engine's, which uses two cores.
"""

from __future__ import annotations

import argparse
import resource
import time

import numpy as np

from hoistbook.core.cost.drawn import ReadingDraws, SharedDraws
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.pricing import evaluated
from hoistbook.core.cost.process import Fields
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.shop import Machines, shop_of, way
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.reference.cost import packaged_scenario

ROUTES = (
    ("aluminium, die casting", ("high_pressure_die_casting", {}), ("machining", {}), ("powder_coating", {})),
    (
        "steel sheet, mild",
        ("sheet_stamping", {}),
        ("spot_welding", {}),
        ("arc_welding", {}),
        ("electrocoat", {}),
    ),
    (
        "steel bar, forging",
        ("closed_die_forging", {}),
        ("heat_treatment", {}),
        ("machining", {"metal": "steel"}),
        ("zinc_plating", {"way": "rack"}),
    ),
    (
        "aluminium billet, 6082",
        ("extrusion", {}),
        ("cut_and_bend", {}),
        ("machining", {}),
        ("arc_welding", {"metal": "aluminium"}),
        ("anodising", {}),
    ),
    (
        "aluminium, foundry",
        ("permanent_mould_casting", {}),
        ("heat_treatment", {"kind": "t6"}),
        ("machining", {}),
    ),
)
TYPICAL = {
    "mass_kg": 1.2, "length_m": 0.30, "width_m": 0.18, "height_m": 0.06, "projected_area_m2": 0.028,
    "wall_thickness_m": 0.003, "wall_thickness_max_m": 0.006, "cut_length_m": 1.4, "surface_area_m2": 0.11,
    "diameter_m": 0.08, "tube_length_m": 0.9, "weld_length_m": 0.25, "weld_throat_m": 0.003,
}  # fmt: skip
COUNTS = {"hole_count": 4, "bend_count": 2, "spot_count": 6, "machined_face_count": 2, "thread_count": 2}
SHARED = Source("calliper", "rectangular")


def invented(n_parts: int) -> list[PartToCost]:
    rng = np.random.default_rng(1)
    parts = []
    for i in range(n_parts):
        material, *steps = ROUTES[i % len(ROUTES)]
        named = {name for step, _ in steps for name in (*PROCESSES[step].needs, *PROCESSES[step].optional)}
        readings = {}
        for name in named & {*TYPICAL, *COUNTS}:
            if name in COUNTS:
                readings[name] = Quantity(float(COUNTS[name]), "1")
                continue
            value = TYPICAL[name] * float(rng.uniform(0.8, 1.25))
            terms = ((Source(f"{name} of part {i}"), 0.01 * value), (SHARED, 0.002 * value))
            readings[name] = Quantity(value, INPUTS[name].unit, terms)
        if "thread_count" in readings:
            readings["thread_diameter_m"] = Quantity(0.008, "m")
            readings["hole_diameter_m"], readings["hole_depth_m"] = Quantity(0.008, "m"), Quantity(0.012, "m")
            readings["machined_area_m2"] = Quantity(0.002, "m2")
        parts.append(
            PartToCost(f"T{i:06d}", "invented", material, readings, tuple(Step(*step) for step in steps))
        )
    return parts


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--parts", type=int, default=10_000)
    options.add_argument("--draws", type=int, default=1_000)
    options.add_argument("--threads", type=int, default=2)
    asked = options.parse_args()
    scenario, parts = packaged_scenario(), invented(asked.parts)
    print(f"{asked.parts:,} parts, {asked.draws:,} draws, routes of 3-5 steps, {asked.threads} threads")
    cost_parts(parts[:50], scenario, PROCESSES, n_draws=10)  # imports and first calls

    def used() -> float:
        spent = resource.getrusage(resource.RUSAGE_SELF)
        return spent.ru_utime + spent.ru_stime

    before, start = used(), time.perf_counter()
    costed = cost_parts(parts, scenario, PROCESSES, asked.draws, threads=asked.threads)
    wall, spent = time.perf_counter() - start, used() - before
    if costed.refused:
        raise SystemExit(next(iter(costed.refused.values())))
    print(
        f"engine: {wall:.2f} s, {spent:.2f} s of processor time ({spent / 2:.2f} s on each of 2 idle cores)"
    )

    few = parts[: len(ROUTES)]
    for words, each in (
        ("the engine's own code, one number at a time", _one_by_one(few)),
        ("plain floats", _floats(few)),
    ):
        loop = each * asked.parts * asked.draws
        faster = 2.0 * loop / spent
        print(
            f"loop over draws, {words}: {each * 1e6:.0f} us each, {loop:,.0f} s for all, scaled: x{faster:,.0f}"
        )

    times = []
    for _ in range(9):
        start = time.perf_counter()
        cost_parts(parts[:1], scenario, PROCESSES, n_draws=1_000)
        times.append(time.perf_counter() - start)
    print(f"one part, 1,000 draws: median {sorted(times)[4] * 1e3:.0f} ms (a page's recompute: under 100 ms)")


def _one_by_one(parts: list[PartToCost], loops: int = 40) -> float:
    """Seconds per part and draw of the same models with everything drawn beforehand."""
    scenario, shared = packaged_scenario(), SharedDraws(0, 1)
    readings, machines = ReadingDraws(parts, shared), Machines(scenario, shared)
    shops = [shop_of(way(part, scenario, PROCESSES), scenario, PROCESSES, shared, machines) for part in parts]
    start = time.process_time()
    for _ in range(loops):
        for shop, part in zip(shops, parts, strict=True):
            evaluated(shop, [part], readings)
    return (time.process_time() - start) / (loops * len(parts))


def _floats(parts: list[PartToCost], loops: int = 200) -> float:
    """Seconds per part and draw of the models alone in plain floats: less than any whole program of that kind takes."""
    work = []
    for part in parts:
        for step in part.steps:
            process = PROCESSES[step.process]
            choices = process.chosen(step.choices)
            values = {
                one.name: one.value for one in packaged_scenario().materials[part.material].figures.values()
            }
            values |= {one.name: one.value for one in process.figures_for(choices)}
            for name in (*process.needs, *process.optional):
                usual = values.get(f"usual_{name}", 0.0)
                values[name] = part.readings[name].value if name in part.readings else usual
            values |= {"pieces_per_year": 60_000.0, "programme_years": 6.0, "lot_count": 5_000.0}
            work.append((process.evaluate, Fields(values, choices, process.title)))  # type: ignore[arg-type]
    start = time.process_time()
    for _ in range(loops):
        for evaluate, fields in work:
            evaluate(fields)
    return (time.process_time() - start) / (loops * len(parts))


if __name__ == "__main__":
    main()
