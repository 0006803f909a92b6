"""What to take care of before a component comes off: reminders, no instruction."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.quantities.assumption import Assumption, caution
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.hazards import HAZARDS, WHO_DECIDES, cautions
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.tree import PartTree

BY_MASS = "lifting"
"""Hazard that is known by the mass of the part, and not by words."""


@dataclass(frozen=True, slots=True)
class _Once:
    """Work that is done once because of a part: its figure, and the codes and beginnings of names that call for it."""

    figure: str
    codes: tuple[str, ...]
    stems: tuple[str, ...]

    def concerns(self, system: str, name: str) -> bool:
        pattern = r"\b(?:" + "|".join(map(re.escape, self.stems)) + ")"
        return system.startswith(self.codes) or re.search(pattern, name, re.IGNORECASE) is not None


_WORK = (
    _Once(
        "high_voltage_s",
        ("BP", "DU01", "DU02", "DU03", "PE", "TH01", "TH07"),
        (
            "high voltage",
            "high-voltage",
            "battery pack",
            "pack tray",
            "inverter",
            "charger",
            "traction",
            "busbar",
            "cell",
        ),
    ),
    _Once(
        "refrigerant_s",
        ("TH01", "TH02", "TH03"),
        ("refrigerant", "compressor", "condenser", "evaporator", "expansion valve"),
    ),
    _Once("coolant_s", ("TH04", "TH05", "TH06", "BP04"), ("coolant", "radiator", "cooling")),
    _Once(
        "brake_bleed_s",
        ("BR",),
        ("brake hose", "brake line", "calliper", "caliper", "master cylinder", "wheel cylinder"),
    ),
)
"""common practice: isolation, recovery, refilling and bleeding, which no joint speaks of."""


@dataclass(frozen=True, slots=True)
class ServiceCare:
    """Cautions that concern a removal, and the names of the figures of what it makes necessary once."""

    cautions: tuple[Assumption, ...]
    once: tuple[str, ...]


def service_care(
    teardown: Teardown, tags: Iterable[str], figures: FigureSet, masses: Mapping[str, Quantity] | None = None
) -> ServiceCare:
    """Cautions for working on some parts.

    Parameters
    ----------
    teardown : Teardown
    tags : iterable of str
        The parts that are taken off, and those they are taken off from.
    figures : FigureSet
        For the mass from which a part is lifted with an aid.
    masses : mapping of str to Quantity, optional
        Mass of one piece, by tag. [kg]

    Returns
    -------
    ServiceCare
        Found by taxonomy code and by name. What is not found is not therefore absent, and the last caution says so.
    """
    tree = PartTree(teardown.nodes)
    chosen = tuple(dict.fromkeys(tags))
    found: dict[str, list[str]] = {}
    for tag in chosen:
        for hazard in cautions(tree[tag].name, (tree.system(tag),)):
            if hazard.name != BY_MASS:
                found.setdefault(hazard.caution, []).append(tag)
    found = {one.caution: found[one.caution] for one in HAZARDS if one.caution in found}
    once = [
        work.figure
        for work in _WORK
        if any(work.concerns(tree.system(tag), tree[tag].name) for tag in chosen)
    ]
    limit = figures["lifting_aid_from_kg"].value
    for tag in chosen:
        mass = (masses or {}).get(tag)
        if mass is not None and mass.value >= limit:
            words = f"heavier than {limit:g} kg: lifted with an aid, and the vehicle's balance on the lift changes"
            found.setdefault(words, []).append(tag)
    said = [caution(f"{words} ({', '.join(where[:4])})") for words, where in found.items()]
    said.append(caution(f"Only hazards that codes and names of parts speak of are listed. {WHO_DECIDES}"))
    return ServiceCare(tuple(said), tuple(once))
