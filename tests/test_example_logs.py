"""The logs of the invented vans are what their script makes, and every one of them can be read and worked out.

The data is invented, so nothing here checks an engine; what is checked is that the demo keeps its word.
"""

import importlib.util
import sys
from pathlib import Path

import pytest

from hoistbook.capture.read import read_teardown
from hoistbook.services.energy_trials import Asked, evaluate
from hoistbook.services.logs import log_series

ROOT = Path(__file__).resolve().parent.parent
VANS = ("whimbrel", "turnstone", "dotterel")
LOGS = ROOT / "examples" / "logs"


def load():
    spec = importlib.util.spec_from_file_location("make_logs", ROOT / "examples" / "make_logs.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules["make_logs"] = module
    spec.loader.exec_module(module)
    return module


def test_stored_logs_are_what_the_script_makes():
    make_logs = load()
    made = make_logs.logs()
    for place in make_logs.PLACES:
        assert sorted(path.name for path in place.iterdir()) == sorted(made)
        assert all((place / name).read_bytes() == data for name, data in made.items())
    # common practice: the wheel stays small; the two copies together are limited to 1.5 MB.
    assert 2 * sum(map(len, made.values())) < 1_500_000


@pytest.mark.parametrize("path", sorted(LOGS.glob("*.csv")), ids=lambda path: path.stem)
def test_every_log_is_understood(path):
    read = log_series(path, guess=True)
    kind = path.stem.partition("-")[2]
    needed = {
        "coastdown": ("speed_m_per_s", "run", "direction", "wind_speed_m_per_s", "altitude_m"),
        "cycle": ("speed_m_per_s", "pack_voltage_v", "pack_current_a", "accessory_power_w"),
        "charge": ("wall_power_w", "pack_voltage_v", "pack_current_a", "state_of_charge_1"),
        "discharge": ("pack_voltage_v", "pack_current_a", "state_of_charge_1"),
        "spindown-left": ("wheel_speed_rad_per_s", "run"),
        "spindown-right": ("wheel_speed_rad_per_s", "run"),
        "standby": ("pack_voltage_v", "pack_current_a", "state_of_charge_1"),
    }[kind]
    assert read.series.has(*needed)
    assert not any("columns not used" in remark for remark in read.remarks)


@pytest.mark.parametrize("van", VANS)
@pytest.mark.parametrize("kind", ["charge", "discharge", "standby", "cycle"])
def test_the_stated_facts_agree_with_the_logs(van, kind):
    teardown = read_teardown(ROOT / "examples" / f"{van}.xlsx")
    configuration = teardown.configurations[0]
    asked = Asked(duty="wltc3b", cycle="wltc3b" if kind == "cycle" else "")
    log = log_series(LOGS / f"{van}-{kind}.csv", guess=True)
    found = evaluate(kind, log, asked, label=kind, teardown=teardown, configuration=configuration)
    facts = {(f.quantity, f.duty): f.value for f in teardown.facts if f.value.origin.value == "measured"}
    held = 0
    for figure in found.figures:
        stated = facts.get((figure.fact, figure.duty))
        if stated is None:
            continue
        held += 1
        # common practice: two figures agree when they differ by less than their bands together.
        assert abs(stated.value - figure.value.value) <= stated.expanded() + figure.value.expanded(), (
            figure.key
        )
    assert held >= 1
