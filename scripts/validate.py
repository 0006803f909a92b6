"""Long statistical checks; writes docs/validation.md, dated and with the seeds used.

`make validate` runs the full size; `make validate ARGS="--pairs 100"` a smaller one.
"""

from __future__ import annotations

import argparse
import datetime
import platform
from pathlib import Path

import numpy
import scipy

import hoistbook
import planted_truth
import validation_cost
import validation_energy

PAGE = Path(__file__).parent.parent / "docs" / "validation.md"


def main() -> None:
    """Run every check and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pairs", type=int, default=1000, help="planted pairs of each kind (1000)")
    parser.add_argument("--draws", type=int, default=1500, help="draws of each (1500)")
    parser.add_argument("--seed", type=int, default=20261125, help="seed of the first pair")
    given = parser.parse_args()
    print("public certification rows, every maker left out in turn …")
    energy, _ = validation_energy.section()
    print(f"planted truth, {given.pairs} pairs of each kind …")
    coverage = planted_truth.run(given.pairs, given.draws, given.seed)
    planted = planted_truth.markdown(coverage, given.pairs, given.draws, given.seed)
    today = datetime.datetime.now(tz=datetime.UTC).date().isoformat()
    tools = f"Python {platform.python_version()}, NumPy {numpy.__version__}, SciPy {scipy.__version__}"
    head = (
        "# Validation\n\n"
        f"Written by `make validate` on {today} with hoistbook {hoistbook.__version__}, {tools}.\n"
        "A smaller seeded version of each check runs in `make test`.\n"
    )
    sections = [head.strip(), energy.strip(), validation_cost.section(), planted.strip()]
    PAGE.write_text("\n\n".join(sections) + "\n", encoding="utf-8")
    print(f"wrote {PAGE.relative_to(PAGE.parent.parent)}")


if __name__ == "__main__":
    main()
