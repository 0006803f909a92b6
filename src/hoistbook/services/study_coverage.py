"""How much of the mass gaps of a study has been looked at, worked out vehicle by vehicle and kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace

from hoistbook.core.compare.looked_at import LookedAt, Side, looked_at
from hoistbook.core.compare.study import Finding, Study
from hoistbook.core.compare.study_problems import all_functions, resolved_function
from hoistbook.core.compare.study_settings import Settings, settings
from hoistbook.core.vehicle.records import Teardown
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED
from hoistbook.services.as_json.coverage import coverage_json, coverage_of_json
from hoistbook.services.keeping import Json, input_hash, kept, kept_or_worked_out
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass_sides import mass_side
from hoistbook.services.vehicles import Record, teardown, vehicle_states

KIND = "coverage"
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True)
class Coverage:
    """Of each pair what has been looked at, and why a vehicle has none of it."""

    pairs: tuple[LookedAt, ...] = ()
    lacking: tuple[str, ...] = ()


def coverage(
    study: Study,
    teardowns: Mapping[str, Teardown],
    read: Callable[[str], Teardown] | None = None,
    progress: Progress | None = None,
) -> Coverage:
    """Work out how much of the mass gap of every pair of a study has been looked at.

    Parameters
    ----------
    study : Study
    teardowns : mapping of vehicle code to Teardown
        Of the vehicles that are there, at least with their functions.
    read : callable, optional
        Hands out a whole vehicle by its code, one after another; those of `teardowns` are whole when left out.
    progress : callable, optional
        Called with vehicles and pairs done, how many there are in all, and what is being looked at.

    Returns
    -------
    Coverage
        A vehicle without a part tree, or whose weighings cannot be worked out, is named and left out.
    """
    chosen = settings(study.assumptions)
    findings = resolved_findings(study, teardowns)
    words = {system.code: system.name for system in taxonomy().systems}
    sides: dict[str, Side] = {}
    lacking: list[str] = []
    pairs = study.pairs()
    steps = len(study.vehicles) + len(pairs)
    tell = progress or (lambda _done, _total, _words: None)
    for number, row in enumerate(study.vehicles):
        tell(number, steps, f"weighing {row.vehicle}")
        if row.vehicle not in teardowns:
            lacking.append(f"{row.vehicle}: not in the store yet")
            continue
        whole = teardowns[row.vehicle] if read is None else read(row.vehicle)
        if not whole.nodes:
            lacking.append(f"{row.vehicle}: no part tree yet")
            continue
        try:
            configuration = chosen_configuration(whole, row.configuration or None).id
            sides[row.vehicle] = _side(whole, configuration)
        except LookupError as error:
            lacking.append(str(error.args[0]))
            continue
        except ValueError as error:
            lacking.append(f"{row.vehicle}: {error}")
            continue
        words |= {function.code: function.name for function in whole.functions}
    found = []
    for number, (x, y) in enumerate(pairs, start=len(study.vehicles)):
        tell(number, steps, f"{x} against {y}")
        if x in sides and y in sides:
            found.append(
                looked_at(
                    sides[x],
                    sides[y],
                    findings,
                    words,
                    n_draws=chosen.n_draws or DEFAULT_DRAWS,
                    seed=DEFAULT_SEED if chosen.seed is None else chosen.seed,
                    piece_spread_frac=chosen.piece_spread_frac,
                )
            )
    tell(steps, steps, "done")
    return Coverage(tuple(found), tuple(lacking))


def _side(whole: Teardown, configuration: str) -> Side:
    own = [approach for approach in whole.approaches if approach.configuration == configuration]
    return Side(mass_side(whole, configuration), frozenset(approach.function for approach in own))


def resolved_findings(study: Study, teardowns: Mapping[str, Teardown]) -> tuple[Finding, ...]:
    """Findings with their function by its code; one of a function nobody lists counts for nothing."""
    functions = all_functions(teardowns[code] for code in study.codes if code in teardowns)
    return tuple(
        replace(
            finding, function=resolved_function(finding.function, functions, taxonomy()) or finding.function
        )
        for finding in study.findings
    )


def _inputs(record: Record, study: Study, there: Mapping[str, Teardown]) -> Json:
    chosen: Settings = settings(study.assumptions)
    return {
        "subject": study.code,
        "states": vehicle_states(record, [code for code in study.codes if code in there]),
        "order": list(study.codes),
        "configurations": {row.vehicle: row.configuration for row in study.vehicles},
        "findings": [asdict(finding) for finding in study.findings],
        "draws": chosen.n_draws or DEFAULT_DRAWS,
        "seed": DEFAULT_SEED if chosen.seed is None else chosen.seed,
        "piece_spread_frac": chosen.piece_spread_frac,
    }


def kept_coverage(record: Record, study: Study, there: Mapping[str, Teardown]) -> Json | None:
    """Coverage as JSON, where it was worked out of the study and its vehicles as they stand; None otherwise."""
    found = kept(record, KIND, _inputs(record, study, there))
    return None if found is None else found.value


def coverage_key(record: Record, study: Study, there: Mapping[str, Teardown]) -> str:
    """Hash of everything coverage depends on: the same one, the same result."""
    return input_hash(KIND, _inputs(record, study, there))


def stored_coverage(
    record: Record, study: Study, there: Mapping[str, Teardown], progress: Progress | None = None
) -> Coverage:
    """Coverage of a study of a store: kept, or worked out vehicle by vehicle and kept.

    Parameters
    ----------
    record : Record
    study : Study
    there : mapping of vehicle code to Teardown
        Outlines do.
    progress : callable, optional
    """
    inputs = _inputs(record, study, there)
    findings = resolved_findings(study, there)

    def work() -> Json:
        # In the states the result is kept by, whatever is loaded meanwhile.
        found = coverage(study, there, lambda code: teardown(record, code, inputs["states"][code]), progress)
        return {
            "coverage": [coverage_json(one, findings) for one in found.pairs],
            "not_covered": list(found.lacking),
        }

    told = kept_or_worked_out(record, KIND, inputs, work)
    return Coverage(
        tuple(coverage_of_json(one, findings) for one in told["coverage"]), tuple(told["not_covered"])
    )
