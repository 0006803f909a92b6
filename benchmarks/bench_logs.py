"""How long a log of a million rows takes: the reader against a plain csv loop and against numpy.genfromtxt.

python benchmarks/bench_logs.py [ROWS]
"""

import csv
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from hoistbook.capture.log_table import read_log_table
from hoistbook.capture.logs import read_log

NAMES = ("time [s]", "speed [km/h]", "pack voltage [V]", "pack current [A]", "aux power [W]", "soc [%]")


def write(path: Path, rows: int, *, clock: bool) -> None:
    rng = np.random.default_rng(1)
    values = np.column_stack([rng.uniform(0, 100, (rows, len(NAMES) - 1))])
    with path.open("w") as file:
        file.write(",".join(NAMES if not clock else ("Time", *NAMES[1:])) + "\n")
        for i, row in enumerate(values):
            second = i / 100.0
            stamp = (
                f"{int(second) // 3600 % 24:02d}:{int(second) // 60 % 60:02d}:{second % 60:05.2f}"
                if clock
                else f"{second:.2f}"
            )
            file.write(stamp + "," + ",".join(f"{v:.3f}" for v in row) + "\n")


def timed(words: str, work) -> float:
    start = time.perf_counter()
    work()
    took = time.perf_counter() - start
    print(f"{words:58} {took:7.2f} s")
    return took


def plain(path: Path) -> np.ndarray:
    with path.open(newline="") as file:
        rows = csv.reader(file)
        next(rows)
        return np.array([[float(cell) for cell in row] for row in rows])


def main() -> None:
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    with tempfile.TemporaryDirectory() as folder:
        path, clocked = Path(folder) / "log.csv", Path(folder) / "clock.csv"
        write(path, rows, clock=False)
        write(clocked, rows, clock=True)
        print(f"{rows} rows, {len(NAMES)} columns, {path.stat().st_size / 1e6:.0f} MB")
        ours = timed("read_log_table, numbers", lambda: read_log_table(path))
        timed("read_log (proposal and series), numbers", lambda: read_log(path, guess=True))
        timed("read_log, clock of the day", lambda: read_log(clocked, guess=True))
        loop = timed("csv.reader and float, nothing judged", lambda: plain(path))
        other = timed("numpy.genfromtxt", lambda: np.genfromtxt(path, delimiter=",", skip_header=1))
        print(f"{loop / ours:.1f} times as fast as the plain loop, {other / ours:.1f} times as genfromtxt")


if __name__ == "__main__":
    main()
