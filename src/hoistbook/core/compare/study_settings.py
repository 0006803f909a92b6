"""Assumptions of a study that steer its figures: what gap, duty, draws, seed, and how sure is sure enough."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from hoistbook.core.compare.study import StudyAssumption
from hoistbook.core.vehicle.problem import closest

SURE_ENOUGH_FRAC = 0.95
"""project rule: the level of every displayed band. A study states its own with the assumption "sure enough"."""
LEAST_DRAWS = 100
MOST_DRAWS = 200_000
QUANTITIES = ("range", "energy", "mass")
DUTIES = ("wltc3b", "us", "udds", "hwfet", "us06")
"""Duties that have a name of their own. A study takes one of them: what it fixes may not hang on a file outside the
record, and a workbook may not make the program read one."""

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")
_PER_CENT = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*%")


@dataclass(frozen=True, slots=True)
class Settings:
    """What a study fixes for its figures; None where it states nothing and the usual value is taken.

    Attributes
    ----------
    quantity : str or None
        "range", "energy" or "mass".
    duty : str or None
    n_draws, seed : int or None
    sure_enough_frac : float
        Probability from which a statement counts as confirmed. [1]
    piece_spread_frac : float
        How far two sound pieces of one drawing may differ in mass, as a share of it. [1]
    """

    quantity: str | None = None
    duty: str | None = None
    n_draws: int | None = None
    seed: int | None = None
    sure_enough_frac: float = SURE_ENOUGH_FRAC
    piece_spread_frac: float = 0.0


@dataclass(frozen=True, slots=True)
class Known:
    """An assumption that steers figures: the field it sets, what it is, and how its text is read."""

    field: str
    help: str
    read: Callable[[str], object]


def _word(text: str) -> str:
    wanted = text.strip().casefold()
    if wanted not in QUANTITIES:
        msg = f"no gap in {text!r}; {closest(wanted, QUANTITIES)}"
        raise ValueError(msg)
    return wanted


def _whole(least: int, most: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        if not re.fullmatch(r"[0-9]{1,9}", text.strip()) or not least <= int(text) <= most:
            msg = f"{text!r} is not a whole number from {least} to {most}."
            raise ValueError(msg)
        return int(text)

    return read


def _share(least_frac: float, most_frac: float) -> Callable[[str], float]:
    def read(text: str) -> float:
        per_cent = _PER_CENT.fullmatch(text.strip())
        if per_cent is None and _NUMBER.fullmatch(text.strip()) is None:
            msg = f"{text!r} is not a share; write it as 0.9 or 90 %."
            raise ValueError(msg)
        found = float(per_cent[1]) / 100.0 if per_cent else float(text)
        if not least_frac <= found <= most_frac:
            msg = f"{text!r} lies outside {least_frac:.0%} to {most_frac:.2%}; write it as 0.9 or 90 %."
            raise ValueError(msg)
        return found

    return read


def _duty(text: str) -> str:
    return text.strip()


def check_duty(text: str) -> None:
    """Refuse a duty without a name of its own, for words that come out of a workbook or an address.

    Raises
    ------
    LookupError
        It is none of `DUTIES`, upper and lower case aside.
    """
    wanted = text.strip().casefold()
    if wanted not in DUTIES:
        msg = (
            f"no duty {text!r}; {closest(wanted, DUTIES)} A cycle file of your own is driven outside of studies: "
            "hoistbook gap A B --duty FILE."
        )
        raise LookupError(msg)


KNOWN: dict[str, Known] = {
    "quantity": Known("quantity", "What the gap is in: range, energy or mass.", _word),
    "duty": Known("duty", "What the vehicles drive: wltc3b, us, udds, hwfet or us06.", _duty),
    "draws": Known("n_draws", "Draws behind the bands.", _whole(LEAST_DRAWS, MOST_DRAWS)),
    "seed": Known("seed", "Seed of the draws.", _whole(0, 999_999_999)),
    "sure enough": Known(
        "sure_enough_frac",
        "Probability from which a statement counts as confirmed; 95 % unless stated.",
        # At half a chance nothing is said; certainty is never reached with bands.
        _share(0.5, 0.9999),
    ),
    "piece spread": Known(
        "piece_spread_frac",
        "How far two sound pieces of one drawing may differ in mass, e.g. 1 %; nothing unless stated.",
        _share(0.0, 0.5),
    ),
}


def settings(assumptions: Iterable[StudyAssumption]) -> Settings:
    """Read the assumptions that steer figures.

    Parameters
    ----------
    assumptions : iterable of StudyAssumption
        Those of another name are passed over.

    Returns
    -------
    Settings

    Raises
    ------
    ValueError
        A value that cannot be read; `study_problems.problems` finds it on loading.
    """
    found: dict[str, object] = {}
    for row in assumptions:
        known = KNOWN.get(known_name(row.name))
        if known is not None:
            try:
                found[known.field] = known.read(row.value)
            except ValueError as error:
                msg = f"assumption {row.name!r}: {error}"
                raise ValueError(msg) from None
    return Settings(**found)  # type: ignore[arg-type]  # each reader returns what its field holds


def known_name(name: str) -> str:
    """Return the name of an assumption as it is compared: lower case, one blank between words."""
    return " ".join(name.replace("_", " ").split()).casefold()
