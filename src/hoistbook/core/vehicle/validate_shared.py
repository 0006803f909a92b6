"""What the checks of every sheet need: the names references may point at, and the check of one figure."""

from __future__ import annotations

from collections.abc import Iterator

from hoistbook.core.quantities.dimension import dimension
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.approaches import FunctionTree
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.problem import Hints, Place, Problem
from hoistbook.core.vehicle.records import Node, Teardown


class Names:
    """The names that references may point at, and the sentence for one that points at nothing."""

    def __init__(self, teardown: Teardown) -> None:
        self.configurations = {c.id: c for c in teardown.configurations}
        self.nodes: dict[str, Node] = {}
        for node in teardown.nodes:  # the first of a doubled tag stands for it
            self.nodes.setdefault(node.tag, node)
        self.joints = {joint.id: joint for joint in teardown.joints}
        self.approaches = {a.id: a for a in teardown.approaches}
        self.functions = FunctionTree(teardown.functions)
        self.function_codes = tuple(f.code for f in teardown.functions)
        self.function_words = self.functions.words
        self.instruments = dict(teardown.instruments)
        self.readings = {m.id: m for m in teardown.measurements}
        self.kinds = QUANTITY_KINDS
        self.hints = Hints()

    def unknown_configuration(self, place: Place, name: str) -> Iterator[Problem]:
        """State a problem when there is no such configuration."""
        if name not in self.configurations:
            hint = self.hints(name, self.configurations)
            yield place.problem("configuration", name, f"no such configuration; {hint}")

    def unknown_instrument(self, place: Place, name: str) -> Iterator[Problem]:
        """State a problem when an instrument is named that is not listed."""
        if name and name not in self.instruments:
            hint = self.hints(name, self.instruments)
            yield place.problem("instrument", name, f"no such instrument; {hint}")

    def unknown_function(self, place: Place, code: str) -> Iterator[Problem]:
        """State a problem when there is no such function."""
        if code not in self.functions:
            hint = self.hints(code, self.function_words)
            yield place.problem("function", code, f"no such function; {hint}")

    def unknown_part(self, place: Place, field: str, tag: str) -> Iterator[Problem]:
        """State a problem when no part has this tag."""
        if tag not in self.nodes:
            hint = self.hints(tag, self.nodes)
            yield place.problem(field, tag, f"no part has this tag; {hint}")


def figure_problems(
    place: Place, quantity: str, value: Quantity, names: Names, *, may_be_negative: bool = False
) -> Iterator[Problem]:
    """Judge quantity, unit and sign of one figure."""
    kind = names.kinds.get(quantity)
    if kind is None:
        yield place.problem("quantity", quantity, f"no such quantity; {names.hints(quantity, names.kinds)}")
        return
    if value.unit != kind.unit and dimension(value.unit) != dimension(kind.unit):
        message = f"{kind.words} is measured in {kind.unit}; give it in {', '.join(kind.example_units)}."
        yield place.problem("unit", value.unit, message)
    if value.value < 0.0 and not kind.signed and not may_be_negative:
        message = f"{kind.words} cannot be negative; check the sign, the tare or the zero."
        yield place.problem("value", f"{value.value:g} {value.unit}", message)
