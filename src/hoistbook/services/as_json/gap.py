"""A gap as one JSON object."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from hoistbook.core.compare.walk import Walk
from hoistbook.core.quantities.units import from_si
from hoistbook.report.figures import METRIC
from hoistbook.services.as_json.parts import Json, parameter, quantity, replaced, walk
from hoistbook.services.gap_view import GapView
from hoistbook.services.parameter_rows import ParameterRow


def gap_json(view: GapView) -> Json:
    """The comparison spoken of at the top, the other one under "other"; always in metric units."""
    view = replace(view, units=METRIC)
    report, main = view.report, view.main
    return {
        "quantity": main.quantity,
        "from": main.code_x,
        "to": main.code_y,
        "from_name": view.names[0],
        "to_name": view.names[1],
        "answer": view.answer,
        "account": view.account,
        **walk(main, view.details(main)),
        "next_measurements_narrow": view.narrowed,
        "next_measurements": _next(view, main),
        "other": {
            **walk(view.other, view.details(view.other)),
            "next_measurements": _next(view, view.other),
        },
        "removed_frac": report.removed_frac,
        "battery_more_frac": report.battery_more_frac,
        "figures": {
            "as found": {"from": _figures(report.figures_x), "to": _figures(report.figures_y)},
            "normalised": {"from": _figures(report.figures_alike_x), "to": _figures(report.figures_alike_y)},
        },
        "content": [
            {
                "vehicle": row.code,
                "item": row.item,
                "description": row.description,
                "rule": row.rule,
                "quantity": row.quantity,
                **quantity(row.value),
            }
            for row in report.content
        ],
        "replaced": replaced(report.replaced),
        "duty": report.duty or None,
        "draws": report.n_draws,
        "seed": report.seed,
    }


def _figures(rows: Mapping[str, ParameterRow]) -> list[Json]:
    return [parameter(row) for row in rows.values()]


def _next(view: GapView, of: Walk) -> list[Json]:
    """Half widths of what is narrowed, in the unit of the gap."""
    return [
        {
            "vehicle": one.vehicle,
            "name": one.narrowing.name.partition("/")[0],
            "words": one.narrowing.words,
            "how": one.narrowing.how,
            "minutes": one.narrowing.minutes,
            "half_width_now": from_si(one.narrowing.half_width_now, view.unit),
            "half_width_then": from_si(one.narrowing.half_width_then, view.unit),
        }
        for one in view.next_measurements(of)
    ]
