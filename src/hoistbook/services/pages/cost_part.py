"""The cost of one part as its page shows it, and worked out again with other inputs; nothing of that is stored."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.estimates import with_estimates
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.result import PartCost
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.cost.traced import traced
from hoistbook.report.cost_sheet import write_cost_sheet
from hoistbook.services.as_json.cost_part import part_read
from hoistbook.services.keeping import Json
from hoistbook.services.pages.cost import DRAWS, SEED
from hoistbook.services.pages.cost_form import Form, field_name, typed_part


@dataclass(frozen=True, slots=True)
class Worked:
    """A part's cost as the record has it, and as typed.

    Attributes
    ----------
    was : PartCost
    now : PartCost or None
        None where it cannot be made as typed; the form says why.
    part : PartToCost
        As typed, with its estimates; as the record has it where it cannot be made.
    scenario : Scenario
        As typed.
    form : Form
    changed : tuple of str
        Fields that differ from the record.
    other_machines : float or None
        The piece with dedicated machines where they are shared, and with shared ones where they are dedicated. [money]
    """

    was: PartCost
    now: PartCost | None
    part: PartToCost
    scenario: Scenario
    form: Form
    changed: tuple[str, ...]
    other_machines: float | None


def worked(told: Json, scenario: Scenario, typed: Mapping[str, str]) -> Worked:
    """Work out a part as the record has it and as typed.

    Parameters
    ----------
    told : dict
        A part of `pages.cost.parts_json` that is made by a route.
    scenario : Scenario
    typed : mapping of str to str
        By the names of the fields of the form.
    """
    part = part_read(told["made_from"])
    was = cost_parts([part], scenario, PROCESSES, DRAWS, SEED, threads=1).parts[part.tag]
    found, form, faults = typed_part(part, scenario, typed)
    changed = _changed(form)
    if found is None:
        return Worked(was, None, part, scenario, form, changed, None)
    now, whole = was, part
    if found.changed:
        whole, missing = with_estimates(found.part, PROCESSES, found.scenario.materials)
        for name in missing:
            at = field_name(INPUTS[name])
            faults[at] = "is not stated and nothing leads to it; read it off the part."
        if faults:
            return Worked(was, None, part, found.scenario, form, found.changed, None)
        costed = cost_parts([whole], found.scenario, PROCESSES, DRAWS, SEED, threads=1)
        if part.tag in costed.refused:
            _place(form, faults, costed.refused[part.tag], part.tag)
            return Worked(was, None, part, found.scenario, form, found.changed, None)
        now = costed.parts[part.tag]
    turned = replace(found.scenario, dedicated=not found.scenario.dedicated)
    other = cost_parts([whole], turned, PROCESSES, 0, SEED, threads=1).parts.get(part.tag)
    return Worked(
        was,
        now,
        whole,
        found.scenario,
        form,
        found.changed,
        None if other is None else other.piece.value,
    )


def _changed(form: Form) -> tuple[str, ...]:
    """Fields that were typed otherwise, right or wrong."""
    numbers = [one.name for one in (*form.readings, *form.numbers) if one.origin == "stated here"]
    several = (*form.selects, *(one for step in form.steps for one in step))
    return (*numbers, *(one.name for one in several if one.chosen != one.usual))


def _place(form: Form, faults: dict[str, str], refused: str, tag: str) -> None:
    """Put a refusal where it can be mended: at the step it names, and at the wall where it speaks of one."""
    said = refused.removeprefix(tag).lstrip(":, ")
    step = next((f"step{n}" for n in range(1, len(form.steps) + 1) if said.startswith(f"step {n} ")), "")
    faults[step] = said
    words = said.partition("): ")[2] or said
    typed = [one.name for one in form.readings if one.origin == "stated here"]
    about = [one for one in typed if one.startswith(("wall_thickness", "tube_wall", "rubber_thickness"))]
    if about and any(word in words for word in ("wall", "gauge", "thick", "section", "sheet")):
        faults[about[0]] = words


def sheet_of(found: Worked) -> bytes:
    """The part as typed as a workbook of live formulas.

    Raises
    ------
    ValueError
        It cannot be made as typed.
    """
    if found.now is None:
        msg = "; ".join(found.form.faults.values())
        raise ValueError(msg)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "cost.xlsx"
        write_cost_sheet(path, traced(found.part, found.scenario, PROCESSES), found.now)
        return path.read_bytes()
