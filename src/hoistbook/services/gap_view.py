"""A gap report and how it is looked at."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.compare.causes import BATTERY
from hoistbook.core.compare.walk import Walk
from hoistbook.report.details import change
from hoistbook.report.figures import METRIC, display_unit, per_cent
from hoistbook.report.sentences import account, answer, nothing_stated
from hoistbook.services.gap import ContentRow, GapReport
from hoistbook.services.next_measurements import NextMeasurement

RESIDUAL_NARROWED, GAP_NARROWED = "not explained", "gap"


@dataclass(frozen=True, slots=True)
class GapView:
    """A gap report, the names in it, which comparison is spoken of, what makes it surprising, and in what units.

    `under` says under which version of which study it was made.
    """

    report: GapReport
    names: tuple[str, str]
    as_found: bool = False
    although: str = ""
    units: str = METRIC
    under: str = ""

    @property
    def main(self) -> Walk:
        """The comparison spoken of."""
        return self.report.as_found if self.as_found else self.report.normalised

    @property
    def other(self) -> Walk:
        """The one beside it."""
        return self.report.normalised if self.as_found else self.report.as_found

    @property
    def unit(self) -> str:
        """Unit of every printed figure of the gap."""
        return display_unit(self.main.quantity, self.units)

    @property
    def content(self) -> tuple[ContentRow, ...]:
        """Unlike content that has a part in this gap: of a mass gap, what has a mass."""
        if self.main.quantity != "mass":
            return self.report.content
        return tuple(row for row in self.report.content if row.quantity == "mass")

    @property
    def answer(self) -> str:
        """The gap in one sentence."""
        lead = "" if self.as_found or not self.content else "With unlike content set equal,"
        return answer(self.main, self.names, although=self.although, lead=lead, units=self.units)

    @property
    def account(self) -> str:
        """What is explained, what is not, what was unlike content, and whether anything was stated."""
        told = account(self.main, self.report.removed_frac if self.content else None, self.units)
        return f"{told} {nothing_stated(self.main, self.names, self.report.duty)}".rstrip()

    def details(self, walk: Walk) -> dict[str, str]:
        """Under each bar of a comparison, the figures of both vehicles behind it; empty where none stands for it."""
        report = self.report
        pair = (
            (report.figures_x, report.figures_y)
            if walk is report.as_found
            else (report.figures_alike_x, report.figures_alike_y)
        )
        of_x, of_y = ({name: row.interval for name, row in side.items()} for side in pair)
        return {
            bar.name: change(bar.name, of_x, of_y, quantity=walk.quantity, units=self.units)
            for bar in walk.bars
        }

    def next_measurements(self, walk: Walk) -> tuple[NextMeasurement, ...]:
        """What would narrow a comparison, by the band it leaves of `narrowed`."""
        report = self.report
        return report.next_measurements if walk is report.as_found else report.next_measurements_alike

    @property
    def narrowed(self) -> str:
        """What the next measurements narrow: what is not explained, or the gap where a vehicle states no figure."""
        return RESIDUAL_NARROWED if self.main.is_stated else GAP_NARROWED

    @property
    def ends_note(self) -> str:
        """Why an end of the walk may have another band than its fact; empty where it is the fact itself."""
        if self.main.quantity == "mass" or not self.main.is_stated:
            return ""
        return (
            "Ends: the stated figures, weighed by how well the model meets them, so their bands may differ a "
            "little from those of the facts"
        )

    @property
    def conditions(self) -> str:
        """Duty, draws and seed in one line, and the study they were fixed in; masses add without drawing anything."""
        duty = f"duty {self.report.duty}, " if self.report.duty else ""
        under = f", {self.under}" if self.under else ""
        if self.main.quantity == "mass":
            return f"from the errors of the readings, without draws{under}"
        return f"{duty}{self.report.n_draws} draws, seed {self.report.seed}{under}"


def surprise(report: GapReport, *, as_found: bool) -> str:
    """What makes a range gap surprising: a battery that pulls the other way, its band clear of zero."""
    walk = report.as_found if as_found else report.normalised
    battery = next((bar for bar in walk.bars if BATTERY.name in (bar.merged or (bar.name,))), None)
    if walk.quantity != "range" or battery is None or report.battery_more_frac is None:
        return ""
    against = battery.amount.low > 0.0 > walk.gap.high or battery.amount.high < 0.0 < walk.gap.low
    more = "more" if report.battery_more_frac > 0.0 else "less"
    return f"its battery holds {per_cent(abs(report.battery_more_frac))} {more}" if against else ""
