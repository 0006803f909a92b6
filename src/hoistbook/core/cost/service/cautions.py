"""What to take care of before a component comes off: reminders, no instruction."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.quantities.assumption import Assumption, caution
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.tree import PartTree

WHO_DECIDES = (
    "local law, the maker's repair and rescue sheets for this vehicle and qualified people decide what is done and "
    "when it is safe; these are reminders, no instruction"
)


@dataclass(frozen=True, slots=True)
class _Hazard:
    words: str
    codes: tuple[str, ...]
    stems: tuple[str, ...]
    once: str = ""  # the figure of what is done once because of it


# Codes are those of the taxonomy and its beginnings; names are searched too, since a code may be missing.
_HAZARDS = (
    _Hazard(
        "high voltage: isolation, waiting time and proof of absence of voltage by trained people, before anything else",
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
        "high_voltage_s",
    ),
    _Hazard(
        "refrigerant: recovered by licensed people with a service machine; never vented",
        ("TH01", "TH02", "TH03"),
        ("refrigerant", "compressor", "condenser", "evaporator", "expansion valve"),
        "refrigerant_s",
    ),
    _Hazard(
        "springs hold energy: compressor and guard of the maker's choice before the last fastener is undone",
        ("SU04", "SU10"),
        ("coil spring", "strut", "leaf spring", "gas spring", "torsion bar"),
    ),
    _Hazard(
        "airbags and belt tensioners: battery off and waiting time by people allowed to handle pyrotechnics",
        ("SE03", "SE04", "SE05"),
        ("airbag", "inflator", "tensioner", "pyro"),
    ),
    _Hazard(
        "coolant: let it cool, catch it, refill and bleed as the maker says",
        ("TH04", "TH05", "TH06", "BP04"),
        ("coolant", "radiator", "cooling"),
        "coolant_s",
    ),
    _Hazard(
        "brakes: refilled and bled as the maker says, and tried before the vehicle moves",
        ("BR",),
        ("brake hose", "brake line", "calliper", "caliper", "master cylinder", "wheel cylinder"),
        "brake_bleed_s",
    ),
)


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
    once: list[str] = []
    for hazard in _HAZARDS:
        pattern = re.compile(r"\b(?:" + "|".join(map(re.escape, hazard.stems)) + ")", re.IGNORECASE)
        for tag in chosen:
            if tree.system(tag).startswith(hazard.codes) or pattern.search(tree[tag].name):
                found.setdefault(hazard.words, []).append(tag)
        if hazard.words in found and hazard.once:
            once.append(hazard.once)
    limit = figures["lifting_aid_from_kg"].value
    for tag in chosen:
        mass = (masses or {}).get(tag)
        if mass is not None and mass.value >= limit:
            words = f"heavier than {limit:g} kg: lifted with an aid, and the vehicle's balance on the lift changes"
            found.setdefault(words, []).append(tag)
    cautions = [caution(f"{words} ({', '.join(where[:4])})") for words, where in found.items()]
    cautions.append(caution(f"only hazards that codes and names of parts speak of are listed; {WHO_DECIDES}"))
    return ServiceCare(tuple(cautions), tuple(once))
