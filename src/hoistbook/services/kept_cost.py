"""What the questions about cost are worked out from: vehicles of a store in a state, and a scenario told as JSON."""

from __future__ import annotations

from collections.abc import Mapping

from hoistbook.services.as_json.cost import cost_json
from hoistbook.services.as_json.cost_assembly import assembly_json, service_json
from hoistbook.services.as_json.cost_equal_range import compared_json
from hoistbook.services.cost import CostReport, cost_report
from hoistbook.services.cost_assembly import assembly_report, service_report
from hoistbook.services.cost_compare import cost_comparison
from hoistbook.services.cost_equal_range import cost_at_equal_range
from hoistbook.services.cost_options import quantities
from hoistbook.services.cost_scenario import Stated
from hoistbook.services.keeping import Json
from hoistbook.services.record import Record, teardown


def cost(record: Record, of: Mapping[str, int], options: Json) -> Json:
    """Cost of a vehicle as `hoistbook cost --json` prints it."""
    return cost_json(cost_of(record, of, options))


def cost_of(record: Record, of: Mapping[str, int], options: Json) -> CostReport:
    """The report behind it."""
    whole = [teardown(record, code, at) for code, at in of.items()]
    return cost_report(
        whole[0],
        Stated.from_json(options["scenario"]).scenario(),
        options["configuration"],
        n_draws=options["draws"],
        seed=options["seed"],
        sister=whole[1] if options["sister"] else None,
        sister_volume_per_year=options["sister_volume_per_year"],
    )


def comparison(record: Record, of: Mapping[str, int], options: Json) -> Json:
    """Two ways of doing a function as `hoistbook cost compare --json` prints them."""
    whole = [teardown(record, code, at) for code, at in of.items()]
    both = (whole[0], whole[-1])  # a vehicle with itself, under two scenarios, is there once
    one, other = (Stated.from_json(told).scenario() for told in options["scenarios"])
    configurations = (options["configurations"][0], options["configurations"][1])
    found = cost_comparison(
        both,
        (one, other),
        options["function"],
        options["over"],
        configurations,
        n_draws=options["draws"],
        seed=options["seed"],
    )
    asked = options["equal_range"]
    if asked is None:
        return compared_json(found, None)
    driven = cost_at_equal_range(
        both,
        found,
        options["function"],
        on_second=asked["on_second"],
        configurations=configurations,
        duty=asked["duty"],
        changes=quantities(asked["changes"]),
    )
    return compared_json(found, driven)


def assembly(record: Record, of: Mapping[str, int], options: Json) -> Json:
    """Assembly of a vehicle or a function as `hoistbook cost assembly --json` prints it."""
    ((code, at),) = of.items()
    scenario = Stated.from_json(options["scenario"]).scenario()
    return assembly_json(
        assembly_report(teardown(record, code, at), scenario, options["function"], options["configuration"])
    )


def service(record: Record, of: Mapping[str, int], options: Json) -> Json:
    """Removal of a part as `hoistbook cost service --json` prints it."""
    ((code, at),) = of.items()
    return service_json(
        service_report(
            teardown(record, code, at),
            Stated.from_json(options["scenario"]).scenario(),
            options["part"],
            options["configuration"],
            options["seconds"],
            [(what, first) for what, first in options["before"]],
        )
    )
