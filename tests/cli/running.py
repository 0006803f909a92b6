"""Running commands in the process of the test, at 80 columns and without colour unless asked otherwise."""

import json
from dataclasses import dataclass

from typer.testing import CliRunner

from hoistbook.cli.main import app
from hoistbook.core.compare.next_measurement import Narrowing
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Configuration, Teardown, Vehicle
from hoistbook.services.gap import ContentRow, GapReport
from hoistbook.services.next_measurements import NextMeasurement
from report.walks import normalised_walk, range_walk

WIDTH = 80


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str

    @property
    def plain(self):
        """Output with its line breaks and narrow spaces taken out, to look for sentences."""
        return " ".join(self.out.replace("\u202f", " ").replace("\u00a0", " ").split())

    @property
    def json(self):
        return json.loads(self.out)


def run(*words, **environment):
    base = {"COLUMNS": str(WIDTH), "NO_COLOR": "1", "TERM": "dumb", "FORCE_COLOR": None}
    result = CliRunner(env={**base, **environment}).invoke(app, [str(word) for word in words])
    return Ran(result.exit_code, result.stdout, result.stderr)


def assert_fits(text, width=WIDTH):
    too_long = [line for line in text.splitlines() if len(line) > width]
    assert too_long == []
    assert "…" not in text
    assert "..." not in text
    assert "\x1b" not in text


def vehicle(code, name):
    return Teardown(Vehicle(code, name), (Configuration("delivered", code),))


def _next(vehicle_, name, then, how):
    return NextMeasurement(vehicle_, Narrowing(f"{name}/{vehicle_}", name, how, 5400.0, then, 60.0))


NEXT = (
    _next("T1", "coast-down both ways", 3900.0, "coast-down from motorway speed both ways"),
    _next("W1", "wheel spin-down", 5390.0, "wheel spin-down on the hoist"),
)


def gap_report(found=None, alike=None):
    tow_bar = Quantity(24.1, "kg", ((Source("tow bar"), 0.05),), Origin.MEASURED)
    tyre = Quantity(0.955, "1", ((Source("tyre scale"), 0.006),), Origin.ASSUMED)
    return GapReport(
        as_found=found or range_walk(),
        normalised=alike or normalised_walk(),
        removed_frac=0.24,
        content=(
            ContentRow("T1", "towing preparation", "cross-beam and ball neck", "strip", "mass", tow_bar),
            ContentRow("T1", "wheel size", "16 inch to 15 inch", "scale", "tyre_coefficient", tyre),
        ),
        duty="wltc3b",
        n_draws=4000,
        seed=1,
        next_measurements=NEXT,
        next_measurements_alike=NEXT,
    )
