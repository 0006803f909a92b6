"""Process models evaluated by themselves: typical readings, figures at their best estimate, arrays or plain numbers."""

from itertools import product

import numpy as np

from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.process import Fields, Operation
from hoistbook.reference.cost import packaged_scenario

# Readings of a made-up part; they only have to be of a plausible size together.
TYPICAL = {
    "mass_kg": 0.8, "length_m": 0.25, "width_m": 0.15, "height_m": 0.05, "projected_area_m2": 0.021,
    "wall_thickness_m": 0.003, "wall_thickness_max_m": 0.012, "cut_length_m": 1.1, "bend_length_m": 0.4,
    "draw_depth_m": 0.03, "machined_volume_m3": 2e-5, "thread_diameter_m": 0.008, "weld_length_m": 0.5,
    "weld_throat_m": 0.003, "bead_length_m": 0.6, "bead_diameter_m": 0.004, "surface_area_m2": 0.09,
    "diameter_m": 0.04, "tube_wall_m": 0.002, "tube_length_m": 0.7, "face_width_m": 0.025, "case_depth_m": 0.0008,
    "film_thickness_m": 1.2e-5, "conductor_area_m2": 2.5e-6, "board_area_m2": 0.01, "rubber_thickness_m": 0.02,
    "tooth_count": 41.0, "cavity_count": 2.0,
}  # fmt: skip
NUMBERS = tuple(name for name in Operation.__slots__ if name not in ("stages", "machine"))


def typical(name):
    one = INPUTS[name]
    if name in TYPICAL:
        return TYPICAL[name]
    return 3.0 if one.count else float(np.sqrt(one.low * one.high))


def material_figures():
    """Every property that any material has, from the first that has it."""
    found = {}
    for material in packaged_scenario().materials.values():
        for name, figure in material.figures.items():
            found.setdefault(name, figure)
    return found


MATERIAL = material_figures()


def settings(process):
    """All combinations of the options of a process."""
    names = [choice.name for choice in process.choices]
    return [
        dict(zip(names, options, strict=True))
        for options in product(*(choice.options for choice in process.choices))
    ]


def operation(process, choices=None, material=None, **changed):
    """What a process says at typical readings, some of them changed; figures may be changed by their names too."""
    return process.evaluate(fields(process, choices, material, **changed))


def fields(process, choices=None, material=None, **changed):
    chosen = process.chosen(choices or {})
    scenario = packaged_scenario()
    figures = scenario.materials[material].figures if material else MATERIAL
    values = {name: figure.value for name, figure in figures.items()}
    values |= {one.name: scenario.money(one).value for one in process.figures_for(chosen)}
    values |= {name: typical(name) for name in (*process.needs, *process.optional)}
    values |= {"pieces_per_year": 60_000.0, "programme_years": 6.0, "lot_count": 5_000.0}
    unknown = set(changed) - set(values)
    assert not unknown, f"{process.name} reads no {unknown}"
    values |= changed
    arrays = {
        name: np.full((1, 1), value) if np.ndim(value) == 0 else value for name, value in values.items()
    }
    return Fields(arrays, chosen, process.title)


def outputs(one):
    """All numbers of an operation by name, stages included."""
    found = {name: getattr(one, name) for name in NUMBERS}
    found |= {f"stage {place} {stage.words}": stage.time_s for place, stage in enumerate(one.stages)}
    return found


def pace(one):
    serial = sum(float(stage.time_s[0, 0]) for stage in one.stages if not stage.beside)
    return max([serial, *(float(stage.time_s[0, 0]) for stage in one.stages if stage.beside)])


def number(value):
    return float(np.asarray(value).reshape(-1)[0])


def refusal(process, choices=None, material=None, **changed):
    """Words of the limits that a part breaks."""
    one = fields(process, choices, material, **changed)
    return [limit.words for limit in process.limits if np.asarray(limit.breaks(one)).all()]
