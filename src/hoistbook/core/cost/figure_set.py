"""Figures by name, some replaced by what the user states, handed out as quantities that share one error per figure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from hoistbook.core.cost.figure import MONEY, Figure
from hoistbook.core.cost.money import MoneyBasis
from hoistbook.core.quantities.assumption import Assumption, AssumptionKind
from hoistbook.core.quantities.dimension import dimension
from hoistbook.core.quantities.quantity import Origin, Quantity, Source


def si_unit(unit: str) -> str:
    """Return the SI symbol of a figure's unit: an amount of money counts as a number."""
    return "/".join("1" if part == MONEY else part for part in unit.split("/"))


def figure_quantity(figure: Figure, name: str = "") -> Quantity:
    """Return a figure as a quantity whose error all who use it share.

    Parameters
    ----------
    figure : Figure
    name : str
        What its error is drawn by, as `cost.drawn.SharedDraws` names the figure; `scenario/<name>` when empty.

    Notes
    -----
    The best estimate is the mean, the standard uncertainty that of the figure's draws (`Figure.standard_deviation`).
    """
    unit = si_unit(figure.unit)
    if figure.exact:
        return Quantity(figure.value, unit, origin=Origin.ASSUMED)
    source = Source(name or f"scenario/{figure.name}", "triangular")
    return Quantity(figure.value, unit, ((source, figure.standard_deviation),), Origin.ASSUMED)


def figure_assumption(figure: Figure) -> Assumption:
    """Return a figure as what was assumed, with its printed sentence."""
    band = "" if figure.exact else f" ({figure.low:g} to {figure.high:g})"
    unit = (
        f"{figure.unit.replace(MONEY, figure.currency)} of {figure.year}" if figure.is_money else figure.unit
    )
    shown = "" if unit == "1" else f" {unit}"
    return Assumption(
        AssumptionKind.DEFAULT,
        f"{figure.words} = {figure.value:g}{band}{shown} ({figure.mark}: {figure.source})",
        field=figure.name,
        value=figure_quantity(figure),
        half_width=0.5 * (figure.high - figure.low),
        mark=figure.mark,
        source=figure.source,
    )


class FigureSet(Mapping[str, Quantity]):
    """A set of figures; each can be replaced by what the user states.

    Parameters
    ----------
    figures : mapping of str to Figure
        By name. Amounts of money are all on one basis.
    stated : mapping of str to Quantity, optional
        Replacements, of the same dimension; money as a number of the set's currency.

    Attributes
    ----------
    asked : set of str
        Names looked up so far, for saying what a result rests on; a copy by `stating` begins empty.

    Raises
    ------
    KeyError
        A name that is not in the set; the message lists the known ones.
    ValueError
        A replacement of another dimension, or amounts on more than one basis.
    """

    __slots__ = ("_basis", "_figures", "_kept", "_stated", "asked")

    def __init__(self, figures: Mapping[str, Figure], stated: Mapping[str, Quantity] | None = None) -> None:
        self._figures = dict(figures)
        self._stated = dict(stated or {})
        self._kept = dict(self._stated)
        self.asked: set[str] = set()
        bases = {MoneyBasis(f.currency, f.year) for f in self._figures.values() if f.is_money}
        if len(bases) > 1:
            msg = (
                f"figures in {' and '.join(sorted(b.words for b in bases))}: convert them to one basis first."
            )
            raise ValueError(msg)
        self._basis = next(iter(bases), None)
        for name, value in self._stated.items():
            unit = si_unit(self.figure(name).unit)
            if dimension(value.unit) != dimension(unit):
                msg = f"figure {name!r}: stated in {value.unit}; give it in {unit}."
                raise ValueError(msg)

    @property
    def basis(self) -> MoneyBasis:
        """Currency and year of the amounts.

        Raises
        ------
        ValueError
            The set holds no amount.
        """
        if self._basis is None:
            msg = "these figures hold no amount of money, so they have no currency."
            raise ValueError(msg)
        return self._basis

    def figure(self, name: str) -> Figure:
        """Return the default behind a name; `KeyError` with the known names when there is none."""
        if name not in self._figures:
            msg = f"no figure named {name!r}; known: {', '.join(sorted(self._figures))}."
            raise KeyError(msg)
        return self._figures[name]

    def __getitem__(self, name: str) -> Quantity:
        """Return the stated value, else the default."""
        self.asked.add(name)
        if name not in self._kept:
            self._kept[name] = figure_quantity(self.figure(name))
        return self._kept[name]

    def __iter__(self) -> Iterator[str]:
        """Yield the names."""
        return iter(self._figures)

    def __len__(self) -> int:
        return len(self._figures)

    def stating(self, **stated: Quantity) -> FigureSet:
        """The same set with more of it stated."""
        return FigureSet(self._figures, {**self._stated, **stated})

    def assumed(self, *names: str) -> tuple[Assumption, ...]:
        """Those of the names that stand at their default, as records; all of the set when no name is given."""
        chosen = names or tuple(self._figures)
        return tuple(figure_assumption(self.figure(name)) for name in chosen if name not in self._stated)
