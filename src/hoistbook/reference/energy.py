"""Figures the energy model assumes where a vehicle's own are not known, and tyre label classes."""

from __future__ import annotations

import csv
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import Any

from hoistbook.core.energy.defaults import Default, EnergyDefaults, ResidualDefault
from hoistbook.core.energy.parameters import FIELD_NAMES
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.reference.files import settings_text, toml_of


@cache
def energy_defaults() -> EnergyDefaults:
    """Return the packaged defaults of the energy model, `data/energy_defaults.toml`."""
    file = resources.files("hoistbook.reference") / "data" / "energy_defaults.toml"
    return _defaults(tomllib.loads(file.read_text(encoding="utf-8")), "energy_defaults.toml")


def read_energy_defaults(path: Path | str) -> EnergyDefaults:
    """Read another set of defaults from a file laid out like the packaged one.

    Raises
    ------
    ValueError
        The file is no TOML in UTF-8, a field is unknown, lacks one of its keys, holds text for a number or another unit
        than the packaged one, or is neither given nor required; the message names file and field.
    """
    path = Path(path)
    like = "lay it out like the packaged energy_defaults.toml"
    found = _defaults(toml_of(settings_text(path, like), path.name, like), path.name)
    _check_units(found, path.name)
    return found


def _check_units(found: EnergyDefaults, place: str) -> None:
    """Refuse a figure in another unit than the packaged file has it in."""
    packaged = energy_defaults()
    units = {name: default.unit for rows in _every_set(packaged) for name, default in rows.items()}
    for rows in _every_set(found):
        for name, default in rows.items():
            if name in units and default.unit != units[name]:
                msg = f"{place} {name}: unit {default.unit!r}; give the figure in {units[name]!r}."
                raise ValueError(msg)


def _every_set(defaults: EnergyDefaults) -> list[Mapping[str, Default]]:
    return [defaults.fields, *defaults.drivelines.values(), *defaults.surroundings.values()]


def _number(row: Mapping[str, Any], key: str, place: str) -> float:
    value = row[key]
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        msg = f"{place}: {key} = {value!r} is no number; write it without quotes, e.g. {key} = 0.95."
        raise ValueError(msg)
    return float(value)


def _defaults(data: Mapping[str, Any], place: str) -> EnergyDefaults:
    base = _set(data.get("field", {}), f"{place} [field]")
    drivelines = {
        name: _set(rows, f"{place} [driveline.{name}]") for name, rows in data.get("driveline", {}).items()
    }
    surroundings = {
        name: _set(rows, f"{place} [surroundings.{name}]")
        for name, rows in data.get("surroundings", {}).items()
    }
    required = {str(name): str(reason) for name, reason in data.get("required", {}).items()}
    residual = data.get("residual", {})
    try:
        prior = ResidualDefault(
            _number(residual, "sd_ln", f"{place} [residual]"),
            _number(residual, "family_correlation", f"{place} [residual]"),
            str(residual["mark"]),
            str(residual["source"]),
        )
    except KeyError as error:
        msg = f"{place} [residual]: {error.args[0]} is missing."
        raise ValueError(msg) from None
    for driveline, rows in drivelines.items():
        for state, more in surroundings.items():
            missing = [n for n in FIELD_NAMES if n not in {**base, **rows, **more} and n not in required]
            if missing:
                msg = (
                    f"{place}: driveline {driveline!r} with surroundings {state!r} leaves {', '.join(missing)} "
                    "without a default; add it or list it under [required] with a reason."
                )
                raise ValueError(msg)
    return EnergyDefaults(
        MappingProxyType(base),
        MappingProxyType(required),
        MappingProxyType(drivelines),
        MappingProxyType(surroundings),
        prior,
    )


def _origin(word: str, place: str) -> Origin:
    known = [origin.value for origin in Origin]
    if word not in known:
        msg = f"{place}: origin {word!r}; known: {', '.join(known)}."
        raise ValueError(msg)
    return Origin(word)


def _set(rows: Mapping[str, Mapping[str, Any]], place: str) -> Mapping[str, Default]:
    found = {}
    for name, row in rows.items():
        if name not in FIELD_NAMES:
            msg = f"{place}: {name!r} is not an energy parameter; known: {', '.join(FIELD_NAMES)}."
            raise ValueError(msg)
        missing = [
            key for key in ("value", "unit", "half_width", "shape", "mark", "source") if key not in row
        ]
        if missing:
            msg = f"{place} {name}: {', '.join(missing)} missing; a figure needs value, unit, band, mark, source."
            raise ValueError(msg)
        found[name] = Default(
            name=name,
            value=_number(row, "value", f"{place} {name}"),
            unit=str(row["unit"]),
            half_width=_number(row, "half_width", f"{place} {name}"),
            shape=row["shape"],
            mark=str(row["mark"]),
            source=str(row["source"]),
            note=str(row.get("note", "")),
            shares=str(row.get("shares", "")),
            origin=_origin(str(row.get("origin", "assumed")), f"{place} {name}"),
        )
    return MappingProxyType(found)


@dataclass(frozen=True, slots=True)
class TyreClass:
    """One grade of a tyre label: rolling resistance coefficient from `low` to `high`; None where the grade is open."""

    label: str
    tyre_class: str
    grade: str
    low: float | None
    high: float | None
    mark: str
    source: str

    def coefficient(self, owner: str) -> Quantity:
        """Coefficient of a tyre of this grade: even over the grade, for one vehicle's tyres.

        Raises
        ------
        ValueError
            The grade is open to one side and states no interval.

        Source
        ------
        first principles: nothing but the limits is known (JCGM 101 6.4.2, from memory).
        """
        if self.low is None or self.high is None:
            side = "below" if self.low is None else "above"
            limit = self.high if self.low is None else self.low
            msg = (
                f"tyre class {self.tyre_class} grade {self.grade} is open {side} {limit}; state a measured "
                "or published tyre_coefficient instead."
            )
            raise ValueError(msg)
        half = 0.5 * (self.high - self.low)
        source = Source(f"tyre label {self.tyre_class} {self.grade}/{owner}", "rectangular")
        return Quantity(0.5 * (self.low + self.high), "1", ((source, half / 3.0**0.5),), Origin.INFERRED)


@cache
def tyre_classes() -> tuple[TyreClass, ...]:
    """Return the grades of the tyre labels, `data/tyre_classes.csv`."""
    file = resources.files("hoistbook.reference") / "data" / "tyre_classes.csv"
    with file.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    return tuple(
        TyreClass(
            label=row["label"],
            tyre_class=row["tyre class"],
            grade=row["grade"],
            low=float(row["low [N/kN]"]) / 1e3 if row["low [N/kN]"] else None,
            high=float(row["high [N/kN]"]) / 1e3 if row["high [N/kN]"] else None,
            mark=row["mark"],
            source=row["source"],
        )
        for row in rows
    )


def tyre_class(tyre: str, grade: str, label: str = "2021") -> TyreClass:
    """Look up a grade of a tyre label.

    Parameters
    ----------
    tyre : str
        "C1" passenger cars, "C2" vans, "C3" trucks.
    grade : str
        "A" and on.
    label : str
        "2021" or "2009": the grades of the two scales differ.

    Raises
    ------
    LookupError
        There is no such grade on that label.
    """
    wanted = (label, tyre.strip().upper(), grade.strip().upper())
    for row in tyre_classes():
        if (row.label, row.tyre_class, row.grade) == wanted:
            return row
    known = ", ".join(f"{r.label} {r.tyre_class} {r.grade}" for r in tyre_classes())
    msg = f"no tyre grade {' '.join(wanted)!r}; known: {known}."
    raise LookupError(msg)
