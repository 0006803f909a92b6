"""A strike on a shield against a worked comparison of plates; formulas outside their material are left out."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.shield_strike.data import PLATES
from hoistbook.core.checks.shield_strike.model import (
    BRL,
    BRL_J_PER_M3,
    SRI,
    brl_j,
    dent_m,
    elastic_n_per_m,
    peak_n,
    sri_j,
    strike_j,
    tearing_j,
    wen_jones_j,
)

# computed: striker of 30 mm, clamped span of 150 mm radius, 150 J; thickness [mm], mass per area, stiffness [N/mm],
# dent [mm], force [kN], tearing, Wen and Jones, SRI [J]
ROWS = {
    "polypropylene": (3.0, 2.715, 8.98, 31.1, 8.77, 151.0, 102.0, 120.0),
    "aluminium": (1.5, 4.005, 49.4, 18.8, 14.7, 128.0, 153.0, 350.0),
    "steel": (1.0, 7.850, 43.0, 19.1, 14.9, 264.0, 134.0, 330.0),
    "titanium": (2.0, 9.020, 177.0, 11.2, 22.9, 404.0, 502.0, 775.0),
}
SPAN, STRIKER = np.array(0.150), np.array(0.030)
STRUCK = {
    "thickness_m": 0.0015,
    "span_m": 0.150,
    "gap_m": 0.015,
    "lifted_kg": 600.0,
    "speed_m_per_s": 60 / 3.6,
}
WORKED = (
    Worked(
        "shield_strike",
        "computed: 600 kg lifted at 60 km/h over a wedge of 3 degrees: 228.9 J",
        STRUCK,
        {"strike_j": (228.881, 1e-5)},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source)
def test_worked_examples(worked):
    hold(worked)


@pytest.mark.parametrize("material", ROWS)
def test_plates_of_the_comparison(material):
    thick, areal, stiffness, dent, force, tearing, wen_jones, sri = ROWS[material]
    plate, t = PLATES[material], np.array(thick * 1e-3)
    energy = np.array(150.0)
    found = float(dent_m(plate, energy, t, SPAN, STRIKER))
    assert plate.density_kg_per_m3 * t == pytest.approx(areal)
    assert float(elastic_n_per_m(plate, t, SPAN)) == pytest.approx(stiffness * 1e3, rel=3e-3)
    assert found == pytest.approx(dent * 1e-3, rel=3e-3)
    assert float(peak_n(plate, np.array(found), t, SPAN, STRIKER)) == pytest.approx(force * 1e3, rel=4e-3)
    assert float(tearing_j(plate, t, SPAN, STRIKER)) == pytest.approx(tearing, rel=4e-3)
    assert float(wen_jones_j(plate, t, SPAN, STRIKER)) == pytest.approx(wen_jones, rel=4e-3)
    assert float(sri_j(plate, t, SPAN, STRIKER)) == pytest.approx(sri, rel=4e-3)


def test_brl_in_both_systems_of_units():
    # from memory: 17 400 ft·lb/in³; computed: 1.43963 J/mm³; 30 mm and 1 mm give 236.6 J.
    assert pytest.approx(17_400 * 1.3558179483 / 0.0254**3, rel=1e-5) == BRL_J_PER_M3
    assert float(brl_j(np.array(0.001), STRIKER)) == pytest.approx(236.6, rel=1e-3)


def test_formulas_are_left_out_outside_their_material_and_range():
    # from memory: BRL holds for steel; SRI for 0.1 < t/d < 0.8 and 5 < S/d < 8.
    for material, formulas in (("aluminium", 2), ("steel", 3), ("glass laminate", 1)):
        found = result_of("shield_strike", STRUCK, {"material": material})
        names = [one.formula for one in found.figure("borne_j").formulas]
        assert (BRL in names) == (material == "steel")
        assert SRI not in names
        assert len(names) == (formulas if formulas > 1 else 0)
    thick = result_of("shield_strike", STRUCK | {"thickness_m": 0.004, "span_m": 0.1}, {"material": "steel"})
    assert SRI in [one.formula for one in thick.figure("borne_j").formulas]


def test_speed_of_the_published_impact():
    # published: 10 kg at 150 J (GB 38031-2025, second hand); computed: 5.47723 m/s.
    assert float(strike_j(np.array(10.0), np.array(5.47723), np.array(math.pi / 4))) == pytest.approx(
        150.0, rel=1e-5
    )


@given(thicker=st.floats(1.0, 3.0))
def test_a_thicker_plate_bears_more_and_dents_less(thicker):
    # first principles: every formula grows with the thickness.
    thin, thick = (result_of("shield_strike", STRUCK | {"thickness_m": 0.0015 * x}) for x in (1.0, thicker))
    assert thick.figure("dent_m").value <= thin.figure("dent_m").value
    for one, other in zip(thin.figure("borne_j").formulas, thick.figure("borne_j").formulas, strict=True):
        assert other.value >= one.value


def test_a_closed_gap_is_said():
    found = result_of("shield_strike", STRUCK | {"gap_m": 0.005})
    assert "smaller than the dent" in found.verdict
    assert "never a permission" in found.verdict


def test_a_strike_beyond_every_formula_is_said_to_pierce():
    # first principles: ½ m (v tan θ)²: at 40 m/s and 2 t even a slight wedge takes more than a plate of 1.5 mm bears.
    fast = result_of(
        "shield_strike", STRUCK | {"speed_m_per_s": 40.0, "lifted_kg": 2000.0}, {"material": "aluminium"}
    )
    borne = max(one.value for one in fast.figure("borne_j").formulas)
    assert fast.figure("strike_j").value > borne
    assert "is not pierced is not kept" in fast.verdict
    assert "would be pierced before it is dented so far" in fast.verdict
    assert fast.verdict.count("never a permission") == 1
