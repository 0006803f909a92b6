"""A gap as one JSON object."""

from __future__ import annotations

from dataclasses import replace

from hoistbook.report.figures import METRIC
from hoistbook.services.as_json.parts import Json, quantity, walk
from hoistbook.services.gap_view import GapView


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
        **walk(main),
        "other": walk(view.other),
        "removed_frac": report.removed_frac,
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
        "duty": report.duty or None,
        "draws": report.n_draws,
        "seed": report.seed,
    }
