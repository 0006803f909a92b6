"""Time to load a 10,000-part workbook, against a plain openpyxl read of all its cells in the same run.

    python benchmarks/bench_load.py [parts] [repeats]

The baseline does less: it reads every cell of the same file in read-only mode and keeps none of it. The loader finds
formulas without results and merged cells, checks every field and reference, and builds the records.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import openpyxl

from hoistbook.capture.read import read_teardown
from hoistbook.capture.write import write_workbook


def rows(part_count: int) -> dict[str, list[dict[str, object]]]:
    """Rows of an invented van: assemblies of 20 parts each, a reading of every part, a joint for every fifth."""
    parts: list[dict[str, object]] = [{"tag": "V", "name": "van", "kind": "assembly"}]
    readings: list[dict[str, object]] = []
    joints: list[dict[str, object]] = []
    for number in range(1, part_count):
        assembly = (number - 1) // 20 * 20 + 1
        parts.append(
            {
                "tag": f"W{number:05d}",
                "parent": "V" if number == assembly else f"W{assembly:05d}",
                "name": f"bracket, cable run, item {number}",
                "kind": "assembly" if number == assembly else "part",
                "count": 1 + number % 3,
                "system": f"SU{1 + number % 11:02d}",
                "function": "F1",
                "material": "steel",
            }
        )
        readings.append(
            {
                "reading": f"R{number:05d}",
                "of": f"W{number:05d}",
                "quantity": "mass",
                "value": 20 + (number * 37) % 5000,
                "unit": "g",
                "instrument": "S1",
                "person": "A. B.",
                "time": "2025-03-31 14:05",
            }
        )
        if number % 5 == 0:
            joints.append(
                {"joint": f"J{number:05d}", "parts": f"W{number:05d}; W{assembly:05d}", "process": "screwing"}
            )
    return {
        "vehicle": [{"code": "WHI", "name": "Whimbrel"}],
        "configurations": [{"configuration": "delivered"}],
        "parts": parts,
        "joints": joints,
        "measurements": readings,
        "instruments": [
            {
                "instrument": "S1",
                "kind": "bench scale",
                "class": "III",
                "step": 1,
                "capacity": 6000,
                "unit": "g",
            }
        ],
        "functions": [{"function": "F1", "name": "carry the wheel"}],
    }


def seconds(action: Callable[[], object], repeats: int) -> float:
    """Best of several runs: what else the machine does can only add."""
    best = float("inf")
    for _ in range(repeats):
        start = time.perf_counter()
        action()
        best = min(best, time.perf_counter() - start)
    return best


def read_all_cells(path: Path) -> int:
    """Baseline: touch every cell with openpyxl in read-only mode."""
    book = openpyxl.load_workbook(path, read_only=True, data_only=True)
    count = sum(1 for sheet in book.worksheets for row in sheet.iter_rows(values_only=True) for _ in row)
    book.close()
    return count


def main() -> None:
    part_count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    repeats = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "van.xlsx"
        write_workbook(path, rows(part_count))
        load = seconds(lambda: read_teardown(path), repeats)
        base = seconds(lambda: read_all_cells(path), repeats)
        size = path.stat().st_size
    print(f"parts {part_count}, file {size / 1e6:.2f} MB, best of {repeats}")
    print(f"load and check:                 {load:.2f} s")
    print(f"openpyxl, read all cells only:  {base:.2f} s")
    print(f"ratio load / baseline:          {load / base:.2f}")


if __name__ == "__main__":
    main()
