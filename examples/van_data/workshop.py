"""What the three teardowns share: instruments with their true errors, and the list of functions."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoistbook.core.quantities.instruments import Instrument, limit_si, smallest_reading_si

Row = dict[str, object]


@dataclass(frozen=True, slots=True)
class Bench:
    """An instrument of the workshop: its row in the workbook, its record, and its true error.

    `off_frac` is the true calibration error as a share of the limit; all its readings have it, on every van.
    """

    row: Row
    record: Instrument
    off_frac: float

    @property
    def per_unit(self) -> float:
        """SI units in one unit of the row."""
        return {"g": 1e-3, "kg": 1.0, "mm": 1e-3, "m": 1.0, "N·m": 1.0, "deg": math.pi / 180.0, "cm2": 1e-4}[
            str(self.row["unit"])
        ]

    def shows(self, true_si: float, own_error: float) -> float:
        """Return what the display shows, in SI: true value, calibration error, own error in steps, rounded."""
        step = self.record.step_si or 0.0
        shown = true_si + self.off_frac * limit_si(self.record, true_si) + own_error * step
        return round(shown / step) * step if step else shown

    def fits(self, true_si: float) -> bool:
        """Whether the reading lies in the range the instrument is meant for, with a margin for its own error."""
        capacity = self.record.capacity_si or math.inf
        return smallest_reading_si(self.record) * 1.1 <= true_si <= 0.98 * capacity


def _bench(
    instrument: str, kind: str, unit: str, off_frac: float, calibrated: str, due: str, **columns: object
) -> Bench:
    row: Row = {
        "instrument": instrument, "kind": kind, "unit": unit, "calibrated": calibrated, "due": due,
        **{name.replace("_", " "): value for name, value in columns.items()},
    }  # fmt: skip
    si_unit, factor = {
        "g": ("kg", 1e-3), "kg": ("kg", 1.0), "mm": ("m", 1e-3), "m": ("m", 1.0), "N·m": ("N.m", 1.0),
        "deg": ("rad", math.pi / 180.0), "cm2": ("m2", 1e-4),
    }[unit]  # fmt: skip

    def si(name: str) -> float | None:
        value = columns.get(name)
        return None if value is None else float(str(value)) * factor

    percent = columns.get("limit_is") == "percent"
    record = Instrument(
        instrument,
        kind,
        si_unit,
        str(columns.get("class_", "")),
        step_si=si("step"),
        capacity_si=si("capacity"),
        limit_si=None if percent else si("limit"),
        limit_frac=float(str(columns["limit"])) / 100.0 if percent else None,
    )
    if "class " in row:
        row["class"] = row.pop("class ")
    return Bench(row, record, off_frac)


# off_frac: the planted truth. A real workshop does not know it; it is what the calibration band stands for.
BALANCE = _bench(
    "P1", "balance", "g", +0.20, "2026-03-09", "2027-03-09", class_="II", step=0.01, capacity=300,
    note="small lots below 5 g",
)  # fmt: skip
COUNTING = _bench(
    "B1", "counting scale", "g", -0.25, "2026-03-09", "2027-03-09", class_="II", step=0.1, capacity=3000
)
BENCH = _bench(
    "B2", "bench scale", "g", +0.15, "2026-03-10", "2027-03-10", class_="III", step=10, capacity=60000
)
FLOOR = _bench(
    "F1", "floor scale", "kg", -0.40, "2026-03-10", "2027-03-10", class_="III", step=0.1, capacity=600
)
PADS = _bench(
    "C1", "corner pads", "kg", +0.35, "2026-02-17", "2027-02-17", step=0.5, capacity=750,
    note="set of four, zeroed, turned and repeated",
)  # fmt: skip
TAPE = _bench("L1", "steel tape", "mm", +0.15, "2026-01-20", "2028-01-20", class_="II", step=1)
CALLIPER = _bench("S1", "calliper", "mm", -0.30, "2026-01-20", "2027-01-20", step=0.01, capacity=300)
HEIGHT = _bench(
    "H1", "other", "mm", +0.25, "2026-01-20", "2027-01-20", step=0.5, capacity=600, limit=1.0, limit_is="absolute",
    note="height gauge on the floor plate",
)  # fmt: skip
ANGLE = _bench("A1", "angle gauge", "deg", -0.20, "2026-01-20", "2027-01-20", step=0.1)
WRENCH_SMALL = _bench("T1", "torque wrench", "N·m", +0.30, "2026-02-03", "2027-02-03", capacity=25)
WRENCH_MIDDLE = _bench("T2", "torque wrench", "N·m", -0.15, "2026-02-03", "2027-02-03", capacity=100)
WRENCH_LARGE = _bench("T3", "torque wrench", "N·m", +0.10, "2026-02-03", "2027-02-03", capacity=200)
PHOTO = _bench(
    "G1", "other", "cm2", +0.30, "2026-03-12", "2027-03-12", step=0.1, limit=2.5, limit_is="percent",
    note="outline traced on a photo with a scale bar; limit: lens and tilt",
)  # fmt: skip

INSTRUMENTS = (
    BALANCE, COUNTING, BENCH, FLOOR, PADS, TAPE, CALLIPER, HEIGHT, ANGLE, WRENCH_SMALL, WRENCH_MIDDLE, WRENCH_LARGE,
    PHOTO,
)  # fmt: skip
SCALES = (COUNTING, BALANCE, BENCH, FLOOR)
WRENCHES = (WRENCH_SMALL, WRENCH_MIDDLE, WRENCH_LARGE)


def first_fitting(benches: tuple[Bench, ...], true_si: float, what: str) -> Bench:
    """Return the first instrument of a row of them that is meant for this reading."""
    for bench in benches:
        if bench.fits(true_si):
            return bench
    msg = f"{what}: no instrument of the workshop reads {true_si:g}."
    raise ValueError(msg)


_FUNCTIONS = (
    ("F10", "body", "", ""),
    ("F11", "load floor", "F10", "cargo floor; loading floor"),
    ("F12", "sliding-door structure", "F10", "side loading door; sliding side door"),
    ("F13", "bulkhead", "F10", "partition; load-space divider"),
    ("F14", "rear doors", "F10", "wing doors; barn doors"),
    ("F15", "underbody panels", "F10", "undertray; belly pans"),
    ("F16", "door mirrors", "F10", "outside mirrors; wing mirrors"),
    ("F20", "running gear", "", ""),
    ("F21", "drive and rear axle", "F20", "e-axle; rear axle drive; drive unit and rear suspension"),
    ("F22", "service brakes and blending", "F20", "foundation brakes; brake map"),
    ("F23", "wheels and tyres", "F20", "road wheels"),
    ("F24", "towing preparation", "F20", "tow bar; trailer hitch"),
    ("F30", "electric energy", "", ""),
    ("F31", "battery modules", "F30", "cell stacks"),
    ("F32", "pack tray and fastening", "F30", "battery tray; pack mounting"),
    ("F33", "high-voltage cable runs", "F30", "traction cables; HV harness"),
    ("F34", "controllers and low-voltage supply", "F30", "control units; zone controllers"),
    ("F40", "thermal", "", ""),
    ("F41", "cooling circuits", "F40", "coolant loops"),
    ("F42", "cabin climate", "F40", "refrigerant circuit and air unit; air conditioning"),
    ("F50", "cabin", "", ""),
    ("F51", "seats", "F50", "driver and passenger seats"),
)
FUNCTIONS: list[Row] = [
    {"function": code, "name": name, "parent": parent, "aliases": aliases}
    for code, name, parent, aliases in _FUNCTIONS
]
