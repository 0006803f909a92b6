"""The assumptions a cost rests on: one dated, versioned set; each figure has a source, a band and a reviewer."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from hoistbook.core.cost.economics import Learning
from hoistbook.core.cost.figure import Figure


@dataclass(frozen=True, slots=True)
class Material:
    """A material: its price and properties as figures by name, each name beginning with `material_`.

    `aliases` are further words for it, as people write them on a tag.
    """

    code: str
    words: str
    figures: Mapping[str, Figure]
    aliases: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Machine:
    """A class of machines: figures at a reference size, carried to other sizes by powers.

    Attributes
    ----------
    code, words : str
    size_words, size_unit : str
    reference_size, smallest, largest : float
        In `size_unit`. Outside smallest–largest the scenario has no such machine.
    investment : Figure
        Price at the reference size. [money]
    investment_exponent, power_exponent, area_exponent : float
        x(size) = x_ref (size/size_ref)^exponent. [1]
    power_w, area_m2 : Figure
        Mean draw while it runs, and floor.
    consumables : Figure
        Per running second. [money/s]
    """

    code: str
    words: str
    size_words: str
    size_unit: str
    reference_size: float
    smallest: float
    largest: float
    investment: Figure
    investment_exponent: float
    power_w: Figure
    power_exponent: float
    area_m2: Figure
    area_exponent: float
    consumables: Figure


@dataclass(frozen=True, slots=True)
class Region:
    """Where work is done.

    Figures: `wage_money_per_s` (with all that is paid besides), `overhead_frac` of labour, `energy_money_per_j`,
    `floor_money_per_m2` (a year).
    """

    code: str
    words: str
    figures: Mapping[str, Figure]


@dataclass(frozen=True, slots=True)
class Supplier:
    """A class of suppliers and its mark-ups on manufacturing cost.

    Figures: `scrap_frac`, `sga_frac`, `profit_frac`, `development_frac`.
    """

    code: str
    words: str
    figures: Mapping[str, Figure]


@dataclass(frozen=True, slots=True)
class Index:
    """A price index: points by year, and who publishes it."""

    code: str
    words: str
    points: Mapping[int, float]
    mark: str
    source: str

    def factor(self, start: int, end: int) -> float:
        """Prices of year `end` over prices of year `start`.

        Raises
        ------
        LookupError
            A year without a point; nothing is extrapolated.

        Source
        ------
        first principles: P2 = P1 I2/I1.
        """
        if start == end:
            return 1.0
        for year in (start, end):
            if year not in self.points:
                known = ", ".join(map(str, sorted(self.points)))
                msg = (
                    f"index {self.code!r} has no point for {year} (it has {known}); add one, or state the figure in "
                    "the money of another year."
                )
                raise LookupError(msg)
        return self.points[end] / self.points[start]


@dataclass(frozen=True, slots=True)
class Exchange:
    """A dated rate of exchange: one unit of `currency` in the money of the scenario."""

    currency: str
    rate: float
    at: str
    source: str


@dataclass(frozen=True, slots=True)
class ModelError:
    """By how much a process model misses, learned from quotes: ln(true/model) is Student-t about `bias_ln`.

    Attributes
    ----------
    bias_ln, scale_ln : float
        Centre and scale of the logarithm of the factor. [1]
    dof : float
        Degrees of freedom; infinite for a normal error.
    words : str
        What it rests on, as the result says it.
    own_share_frac : float or None
        Share of the variance that each part has for itself; that of the scenario when None. [1]

    Raises
    ------
    ValueError
        A negative scale, or no degrees of freedom.
    """

    bias_ln: float
    scale_ln: float
    dof: float
    words: str
    own_share_frac: float | None = None

    def __post_init__(self) -> None:
        if not (self.scale_ln >= 0.0 and self.dof > 0.0):
            msg = f"model error with scale {self.scale_ln!r}, dof {self.dof!r}: both must be positive."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Scenario:
    """Everything a cost assumes.

    Attributes
    ----------
    code, title, version, at, note : str
        `at` is its date.
    currency : str
    year : int
        Money of the result.
    volume_per_year : float
        Vehicles. [1/year]
    programme_years, machine_years, interest_frac : float
    lot_count : float
        Pieces between two set-ups. [1]
    dedicated : bool
        Whether whole machines stand for this part alone; shared machines are paid by the hour.
    tooling : str
        "apart", "simple" (spread over the pieces) or "annuity" (with interest).
    learning_frac : float
        Share kept with each doubling; 1: nothing is learned.
    learning_theory : str
    learning_from : float
        Pieces after which labour times are those of the models. [1]
    region, supplier : str
        Taken where a part names none.
    figures : mapping of str to Figure
        `days_per_year`, `shift_count`, `shift_s`, `availability_frac`, `performance_frac`, `install_frac`,
        `residual_frac`, `maintenance_frac`, `insurance_frac`, `standing_paid_frac`, `packaging_money_per_kg`,
        `freight_money_per_kg`, `model_low_frac`, `model_high_frac`, `model_own_share_frac`.
    materials, machines, regions, suppliers, indices, exchange : mapping by code
    overrides : mapping of str to Figure
        Figures of processes that this scenario states otherwise, by `Process.key`.
    model_errors : mapping of str to ModelError
        By process; a process without one has the band of an uncalibrated model.

    Raises
    ------
    ValueError
        Volume, years or lot not positive or out of reach, or a default that is not there.
    """

    code: str
    title: str
    version: str
    at: str
    currency: str
    year: int
    volume_per_year: float
    programme_years: float
    machine_years: float
    interest_frac: float
    lot_count: float
    dedicated: bool
    tooling: str
    learning_frac: float
    learning_theory: Learning
    learning_from: float
    region: str
    supplier: str
    figures: Mapping[str, Figure]
    materials: Mapping[str, Material]
    machines: Mapping[str, Machine]
    regions: Mapping[str, Region]
    suppliers: Mapping[str, Supplier]
    indices: Mapping[str, Index]
    exchange: Mapping[str, Exchange]
    overrides: Mapping[str, Figure] = field(default_factory=lambda: MappingProxyType({}))
    note: str = ""
    model_errors: Mapping[str, ModelError] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        for name, (low, high) in REACH.items():
            value = getattr(self, name)
            if not 0.0 < value < math.inf:
                msg = f"scenario {self.code!r}: {name} = {value!r}; it must be a number above 0."
                raise ValueError(msg)
            if not low <= value <= high:
                msg = (
                    f"scenario {self.code!r}: {name} = {value!s:.20}: out of reach; give {low:g} to {high:g}."
                )
                raise ValueError(msg)
        if self.tooling not in TOOLING:
            msg = f"scenario {self.code!r}: tooling {self.tooling!r}; known: {', '.join(TOOLING)}."
            raise ValueError(msg)
        for kind, code, known in (
            ("region", self.region, self.regions),
            ("supplier", self.supplier, self.suppliers),
        ):
            if code not in known:
                msg = f"scenario {self.code!r}: no {kind} named {code!r}; known: {', '.join(known)}."
                raise ValueError(msg)

    def money(self, figure: Figure) -> Figure:
        """An amount in the currency and year of the scenario; any other figure as it is.

        Raises
        ------
        LookupError
            No rate of exchange, or no index point for a year.
        """
        if not figure.is_money or (figure.currency == self.currency and figure.year == self.year):
            return figure
        factor = 1.0
        if figure.year != self.year:
            if figure.index not in self.indices:
                known = ", ".join(self.indices)
                msg = (
                    f"figure {figure.name!r} is in money of {figure.year}, the scenario in money of {self.year}, and "
                    f"it names no index; known indices: {known}."
                )
                raise LookupError(msg)
            factor *= self.indices[figure.index].factor(figure.year, self.year)
        if figure.currency != self.currency:
            if figure.currency not in self.exchange:
                msg = (
                    f"figure {figure.name!r} is in {figure.currency}; state a dated rate to {self.currency}."
                )
                raise LookupError(msg)
            factor *= self.exchange[figure.currency].rate
        return replace(figure.scaled(factor), currency=self.currency, year=self.year)

    def in_money(self, currency: str, year: int) -> Scenario:
        """The same assumptions with results in other money; its figures stay in the money they were stated in.

        Raises
        ------
        LookupError
            No rate of exchange for the currency. A year that an index does not reach is refused where a figure is
            carried to it.
        """
        if currency == self.currency:
            return replace(self, year=year)
        wanted = self.exchange.get(currency)
        if wanted is None:
            known = ", ".join((self.currency, *self.exchange))
            msg = (
                f"scenario {self.code!r}: no rate of exchange for {currency!r}; known: {known}. State a dated rate "
                "under [exchange]."
            )
            raise LookupError(msg)
        turned = {self.currency: replace(wanted, currency=self.currency, rate=1.0 / wanted.rate)}
        turned |= {
            code: replace(one, rate=one.rate / wanted.rate)
            for code, one in self.exchange.items()
            if code != currency
        }
        return replace(self, currency=currency, year=year, exchange=MappingProxyType(turned))


MOST_VEHICLES = 1e12
"""project rule: far above what all makers together build in a year."""
REACH: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "volume_per_year": (1e-3, MOST_VEHICLES),
        "programme_years": (1e-3, 1e3),
        "machine_years": (1e-3, 1e3),
        "lot_count": (1e-3, 1e15),
        "learning_from": (1.0, 1e15),
    }
)
"""project rule: beyond these the arithmetic ends in no number; no programme comes near them."""
TOOLING = ("apart", "simple", "annuity")
"""How tools are paid: shown apart, spread over all pieces, or spread with interest."""
