"""Material indices against worked values and the algebra they come from."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.material_index.data import DUTIES

# computed on typical properties (from memory: data sheets): E [GPa], density [Mg/m³], strength [MPa]; the six indices
ROWS = {
    "steel DP600": (210, 7.85, 350, 26.75, 1.846, 0.757, 44.6, 6.33, 2.38),
    "aluminium 6082-T6": (70, 2.70, 260, 25.93, 3.099, 1.526, 96.3, 15.09, 5.97),
    "magnesium AZ91": (45, 1.81, 150, 24.86, 3.706, 1.965, 82.9, 15.60, 6.77),
    "titanium 6-4": (114, 4.43, 880, 25.73, 2.410, 1.095, 198.6, 20.73, 6.70),
    "glass fibre": (40, 1.90, 800, 21.05, 3.329, 1.800, 421, 45.4, 14.9),
    "polyamide": (6, 1.37, 100, 4.38, 1.788, 1.326, 73.0, 15.7, 7.30),
}
STATED = {
    "youngs_pa": [row[0] * 1e9 for row in ROWS.values()],
    "density_kg_per_m3": [row[1] * 1e3 for row in ROWS.values()],
    "strength_pa": [row[2] * 1e6 for row in ROWS.values()],
}
NAMED = {"material": tuple(ROWS)}
WORKED = (
    Worked(
        "material_index",
        "computed: indices of six materials (form from memory: Ashby, Materials Selection in Mechanical Design)",
        STATED,
        {
            f"{duty}[{name}]": (row[3 + place], 3e-3)
            for name, row in ROWS.items()
            for place, duty in enumerate(DUTIES)
        },
        names=NAMED,
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source[:60])
def test_worked_examples(worked):
    hold(worked)


@given(youngs=st.floats(20.0, 300.0), density=st.floats(1.0, 9.0), strength=st.floats(50.0, 900.0))
@settings(max_examples=30)
def test_mass_ratios_are_those_of_sized_parts(youngs, density, strength):
    # first principles: a solid square bar or a plate of width 1 sized for the same stiffness or strength: deflection
    # goes with 1/(E a⁴) or 1/(E t³), stress with 1/a³ or 1/t², a tie with the area.
    stated = {
        "youngs_pa": [210e9, youngs * 1e9],
        "density_kg_per_m3": [7850.0, density * 1e3],
        "strength_pa": [350e6, strength * 1e6],
    }
    soft, weak = 210.0 / youngs, 350.0 / strength
    area = {
        "stiff_tie": soft,
        "stiff_beam": soft ** (2 / 4),
        "stiff_panel": soft ** (1 / 3),
        "strong_tie": weak,
        "strong_beam": weak ** (2 / 3),
        "strong_panel": weak ** (1 / 2),
    }
    for duty, grown in area.items():
        found = result_of("material_index", stated, {"duty": duty})
        assert found.figure("mass_ratio", "material 2").value == pytest.approx(grown * density / 7.85)
        assert found.figure("mass_ratio", "material 1").value == 1.0


def test_common_metals_are_equal_as_ties_and_the_verdict_says_so():
    metals = {name: values[:4] for name, values in STATED.items()}
    found = result_of("material_index", metals, {"duty": "stiff_tie"}, {"material": tuple(ROWS)[:4]})
    assert "saves little there" in found.verdict
    every = result_of("material_index", STATED, {"duty": "stiff_tie"}, NAMED)
    assert "saves little there" not in every.verdict


def test_one_material_alone_has_nothing_to_be_held_against():
    alone = {name: values[:1] for name, values in STATED.items()}
    assert "state a second" in result_of("material_index", alone).verdict
