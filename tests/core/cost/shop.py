"""The scenario of the worked bracket, and figures and parts for tests."""

from dataclasses import replace
from types import MappingProxyType

from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.process import Operation, Process, Stage
from hoistbook.core.cost.scenario import Machine, Material, Region, Scenario, Supplier

# computed: the inputs of the full bracket of the should-cost notes (all of them assumptions): HPDC of A380, 0.850 kg,
# 320 cm2, 60,000 a year for 6 years.
SOURCE = "worked bracket"


def fig(name, value, unit="1", low=None, high=None, **more):
    money = {"currency": "USD", "year": 2023} if unit.split("/")[0] == "money" else {}
    low, high = value if low is None else low, value if high is None else high
    return Figure(name, name, unit, value, low, high, "computed", SOURCE, **money, **more)


def figs(**values):
    return MappingProxyType({name: fig(name, *value) for name, value in values.items()})


def machine(code, investment=0.0, other_per_h=0.0, power_w=0.0, area_m2=0.0, size=1.0, exponent=0.0):
    return Machine(
        code, code, "size", "1", size, 0.0, 1e12,
        fig("investment_money", investment, "money"), exponent, fig("power_w", power_w, "W"), 0.0,
        fig("area_m2", area_m2, "m2"), 0.0, fig("consumables_money_per_s", other_per_h / 3600.0, "money/s"),
    )  # fmt: skip


def scenario(**more):
    found = Scenario(
        code="bracket", title="worked bracket", version="1", at="2023", currency="USD", year=2023,
        volume_per_year=60_000.0, programme_years=6.0, machine_years=12.0, interest_frac=0.10, lot_count=1e12,
        dedicated=False, tooling="simple", learning_frac=1.0, learning_theory="crawford", learning_from=1.0,
        region="here", supplier="tier 1", figures=figs(
            days_per_year=(240.0,), shift_count=(3.0,), shift_s=(28_800.0,), availability_frac=(0.78,),
            performance_frac=(1.0,), install_frac=(0.15,), residual_frac=(0.05,), maintenance_frac=(0.05,),
            insurance_frac=(0.015,), standing_paid_frac=(0.0,), packaging_money_per_kg=(0.12 / 0.85, "money/kg"),
            freight_money_per_kg=(0.10 / 0.85, "money/kg"), model_low_frac=(-0.20,), model_high_frac=(0.30,),
            model_own_share_frac=(0.5,),
        ),
        materials=MappingProxyType({"A380": Material("A380", "A380", figs(
            material_price_money_per_kg=(3.00, "money/kg"), material_scrap_credit_frac=(0.5,),
            material_density_kg_per_m3=(2720.0, "kg/m3"),
        ))}),
        machines=MappingProxyType({
            "cell": machine("cell", 900_000.0, 6.0, 90_000.0, 150.0),
            "trim": machine("trim", other_per_h=30.0), "mill": machine("mill", other_per_h=70.0),
        }),
        regions=MappingProxyType({"here": Region("here", "here", figs(
            wage_money_per_s=(38.0 / 3600.0, "money/s"), overhead_frac=(0.60,),
            energy_money_per_j=(0.12 / 3.6e6, "money/J"), floor_money_per_m2=(120.0, "money/m2"),
        ))}),
        suppliers=MappingProxyType({"tier 1": Supplier("tier 1", "tier 1", figs(
            scrap_frac=(0.005,), sga_frac=(0.065,), profit_frac=(0.06,), development_frac=(0.025,),
        ))}),
        indices=MappingProxyType({}), exchange=MappingProxyType({}),
    )  # fmt: skip
    return replace(found, **more)


def operation(time_s, machine_code, size=1.0, **more):
    """An operation of plain numbers, as arrays."""
    import numpy as np

    zero = np.zeros((1, 1))
    whole = {
        "crew": zero, "reject_frac": zero, "gross_kg": zero, "returned_kg": zero, "recycled_frac": zero,
        "heat_j": zero, "consumables": zero, "bought": zero, "setup_s": zero, "tools": zero, "tool_life": zero + np.inf,
    }  # fmt: skip
    whole |= {name: np.full((1, 1), float(value)) for name, value in more.items()}
    stages = tuple(Stage(words, np.full((1, 1), float(value))) for words, value in time_s.items())
    return Operation(stages, machine_code, np.full((1, 1), float(size)), **whole)


def process(name, made, **more):
    """A process of which every piece takes the same; it reads the mass."""
    settled = {"family": "form", "needs": ("mass_kg",), "figures": ()} | more
    return Process(name=name, title=name, evaluate=made, **settled)
