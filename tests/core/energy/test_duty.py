"""Range and consumption on a duty of one or more cycles."""

import pytest

from core.energy.example import FULL_CHAIN, changed
from hoistbook.core.energy.duty import Duty, drive
from hoistbook.core.energy.model import simulate
from hoistbook.reference.cycles import cycle

CYCLES = (cycle("udds"), cycle("hwfet"))
WH_PER_MILE = 3600.0 / 1609.344  # J/m


def test_range_is_combined_arithmetically_and_consumption_harmonically_in_distance():
    # computed: full-chain example, wall Wh/mi 210.3897 (UDDS) and 239.7368 (HWFET), charging 0.90; usable 75 kWh,
    # label factor 0.70. R_i = 75000 · 0.70/(0.90 · wall_i) mi.
    result = drive(Duty("us", CYCLES, (0.55, 0.45), "range"), FULL_CHAIN)
    city, highway = (75000.0 * 0.70 / (0.90 * wall) for wall in (210.3897, 239.7368))
    assert [float(r) / 1609.344 for r in result.cycle_range_m] == pytest.approx([city, highway], rel=3e-7)
    assert float(result.range_m) / 1609.344 == pytest.approx(0.55 * city + 0.45 * highway, rel=3e-7)
    wall = (0.55 * 210.3897 + 0.45 * 239.7368) / 0.70
    assert float(result.consumption_j_per_m) / WH_PER_MILE == pytest.approx(wall, rel=3e-7)


def test_the_energy_rule_divides_by_the_mean_consumption():
    result = drive(Duty("mixed", CYCLES, (0.5, 0.5), "energy"), FULL_CHAIN)
    expected = 75000.0 * 0.70 / (0.90 * 0.5 * (210.3897 + 239.7368))
    assert float(result.range_m) / 1609.344 == pytest.approx(expected, rel=3e-7)


def test_both_rules_agree_on_one_cycle():
    # first principles: nothing to combine.
    wltp = [drive(Duty("wltp", (cycle("wltc3b"),), (1.0,), rule), FULL_CHAIN) for rule in ("range", "energy")]
    assert float(wltp[0].range_m) == pytest.approx(float(wltp[1].range_m), rel=1e-13)
    # first principles: with label factor 1, range times consumption is the wall energy of a charge.
    plain = drive(Duty("wltp", (cycle("wltc3b"),), (1.0,), "energy"), changed(label_factor_frac=1.0))
    assert float(plain.range_m * plain.consumption_j_per_m) == pytest.approx(75.0 * 3.6e6 / 0.90, rel=1e-12)
    assert float(plain.cycles[0].wall_j) == pytest.approx(
        float(simulate(cycle("wltc3b"), FULL_CHAIN).wall_j), rel=1e-13
    )


@pytest.mark.parametrize(
    ("cycles", "weights", "rule", "message"),
    [
        ((), (), "range", "0 cycles, 0 weights"),
        (CYCLES, (1.0,), "range", "2 cycles, 1 weights"),
        (CYCLES, (0.55, 0.55), "range", "add up to 1"),
        (CYCLES, (1.5, -0.5), "range", "must be positive"),
        (CYCLES, (0.5, 0.5), "harmonic", "known rules: range, energy"),
    ],
)
def test_faulty_duties_are_refused(cycles, weights, rule, message):
    with pytest.raises(ValueError, match=message):
        Duty("faulty", cycles, weights, rule)
