"""One part for every process there is: the typical one of its kind, or one of typical readings."""

from functools import cache

from core.cost.processes.metal_parts import PARTS, to_cost
from core.cost.processes.trial import typical
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.reference.cost import packaged_scenario


@cache
def any_part(name):
    """A part whose last step is this process, of a material it takes."""
    if name in PARTS:
        return to_cost(name)
    process, scenario = PROCESSES[name], packaged_scenario()
    names, steps = {*process.needs, *process.optional}, (Step(name),)
    if not process.adds_material:
        names |= set(PROCESSES["sheet_stamping"].needs)
        steps = (Step("sheet_stamping"), Step(name))
    readings = {one: Quantity(typical(one), INPUTS[one].unit) for one in sorted(names)}
    for material in scenario.materials:
        part = PartToCost(name, name, material, readings, steps)
        if cost_parts([part], scenario, PROCESSES, 0).parts:
            return part
    msg = f"no material of the scenario suits the typical part of {name}"
    raise AssertionError(msg)
