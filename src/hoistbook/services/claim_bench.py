"""The vehicles of a study as claims need them: every mass book and every gap worked out once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.compare.study_problems import all_functions
from hoistbook.core.compare.study_settings import check_duty
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.mass.book import MassBook
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.problem import closest
from hoistbook.core.vehicle.records import Approach, Configuration, Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED
from hoistbook.services.gap_draws import Reconciled, reconciled
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass import mass_report
from hoistbook.services.mass_sides import masses_in

NOTHING_STATED = "no such function is recorded"


@dataclass(frozen=True, slots=True)
class Settings:
    """How a study works its figures out: duty where a claim names none, draws, seed, defaults, how sure is enough."""

    duty: str
    sure_enough_frac: float
    n_draws: int = DEFAULT_DRAWS
    seed: int = DEFAULT_SEED
    defaults: EnergyDefaults | None = None


class Bench:
    """Vehicles of a study with what has been worked out of them.

    Parameters
    ----------
    order : sequence of str
        Codes of the vehicles, the one the study starts from first.
    teardowns : mapping of vehicle code to Teardown
        Of the vehicles that are there.
    configurations : mapping of vehicle code to configuration
        Empty where the vehicle has only one.
    settings : Settings
    """

    def __init__(
        self,
        order: Sequence[str],
        teardowns: Mapping[str, Teardown],
        configurations: Mapping[str, str],
        settings: Settings,
    ) -> None:
        self.order = tuple(order)
        self.settings = settings
        self.functions = all_functions(teardowns[code] for code in order if code in teardowns)
        self._teardowns = teardowns
        self._configurations = configurations
        self._books: dict[str, MassBook | str] = {}
        self._gaps: dict[tuple[str, str, str, str], Reconciled | str] = {}

    def has(self, vehicle: str) -> bool:
        """Whether the records of a vehicle are there."""
        return vehicle in self._teardowns

    def called(self, vehicle: str) -> str:
        """Name and code of a vehicle, "Whimbrel (W)"; the code alone where it has no other name or is not there."""
        name = self._teardowns[vehicle].vehicle.name if self.has(vehicle) else ""
        return f"{name} ({vehicle})" if name and name != vehicle else vehicle

    def teardown(self, vehicle: str) -> Teardown:
        """Return the records of a vehicle.

        Raises
        ------
        LookupError
            It is not there.
        """
        if vehicle not in self._teardowns:
            msg = f"{vehicle} is not there: {closest(vehicle, list(self._teardowns))}; load its workbook"
            raise LookupError(msg)
        return self._teardowns[vehicle]

    def configuration(self, vehicle: str) -> Configuration:
        """Return the configuration of a vehicle the study speaks of.

        Raises
        ------
        LookupError
            The vehicle or the configuration is not there, or none of several was named.
        """
        return chosen_configuration(self.teardown(vehicle), self._configurations.get(vehicle) or None)

    def book(self, vehicle: str) -> MassBook:
        """Return the mass book of a vehicle.

        Raises
        ------
        LookupError
            There is no part tree, or its weighings cannot be worked out; the message says why.
        """
        configuration = self.configuration(vehicle).id
        if vehicle not in self._books:
            try:
                self._books[vehicle] = mass_report(self.teardown(vehicle), configuration, proposals=0)
            except ValueError as error:
                self._books[vehicle] = str(error).rstrip(".")
        found = self._books[vehicle]
        if isinstance(found, str):
            raise LookupError(found)
        return found

    def gap(self, x: str, y: str, quantity: str, duty: str) -> tuple[Reconciled, float]:
        """Return the gap between two vehicles, and 1 if it goes from x to y or −1 if it was worked out from y to x.

        Raises
        ------
        LookupError
            The engines refuse, or the duty has no name of its own; the message says what is missing.

        Notes
        -----
        The shares of a gap change sign with its direction (Shapley and Aumann–Shapley values along the same straight
        path), so one direction is enough.
        """
        place = {code: index for index, code in enumerate(self.order)}
        forward = place.get(x, len(place)) <= place.get(y, len(place))
        start, end = (x, y) if forward else (y, x)
        check_duty(duty)
        key = (start, end, quantity, duty)
        if key not in self._gaps:
            try:
                self._gaps[key] = reconciled(
                    self.teardown(start),
                    self.teardown(end),
                    quantity=quantity,
                    duty=duty,
                    n_draws=self.settings.n_draws,
                    seed=self.settings.seed,
                    configuration_x=self.configuration(start).id,
                    configuration_y=self.configuration(end).id,
                    defaults=self.settings.defaults,
                    known_masses=(self._function_masses(start), self._function_masses(end)),
                )
            except (ValueError, OSError) as error:
                self._gaps[key] = str(error).rstrip(".")
        found = self._gaps[key]
        if isinstance(found, str):
            raise LookupError(found)
        return found, 1.0 if forward else -1.0

    def _function_masses(self, vehicle: str) -> Mapping[str, Quantity]:
        """Mass of each function; none for a vehicle known by its facts alone."""
        return masses_in(self.book(vehicle)) if self.teardown(vehicle).nodes else {}

    def function(self, text: str) -> str:
        """Code of a function by code, name or alias.

        Raises
        ------
        LookupError
            No vehicle of the study lists it.
        """
        found = self.functions.find(text)
        if found is None:
            msg = f"{NOTHING_STATED} as {text!r}; {closest(text, self.functions.words)}"
            raise LookupError(msg)
        return found.code

    def function_words(self, code: str) -> str:
        """Name of a function."""
        return self.functions[code].name or code

    def inside(self, code: str, wider: str) -> bool:
        """Whether a function is another one or a part of it."""
        return wider in self.functions.lineage(code)

    def approaches(self, vehicle: str, function: str) -> tuple[Approach, ...]:
        """Approaches of a vehicle, in its configuration, to a function and to what belongs to it."""
        configuration = self.configuration(vehicle).id
        return tuple(
            approach
            for approach in self.teardown(vehicle).approaches
            if approach.configuration == configuration
            and (found := self.functions.find(approach.function)) is not None
            and self.inside(found.code, function)
        )

    def does_without(self, vehicle: str, function: str) -> bool:
        """Whether every approach on record says that the vehicle does without the function."""
        found = self.approaches(vehicle, function)
        return bool(found) and not any(approach.present for approach in found)

    def part(self, vehicle: str, tag: str) -> PartTree:
        """Return the part tree of a vehicle that holds a tag.

        Raises
        ------
        LookupError
            It does not.
        """
        nodes = self.teardown(vehicle).nodes
        tree = PartTree(nodes) if nodes else None
        if tree is None or tag not in tree:
            msg = f"{self.called(vehicle)} has no part {tag!r}; {closest(tag, [node.tag for node in nodes])}"
            raise LookupError(msg)
        return tree
