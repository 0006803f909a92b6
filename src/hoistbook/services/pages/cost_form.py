"""The form on which a part's cost is worked out again: its fields, what was typed into them, what is wrong there."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from hoistbook.core.cost.inputs import INPUTS, Input
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.scenario import REACH, TOOLING, Scenario
from hoistbook.core.quantities.printing import MINUS, text
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.services.pages.cost import is_estimate

TYPED_IN = MappingProxyType({"m": ("mm", 1e3), "m2": ("cm2", 1e4), "m3": ("cm3", 1e6)})
"""Units in which sizes of a part are typed, with their factor; others as they are kept."""
MATERIAL, VOLUME, YEARS, LOT = "material", "volume", "years", "lot"
REGION, SUPPLIER, MACHINES, TOOLS = "region", "supplier", "machines", "tools"
SHARED, DEDICATED = "shared", "dedicated"
LEFT_OUT = "-"
"""Stands in place of the process of a step that is left out."""
_NUMBERS = {
    VOLUME: ("Vehicles a year", "volume_per_year"),
    YEARS: ("Years of the programme", "programme_years"),
    LOT: ("Pieces between two set-ups", "lot_count"),
}
_WALLS = ("wall_thickness_m", "wall_thickness_max_m")
_SPEAK_OF_WALLS = ("wall", "gauge", "thick", "section")


@dataclass(frozen=True, slots=True)
class Field:
    """A number that can be typed.

    `usual` is what holds where nobody typed, an estimate included; `origin` is "read", "estimated", "not read" or
    "stated here".
    """

    name: str
    words: str
    unit: str
    how: str
    typed: str
    usual: str
    origin: str


@dataclass(frozen=True, slots=True)
class Select:
    """A choice among options, as pairs of value and words."""

    name: str
    words: str
    options: tuple[tuple[str, str], ...]
    chosen: str
    usual: str


@dataclass(frozen=True, slots=True)
class Form:
    """Fields of a part and of the scenario, and what is wrong by the name of the field; "" holds for all of it."""

    readings: tuple[Field, ...]
    numbers: tuple[Field, ...]
    steps: tuple[tuple[Select, ...], ...]
    selects: tuple[Select, ...]
    faults: Mapping[str, str]

    @property
    def names(self) -> tuple[str, ...]:
        """Every field."""
        numbers = [one.name for one in (*self.readings, *self.numbers)]
        selects = [one.name for one in (*self.selects, *(one for several in self.steps for one in several))]
        return (*numbers, *selects)


@dataclass(frozen=True, slots=True)
class Typed:
    """A part and a scenario with what was typed; `changed` names the fields that differ from the record."""

    part: PartToCost
    scenario: Scenario
    changed: tuple[str, ...]


def field_name(one: Input) -> str:
    """Name of the field of a reading: with the unit it is typed in."""
    typed = TYPED_IN.get(one.unit)
    return f"{one.name.rpartition('_')[0]}_{typed[0]}" if typed else one.name


def printed(value: float, one: Input) -> str:
    """A reading as its field shows it."""
    return _plain(value * TYPED_IN.get(one.unit, ("", 1.0))[1])


def _plain(value: float) -> str:
    """Four digits, without separators: what is typed back is the same number."""
    return text(float(f"{value:.4g}")).replace("\u202f", "").replace(MINUS, "-")


def number(typed: str) -> float:
    """Return the number that was typed.

    Raises
    ------
    ValueError
        It is none; the message says how to write one.
    """
    bare = typed.strip().replace("\u202f", "").replace("\u00a0", "").replace(" ", "").replace(MINUS, "-")
    head, comma, tail = bare.partition(",")
    if comma and len(tail) == 3 and head.lstrip("-").isdigit() and tail.isdigit():
        msg = f"{typed.strip()} may mean two numbers: write {head}{tail} or {head}.{tail}."
        raise ValueError(msg)
    try:
        value = float(f"{head}.{tail}" if comma and "." not in bare else bare)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        msg = f"{typed.strip()[:40]!r} is no number; write one such as 2.5."
        raise ValueError(msg)
    return value


def typed_part(
    part: PartToCost, scenario: Scenario, typed: Mapping[str, str]
) -> tuple[Typed | None, Form, dict[str, str]]:
    """Read the form.

    Parameters
    ----------
    part : PartToCost
        As the record has it, its estimates among its readings.
    scenario : Scenario
    typed : mapping of str to str
        By the names of the fields; a field that is not there is as the record has it.

    Returns
    -------
    Typed or None, Form, dict of str to str
        None where something is wrong, which the form says at its field. The last are faults by field.
    """
    work = _Reading(part, scenario, typed)
    steps = work.steps()
    readings = work.readings(steps)
    changed_scenario = work.scenario_typed()
    material = work.select(
        MATERIAL,
        "Material",
        {code: one.words for code, one in scenario.materials.items()},
        part.material,
        "no material is stated; choose what the part is of.",
    )
    found = None
    if not work.faults and changed_scenario is not None:
        try:
            # Region and supplier of the part itself are among what was chosen for the scenario.
            stated = replace(
                part, material=material, readings=readings, steps=steps, estimated=(), region="", supplier=""
            )
            found = Typed(stated, changed_scenario, tuple(work.changed))
        except (ValueError, LookupError) as error:
            work.faults[work.place_of(str(error.args[0]))] = _said(str(error.args[0]), part.tag)
    form = Form(
        tuple(work.fields), tuple(work.numbers), tuple(work.step_selects), tuple(work.selects), work.faults
    )
    return found, form, work.faults


def _said(message: str, tag: str) -> str:
    return message.removeprefix(tag).lstrip(":, ")


class _Reading:
    """What was typed, read field by field; faults are gathered, so that all are told at once."""

    def __init__(self, part: PartToCost, scenario: Scenario, typed: Mapping[str, str]) -> None:
        self._part = part
        self._scenario = scenario
        self._typed = typed
        self.faults: dict[str, str] = {}
        self.changed: list[str] = []
        self.fields: list[Field] = []
        self.numbers: list[Field] = []
        self.selects: list[Select] = []
        self.step_selects: list[tuple[Select, ...]] = []

    def select(
        self, name: str, words: str, options: Mapping[str, str], usual: str, missing: str, step: bool = False
    ) -> str:
        """Return what was chosen; where that is nothing there is, a fault stands at the field."""
        chosen = self._typed.get(name, usual)
        if chosen not in options:
            self.faults[name] = (
                missing if not chosen else f"there is no {words.lower()} {chosen[:40]!r}; choose one."
            )
        elif chosen != usual:
            self.changed.append(name)
        one = Select(name, words, tuple(options.items()), chosen, usual)
        if not step:
            self.selects.append(one)
        else:
            self.step_selects[-1] = (*self.step_selects[-1], one)
        return chosen if chosen in options else usual

    def steps(self) -> tuple[Step, ...]:
        """The route with other processes and choices."""
        found = []
        for place, step in enumerate(self._part.steps, start=1):
            self.step_selects.append(())
            first = PROCESSES[step.process]
            options = {
                name: one.title
                for name, one in PROCESSES.items()
                if one.adds_material == first.adds_material or name == step.process
            }
            if place > 1:
                options = {LEFT_OUT: "left out", **options}
            name = f"step{place}"
            chosen = self.select(
                name, f"Step {place}", options, step.process, "no process is stated; choose one.", step=True
            )
            if chosen == LEFT_OUT:
                continue
            same = chosen == step.process
            usual = dict(step.choices) if same else {}
            choices = {}
            for one in PROCESSES[chosen].choices:
                at = usual.get(one.name, next(iter(one.options)))
                choices[one.name] = self.select(
                    f"{name}.{one.name}",
                    one.words.capitalize(),
                    _told(one.options),
                    at,
                    "choose one.",
                    step=True,
                )
            found.append(
                replace(
                    step,
                    process=chosen,
                    choices=MappingProxyType(choices),
                    readings=step.readings if same else MappingProxyType({}),
                    origin=step.origin if same else "assumed",
                )
            )
        return tuple(found)

    def readings(self, steps: Iterable[Step]) -> dict[str, Quantity]:
        """Readings of the part: as typed, as read, and none where the field was emptied; estimates are made anew."""
        asked = [
            name
            for step in steps
            for name in (*PROCESSES[step.process].needs, *PROCESSES[step.process].optional)
        ]
        wanted = set(asked) | set(self._part.readings)
        read = {name: one for name, one in self._part.readings.items() if not is_estimate(self._part, name)}
        found = dict(read)
        for name, one in INPUTS.items():
            if name not in wanted:
                continue
            at = field_name(one)
            usual = printed(read[name].value, one) if name in read else ""
            typed = self._typed.get(at, usual).strip()
            shown = printed(self._part.readings[name].value, one) if name in self._part.readings else ""
            if name not in read and typed == shown:
                typed = ""  # an estimate that stands in its field was not typed
            if typed == usual:
                origin = "read" if name in read else "estimated" if shown else "not read"
                self._put(one, at, typed, usual or shown, origin)
                continue
            self.changed.append(at)
            if not typed:
                found.pop(name, None)
                self._put(one, at, "", usual, "not read")
                continue
            self._put(one, at, typed, usual or shown, "stated here")
            value = self._number(at, typed, lambda value, one=one: _within(value, one))  # type: ignore[misc]
            if value is not None:
                found[name] = Quantity(value / TYPED_IN.get(one.unit, ("", 1.0))[1], one.unit)
        return found

    def _put(self, one: Input, at: str, typed: str, usual: str, origin: str) -> None:
        unit = TYPED_IN.get(one.unit, (one.unit, 1.0))[0]
        self.fields.append(Field(at, one.words, "" if unit == "1" else unit, one.how, typed, usual, origin))

    def _number(self, at: str, typed: str, check: Callable[[float], str]) -> float | None:
        try:
            value = number(typed)
        except ValueError as error:
            self.faults[at] = str(error)
            return None
        wrong = check(value)
        if wrong:
            self.faults[at] = wrong
            return None
        return value

    def scenario_typed(self) -> Scenario | None:
        """The scenario with other volume, region, supplier, machines and tools."""
        found: dict[str, object] = {}
        for name, (words, attribute) in _NUMBERS.items():
            usual = _plain(getattr(self._scenario, attribute))
            typed = self._typed.get(name, usual).strip()
            self.numbers.append(
                Field(name, words, "", "", typed, usual, "stated here" if typed != usual else "read")
            )
            if typed == usual:
                continue
            self.changed.append(name)
            if not typed:
                self.faults[name] = "is empty; write how many, above 0."
                continue
            value = self._number(name, typed, lambda value, at=attribute: _counted(value, *REACH[at]))  # type: ignore[misc]
            if value is not None:
                found[attribute] = value
        one = self._scenario
        regions = {code: region.words for code, region in one.regions.items()}
        suppliers = {code: supplier.words for code, supplier in one.suppliers.items()}
        found["region"] = self.select(
            REGION, "Made in", regions, self._part.region or one.region, "choose one."
        )
        found["supplier"] = self.select(
            SUPPLIER, "Sold by", suppliers, self._part.supplier or one.supplier, "choose one."
        )
        machines = {SHARED: "shared, by the hour", DEDICATED: "dedicated, whole ones"}
        usual = DEDICATED if one.dedicated else SHARED
        found["dedicated"] = self.select(MACHINES, "Machines", machines, usual, "choose one.") == DEDICATED
        tools = {name: _TOOLS[name] for name in TOOLING}
        found["tooling"] = self.select(TOOLS, "Tools", tools, one.tooling, "choose one.")
        return replace(one, **found)  # type: ignore[arg-type]

    def place_of(self, message: str) -> str:
        """Field a refusal speaks of; "" where that is none of them."""
        walls = [field_name(INPUTS[name]) for name in _WALLS]
        there = [one.name for one in self.fields]
        if any(word in message for word in _SPEAK_OF_WALLS):
            for name in (*(one for one in walls if one in self.changed), *walls):
                if name in there:
                    return name
        return ""


_TOOLS = {
    "apart": "apart",
    "simple": "in the piece, without interest",
    "annuity": "in the piece, with interest",
}


def _told(options: Mapping[str, str]) -> dict[str, str]:
    return {name: f"{name}: {words}" if words and words != name else name for name, words in options.items()}


def _within(value: float, one: Input) -> str:
    """What is wrong with a number in the unit it is typed in; empty where nothing is."""
    unit, factor = TYPED_IN.get(one.unit, (one.unit, 1.0))
    low, high = one.low * factor, one.high * factor
    # Half of the last digit that is printed: a limit typed as it is shown is within it.
    if low * (1.0 - 1e-9) <= value <= high * (1.0 + 1e-9):
        return ""
    behind = "" if unit == "1" else f" {unit_text(unit)}"
    wrong = (
        "cannot be negative"
        if value < 0.0
        else f"is outside {_said_number(low)} to {_said_number(high)}{behind}"
    )
    return f"{_said_number(value)}{behind} {wrong}; check the reading and its unit."


def _counted(value: float, low: float, high: float) -> str:
    """What is wrong with a number of vehicles, years or pieces; empty where nothing is."""
    if not value > 0.0:
        return f"{_said_number(value)} is not above 0; write how many."
    if not low <= value <= high:
        return (
            f"{_said_number(value)} is outside {_said_number(low)} to {_said_number(high)}; write how many."
        )
    return ""


def _said_number(value: float) -> str:
    return text(float(f"{value:.4g}"))
