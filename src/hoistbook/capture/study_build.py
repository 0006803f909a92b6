"""Turn the rows of a study workbook into records; a row with a fault still leaves a stand-in for the other checks."""

from __future__ import annotations

from collections.abc import Callable

from hoistbook.capture.build import Builder
from hoistbook.capture.faults import Findings
from hoistbook.capture.fields import RowReader
from hoistbook.capture.study_claims import read_claim
from hoistbook.core.compare.strip_plan import StepStatus, StripStep
from hoistbook.core.compare.study import (
    EqualityRow,
    Finding,
    FindingKind,
    Study,
    StudyAssumption,
    StudyContent,
    StudyVehicle,
)
from hoistbook.core.vehicle.records import Vehicle

MOST_STEPS = 100_000
"""project rule: no plan has more steps; a larger number is a slip."""


class StudyBuilder:
    """Reads rows; every ``read_…`` method returns the record, or None when the row has no name to stand under."""

    def __init__(self, findings: Findings) -> None:
        self._findings = findings

    def read_study(self, row: RowReader) -> Study | None:
        """Read the one row of the study sheet."""
        code, title, question = row.name("study"), row.text("title"), row.text("question")
        if not code:
            return None
        return Study(code, title, question, owner=row.text("owner"), note=row.text("note"))

    def read_vehicle(self, row: RowReader) -> StudyVehicle | None:
        """Read a vehicle of the study."""
        vehicle = row.name("vehicle")
        configuration, role, note = row.name("configuration"), row.text("role"), row.text("note")
        return StudyVehicle(vehicle, configuration, role, note) if vehicle else None

    def read_equality(self, row: RowReader) -> EqualityRow | None:
        """Read one property of one vehicle."""
        name, vehicle = row.name("property"), row.name("vehicle")
        equal = row.yes_no("equal")
        if not name or not vehicle:
            return None
        return EqualityRow(
            name, vehicle, row.text("value"), row.text("unit"), equal=equal, note=row.text("note")
        )

    def read_content(self, row: RowReader) -> StudyContent | None:
        """Read a row of unlike content, with the error sources it would have in the vehicle's own workbook."""
        vehicle = row.name("vehicle")
        rows = Builder(self._findings)
        rows.vehicle = Vehicle(vehicle, vehicle)
        item = rows.read_content(row)
        return StudyContent(vehicle, item) if item is not None and vehicle else None

    def read_assumption(self, row: RowReader) -> StudyAssumption | None:
        """Read an assumption."""
        name, value = row.name("assumption"), row.text("value")
        if not name:
            return None
        return StudyAssumption(name, value, row.text("source"), row.text("note"))

    def read_finding(self, row: RowReader) -> Finding | None:
        """Read a finding."""
        function, vehicles = row.name("function"), row.names("vehicles")
        kind = row.choice("finding", FindingKind, FindingKind.SAME) or FindingKind.SAME
        taken_from, compared = row.name("from"), row.text("what was compared")
        if not function:
            return None
        return Finding(
            function,
            kind,
            vehicles,
            taken_from=taken_from,
            compared=compared,
            person=row.text("person"),
            at=row.text("time"),
            evidence=row.text("evidence"),
            note=row.text("note"),
        )

    def read_step(self, row: RowReader) -> StripStep | None:
        """Read a step of the strip plan."""
        number = row.bounded(
            "step", above=0.0, most=MOST_STEPS, why=f"steps are numbered above 0 and up to {MOST_STEPS:,}."
        )
        vehicle, what = row.name("vehicle"), row.text("what")
        status = row.choice("status", StepStatus, StepStatus.PLANNED) or StepStatus.PLANNED
        before, recorded = row.names("record before removal"), row.names("recorded")
        if number is None or not vehicle:
            return None
        return StripStep(
            number,
            vehicle,
            what,
            who=row.text("who"),
            tools=row.text("tools"),
            record_before=before,
            recorded=recorded,
            status=status,
            evidence=row.text("evidence"),
            note=row.text("note"),
        )

    def readers(self) -> dict[str, Callable[[RowReader], object | None]]:
        """Return the method that reads a row of each sheet, in the order of the workbook."""
        return {
            "study": self.read_study,
            "vehicles": self.read_vehicle,
            "equality": self.read_equality,
            "content": self.read_content,
            "assumptions": self.read_assumption,
            "findings": self.read_finding,
            "strip plan": self.read_step,
            "claims": read_claim,
        }
