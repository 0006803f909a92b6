"""Figures of checks as quantities of a claim: "check half_shaft_angle/steer_moment_n_m"."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.declared import Check, Outcome

BEGINS = "check"
_NAMED = re.compile(
    r"check\s*:?\s*(?P<check>\w+)\s*/\s*(?P<figure>\w+)\s*(?:\[(?P<item>[^\[\]]+)\])?", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class CheckFigure:
    """One figure of a check; `item` names which of several (a part under the body), empty where there is one."""

    check: Check
    outcome: Outcome
    item: str = ""

    @property
    def key(self) -> str:
        """The name by which a claim speaks of it."""
        of_item = f"[{self.item}]" if self.item else ""
        return f"{BEGINS} {self.check.name}/{self.outcome.name}{of_item}"

    @property
    def words(self) -> str:
        """As people say it."""
        return f"{self.outcome.words} of {self.item}" if self.item else self.outcome.words


def check_figure(text: str) -> CheckFigure | None:
    """Return the figure of a check that a quantity of a claim names; None where it names none.

    Raises
    ------
    LookupError
        It speaks of a check, but there is no such check or figure, or it leaves open which of several is meant; the
        message lists what there is.

    Examples
    --------
    >>> check_figure("check: half_shaft_angle / steer_moment_n_m").key
    'check half_shaft_angle/steer_moment_n_m'
    >>> check_figure("mass") is None
    True
    """
    bare = " ".join(text.split())
    if not re.match(rf"{BEGINS}\b", bare, re.IGNORECASE):
        return None
    found = _NAMED.fullmatch(bare)
    if found is None:
        msg = f"{bare!r}: write check NAME/FIGURE, e.g. check half_shaft_angle/steer_moment_n_m."
        raise LookupError(msg)
    check = CHECKS.get(found["check"])
    if check is None:
        msg = f"no check named {found['check']!r}; {_close(found['check'], list(CHECKS))}."
        raise LookupError(msg)
    outcome = next((one for one in check.outcomes if one.name == found["figure"]), None)
    if outcome is None:
        names = ", ".join(one.name for one in check.outcomes)
        msg = f"{check.title} gives no {found['figure']!r}; it gives {names}."
        raise LookupError(msg)
    item = (found["item"] or "").strip()
    if bool(item) != bool(outcome.each):
        if outcome.each:
            msg = f"{outcome.words}: say of which {outcome.each}, e.g. {check.name}/{outcome.name}[{outcome.each} 1]."
        else:
            msg = f"{outcome.words} is one figure, not one of {item!r}; leave the brackets out."
        raise LookupError(msg)
    return CheckFigure(check, outcome, item)


def _close(name: str, known: list[str]) -> str:
    close = difflib.get_close_matches(name, known, n=3, cutoff=0.5)
    return (
        f"did you mean {', '.join(close)}?"
        if close
        else f"hoistbook check --list shows the {len(known)} there are"
    )
