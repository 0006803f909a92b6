"""Conversions of road load, reference air and rotating inertia."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.energy.road_load import (
    US_REFERENCE_AIR_PA_K,
    WLTP_REFERENCE_AIR_PA_K,
    RoadLoad,
    dry_air_density_kg_per_m3,
    motor_inertia_at_wheel_kg,
    rotating_frac_us,
    rotating_mass_wltp_kg,
)


def test_published_conversion():
    # published: a provenance note prints 147.68, −0.8527, 0.44650 for 33.2, −0.0857, 0.02006; computed: six decimals.
    load = RoadLoad.from_us(33.2, -0.0857, 0.02006)
    found = [load.a_n, load.b_n_s_per_m, load.c_n_s2_per_m2]
    assert found == pytest.approx([147.680958, -0.852748, 0.446503], abs=5.1e-7)
    assert found == pytest.approx([147.68, -0.8527, 0.44650], abs=0.005)


def test_factors():
    # computed: 4.4482216152605/0.44704 and /0.44704² from the exact definitions, ten decimals.
    load = RoadLoad.from_us(1.0, 1.0, 1.0)
    assert (load.a_n, load.b_n_s_per_m, load.c_n_s2_per_m2) == pytest.approx(
        (4.4482216152605, 9.9503883663, 22.2583848566), abs=5.1e-11
    )


coefficients = st.tuples(st.floats(0.0, 100.0), st.floats(-1.0, 2.0), st.floats(0.0, 0.1))


@given(coefficients, st.floats(0.0, 100.0))
def test_conversion_keeps_the_force(us, mph):
    # first principles: the same force at the same speed, in the units either side was typed in.
    a, b, c = us
    load = RoadLoad.from_us(a, b, c)
    pounds = float(load.force_n(mph * 0.44704)) / 4.4482216152605
    assert pounds == pytest.approx(a + b * mph + c * mph**2, rel=1e-12, abs=1e-12)
    assert load.to_us() == pytest.approx(us, rel=1e-12, abs=1e-15)


def test_force_of_many_speeds():
    # first principles: 100 + 2 · 10 + 0.5 · 100.
    assert RoadLoad(100.0, 2.0, 0.5).force_n(np.array([0.0, 10.0])).tolist() == [100.0, 170.0]


def test_reference_air():
    # computed: 98210/(287.05 · 293.15) = 1.16710, 100000/(287.05 · 293) = 1.18898; published: 1.189 (GTR 15).
    us, wltp = (
        dry_air_density_kg_per_m3(*US_REFERENCE_AIR_PA_K),
        dry_air_density_kg_per_m3(*WLTP_REFERENCE_AIR_PA_K),
    )
    assert (us, wltp) == pytest.approx((1.16710, 1.18898), abs=5.1e-6)
    # computed: the same car's C is 1.88 % higher in WLTP air of 1.189 kg/m³ (two decimals).
    assert RoadLoad(0.0, 0.0, 1.0).in_other_air(us, 1.189).c_n_s2_per_m2 == pytest.approx(1.0188, abs=5.1e-5)


def test_rotating_inertia():
    # from memory: 40 CFR 1066.310: 1.015 m or 1.03 m; published: GTR 15 Annex 4: 3 % of running order + 25 kg.
    assert (rotating_frac_us(1), rotating_frac_us(2)) == (0.015, 0.03)
    assert rotating_mass_wltp_kg(1975.0) == pytest.approx(60.0)
    # computed: 0.04 kg m², ratio 9.5, 0.335 m -> 32.17 kg.
    assert motor_inertia_at_wheel_kg(0.04, 9.5, 0.335) == pytest.approx(32.17, abs=0.0051)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: dry_air_density_kg_per_m3(98210.0, -5.0), "temperature_k = -5.0"),
        (lambda: RoadLoad(1.0, 1.0, 1.0).in_other_air(0.0, 1.2), "both are above 0"),
        (lambda: rotating_frac_us(0), "axle_count = 0"),
        (lambda: rotating_mass_wltp_kg(0.0), "running_order_kg = 0.0"),
        (lambda: motor_inertia_at_wheel_kg(0.04, 0.0, 0.3), "gear_ratio = 0.0"),
    ],
)
def test_impossible_figures_are_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
