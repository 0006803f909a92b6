"""A comparison of costs with what it is once both ways go equally far, as JSON."""

from __future__ import annotations

from hoistbook.services.as_json.cost import Json, comparison_json, money
from hoistbook.services.as_json.parts import interval, quantity
from hoistbook.services.cost_compare import CostComparison
from hoistbook.services.cost_equal_range import CostAtEqualRange


def compared_json(found: CostComparison, driven: CostAtEqualRange | None) -> Json:
    """The comparison, with `equal_range` where it was asked for; nothing there else."""
    return {**comparison_json(found), "equal_range": None if driven is None else equal_range_json(driven)}


def equal_range_json(driven: CostAtEqualRange) -> Json:
    """On which vehicle, what the second way changes, and the difference with the battery that makes up for it; SI."""
    found = driven.found
    return {
        "vehicle": driven.vehicle,
        "duty": driven.duty,
        "range_m": driven.range_m,
        "usable_energy_j": driven.usable_energy_j,
        "changes": {name: quantity(amount) for name, amount in driven.changes.items()},
        "range_change_m": interval(found.range_change_m),
        "battery_j": interval(found.battery_j),
        "battery": money(found.battery),
        "difference": money(found.total),
        "probability_a_cheaper": found.probability_a_cheaper,
        "sentences": list(found.sentences),
        "assumed": list(driven.assumed),
    }
