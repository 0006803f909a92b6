"""Opens scenarios of cost: assumptions, materials and classes of machines, each figure with its source and reviewer."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import Any

from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.scenario import (
    Exchange,
    Index,
    Machine,
    Material,
    ModelError,
    Region,
    Scenario,
    Supplier,
)
from hoistbook.reference.cost_bounds import check_bounds
from hoistbook.reference.cost_checks import HEAD, check_head, check_kinds, check_names, check_year
from hoistbook.reference.files import settings_text, toml_of

Table = Mapping[str, Any]
_PER = {"kg": 1.0, "s": 1.0, "h": 3600.0, "J": 1.0, "kWh": 3.6e6, "m2": 1.0, "m": 1.0, "m3": 1.0}
_SI_OF = {"h": "s", "kWh": "J"}
_MACHINE_FIGURES = {
    "investment": ("price", "investment_money"),
    "power": ("mean draw while it runs", "power_w"),
    "area": ("floor", "area_m2"),
    "other": ("wear parts, tools and consumables", "consumables_money_per_s"),
}
_MACHINE_NUMBERS = (
    "reference_size",
    "smallest",
    "largest",
    "investment_exponent",
    "power_exponent",
    "area_exponent",
)
_WORDS = {
    "days_per_year": "working days a year",
    "shift_count": "shifts a day",
    "shift_s": "length of a shift",
    "availability_frac": "availability of machines",
    "performance_frac": "performance of machines",
    "install_frac": "installation, of the price",
    "residual_frac": "residual value, of the price",
    "maintenance_frac": "maintenance a year, of the price",
    "insurance_frac": "insurance and tax a year, of the price",
    "standing_paid_frac": "share of standstill during which the crew is paid",
    "packaging_money_per_kg": "packaging",
    "freight_money_per_kg": "freight",
    "model_low_frac": "lower end of the band of an uncalibrated model",
    "model_high_frac": "upper end of the band of an uncalibrated model",
    "model_own_share_frac": "share of a model's error that each part has for itself, of the variance",
    "battery_money_per_j": "usable energy of a battery pack",
    "wage_money_per_s": "labour, with everything that is paid besides the wage",
    "overhead_frac": "overhead on labour",
    "energy_money_per_j": "energy",
    "floor_money_per_m2": "floor, a year",
    "scrap_frac": "allowance for scrap",
    "sga_frac": "sales and administration",
    "profit_frac": "profit",
    "development_frac": "development",
}


@cache
def packaged_scenario() -> Scenario:
    """Return the scenario that ships with the program."""
    folder = resources.files("hoistbook.reference") / "data" / "cost"
    tables = [
        tomllib.loads((folder / name).read_text(encoding="utf-8"))
        for name in ("scenario.toml", "materials.toml", "machines.toml")
    ]
    return _scenario(tables[0], tables[1], tables[2], "scenario.toml")


def read_scenario(path: Path | str) -> Scenario:
    """Read a scenario; what it does not state of figures, materials and machines is taken from the packaged ones.

    Parameters
    ----------
    path : Path or str
        TOML laid out like the packaged scenario; tables `material` and `machine` may add or replace entries, `process`
        replaces figures of process models by their full name ("high_pressure_die_casting/spray_s"), `model` holds what
        quotes made of the error of a process model.

    Raises
    ------
    ValueError
        No TOML in UTF-8, a missing or unknown table, a figure that is none; the message names file and place.
    """
    path = Path(path)
    return scenario_from(settings_text(path, _LIKE_PACKAGED), path.name)


def scenario_from(text: str, place: str) -> Scenario:
    """Read a scenario from its text; `place` is its name in messages. See `read_scenario`."""
    data = toml_of(text, place, _LIKE_PACKAGED)
    folder = resources.files("hoistbook.reference") / "data" / "cost"
    packaged = [
        tomllib.loads((folder / name).read_text(encoding="utf-8"))
        for name in ("materials.toml", "machines.toml", "scenario.toml")
    ]
    try:
        return _scenario(
            {**data, "figure": {**packaged[2]["figure"], **data.get("figure", {})}},
            {**packaged[0], **data.get("material", {})},
            {**packaged[1], **data.get("machine", {})},
            place,
        )
    except KeyError as error:
        msg = f"{place}: {error.args[0]!r} missing in one of its tables; {_LIKE_PACKAGED}."
        raise ValueError(msg) from error
    except OverflowError as error:
        msg = f"{place}: a number of hundreds of digits ({error}); {_LIKE_PACKAGED}."
        raise ValueError(msg) from error
    except (TypeError, AttributeError) as error:  # a number or a text where a table should stand
        msg = f"{place}: an entry is of another kind than it should be ({error}); {_LIKE_PACKAGED}."
        raise ValueError(msg) from error


def packaged_scenario_text(*, whole: bool = False) -> str:
    """Return the packaged scenario as a file to change, materials and machines in it when `whole`.

    Notes
    -----
    Where it is not whole, `read_scenario` takes materials and machines from those that ship with the program.
    """
    folder = resources.files("hoistbook.reference") / "data" / "cost"

    def text(name: str) -> str:
        return (folder / name).read_text(encoding="utf-8")

    found = [text("scenario.toml"), _PROCESS_EXAMPLE]
    if whole:
        for table, name in (("material", "materials.toml"), ("machine", "machines.toml")):
            found.append(re.sub(r"(?m)^\[(?=[\"A-Za-z])", f"[{table}.", text(name)))
    return "\n".join(found)


_PROCESS_EXAMPLE = """\
# A figure of a process by its full name, as hoistbook cost processes NAME lists it; without the sign it replaces it:
# [process."spot_welding/spot_s"]
# value = 3.0
# low = 2.5
# high = 4.0
# unit = "s"
# mark = "common practice"
# source = "timed on our own line"
# reviewed = "who, and when"
"""
_LIKE_PACKAGED = "lay it out like the packaged scenario.toml"
_TABLES = (
    "scenario",
    "figure",
    "region",
    "supplier",
    "index",
    "exchange",
    "material",
    "machine",
    "process",
    "model",
)


def _scenario(data: Table, materials: Table, machines: Table, place: str) -> Scenario:
    unknown = [name for name in data if name not in _TABLES]
    if unknown:
        msg = f"{place}: no table named {unknown[0]!r}; known tables: {', '.join(_TABLES)}."
        raise ValueError(msg)
    head = data.get("scenario", {})
    missing = [name for name in HEAD if name not in head]
    if missing:
        msg = f"{place} [scenario]: {', '.join(missing)} missing; copy the packaged scenario and change it."
        raise ValueError(msg)
    if head["learning_theory"] not in ("wright", "crawford"):
        msg = f"{place} [scenario]: learning_theory = {head['learning_theory']!r}; known: wright, crawford."
        raise ValueError(msg)
    check_head(head, f"{place} [scenario]")
    check_names(data, place)
    figures = _figures(data.get("figure", {}), f"{place} [figure]")
    found = Scenario(
        **{name: head[name] for name in HEAD},
        figures=figures,
        materials=_frozen({code: _material(code, row, place) for code, row in materials.items()}),
        machines=_frozen({code: _machine(code, row, place) for code, row in machines.items()}),
        regions=_frozen(
            {
                code: Region(code, row["words"], _figures(row, f"{place} [region.{code}]"))
                for code, row in data.get("region", {}).items()
            }
        ),
        suppliers=_frozen(
            {
                code: Supplier(code, row["words"], _figures(row, f"{place} [supplier.{code}]"))
                for code, row in data.get("supplier", {}).items()
            }
        ),
        indices=_frozen(
            {
                code: Index(
                    code,
                    row["words"],
                    _frozen({int(year): float(value) for year, value in row["points"].items()}),
                    row["mark"],
                    row["source"],
                )
                for code, row in data.get("index", {}).items()
            }
        ),
        exchange=_frozen(
            {
                code: Exchange(code, float(row["rate"]), str(row["at"]), row["source"])
                for code, row in data.get("exchange", {}).items()
            }
        ),
        overrides=_frozen(
            {
                name: figure(name.split("/")[1], name, row, f"{place} [process.{name!r}]")
                for name, row in data.get("process", {}).items()
            }
        ),
        note=str(head.get("note", "")),
        model_errors=_frozen(
            {name: _model_error(name, row, place) for name, row in data.get("model", {}).items()}
        ),
    )
    check_bounds(found, place)
    return found


_MODEL = ("bias_ln", "scale_ln", "dof", "words")


def _model_error(name: str, row: Table, place: str) -> ModelError:
    where = f"{place} [model.{name}]"
    if name not in PROCESSES:
        msg = f"{where}: no process of this name; known: {', '.join(PROCESSES)}."
        raise ValueError(msg)
    unknown = [key for key in row if key not in (*_MODEL, "own_share_frac")]
    missing = [key for key in _MODEL if key not in row]
    if unknown or missing:
        why = f"{unknown[0]!r} is not known" if unknown else f"{', '.join(missing)} missing"
        msg = f"{where}: {why}; hoistbook cost calibrate writes this table."
        raise ValueError(msg)
    numbers = {key: row[key] for key in (*_MODEL[:3], "own_share_frac") if key in row}
    for key, value in numbers.items():
        if isinstance(value, bool) or not isinstance(value, int | float) or math.isnan(value):
            msg = f"{where}: {key} = {value!r} is no number."
            raise ValueError(msg)
    if not math.isfinite(numbers["bias_ln"]) or not math.isfinite(numbers["scale_ln"]):
        msg = f"{where}: bias_ln and scale_ln must be finite."
        raise ValueError(msg)
    share = row.get("own_share_frac")
    try:
        return ModelError(
            float(row["bias_ln"]),
            float(row["scale_ln"]),
            float(row["dof"]),
            str(row["words"]),
            None if share is None else float(share),
        )
    except ValueError as error:
        msg = f"{where}: {error}"
        raise ValueError(msg) from error


def _frozen(found: dict[Any, Any]) -> Mapping[Any, Any]:
    return MappingProxyType(found)


def _figures(rows: Table, place: str) -> Mapping[str, Figure]:
    return MappingProxyType(
        {
            name: figure(name, _WORDS.get(name, name), row, f"{place} {name}")
            for name, row in rows.items()
            if name != "words"
        }
    )


def _material(code: str, row: Table, place: str) -> Material:
    where = f"{place} material {code!r}"
    check_kinds(row, ("words",), (), where)
    aliases = row.get("aliases", [])
    if not isinstance(aliases, list) or not all(isinstance(one, str) for one in aliases):
        msg = f"{where}: aliases = {aliases!s:.40}; it must be a list of texts in quotes."
        raise ValueError(msg)
    found = {}
    for name, one in row.items():
        if name in ("words", "aliases"):
            continue
        full = "material_price_money_per_kg" if name == "price" else f"material_{name}"
        found[full] = figure(full, f"{row['words']}, {_plain(name)}", one, f"{where} {name}")
    return Material(code, row["words"], MappingProxyType(found), tuple(aliases))


def _plain(name: str) -> str:
    for end in ("_money_per_kg", "_kg_per_m3", "_pa", "_frac", "_k", "_m2_per_s", "_j_per_m3", "_j_per_kg_k"):
        name = name.removesuffix(end)
    return name.replace("_", " ")


def _machine(code: str, row: Table, place: str) -> Machine:
    where = f"{place} machine {code!r}"
    check_kinds(row, ("words", "size_words", "size_unit"), _MACHINE_NUMBERS, where)
    figures = {
        name: figure(full, f"{row['words']}, {words}", row[name], f"{where} {name}")
        for name, (words, full) in _MACHINE_FIGURES.items()
    }
    return Machine(
        code,
        row["words"],
        row["size_words"],
        row["size_unit"],
        float(row["reference_size"]),
        float(row["smallest"]),
        float(row["largest"]),
        figures["investment"],
        float(row["investment_exponent"]),
        figures["power"],
        float(row["power_exponent"]),
        figures["area"],
        float(row["area_exponent"]),
        figures["other"],
    )


def figure(name: str, words: str, row: Table, place: str) -> Figure:
    """Read one figure: value, limits, unit, mark, source, and currency and year where it is an amount.

    Parameters
    ----------
    name, words : str
    row : mapping
        `value`, `low`, `high`, `unit`, `mark`, `source`; `year` and `index` for money; `reviewed` and `note` if given.
    place : str
        For messages.

    Raises
    ------
    ValueError
        A key is missing, or the figure is none.
    """
    missing = [key for key in ("value", "low", "high", "unit", "mark", "source") if key not in row]
    if missing:
        msg = f"{place}: {', '.join(missing)} missing; each figure states value, low, high, unit, mark and source."
        raise ValueError(msg)
    check_kinds(row, ("unit", "mark", "source", "index"), ("value", "low", "high"), place)
    try:
        unit, currency, factor = money_unit(row["unit"])
    except ValueError as error:
        msg = f"{place}: {error.args[0]}"
        raise ValueError(msg) from error
    if currency:
        check_year(row.get("year"), place)
    try:
        return Figure(
            name,
            words,
            unit,
            float(row["value"]) * factor,
            float(row["low"]) * factor,
            float(row["high"]) * factor,
            mark=row["mark"],
            source=row["source"],
            currency=currency,
            year=row["year"] if currency else 0,
            index=str(row.get("index", "")),
            reviewed=str(row.get("reviewed", "")),
            note=str(row.get("note", "")),
        )
    except (TypeError, ValueError) as error:
        msg = f"{place}: {error.args[0]}"
        raise ValueError(msg) from error


def money_unit(unit: str) -> tuple[str, str, float]:
    """Split "USD/kWh" into SI unit, currency and factor: ("money/J", "USD", 1/3.6e6); another unit stays as it is."""
    head, *rest = unit.split("/")
    if not (len(head) == 3 and head.isupper() and head.isalpha()):
        return unit, "", 1.0
    if not rest:
        return "money", head, 1.0
    if len(rest) != 1 or rest[0] not in _PER:
        msg = f"unit {unit!r}: money is given per one of {', '.join(_PER)}."
        raise ValueError(msg)
    return f"money/{_SI_OF.get(rest[0], rest[0])}", head, 1.0 / _PER[rest[0]]
