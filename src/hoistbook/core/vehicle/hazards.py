"""The usual cautions beside work on a vehicle: which hazards its words speak of. Reminders, no instruction.

The one list of the strip plan and of service times.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

WHO_DECIDES = (
    "Local law, the maker's rescue and dismantling sheets for this vehicle, and licensed or otherwise qualified "
    "people decide "
    "what is done and when it is safe. These are reminders, no instruction; where they differ from any of those, "
    "those hold."
)


@dataclass(frozen=True, slots=True)
class Hazard:
    """One kind of hazard: its name, the caution, and the beginnings of words and of taxonomy codes that speak of it.

    `unless` are phrases that hold such a word and mean something else.
    """

    name: str
    caution: str
    stems: tuple[str, ...]
    codes: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()

    def named_in(self, text: str) -> bool:
        """Whether a text speaks of it. Words are compared by their beginnings, so "struts" is found by "strut"."""
        told = _pattern(self.unless).sub(" ", text) if self.unless else text
        return _pattern(self.stems).search(told) is not None


def _pattern(stems: Iterable[str]) -> re.Pattern[str]:
    # A stem that ends in $ is a whole word.
    pieces = (re.escape(s.removesuffix("$")) + (r"\b" if s.endswith("$") else "") for s in stems)
    return re.compile(r"\b(?:" + "|".join(pieces) + ")", re.IGNORECASE)


HAZARDS: tuple[Hazard, ...] = (
    Hazard(
        "lifting",
        "Lifting: the maker's lift points, a trained operator, a lift within its inspection date. The balance "
        "shifts as heavy "
        "parts come off; nobody stands under a moving load.",
        (
            "lift",
            "hoist",
            "from below",
            "underbody",
            "axle",
            "subframe",
            "cradle",
            "battery",
            "pack$",
            "drive unit",
            "engine crane",
            "lifting table",
            "leaf spring",
            "twist beam",
        ),
        ("BP", "DU", "SU"),
    ),
    Hazard(
        "high voltage",
        "High voltage: isolated and proved dead by a person qualified for it, by the maker's procedure and waiting "
        "time. The "
        "battery stays live inside after every step.",
        (
            "high voltage",
            "high-voltage",
            "hv$",
            "battery",
            "pack$",
            "cell module",
            "battery module",
            "inverter",
            "drive unit",
            "traction",
            "on-board charger",
            "charger",
            "charge port",
            "orange",
            "junction box",
            "dc-dc",
            "dc/dc",
            "service plug",
            "electric compressor",
            "axle drive",
            "e-axle",
            "drive motor",
            "traction motor",
            "phase cable",
        ),
        ("BP", "DU", "PE", "TH01"),
    ),
    Hazard(
        "refrigerant",
        "Refrigerant: identified, recovered and weighed by a certified person before any joint is opened. It may "
        "burn, freeze "
        "skin, or stand under high pressure behind a closed valve.",
        (
            "refrigerant",
            "heat pump",
            "air conditioning",
            "climate circuit",
            "condenser",
            "evaporator",
            "chiller",
            "compressor",
            "r-1234",
            "r1234",
            "r-134",
            "r134",
            "r-744",
            "r744",
        ),
        ("TH01", "TH02", "TH03", "TH07"),
        unless=("spring compressor",),
    ),
    Hazard(
        "pyrotechnics",
        "Airbags, belt tensioners, pyrotechnic fuses: made safe by a person qualified for them, after the maker's "
        "waiting time "
        "for this vehicle; never probed.",
        (
            "airbag",
            "air bag",
            "pretensioner",
            "tensioner",
            "belt",
            "seat$",
            "seats$",
            "steering wheel",
            "steering column",
            "dashboard",
            "instrument panel",
            "headliner",
            "pillar trim",
            "pyro",
            "inflator",
            "bonnet lifter",
        ),
        ("SE", "ST02"),
    ),
    Hazard(
        "springs",
        "Springs, struts, torsion bars, gas dampers: stored energy. The proper compressor; unloaded before a joint "
        "is opened; "
        "stand clear.",
        (
            "spring",
            "strut",
            "damper",
            "shock absorber",
            "axle",
            "subframe",
            "cradle",
            "anti-roll",
            "torsion bar",
            "twist beam",
        ),
        ("SU01", "SU04", "SU05", "SU06", "SU07", "SU10", "SU11"),
    ),
    Hazard(
        "fire",
        "Fire: smell, hiss, smoke, popping or unexplained heat at the battery: stop, leave, raise the alarm, call "
        "the fire "
        "service. A battery fire may come back hours or days later.",
        (
            "battery",
            "cell$",
            "cells$",
            "module",
            "pack$",
            "cutting",
            "cut open",
            "grind",
            "weld",
            "hot work",
            "saw$",
            "fuel",
        ),
        ("BP",),
    ),
    Hazard(
        "fluids",
        "Fluids: caught, weighed, kept apart and disposed of as the law says; hydraulic accumulators and hot "
        "circuits may stand "
        "under pressure.",
        (
            "coolant",
            "cooling",
            "brake fluid",
            "brake line",
            "hydraulic",
            "oil$",
            "washer fluid",
            "fluid",
            "radiator",
            "drain",
        ),
        ("FL01", "TH04", "TH05", "TH06", "BR03", "BR04"),
    ),
)
"""common practice: the cautions of the trade as reminders; which words speak of a hazard is this project's list."""


def cautions(text: str, systems: Iterable[str] = ()) -> tuple[Hazard, ...]:
    """Hazards a step speaks of.

    Parameters
    ----------
    text : str
        Its words: what comes off, the names of the parts, tools, notes.
    systems : iterable of str
        Taxonomy codes of the parts, e.g. "BP05".

    Returns
    -------
    tuple of Hazard
        In the order of `HAZARDS`. An empty answer means only that no word of the list was found, never that a step is
        safe.

    Examples
    --------
    >>> [hazard.name for hazard in cautions("lower the traction battery onto the lifting table")]
    ['lifting', 'high voltage', 'fire']
    """
    codes = tuple(systems)
    return tuple(
        hazard
        for hazard in HAZARDS
        if any(code.startswith(hazard.codes) for code in codes if hazard.codes) or hazard.named_in(text)
    )
