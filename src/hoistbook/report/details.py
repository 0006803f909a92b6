"""The figures behind a cause at both vehicles, as found or normalised: "52.0 → 55.1 kWh"."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.figures import METRIC, US, figure, shown


@dataclass(frozen=True, slots=True)
class Shown:
    """The parameter that stands for a cause, and the unit it is shown in."""

    field: str
    unit: str


FIELD_OF_CAUSE: Mapping[str, Shown] = MappingProxyType(
    {
        "mass": Shown("test_mass_kg", "kg"),
        "tyres": Shown("tyre_coefficient", "N/kN"),
        "drag_area": Shown("drag_area_m2", "m2"),
        "drag_force": Shown("drag_force_n", "N"),
        "recuperation": Shown("return_frac", "%"),
        "auxiliaries": Shown("accessory_power_w", "W"),
        "usable_energy": Shown("usable_energy_j", "kWh"),
        "charging": Shown("charging_efficiency_frac", "%"),
        "label": Shown("label_factor_frac", "1"),
    }
)
"""Drive-unit losses are several figures, none of which stands for the rest."""

_IN_CONSUMPTION = {"usable_energy": Shown("pack_resistance_ohm", "mohm")}
"""How much a battery holds has no part in consumption; what it loses inside has."""

_US_UNITS = {"kg": "lb"}


def shown_of(cause: str, quantity: str = "range", units: str = METRIC) -> Shown | None:
    """The parameter that stands for a cause in a gap of a quantity; None where none does."""
    found = _IN_CONSUMPTION.get(cause) if quantity == "energy" else None
    found = found or FIELD_OF_CAUSE.get(cause)
    if found is None or units != US:
        return found
    return Shown(found.field, _US_UNITS.get(found.unit, found.unit))


def change(
    name: str,
    of_x: Mapping[str, Interval],
    of_y: Mapping[str, Interval],
    *,
    quantity: str = "range",
    units: str = METRIC,
) -> str:
    """The figures behind a cause from X to Y; empty where no one figure stands for it.

    Parameters
    ----------
    name : str
        Of the cause; for causes in one bar, joined by +, the figures of each.
    of_x, of_y : mapping of field name to Interval
        Energy parameters of both vehicles in SI.
    quantity : str
        Of the gap.
    units : str
        "metric" or "us".

    Returns
    -------
    str
    """
    parts = (_one(shown_of(cause, quantity, units), of_x, of_y) for cause in name.split("+"))
    return "; ".join(part for part in parts if part)


def _one(found: Shown | None, of_x: Mapping[str, Interval], of_y: Mapping[str, Interval]) -> str:
    if found is None or found.field not in of_x or found.field not in of_y:
        return ""
    before, after = (
        figure(shown(side[found.field], found.unit), unit=found.unit).value for side in (of_x, of_y)
    )
    unit = f"{NARROW_SPACE}{unit_text(found.unit)}".rstrip(NARROW_SPACE)
    return f"{before}{unit} both" if before == after else f"{before} → {after}{unit}"
