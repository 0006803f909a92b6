"""Hours of the packaged classes of machines, without people, against what the trade takes."""

import pytest

from core.cost.shop import operation, process
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.reference.cost import packaged_scenario

TON_N = 9_806.65


def rate(code, size):
    """Money of an hour of one machine, in the money of the packaged scenario."""
    hour = process("hour", lambda f: operation({"run": 3600.0}, code, size))
    part = PartToCost("P", "part", "pp", {"mass_kg": Quantity(1.0, "kg")}, (Step("hour"),))
    found = cost_parts([part], packaged_scenario(), {"hour": hour}, n_draws=0)
    lines = found.parts["P"].by_name()
    return lines["machine"] + lines["energy"] + lines["consumables"]


@pytest.mark.parametrize(
    ("code", "size", "low", "high"),
    # common practice: USD per hour in the 2020s at three shifts, US and western Europe; machines of
    # other sizes go by the powers of the scenario, so that the ends of a class may miss by a tenth.
    [
        ("mechanical press", 200 * TON_N, 35, 60),
        ("mechanical press", 600 * TON_N, 70, 120),
        ("transfer press", 1_500 * TON_N, 180, 320),
        ("hot stamping line", 800 * TON_N, 450, 800),
        ("laser trim cell", 1.0, 70, 110),
        ("forging press", 1_600 * TON_N, 160, 260),
        ("forging press", 4_000 * TON_N, 300, 500),
        ("die casting cell", 400 * TON_N, 45, 75),
        ("die casting cell", 1_200 * TON_N, 120, 180),
        ("die casting cell", 3_000 * TON_N, 280, 420),
        ("die casting cell", 6_500 * TON_N, 600, 1_000),
        ("injection machine", 100 * TON_N, 18, 30),
        ("injection machine", 500 * TON_N, 40, 65),
        ("injection machine", 1_500 * TON_N, 90, 150),
        ("injection machine", 3_000 * TON_N, 180, 280),
        ("machining centre", 1.0, 30, 55),
        ("machining centre, 5 axes", 1.0, 60, 100),
        ("lathe", 1.0, 30, 55),
        ("gear hobber", 1.0, 50, 80),
        ("gear grinder", 1.0, 80, 130),
        ("arc welding cell", 1.0, 40, 70),
        ("spot welding robot", 1.0, 12, 20),
        ("laser welding cell", 1.0, 90, 160),
        ("placement line", 1.0, 150, 300),
        ("harness board", 1.0, 3, 6),
    ],
)
def test_an_hour_costs_what_the_trade_takes(code, size, low, high):
    assert 0.9 * low < rate(code, size) < 1.1 * high
