"""Two ways of doing one thing, and the ways in between: parts, scenario and fasteners with some inputs of the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.scenario import Material, Region, Scenario, Supplier
from hoistbook.core.quantities.quantity import Quantity

FACTORS: Mapping[str, str] = MappingProxyType(
    {
        "volume": "vehicles a year, years of the programme, lot size, pooled volume",
        "region": "price of energy and floor",
        "material price": "price of the materials, and what offal brings",
        "mass": "mass and sizes read off the parts",
        "machines": "whether machines are shared or stand for a part alone",
        "process": "parts there are, their routes, materials and choices, what the models miss on each, and everything "
        "else a scenario assumes",
        "fasteners": "bought fasteners, and seconds of assembly",
        "labour": "wage, overhead on labour, learning",
        "tooling": "tools that the routes need, and how they are paid",
        "mark-up": "class of the supplier",
    }
)
"""What a cost walk shares a difference among, and what each one switches from the first side to the second."""
PRICES = ("material_price_money_per_kg", "material_scrap_credit_frac")
LABOUR = ("wage_money_per_s", "overhead_frac")


@dataclass(frozen=True, slots=True)
class Bought:
    """Pieces bought for the assembly: name, pieces per vehicle, price of one. [1], [money]"""

    name: str
    count: float
    price: Figure


@dataclass(frozen=True, slots=True)
class CostSide:
    """One way of doing something.

    Attributes
    ----------
    code : str
        Differs between the sides.
    parts : mapping of str to PartToCost
        By role: parts of one role on both sides are compared with each other. Tags differ within a side.
    scenario : Scenario
    fasteners : tuple of Bought
    assembly_s : Quantity or None
        Seconds of assembly per vehicle, paid at the wage and overhead of the scenario's region. [s]
    """

    code: str
    parts: Mapping[str, PartToCost]
    scenario: Scenario
    fasteners: tuple[Bought, ...] = ()
    assembly_s: Quantity | None = None


def check_sides(a: CostSide, b: CostSide) -> None:
    """Refuse sides that cannot be compared.

    Raises
    ------
    ValueError
        One code for both, or money of two bases.
    """
    if a.code == b.code:
        msg = f"both sides are named {a.code!r}; name them apart."
        raise ValueError(msg)
    bases = [f"{side.scenario.currency} of {side.scenario.year}" for side in (a, b)]
    if bases[0] != bases[1]:
        msg = f"{a.code} is costed in {bases[0]}, {b.code} in {bases[1]}; carry one scenario to the money of the other."
        raise ValueError(msg)


def with_error_names(part: PartToCost, side: CostSide) -> PartToCost:
    """Name the own error of a part after its side where it has no name: equal tags on two sides are two parts."""
    return part if part.error_name else replace(part, error_name=f"{side.code}/{part.tag}")


Picks = Mapping[str, int]
"""Factor to side: 0 for the first, 1 for the second."""


@dataclass(slots=True)
class Between:
    """Parts and scenarios in between two sides; scenarios grow by the regions, suppliers and materials they need."""

    sides: tuple[CostSide, CostSide]
    _alike: bool = field(init=False)
    _regions: dict[str, Region] = field(default_factory=dict)
    _suppliers: dict[str, Supplier] = field(default_factory=dict)
    _materials: dict[str, Material] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._alike = self.sides[0].scenario == self.sides[1].scenario

    def parts(self, picks: Picks, prefix: str) -> list[PartToCost]:
        """Parts of a way in between, tags with a prefix."""
        process = self.sides[picks["process"]]
        return [self._part(role, picks, prefix) for role in process.parts]

    def scenario(self, key: tuple[int, ...]) -> Scenario:
        """Return a scenario by what was picked of `key`, with all that its parts named."""
        process, volume, labour, machines = (self.sides[one].scenario for one in key)
        found = replace(
            process,
            volume_per_year=volume.volume_per_year,
            programme_years=volume.programme_years,
            lot_count=volume.lot_count,
            dedicated=machines.dedicated,
            learning_frac=labour.learning_frac,
            learning_theory=labour.learning_theory,
            learning_from=labour.learning_from,
        )
        return replace(
            found,
            regions=MappingProxyType({**found.regions, **self._regions}),
            suppliers=MappingProxyType({**found.suppliers, **self._suppliers}),
            materials=MappingProxyType({**found.materials, **self._materials}),
        )

    def key(self, picks: Picks) -> tuple[int, ...]:
        """What of the picks makes another scenario; sides of one scenario need only one."""
        return tuple(self._place(factor, picks) for factor in ("process", "volume", "labour", "machines"))

    def _place(self, factor: str, picks: Picks) -> int:
        """Which scenario a factor is taken from; where both sides have one scenario there is nothing to tell apart."""
        return 0 if self._alike else picks[factor]

    def _part(self, role: str, picks: Picks, prefix: str) -> PartToCost:
        own = self.sides[picks["process"]].parts[role]

        def of(factor: str) -> PartToCost | None:
            return self.sides[picks[factor]].parts.get(role)

        sized = of("mass")
        readings = dict(own.readings)
        if sized is not None and sized is not own:
            # Only what the process reads of its own part: its stated readings decide what it does.
            readings = {name: sized.readings.get(name, value) for name, value in own.readings.items()}
        sister = of("volume")
        return replace(
            own,
            tag=prefix + own.tag,
            error_name=with_error_names(own, self.sides[picks["process"]]).error_name,
            readings=readings,
            material=self._material(own.material, of("material price"), picks),
            steps=tuple(self._step(step, picks) for step in own.steps),
            pooled_volume=own.pooled_volume if sister is None else sister.pooled_volume,
            region=self._region(of("region"), of("labour"), picks),
            supplier=self._supplier(of("mark-up"), picks),
        )

    def _step(self, step: Step, picks: Picks) -> Step:
        return replace(step, material=self._material(step.material, None, picks)) if step.material else step

    def _material(self, code: str, priced: PartToCost | None, picks: Picks) -> str:
        """Code of a material with the properties of one side and the price of the other, made where it is needed."""
        made, paid = self.sides[picks["process"]].scenario, self.sides[picks["material price"]].scenario
        other = code if priced is None else priced.material
        if code not in made.materials or other not in paid.materials:
            return code  # the engine refuses what is not there, with its reason
        places = self._place("process", picks), self._place("material price", picks)
        name = f"{code} ({places[0]}) at the price of {other} ({places[1]})"
        figures = dict(made.materials[code].figures)
        figures |= {
            one: paid.materials[other].figures[one] for one in PRICES if one in paid.materials[other].figures
        }
        self._materials[name] = Material(
            name,
            made.materials[code].words,
            MappingProxyType(
                {
                    one: replace(figure, drawn_as=f"material/{other if one in PRICES else code}/{one}")
                    for one, figure in figures.items()
                }
            ),
        )
        return name

    def _region(self, standing: PartToCost | None, working: PartToCost | None, picks: Picks) -> str:
        found = []
        for part, factor in ((standing, "region"), (working, "labour")):
            scenario = self.sides[picks[factor]].scenario
            found.append((scenario, (part.region if part is not None else "") or scenario.region))
        for scenario, code in found:
            if code not in scenario.regions:
                return code
        (stands, place), (works, crew) = found
        name = f"{place} ({self._place('region', picks)}), labour of {crew} ({self._place('labour', picks)})"
        figures = {one: (figure, place) for one, figure in stands.regions[place].figures.items()}
        figures |= {one: (works.regions[crew].figures[one], crew) for one in LABOUR}
        self._regions[name] = Region(
            name,
            stands.regions[place].words,
            MappingProxyType(
                {
                    one: replace(figure, drawn_as=f"region/{code}/{one}")
                    for one, (figure, code) in figures.items()
                }
            ),
        )
        return name

    def _supplier(self, part: PartToCost | None, picks: Picks) -> str:
        scenario = self.sides[picks["mark-up"]].scenario
        code = (part.supplier if part is not None else "") or scenario.supplier
        if code not in scenario.suppliers:
            return code
        name = f"{code} ({self._place('mark-up', picks)})"
        figures = scenario.suppliers[code].figures
        self._suppliers[name] = Supplier(
            name,
            scenario.suppliers[code].words,
            MappingProxyType(
                {one: replace(f, drawn_as=f"supplier/{code}/{one}") for one, f in figures.items()}
            ),
        )
        return name


def differs(a: CostSide, b: CostSide, factor: str) -> bool:
    """Whether a factor switches anything between two sides."""
    if factor == "fasteners":
        return a.fasteners != b.fasteners or a.assembly_s != b.assembly_s
    pairs = [(a.parts.get(role), b.parts.get(role)) for role in {**a.parts, **b.parts}]
    both = [(one, two) for one, two in pairs if one is not None and two is not None]
    if factor == "mass":
        return any(one.readings != two.readings for one, two in both)
    if a.scenario != b.scenario and _assumes(a.scenario, factor) != _assumes(b.scenario, factor):
        return True
    if factor == "machines":
        return False
    if factor == "process" and any(
        with_error_names(one, a).error_name != with_error_names(two, b).error_name for one, two in both
    ):
        return True
    if factor in ("process", "tooling"):
        return len(both) < len(pairs) or any(_made(one) != _made(two) for one, two in both)
    name = {"volume": "pooled_volume", "material price": "material", "mark-up": "supplier"}.get(
        factor, "region"
    )
    return any(getattr(one, name) != getattr(two, name) for one, two in both)


def _made(part: PartToCost) -> tuple[object, ...]:
    return part.steps, part.material, part.pieces_per_vehicle, set(part.readings)


def _assumes(scenario: Scenario, factor: str) -> object:
    """What a scenario holds of a factor."""
    if factor == "volume":
        return scenario.volume_per_year, scenario.programme_years, scenario.lot_count
    if factor == "machines":
        return scenario.dedicated
    if factor == "mark-up":
        return scenario.supplier, scenario.suppliers
    if factor == "material price":
        return _some(scenario.materials, PRICES, True)
    if factor == "labour":
        learning = (scenario.learning_frac, scenario.learning_theory, scenario.learning_from)
        return learning, scenario.region, _some(scenario.regions, LABOUR, True)
    if factor == "region":
        return scenario.region, _some(scenario.regions, LABOUR, False)
    rest = {name: getattr(scenario, name) for name in _OTHERS}
    return rest, _some(scenario.materials, PRICES, False)


_OTHERS = (
    "currency", "year", "machine_years", "interest_frac", "tooling", "figures", "machines", "indices",
    "exchange", "overrides", "model_errors",
)  # fmt: skip


def _some(
    found: Mapping[str, Material] | Mapping[str, Region], names: tuple[str, ...], inside: bool
) -> dict[str, dict[str, Figure]]:
    return {
        code: {name: figure for name, figure in one.figures.items() if (name in names) == inside}
        for code, one in found.items()
    }
