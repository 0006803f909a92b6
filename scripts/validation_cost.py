"""The cost engine fed with published inputs, against the cost rows that were published with them.

Nothing of the engine is fitted to these rows. Two public sources:

- US EPA, EPA-420-R-11-015 (November 2011), power-split case study: total manufacturing cost of 2,865.06 USD of 2010, of
  which about 71 % material and 14 % labour (section E), and table E-1: what the cost becomes when labour, burden,
  material or mark-up change by 20 %. Volume 450,000 a year. Its table of mark-ups was not seen: the rate of a tier 1
  supplier of high complexity is the packaged one, from memory.
- Ultra-light steel body study, final report of 1998 (American Iron and Steel Institute): general inputs (section 5.1)
  and investments (5.4.3); the printout of its public cost model has the cost per body by element. Seen as page scans.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from hoistbook.core.cost.economics import capital_recovery_frac
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.process import Operation, Process, Stage
from hoistbook.core.cost.result import PartCost
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.scenario import Machine, Material, Region, Scenario
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.reference.cost import packaged_scenario

HOUR_S = 3600.0
MILLION = 1e6


@dataclass(frozen=True, slots=True)
class Row:
    """A published row and what the engine makes of its inputs. [USD]"""

    source: str
    words: str
    published: float
    found: float

    @property
    def ratio(self) -> float:
        """Engine over published. [1]"""
        return self.found / self.published


def _stated(name: str, unit: str, value: float, year: int) -> Figure:
    money = {"currency": "USD", "year": year} if unit.split("/")[0] == "money" else {}
    return Figure(name, name, unit, value, value, value, "published", "see the head of this file", **money)


@dataclass(frozen=True, slots=True)
class Shop:
    """What one step takes, as published: money of `year`."""

    year: int
    volume_per_year: float
    programme_years: float
    machine_years: float
    interest_frac: float
    hours_per_year: float
    pace_s: float
    material: float = 0.0
    wage_per_h: float = 0.0
    crew: float = 0.0
    investment: float = 0.0
    floor_per_year: float = 0.0
    tools: float = 0.0
    dedicated: bool = True
    mark_up: float = 1.0
    """Factor on the mark-ups of the supplier."""
    supplier: str = "in house"

    def scenario(self) -> Scenario:
        """The packaged scenario with these inputs, and with nothing besides that costs."""

        def figures(**values: tuple[str, float]) -> Mapping[str, Figure]:
            return MappingProxyType({n: _stated(n, unit, v, self.year) for n, (unit, v) in values.items()})

        found = packaged_scenario()
        exact = {name: figure for name, figure in found.figures.items() if not figure.is_money}
        supplier = found.suppliers[self.supplier]
        marks = {name: figure.scaled(self.mark_up) for name, figure in supplier.figures.items()}
        one = Machine(
            "line", "line", "size", "1", 1.0, 0.0, 1e9,
            _stated("investment_money", "money", self.investment, self.year), 0.0, _stated("power_w", "W", 0.0, 0), 0.0,
            _stated("area_m2", "m2", 1.0, 0), 0.0, _stated("consumables_money_per_s", "money/s", 0.0, self.year),
        )  # fmt: skip
        return replace(
            found, currency="USD", year=self.year, volume_per_year=self.volume_per_year,
            programme_years=self.programme_years, machine_years=self.machine_years, interest_frac=self.interest_frac,
            lot_count=1e12, dedicated=self.dedicated, tooling="annuity", learning_frac=1.0, region="there",
            supplier=self.supplier, suppliers=MappingProxyType({self.supplier: replace(supplier, figures=marks)}),
            machines=MappingProxyType({"line": one}), indices=MappingProxyType({}), exchange=MappingProxyType({}),
            overrides=MappingProxyType({}),
            materials=MappingProxyType({"all": Material("all", "all", figures(
                material_price_money_per_kg=("money/kg", self.material), material_scrap_credit_frac=("1", 0.0),
            ))}),
            regions=MappingProxyType({"there": Region("there", "there", figures(
                wage_money_per_s=("money/s", self.wage_per_h / HOUR_S), overhead_frac=("1", 0.0),
                energy_money_per_j=("money/J", 0.0), floor_money_per_m2=("money/m2", self.floor_per_year),
            ))}),
            figures=MappingProxyType(exact | dict(figures(
                days_per_year=("1", self.hours_per_year / 16.0), shift_count=("1", 2.0), shift_s=("s", 8.0 * HOUR_S),
                availability_frac=("1", 1.0), performance_frac=("1", 1.0), install_frac=("1", 0.0),
                residual_frac=("1", 0.0), maintenance_frac=("1", 0.0), insurance_frac=("1", 0.0),
                standing_paid_frac=("1", 0.0), packaging_money_per_kg=("money/kg", 0.0),
                freight_money_per_kg=("money/kg", 0.0), model_low_frac=("1", -0.2), model_high_frac=("1", 0.3),
            ))),
        )  # fmt: skip

    def cost(self) -> PartCost:
        """One piece of 1 kg at the best estimate."""

        def number(value: float) -> np.ndarray:
            return np.full((1, 1), value)

        step = Process(
            "row", "published row", "form", ("mass_kg",), (),
            lambda f: Operation(
                (Stage("line", number(self.pace_s)),), "line", number(1.0), number(self.crew), number(0.0), number(0.0),
                gross_kg=number(1.0), tools=number(self.tools),
            ),
        )  # fmt: skip
        part = PartToCost("ROW", "row", "all", {"mass_kg": Quantity(1.0, "kg")}, (Step("row"),))
        found = cost_parts([part], self.scenario(), {"row": step}, n_draws=0)
        if found.refused:
            raise ValueError(found.refused["ROW"])
        return found.parts["ROW"]


EPA = "EPA-420-R-11-015, table E-1"
TOTAL_MANUFACTURING = 2865.06
SHARES = {"material": 0.71, "labour": 0.14, "burden": 0.15}
"""Material and labour as the report prints them, in whole per cent; burden is the rest."""
SENSITIVITY = (
    ("as it is", {}, 3435.0),
    ("labour rates 20 % lower", {"labour": 0.8}, 3340.0),
    ("burden rates 20 % lower", {"burden": 0.8}, 3334.0),
    ("material prices 20 % lower", {"material": 0.8}, 2945.0),
    ("material prices 20 % higher", {"material": 1.2}, 3925.0),
    ("mark-up rates 20 % lower", {"mark-up": 0.8}, 3322.0),
    ("mark-up rates 20 % higher", {"mark-up": 1.2}, 3548.0),
)


def government_case(**factors: float) -> float:
    """Cost of the case study with some of its rates times a factor. [USD of 2010]"""
    amount = {name: TOTAL_MANUFACTURING * share * factors.get(name, 1.0) for name, share in SHARES.items()}
    hours, years = 4000.0, 10.0
    # An hour of one shared machine and of one person per piece; without interest the burden of an hour is the
    # investment over years and hours.
    return (
        Shop(
            2010, 450_000.0, 5.0, years, 0.0, hours, HOUR_S, material=amount["material"], wage_per_h=amount["labour"],
            crew=1.0, investment=amount["burden"] * years * hours, dedicated=False,
            mark_up=factors.get("mark-up", 1.0), supplier="tier 1, high",
        )
        .cost()
        .piece.value
    )  # fmt: skip


BODY = "steel body study 1998, cost by element"
INVESTMENTS = {
    "stamped parts": {"equipment": 10.1 + 37.2 + 102.9, "tools": 4.4 + 37.1, "building": 1.2 + 5.9 + 6.1},
    "assembly": {"equipment": 40.4, "tools": 19.0, "building": 31.4},
}
"""Blanking, welding of blanks and stamping lines; assembly line. [million USD]"""
PER_BODY = {
    ("stamped parts", "equipment"): 88.17,
    ("stamped parts", "tools"): 51.21,
    ("stamped parts", "building"): 7.33,
    ("assembly", "equipment"): 49.88,
    ("assembly", "tools"): 23.40,
    ("assembly", "building"): 17.74,
}
"""[USD per body]"""
BUILDING_YEARS = 25.0


def body_shop(where: str, machine_years: float = 20.0, building: bool = True) -> PartCost:
    """Fixed cost per body of one of the shops: 225,000 a year at 60 an hour, 12 %, 5 years of production."""
    spent = {name: value * MILLION for name, value in INVESTMENTS[where].items()}
    floor = capital_recovery_frac(0.12, BUILDING_YEARS) * spent["building"] if building else 0.0
    return Shop(
        1998, 225_000.0, 5.0, machine_years, 0.12, 240.0 * 16.0, 60.0, investment=spent["equipment"],
        floor_per_year=floor, tools=spent["tools"],
    ).cost()  # fmt: skip


def rows() -> list[Row]:
    """Every published row with what the engine makes of its inputs."""
    found = [
        Row(EPA, words, published, government_case(**factors)) for words, factors, published in SENSITIVITY
    ]
    for where in INVESTMENTS:
        bare, whole = body_shop(where, building=False).by_name(), body_shop(where).by_name()
        made = {
            "equipment": bare["machine"],
            "tools": whole["tools"],
            "building": whole["machine"] - bare["machine"],
        }
        found += [
            Row(BODY, f"{where}: {name}", PER_BODY[(where, name)], value) for name, value in made.items()
        ]
    return found


_HEAD = """## Cost engine against published rows

The engine is fed with the published inputs of a row, not fitted to it. Sources: US EPA, EPA-420-R-11-015 (2011): total
manufacturing cost 2,865.06 USD, 71 % material, 14 % labour, mark-up of a tier 1 supplier of high complexity as packaged
(from memory). Ultra-light steel body study, final report 1998: 225,000 bodies a year, 12 % interest, 5 years of
production, equipment over 20 and buildings over 25 years, investments by shop (page scans).

| published row | published, USD | engine, USD | ratio |
|---|---:|---:|---:|"""


def section() -> str:
    """The section of the page."""
    table = [
        f"| {one.source}: {one.words} | {one.published:,.2f} | {one.found:,.2f} | {one.ratio:.3f} |"
        for one in rows()
    ]
    over_programme = body_shop("assembly", machine_years=5.0, building=False).by_name()["machine"]
    ratio = over_programme / PER_BODY[("assembly", "equipment")]
    return f"""{_HEAD}
{chr(10).join(table)}

The miss: the study's stated life of equipment of 20 years does not give its own row for assembly equipment. Paid back
over the 5 years of production it is {over_programme:.2f} USD, {ratio:.3f} of the row: that line was written off with
the model. The rows of the first source are one total and what its shares make of it: they are met if the shares add up
and the remembered mark-up is right, and try no more than that.

These rows try the accounting (capital, tools, floor, labour, mark-up). No published row with the mass, the process and
the price of a single part was found, so the models of processes rest on the
[worked examples](engines/cost-examples.md) and on quotes that users enter."""


if __name__ == "__main__":
    print(section())
