"""Known quotes against what the parts of a vehicle should cost: errors of process models updated, before and after."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from hoistbook.capture.faults import Fault, LoadRefused
from hoistbook.capture.quotes import QUOTES, QuoteRow, QuoteTable, read_quotes
from hoistbook.core.cost.calibration import (
    Calibration,
    Method,
    Prior,
    Quote,
    calibrate,
    calibrated,
    prior_of,
    quote_for,
)
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.result import Money
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.vehicle.records import Teardown
from hoistbook.reference.cost import packaged_scenario_text
from hoistbook.reference.cost_models import with_model_errors
from hoistbook.services.cost import COST_DRAWS, COST_SEED, CostReport, chosen_part, cost_report
from hoistbook.services.cost_scenario import Stated, check_scenario_path, is_taken


@dataclass(frozen=True, slots=True)
class QuoteJudged:
    """A quote beside the model.

    Attributes
    ----------
    row : QuoteRow
    name, process : str
        Of the part, and of the first step of its route.
    quote : Quote
        Both amounts on one basis, in the money of the scenario.
    before, after : Money
        Cost of the piece without and with the quotes.
    """

    row: QuoteRow
    name: str
    process: str
    quote: Quote
    before: Money
    after: Money


@dataclass(frozen=True, slots=True)
class CalibrationReport:
    """What quotes make of the process models of a scenario.

    Attributes
    ----------
    before, after : CostReport
        The vehicle without and with them. Earlier calibrations of the processes that are quoted are replaced.
    method : str
    prior : Prior
    found : tuple of Calibration
        One per process that is quoted.
    quotes : tuple of QuoteJudged
        In the order of the table.
    processes_left : tuple of str
        First steps of costed parts that no quote speaks for.
    notes : tuple of str
        Remarks on reading the table.
    """

    before: CostReport
    after: CostReport
    method: Method
    prior: Prior
    found: tuple[Calibration, ...]
    quotes: tuple[QuoteJudged, ...]
    processes_left: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def scenario(self) -> Scenario:
        """The calibrated scenario."""
        return self.after.scenario

    def scenario_text(self, stated: Stated) -> str:
        """TOML of the scenario that was asked with, and the errors found; nothing else that was stated is in it."""
        return with_model_errors(stated.text or packaged_scenario_text(), self.scenario.model_errors)


def calibrate_by_quotes(
    teardown: Teardown,
    scenario: Scenario,
    table: QuoteTable | Path,
    configuration: str | None = None,
    *,
    method: Method = "unknown scatter",
    n_draws: int = COST_DRAWS,
    seed: int = COST_SEED,
) -> CalibrationReport:
    """Update the errors of process models by known quotes for parts of a vehicle.

    Parameters
    ----------
    teardown : Teardown
    scenario : Scenario
        Quotes are carried to its money; a "buy" quote pays tools as it does.
    table : QuoteTable or Path
        A table, or the file it is read from.
    configuration : str, optional
        Needed when the vehicle has several.
    method : str
        Of `core.cost.calibration.calibrate`.
    n_draws, seed : int

    Raises
    ------
    LoadRefused
        Every quote that cannot be taken, with its row and the reason.
    ValueError
        Least squares with a single quote, or no part can be costed.

    Notes
    -----
    The first step of a route stands for its model. Quotes are judged against the models as they are without any
    calibration.
    """
    known = read_quotes(table) if isinstance(table, Path) else table
    before = cost_report(teardown, scenario, configuration, n_draws=n_draws, seed=seed)
    judged, faults = [], []
    seen: dict[tuple[str, str], int] = {}
    for row in known.rows:
        key = (row.tag, row.source)
        if key in seen:
            faults.append(
                _fault(row, "source", f"row {seen[key]} quotes this part from this source; keep one.")
            )
            continue
        seen[key] = row.row
        try:
            judged.append(_judged(before, row))
        except (ValueError, LookupError) as error:
            faults.append(_fault(row, "tag", str(error.args[0])))
    if faults:
        raise LoadRefused(faults)
    prior = prior_of(scenario)
    groups: dict[str, list[Quote]] = {}
    for process, quote in judged:
        groups.setdefault(process, []).append(quote)
    found = tuple(calibrate(process, quotes, prior, method) for process, quotes in groups.items())
    after = cost_report(teardown, calibrated(scenario, found), configuration, n_draws=n_draws, seed=seed)
    used = dict.fromkeys(part.steps[0].process for part in before.inputs.parts if part.tag in before.costs)
    return CalibrationReport(
        before,
        after,
        method,
        prior,
        found,
        tuple(
            QuoteJudged(
                row,
                before.costs[row.tag].name,
                process,
                quote,
                before.costs[row.tag].piece,
                after.costs[row.tag].piece,
            )
            for row, (process, quote) in zip(known.rows, judged, strict=True)
        ),
        tuple(name for name in used if name not in groups),
        known.notes,
    )


def _judged(report: CostReport, row: QuoteRow) -> tuple[str, Quote]:
    """Process and quote of a row.

    Raises
    ------
    ValueError or LookupError
        Why the row cannot be taken.
    """
    chosen_part(report, row.tag)
    if row.tag in report.fasteners:
        msg = "is a fastener bought by its designation, not a part with a route; quotes speak for process models."
        raise ValueError(msg)
    steps = report.part(row.tag).steps
    if row.basis == "make" and all(PROCESSES[step.process].family == "buy" for step in steps):
        msg = "is bought as a whole, so that nobody knows here what making it costs; give the price with basis buy."
        raise ValueError(msg)
    scenario = report.scenario
    told = Figure(
        "quote", "quote", "money", row.price_money, row.price_money, row.price_money, "published", row.source,
        currency=row.currency, year=row.year, index=row.index,
    )  # fmt: skip
    return steps[0].process, quote_for(
        report.costs[row.tag], scenario.money(told).value, row.source, row.basis
    )


def _fault(row: QuoteRow, column: str, why: str) -> Fault:
    return Fault(QUOTES.name, row.row, column, row.tag, why.removeprefix(f"{row.tag}: "))


def check_new_scenario(path: Path) -> None:
    """Refuse a file that no scenario can be written to, before anything is worked out.

    Raises
    ------
    ValueError
        It does not end in .toml, its folder is missing, or it is there already.
    """
    check_scenario_path(path)
    if is_taken(path):
        msg = f"{path} is there already; name another file, or take it away."
        raise ValueError(msg)


def write_scenario(path: Path, text: str) -> None:
    """Write the text of a scenario to a new file."""
    with path.open("x", encoding="utf-8") as file:
        file.write(text)
