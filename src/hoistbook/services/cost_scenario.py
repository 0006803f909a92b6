"""The scenario of a cost: packaged, or from a file, with what the command states otherwise; and what is open in it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.cost.money import MoneyBasis
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.scenario import Scenario
from hoistbook.reference.cost import packaged_scenario, packaged_scenario_text, scenario_from
from hoistbook.reference.fasteners import fastener_figures
from hoistbook.reference.files import settings_text
from hoistbook.services.cost_words import closest

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Stated:
    """What a question states of its scenario.

    Attributes
    ----------
    text, name : str
        TOML of the scenario and the name of its file; empty for the packaged one.
    volume_per_year : float or None
    region, tooling : str
        Empty where the scenario's own holds.
    dedicated : bool or None
    supplier, currency : str
    year : int or None
        Of the money.
    """

    text: str = ""
    name: str = ""
    volume_per_year: float | None = None
    region: str = ""
    dedicated: bool | None = None
    tooling: str = ""
    supplier: str = ""
    currency: str = ""
    year: int | None = None

    def scenario(self) -> Scenario:
        """Return the scenario.

        Raises
        ------
        ValueError
            No TOML, a figure that is none, a volume that is not above 0, an unknown region, class of suppliers, or way
            of paying tools.
        LookupError
            No rate of exchange for the currency.
        """
        found = scenario_from(self.text, self.name) if self.text else packaged_scenario()
        if self.volume_per_year is not None:
            found = replace(found, volume_per_year=self.volume_per_year)
        if self.region:
            found = replace(found, region=_known(self.region, found.regions))
        if self.dedicated is not None:
            found = replace(found, dedicated=self.dedicated)
        if self.tooling:
            found = replace(found, tooling=self.tooling)
        if self.supplier:
            found = replace(found, supplier=_known(self.supplier, found.suppliers))
        return found.in_money(self.currency or found.currency, self.year or found.year)

    def as_json(self) -> Json:
        """All of it, so that a kept result can be worked out again; the digest is of the scenario that follows."""
        return {
            "toml": self.text,
            "file": self.name,
            "volume_per_year": self.volume_per_year,
            "region": self.region,
            "dedicated": self.dedicated,
            "tooling": self.tooling,
            "supplier": self.supplier,
            "currency": self.currency,
            "year": self.year,
            "digest": digest(self.scenario()),
        }

    @classmethod
    def from_json(cls, told: Json) -> Stated:
        """Return what `as_json` told."""
        return cls(
            told["toml"],
            told["file"],
            told["volume_per_year"],
            told["region"],
            told["dedicated"],
            told["tooling"],
            told["supplier"],
            told["currency"],
            told["year"],
        )


def _known(text: str, known: Iterable[str]) -> str:
    """Return what is meant whatever its case; what nobody knows is left for the scenario to refuse."""
    return next((code for code in known if code.casefold() == text.casefold()), text)


def stated_scenario(
    path: Path | None = None,
    volume_per_year: float | None = None,
    region: str = "",
    dedicated: bool | None = None,
    tooling: str = "",
    supplier: str = "",
    currency: str = "",
    year: int | None = None,
) -> Stated:
    """What is stated of a scenario, its file read.

    Raises
    ------
    ValueError
        A file that is not UTF-8.
    """
    text = ""
    if path is not None:
        text = settings_text(path, "copy the packaged scenario and change it")
        if not text.strip():
            msg = f"{path.name} is empty; copy the packaged scenario and change it."
            raise ValueError(msg)
    name = "" if path is None else path.name
    return Stated(text, name, volume_per_year, region, dedicated, tooling, supplier, currency, year)


def write_scenario(path: Path, *, whole: bool = False, force: bool = False) -> None:
    """Write the packaged scenario into a file to change.

    Parameters
    ----------
    path : Path
    whole : bool
        Materials and machines in it, too.
    force : bool
        Replace a file that is there.

    Raises
    ------
    ValueError
        It does not end in .toml, its folder is missing, or it is there already.
    """
    check_scenario_path(path)
    if is_taken(path) and not force:
        msg = f"{path} is already there and was left as it is; give another name, or --force to replace it."
        raise ValueError(msg)
    path.write_text(packaged_scenario_text(whole=whole), encoding="utf-8")


def check_scenario_path(path: Path) -> None:
    """Refuse a name no scenario can be written under.

    Raises
    ------
    ValueError
        It does not end in .toml, or its folder is missing.
    """
    if path.suffix.casefold() != ".toml":
        msg = f"{path}: a scenario is a TOML file; end the name in .toml."
        raise ValueError(msg)
    if not path.parent.is_dir():
        msg = f"{path}: there is no folder {path.parent}; make it, or name another."
        raise ValueError(msg)


def is_taken(path: Path) -> bool:
    """Whether something stands under that name; a link that leads nowhere does."""
    return path.exists() or path.is_symlink()


def digest(scenario: Scenario) -> str:
    """SHA-256 of everything a scenario holds: the same for the same figures, whatever file they came from."""
    return hashlib.sha256(repr(scenario).encode()).hexdigest()


def basis_of(scenario: Scenario) -> MoneyBasis:
    """Money of the scenario."""
    return MoneyBasis(scenario.currency, scenario.year)


def fasteners_in(scenario: Scenario) -> FigureSet:
    """Figures of fastener mass and price, amounts carried to the money of the scenario.

    Raises
    ------
    LookupError
        The scenario has no rate for their currency, or its index no point for their year.
    """
    packaged = fastener_figures()
    return FigureSet({name: scenario.money(packaged.figure(name)) for name in packaged})


@dataclass(frozen=True, slots=True)
class ScenarioFigure:
    """One figure of a scenario with the place it stands in: "figure", "region romania", "machine press" …"""

    place: str
    figure: Figure


def scenario_figures(scenario: Scenario) -> Iterator[ScenarioFigure]:
    """Yield every figure of a scenario, materials and machines included."""
    for figure in scenario.figures.values():
        yield ScenarioFigure("scenario", figure)
    for kind, entries in (
        ("region", scenario.regions),
        ("supplier", scenario.suppliers),
        ("material", scenario.materials),
    ):
        for code, entry in entries.items():
            for figure in entry.figures.values():
                yield ScenarioFigure(f"{kind} {code}", figure)
    for code, machine in scenario.machines.items():
        for figure in (machine.investment, machine.power_w, machine.area_m2, machine.consumables):
            yield ScenarioFigure(f"machine {code}", figure)
    for name, figure in scenario.overrides.items():
        yield ScenarioFigure(f"process {name}", figure)


def never_reviewed(scenario: Scenario) -> tuple[ScenarioFigure, ...]:
    """Figures nobody has looked at for this scenario."""
    return tuple(one for one in scenario_figures(scenario) if not one.figure.reviewed)


def process_named(text: str) -> Process:
    """Return a process by its name or by the words of its title.

    Raises
    ------
    LookupError
        No such process; the message names the closest.
    """
    wanted = "_".join(text.casefold().replace("-", " ").replace("_", " ").split())
    found = PROCESSES.get(wanted) or _BY_TITLE.get(wanted)
    if found is None:
        msg = f"no process named {text!r}; {closest(wanted.replace('_', ' '), _SAID)}"
        raise LookupError(msg)
    return found


_BY_TITLE = {"_".join(one.title.replace("-", " ").casefold().split()): one for one in PROCESSES.values()}
_SAID = tuple(one.title for one in PROCESSES.values())
