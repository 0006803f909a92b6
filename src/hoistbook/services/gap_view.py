"""A gap report and how it is looked at."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.compare.walk import Walk
from hoistbook.report.figures import METRIC, display_unit
from hoistbook.report.sentences import account, answer, nothing_stated
from hoistbook.services.gap import ContentRow, GapReport


@dataclass(frozen=True, slots=True)
class GapView:
    """A gap report, the names in it, which comparison is spoken of, what makes it surprising, and in what units."""

    report: GapReport
    names: tuple[str, str]
    as_found: bool = False
    although: str = ""
    units: str = METRIC

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

    @property
    def conditions(self) -> str:
        """Duty, draws and seed in one line."""
        duty = f"duty {self.report.duty}, " if self.report.duty else ""
        return f"{duty}{self.report.n_draws} draws, seed {self.report.seed}"
