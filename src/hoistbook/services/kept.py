"""Answers of the engines about vehicles of a store: kept ones where nothing changed, worked out and kept otherwise."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED
from hoistbook.services.as_json.energy import range_json
from hoistbook.services.as_json.gap import gap_json
from hoistbook.services.as_json.mass import mass_json
from hoistbook.services.as_json.rates import rates_json
from hoistbook.services.duties import file_of
from hoistbook.services.energy import range_report
from hoistbook.services.gap import gap_report
from hoistbook.services.gap_view import GapView, surprise
from hoistbook.services.keeping import (
    Json,
    KeptResult,
    keep,
    kept,
    kept_or_worked_out,
    model_version,
    result,
    results_of,
)
from hoistbook.services.mass import mass_report
from hoistbook.services.rates import SECONDARY_MASS_KG_PER_KG, rates_report
from hoistbook.services.record import Record, known_code, teardown
from hoistbook.services.vehicles import vehicle_states
from hoistbook.store.files import sha256_of

__all__ = [
    "ANSWERS",
    "QUESTIONS",
    "Json",
    "KeptResult",
    "answer",
    "gap_of",
    "gap_options",
    "inputs_of",
    "keep",
    "kept",
    "kept_or_worked_out",
    "mass_of",
    "model_version",
    "range_of",
    "rates_of",
    "remember",
    "result",
    "results_of",
    "states",
]


def states(record: Record, *codes: str) -> dict[str, int]:
    """State of each vehicle as it is now: what its figures can depend on."""
    known = [known_code(record, code) for code in codes]
    return vehicle_states(record, list(dict.fromkeys(known)))


def remember(
    record: Record,
    kind: str,
    of: Mapping[str, int],
    options: Json,
    value: Callable[[], Json],
    seconds: float,
) -> None:
    """Keep the answer to a ready-made question that was worked out elsewhere, unless it is kept already."""
    inputs = inputs_of(of, options)
    if kept(record, kind, inputs) is None:
        keep(record, kind, inputs, value(), seconds)


def mass_of(record: Record, code: str, configuration: str | None = None) -> Json:
    """Mass book of a vehicle as `hoistbook mass --json` prints it."""
    return answer(record, "mass", states(record, code), {"configuration": configuration})


def range_of(
    record: Record,
    code: str,
    duty: str = "wltc3b",
    configuration: str | None = None,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
) -> Json:
    """Range and consumption of a vehicle as `hoistbook range --json` prints them."""
    options = {"duty": duty, "configuration": configuration, "draws": draws, "seed": seed}
    return answer(record, "range", states(record, code), options)


def rates_of(
    record: Record,
    code: str,
    duty: str = "wltc3b",
    configuration: str | None = None,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    secondary_mass_kg_per_kg: float = SECONDARY_MASS_KG_PER_KG,
) -> Json:
    """Rates of a vehicle as `hoistbook rates --json` prints them."""
    options = {
        "duty": duty,
        "configuration": configuration,
        "draws": draws,
        "seed": seed,
        "secondary_mass_kg_per_kg": secondary_mass_kg_per_kg,
    }
    return answer(record, "rates", states(record, code), options)


def gap_of(
    record: Record,
    x: str,
    y: str,
    quantity: str = "range",
    duty: str = "wltc3b",
    configurations: tuple[str | None, str | None] = (None, None),
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    *,
    as_found: bool = False,
    merge: bool = True,
) -> Json:
    """Gap between two vehicles as `hoistbook gap --json` prints it."""
    return answer(
        record,
        "gap",
        states(record, x, y),
        gap_options(quantity, duty, configurations, draws, seed, as_found=as_found, merge=merge),
    )


def gap_options(
    quantity: str,
    duty: str,
    configurations: tuple[str | None, str | None],
    draws: int,
    seed: int,
    *,
    as_found: bool,
    merge: bool,
) -> Json:
    """Options of a gap, under the names they are kept by."""
    return {
        "quantity": quantity,
        "duty": duty if quantity != "mass" else "",
        "configurations": list(configurations),
        "draws": draws,
        "seed": seed,
        "as_found": as_found,
        "merge": merge,
    }


def inputs_of(of: Mapping[str, int], options: Json) -> Json:
    """Inputs of a ready-made question. A duty that is a file counts by what is in it."""
    path = file_of(str(options.get("duty") or ""))
    told: Json = {"states": dict(of), "order": list(of), "options": options}
    if path is not None:
        told["duty_sha256"] = sha256_of(path)
    return told


def answer(record: Record, kind: str, of: Mapping[str, int], options: Json) -> Json:
    """Answer a ready-made question about vehicles in these states."""
    return kept_or_worked_out(
        record, kind, inputs_of(of, options), lambda: QUESTIONS[kind](record, of, options)
    )


def _mass(record: Record, of: Mapping[str, int], options: Json) -> Json:
    ((code, at),) = of.items()
    return mass_json(mass_report(teardown(record, code, at), options["configuration"]))


def _range(record: Record, of: Mapping[str, int], options: Json) -> Json:
    ((code, at),) = of.items()
    return range_json(
        range_report(
            teardown(record, code, at),
            duty=options["duty"],
            configuration=options["configuration"],
            n_draws=options["draws"],
            seed=options["seed"],
        )
    )


def _rates(record: Record, of: Mapping[str, int], options: Json) -> Json:
    ((code, at),) = of.items()
    return rates_json(
        rates_report(
            teardown(record, code, at),
            duty=options["duty"],
            configuration=options["configuration"],
            n_draws=options["draws"],
            seed=options["seed"],
            secondary_mass_kg_per_kg=options["secondary_mass_kg_per_kg"],
        )
    )


def _gap(record: Record, of: Mapping[str, int], options: Json) -> Json:
    x, y = (teardown(record, code, at) for code, at in of.items())
    report = gap_report(
        x,
        y,
        quantity=options["quantity"],
        duty=options["duty"],
        n_draws=options["draws"],
        seed=options["seed"],
        merge=options["merge"],
        configuration_x=options["configurations"][0],
        configuration_y=options["configurations"][1],
    )
    names = (x.vehicle.name or x.vehicle.code, y.vehicle.name or y.vehicle.code)
    as_found = options["as_found"]
    return gap_json(GapView(report, names, as_found, surprise(report, as_found=as_found)))


def _of_cost(kind: str) -> Callable[[Record, Mapping[str, int], Json], Json]:
    """A question about cost; its engines are brought in when it is asked."""

    def work(record: Record, of: Mapping[str, int], options: Json) -> Json:
        from hoistbook.services import kept_cost

        found: Json = getattr(kept_cost, kind)(record, of, options)
        return found

    return work


QUESTIONS: dict[str, Callable[[Record, Mapping[str, int], Json], Json]] = {
    "mass": _mass,
    "range": _range,
    "rates": _rates,
    "gap": _gap,
    "cost": _of_cost("cost"),
    "cost compare": _of_cost("comparison"),
    "cost assembly": _of_cost("assembly"),
    "cost service": _of_cost("service"),
}
"""Kinds of result that can be worked out anew from the record, today or as of any change."""

ANSWERS = (*QUESTIONS, "claims")
"""Kinds of result that a person asked for; every other kind is what a page put by so that it opens at once."""
