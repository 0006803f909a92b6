"""What a check found: figures with bands, margins, what drives them, and what was assumed."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.quantities.assumption import Assumption


@dataclass(frozen=True, slots=True)
class ByFormula:
    """What one formula of the literature gives. [unit of the figure]"""

    formula: str
    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Figured:
    """One figure of a check.

    Attributes
    ----------
    name, words, unit, show
        Of its outcome.
    item : str
        Which of several; empty: there is one.
    value : float
        At the best estimates, by the first formula. [unit]
    low, high : float
        2.5–97.5 % of the draws, from the lowest formula to the highest. [unit]
    formulas : tuple of ByFormula
        What each gives, where the literature disagrees.
    effect : str
        Quantity of the vehicle that it adds to.
    """

    name: str
    words: str
    unit: str
    show: str
    item: str
    value: float
    low: float
    high: float
    formulas: tuple[ByFormula, ...] = ()
    effect: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """An outcome held against a limit.

    Attributes
    ----------
    outcome, item, unit, words, side, mark, source, safety
        Of the limit.
    bound : float
        At the best estimates. [unit]
    margin, margin_low, margin_high : float
        Above 0: the limit is kept. [unit]
    kept : float
        Probability that it is kept, over the draws and all formulas alike. [1]
    """

    outcome: str
    item: str
    unit: str
    words: str
    side: str
    mark: str
    source: str
    safety: bool
    bound: float
    margin: float
    margin_low: float
    margin_high: float
    kept: float


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What a check found.

    Attributes
    ----------
    check : str
    figures : tuple of Figured
        The main one first.
    held : tuple of Held
    verdict : str
    dominant : str
        Name of the reading that makes most of the band of the main figure, or "formula" where the literature disagrees
        by more; empty where it has no band.
    shares : tuple of (str, float)
        Readings and their share of the variance of the main figure, largest first; they need not add up to 1 where
        readings act together. [1]
    assumptions : tuple of Assumption
    caveats : tuple of str
    cautions : tuple of str
    references : tuple of str
    draws, seed : int
    """

    check: str
    figures: tuple[Figured, ...]
    held: tuple[Held, ...]
    verdict: str
    dominant: str
    shares: tuple[tuple[str, float], ...]
    assumptions: tuple[Assumption, ...]
    caveats: tuple[str, ...]
    cautions: tuple[str, ...]
    references: tuple[str, ...]
    draws: int
    seed: int

    def figure(self, name: str, item: str = "") -> Figured:
        """Return a figure by its name.

        Raises
        ------
        KeyError
            There is none.
        """
        for one in self.figures:
            if one.name == name and one.item == item:
                return one
        raise KeyError((name, item))
