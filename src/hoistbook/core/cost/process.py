"""What a process model is: typed inputs, figures with sources, and one function that says what a piece takes.

The function works on arrays of shape (n_parts, n_draws), or anything that broadcasts to it, and uses nothing but
arithmetic, NumPy's element-wise functions and ``np.where``: the same code then gives the figure, its band, and the
formulas of a spreadsheet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.inputs import known_input


@dataclass(frozen=True, slots=True)
class Choice:
    """A switch of a process: options with what they mean, the first being taken where nobody chose."""

    name: str
    words: str
    options: Mapping[str, str]

    def check(self, option: str, place: str) -> None:
        """Refuse an option that does not exist.

        Raises
        ------
        ValueError
            The message lists the options.
        """
        if option not in self.options:
            msg = f"{place}: {self.words} {option!r}; known: {', '.join(self.options)}."
            raise ValueError(msg)


class Fields:
    """What a model reads: readings of the parts, figures of the process, properties of the material, the scenario.

    Parameters
    ----------
    values : mapping of str to array
        By name, each of a shape that broadcasts to (n_parts, n_draws).
    choices : mapping of str to str
    where : str
        For messages.
    """

    __slots__ = ("_choices", "_values", "_where")

    def __init__(self, values: Mapping[str, Array], choices: Mapping[str, str], where: str) -> None:
        self._values = values
        self._choices = choices
        self._where = where

    def __getattr__(self, name: str) -> Array:
        """Return a field by its name, as `f.mass_kg`."""
        try:
            return self._values[name]
        except KeyError:
            self._missing(name)

    def choice(self, name: str) -> str:
        """Return the option that was chosen."""
        return self._choices[name]

    def _missing(self, name: str) -> NoReturn:
        if name.startswith("material_"):
            words = name.removeprefix("material_").replace("_", " ")
            msg = f"{self._where}: the material has no {words}; name another one, or add the figure to the scenario."
            raise ValueError(msg)
        msg = f"{self._where}: nothing states {name}."
        raise AttributeError(msg)


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of the work on a piece: `beside` another station while the line goes on, else after one another."""

    words: str
    time_s: Array
    beside: bool = False


def _none() -> Array:
    return np.zeros((1, 1))


def _endless() -> Array:
    return np.full((1, 1), np.inf)


@dataclass(frozen=True, slots=True)
class Operation:
    """What one piece takes in one step; what a model does not state it does not take.

    Attributes
    ----------
    stages : tuple of Stage
        Times per piece. The pace of the machine is the longest of those `beside` and the sum of the others.
    machine : str
        Class of the machine in the scenario; empty where the step is paid for by `bought`.
    machine_size : array
        In the unit of that class.
    crew : array
        People per machine. [1]
    reject_frac : array
        Share of pieces that the step loses. [1]
    setup_s : array
        Per lot. [s]
    gross_kg : array
        Material put in; 0 where the step works on what came. [kg]
    returned_kg : array
        Offal that is sold. [kg]
    recycled_frac : array
        Share of a rejected piece's metal that comes back at its full price. [1]
    heat_j : array
        Energy per piece besides that of the running machine. [J]
    consumables : array
        Per piece, in the money of the scenario. [money]
    bought : array
        Price of what is bought for a piece. [money]
    tools : array
        One set of tools. [money]
    tool_life : array
        Pieces that a set makes; infinite where it outlives the programme. [1]
    """

    stages: tuple[Stage, ...]
    machine: str
    machine_size: Array
    crew: Array
    reject_frac: Array
    setup_s: Array
    gross_kg: Array = field(default_factory=_none)
    returned_kg: Array = field(default_factory=_none)
    recycled_frac: Array = field(default_factory=_none)
    heat_j: Array = field(default_factory=_none)
    consumables: Array = field(default_factory=_none)
    bought: Array = field(default_factory=_none)
    tools: Array = field(default_factory=_none)
    tool_life: Array = field(default_factory=_endless)


@dataclass(frozen=True, slots=True)
class Limit:
    """Something a process cannot do: `breaks` says for which parts, `words` why, and what to do."""

    words: str
    breaks: Callable[[Fields], NDArray[np.bool_]]


@dataclass(frozen=True, slots=True)
class Process:
    """A process model.

    Attributes
    ----------
    name, title : str
        Name in files and commands, and as people say it.
    family : str
        "form", "cut", "join", "treat", "coat", "electric" or "buy".
    needs, optional : tuple of str
        Readings (see `inputs.INPUTS`). Optional ones that are not stated take the figure `usual_<reading>` of the
        process where it has one, else 0; the result says which.
    choices : tuple of Choice
    figures : tuple of Figure
        Figures that hold for one option only say so in `when`.
    evaluate : callable
        Fields to `Operation`.
    limits : tuple of Limit
        Refused where broken.
    advice : tuple of Limit
        Costed all the same; the words stand with the result.
    adds_material : bool
        Whether it takes material in; the first step of a route does, a weld does not.
    notes : str
        What it leaves out, for the docs page.
    sketch : str
        What to measure, in words, for the form.
    """

    name: str
    title: str
    family: str
    needs: tuple[str, ...]
    figures: tuple[Figure, ...]
    evaluate: Callable[[Fields], Operation]
    optional: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    limits: tuple[Limit, ...] = ()
    advice: tuple[Limit, ...] = ()
    adds_material: bool = True
    notes: str = ""
    sketch: str = ""
    _by_name: Mapping[str, Choice] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        for name in (*self.needs, *self.optional):
            known_input(name)
        known = {choice.name: choice for choice in self.choices}
        for figure in self.figures:
            if figure.when is not None:
                known[figure.when[0]].check(figure.when[1], f"{self.name}/{figure.name}")
        object.__setattr__(self, "_by_name", MappingProxyType(known))

    def chosen(self, stated: Mapping[str, str]) -> dict[str, str]:
        """Every choice with its option: as stated, else the first.

        Raises
        ------
        ValueError
            An unknown choice or option.
        """
        for name in stated:
            if name not in self._by_name:
                known = ", ".join(self._by_name) or "none"
                msg = f"{self.title} has no choice named {name!r}; its choices: {known}."
                raise ValueError(msg)
        found = {}
        for choice in self.choices:
            option = stated.get(choice.name, next(iter(choice.options)))
            choice.check(option, self.title)
            found[choice.name] = option
        return found

    def figures_for(self, choices: Mapping[str, str]) -> tuple[Figure, ...]:
        """Figures that hold for these options."""
        return tuple(
            one for one in self.figures if one.when is None or choices.get(one.when[0]) == one.when[1]
        )

    def key(self, figure: Figure) -> str:
        """Name of a figure among all figures: `process/figure` and the option it holds for."""
        option = "" if figure.when is None else f"/{figure.when[1]}"
        return f"{self.name}/{figure.name}{option}"
