"""How much faster weighing two vehicles by their test results is than simulating every draw step by step.

4,000 draws of two vehicles, UDDS and HWFET each. Baseline, in the same run: the step-by-step energy model in NumPy
blocks (`simulate`, engine "numpy") for the same draws. Also printed: how far apart the two are, and what all of `infer`
takes.
Rows: public certification rows of model year 2022 (tests/data).
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

sys.path.append(str(Path(__file__).parent.parent / "tests"))

from capture.certification_table import written
from hoistbook.capture.public_rows import read_public_rows
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Question, ResidualPrior
from hoistbook.core.energy.model import simulate
from hoistbook.core.energy.parameters import EnergyParameters
from hoistbook.core.vehicle.records import Basis
from hoistbook.reference.energy import energy_defaults
from hoistbook.reference.published import published_settings
from hoistbook.services import infer, sides
from hoistbook.services.duties import named_duty
from hoistbook.services.published_entry import entry_of_row

PAIR = ("Polestar 2 Single Motor", "Volvo XC40 Recharge twin")
SURROUNDINGS = Surroundings(9.80665, 1.1671)


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--draws", type=int, default=4000)
    given = parser.parse_args()
    duty = named_duty("us")
    with TemporaryDirectory() as folder:
        table = written(Path(folder) / "rows.csv")
        rows = {row.name: row for row in read_public_rows(table).rows}
        both = []
        for name in PAIR:
            entry = entry_of_row(rows[name], published_settings().prior)
            subject = sides.subject(
                entry.teardown, duty, given.draws, 1, None, Basis.LABEL, energy_defaults()
            )
            both.append(sides.side(subject, None))
        question = Question("range", duty.duty, SURROUNDINGS, ResidualPrior(0.1, 0.0))
        infer.cycle_consumption(question, both[0])  # compiles, where numba is there
        start = time.perf_counter()
        found = [infer.cycle_consumption(question, side) for side in both]
        condensed = time.perf_counter() - start
        start = time.perf_counter()
        expected = []
        for side in both:
            parameters = EnergyParameters(
                gravity_m_per_s2=SURROUNDINGS.gravity_m_per_s2,
                air_density_kg_per_m3=SURROUNDINGS.air_density_kg_per_m3,
                **side.fields,
            )
            results = [simulate(trace, parameters, engine="numpy") for trace in duty.duty.cycles]
            expected.append([np.asarray(r.wall_j / r.distance_m) for r in results])
        baseline = time.perf_counter() - start
        worst = max(
            float(np.max(np.abs(a / b - 1.0)))
            for one, other in zip(found, expected, strict=True)
            for a, b in zip(one, other, strict=True)
        )
        start = time.perf_counter()
        infer.infer_report(*PAIR, facts=table, n_draws=given.draws)
        whole = time.perf_counter() - start
    print(f"step by step (NumPy): {baseline:.2f} s for {given.draws} draws of two vehicles on two cycles")
    print(
        f"condensed cycles: {condensed:.2f} s, {baseline / condensed:.0f} times faster, worst draw {worst:.1e} off"
    )
    print(f"infer as a whole, table of {len(rows)} rows: {whole:.2f} s")


if __name__ == "__main__":
    main()
