"""Changes of what a cost rests on: by the place of an input, and as the engine is told."""

from dataclasses import replace

from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost


def with_figure(scenario, place, factor):
    """A scenario with one of its figures times a factor."""
    kind, code, *name = place.split("/")
    if kind == "region":
        region = scenario.regions[code]
        figures = {**region.figures, name[0]: wide(region.figures[name[0]], factor)}
        return replace(scenario, regions={**scenario.regions, code: replace(region, figures=figures)})
    if kind == "supplier":
        supplier = scenario.suppliers[code]
        figures = {**supplier.figures, name[0]: wide(supplier.figures[name[0]], factor)}
        return replace(scenario, suppliers={**scenario.suppliers, code: replace(supplier, figures=figures)})
    if kind == "material":
        material = scenario.materials[code]
        figures = {**material.figures, name[0]: wide(material.figures[name[0]], factor)}
        return replace(scenario, materials={**scenario.materials, code: replace(material, figures=figures)})
    if kind == "machine":
        machine = scenario.machines[code]
        field = {"investment_money": "investment", "consumables_money_per_s": "consumables"}.get(
            name[0], name[0]
        )
        value = getattr(machine, field)
        value = value * factor if isinstance(value, float) else wide(value, factor)
        return replace(scenario, machines={**scenario.machines, code: replace(machine, **{field: value})})
    if kind == "scenario":
        if code in scenario.figures:
            return replace(scenario, figures={**scenario.figures, code: wide(scenario.figures[code], factor)})
        return replace(scenario, **{code: getattr(scenario, code) * factor})
    figure = next(one for one in PROCESSES[kind].figures if PROCESSES[kind].key(one) == place)
    return replace(scenario, overrides={**scenario.overrides, place: wide(figure, factor)})


def wide(figure, factor):
    """The figure times a factor, without a band that could forbid it."""
    value = figure.value * factor
    return replace(figure, value=value, low=value, high=value)


def with_reading(part, name, factor):
    """A part with one of its readings times a factor."""
    readings = {**part.readings, name: replace(part.readings[name], value=part.readings[name].value * factor)}
    return PartToCost(part.tag, part.name, part.material, readings, part.steps)
