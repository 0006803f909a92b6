"""Words of the record for what a cost needs: materials of a scenario, and the closest of what is known."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable

from hoistbook.core.cost.scenario import Scenario

_THICKNESS = re.compile(r"\s*\b\d+(?:[.,]\d+)?\s?mm2?\b")


def closest(text: str, known: Iterable[str]) -> str:
    """Say what of the known comes closest: "did you mean …?", or all of it where nothing does."""
    names = tuple(known)
    folded = {name.casefold(): name for name in names}
    near = difflib.get_close_matches(text.casefold(), list(folded), n=3, cutoff=0.5)
    if near:
        return f"did you mean {'; '.join(folded[one] for one in near)}?"
    return f"known: {'; '.join(names)}."


def material_code(text: str, scenario: Scenario) -> str:
    """Code of the material of a scenario that a text means.

    Parameters
    ----------
    text : str
        A code, words or an alias of a material; case does not matter, nor does a thickness ("steel 1.5 mm").
    scenario : Scenario

    Raises
    ------
    LookupError
        No such material, or no text at all; the message names the closest.
    """
    if text in scenario.materials:
        return text
    words = {
        said.casefold(): code
        for code, one in scenario.materials.items()
        for said in (*one.aliases, one.words, code)
    }
    bare = " ".join(_THICKNESS.sub("", text).casefold().split())
    found = words.get(" ".join(text.casefold().split())) or words.get(bare)
    if found is None:
        if not bare:
            msg = (
                "no material is stated; name one on the part or on the first step of its route, "
                f"known: {'; '.join(scenario.materials)}."
            )
            raise LookupError(msg)
        msg = (
            f"material {text!r} is not in the scenario; {closest(bare, scenario.materials)} Name it on the first step "
            "of the route, or add it to the scenario."
        )
        raise LookupError(msg)
    return found
