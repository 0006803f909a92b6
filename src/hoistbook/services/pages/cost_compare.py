"""Two vehicles' ways of doing one function in money, as their page asks for it: kept, or worked out beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import perf_counter

import numpy as np

from hoistbook.core.compare.break_even import BreakEven, set_to, total
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.vehicle.records import Teardown
from hoistbook.report.cost_chart import cost_walk_spec
from hoistbook.report.lettering import printable
from hoistbook.report.render import inside_page
from hoistbook.report.sheet import Captions
from hoistbook.report.theme import SHEET
from hoistbook.services.as_json.cost import comparison_json
from hoistbook.services.cost import CostReport, cost_report
from hoistbook.services.cost_assembly import function_shares
from hoistbook.services.cost_compare import VOLUME, CostComparison, compared_reports
from hoistbook.services.cost_scenario import Stated
from hoistbook.services.keeping import Json
from hoistbook.services.kept import inputs_of
from hoistbook.services.pages.cost_form import TYPED_IN
from hoistbook.services.pages.gap_parts import WIDTHS_PX
from hoistbook.services.pages.kept_pages import KeptPages
from hoistbook.services.vehicles import Record, teardown

Progress = Callable[[int, int, str], None]
PAGE = KeptPages("cost comparison page", 24)
_STEPS = 7
_POINTS = 33
"""Of a curve: enough that its steps of tools and machines show."""


@dataclass(frozen=True, slots=True)
class AskedComparison:
    """Which pair: codes, states and configurations from the first vehicle to the second, function and scenario.

    `places` are those of the vehicles in the store: they decide colours and marks.
    """

    codes: tuple[str, str]
    changes: tuple[int, int]
    configurations: tuple[str, str]
    places: tuple[int, int]
    function: str
    stated: Stated

    @property
    def inputs(self) -> Json:
        """What the result depends on, as it is kept."""
        options = {
            "configurations": list(self.configurations),
            "places": list(self.places),
            "function": self.function,
            "scenario": self.stated.as_json(),
        }
        return inputs_of(dict(zip(self.codes, self.changes, strict=True)), options)


def page_of(record: Record, asked: AskedComparison) -> Json | None:
    """What the page shows (`page_json`); None when it was not worked out yet."""
    return PAGE.read(record, asked.inputs)


def work_out(
    record: Record, asked: AskedComparison, progress: Progress = lambda _done, _total, _words: None
) -> None:
    """Compare two vehicles and keep what the page shows.

    Parameters
    ----------
    record : Record
    asked : AskedComparison
    progress : callable
        Called with steps done, steps in all, and what is being done.

    Raises
    ------
    ValueError, LookupError
        As `cost_compare.cost_comparison`.
    """
    start = perf_counter()
    progress(0, _STEPS, "reading the record")
    first, second = (
        teardown(record, code, change) for code, change in zip(asked.codes, asked.changes, strict=True)
    )
    scenario = asked.stated.scenario()
    reports: list[CostReport] = []
    for place, (one, configuration) in enumerate(zip((first, second), asked.configurations, strict=True)):
        progress(1 + place, _STEPS, f"costing {one.vehicle.name or one.vehicle.code}")
        function_shares(one, asked.function, configuration)  # refused before seconds of work
        reports.append(cost_report(one, scenario, configuration))
    progress(3, _STEPS, "switching factor by factor, looking for break-even")
    prices = _dearest_material(reports, (first, second), asked.function)
    found = compared_reports((first, second), (reports[0], reports[1]), asked.function, (VOLUME, *prices))
    progress(4, _STEPS, "drawing curves")
    over = [_curve(found, one) for one in found.break_even]
    progress(5, _STEPS, "drawing the walk")
    page = page_json(found, asked)
    page["curves"] = over
    progress(6, _STEPS, "keeping the result")
    PAGE.keep(record, asked.inputs, page, perf_counter() - start)
    progress(_STEPS, _STEPS, "done")


def _dearest_material(
    reports: Sequence[CostReport], teardowns: Sequence[Teardown], function: str
) -> tuple[str, ...]:
    """Price of the material that most is spent on in the function; none where no part has one."""
    spent: dict[str, float] = {}
    for report, one in zip(reports, teardowns, strict=True):
        _, share = function_shares(one, function, report.configuration)
        for part in report.inputs.parts:
            weight = share.get(part.tag, 0.0) * part.pieces_per_vehicle
            if weight and part.tag in report.costs:
                amount = report.costs[part.tag].by_name().get("material", 0.0)
                spent[part.material] = spent.get(part.material, 0.0) + weight * amount
    dearest = max(spent, key=lambda code: spent[code], default="")
    return (f"price of {dearest}",) if dearest and spent[dearest] > 0.0 else ()


def page_json(found: CostComparison, asked: AskedComparison) -> Json:
    """Everything the page shows but its curves.

    Returns
    -------
    dict
        `comparison` as `hoistbook cost compare --json` prints it; names, drawings by width, words of materials.
    """
    names = (found.a.name, found.b.name) if found.a.name != found.b.name else (found.a.code, found.b.code)
    captions = Captions(
        found.function,
        names,
        places=asked.places,
        details={one.factor: one.words for one in found.walk.steps},
        headed=False,
    )
    label = printable(f"Cost walk from {names[0]} to {names[1]}: {found.function}")
    return {
        "comparison": comparison_json(found),
        "names": list(names),
        "drawings": {
            name: inside_page(cost_walk_spec(found.walk, captions, width_px=width, theme=SHEET), label)
            for name, width in WIDTHS_PX.items()
        },
        "materials": {
            code: one.words for scenario in found.scenarios for code, one in scenario.materials.items()
        },
    }


def _curve(found: CostComparison, one: BreakEven) -> Json:
    """Costs of both sides over an input, at the best estimate of all else."""
    values = [float(x) for x in np.geomspace(one.low, one.high, _POINTS)]
    first, second = found.sides
    here = found.scenarios[0].volume_per_year if one.what == VOLUME else None
    if one.what.startswith("price of "):
        scenario = found.scenarios[0]
        price = scenario.materials[one.what.removeprefix("price of ")].figures["material_price_money_per_kg"]
        here = scenario.money(price).value
    return {
        "what": one.what,
        "unit": one.unit,
        "x": values,
        "a": [total(set_to(first, one.what, x), PROCESSES) for x in values],
        "b": [total(set_to(second, one.what, x), PROCESSES) for x in values],
        "here": here,
    }


def usual(value: float, what: str, unit: str, currency: str) -> tuple[float, str]:
    """A value of an input in the unit people use, and that unit."""
    if unit == "money/s":
        return 3600.0 * value, f"{currency}/h"
    if what in INPUTS:
        shown, factor = TYPED_IN.get(unit, (unit, 1.0))
        return factor * value, "" if shown == "1" else shown
    return value, unit.replace("money", currency)
