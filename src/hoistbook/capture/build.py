"""Turn the rows of every sheet into records; a row with a fault still leaves a stand-in, so that references resolve."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from hoistbook.capture.check_rows import KnownChecks, read_check_row
from hoistbook.capture.faults import Findings
from hoistbook.capture.fields import RowReader
from hoistbook.capture.figures import (
    Band,
    Typed,
    from_band,
    from_instrument,
    of_quantity,
    read_band,
    read_kind,
    read_shared,
    read_value,
    stand_in,
    unusual,
)
from hoistbook.capture.instruments import read_instrument
from hoistbook.core.checks import CHECKS
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.vehicle.approaches import FunctionTree
from hoistbook.core.vehicle.records import (
    Approach,
    Basis,
    CheckReading,
    Configuration,
    ContentItem,
    Effect,
    Fact,
    Function,
    Joint,
    MassState,
    Measurement,
    Method,
    Node,
    NodeKind,
    Reason,
    ReasonKind,
    RouteStep,
    Rule,
    Scope,
    Seen,
    Share,
    SubjectKind,
    Vehicle,
)

MOST_PIECES = 1_000_000
"""project rule: no vehicle holds more pieces of one kind; a larger number is a slip."""

_ORIGIN_OF_METHOD = {
    Method.WEIGHED: Origin.MEASURED,
    Method.MEASURED: Origin.MEASURED,
    Method.COMPUTED: Origin.INFERRED,
    Method.ESTIMATED: Origin.ASSUMED,
    Method.LITERATURE: Origin.PUBLISHED,
}


class Builder:
    """Reads rows of the sheets in the order vehicle, instruments, functions, then the rest.

    Every ``read_…`` method takes one row and returns its record, or None when the row has no name to stand under.
    """

    def __init__(self, findings: Findings) -> None:
        self.findings = findings
        self.vehicle = Vehicle("?", "?")
        self.instruments: dict[str, Instrument] = {}
        self.broken_instruments: set[str] = set()
        self.functions = FunctionTree(())
        self.replicate_blank: set[str] = set()
        self.typed_over_instrument = 0
        self.fluids: set[str] = set()
        self.unusual: list[str] = []
        self.band_of_check = 0
        self._checks = KnownChecks(CHECKS)

    def read_vehicle(self, row: RowReader) -> Vehicle | None:
        """Read the one row of the vehicle sheet."""
        code, name = row.name("code"), row.name("name")
        year = row.bounded(
            "model year",
            least=1000,
            most=9999,
            whole=True,
            why="the model year is a whole number of four digits.",
        )
        if not code:
            return None
        return Vehicle(
            code,
            name,
            maker=row.text("maker"),
            family=row.text("family"),
            model_year=None if year is None else int(year),
            vin=row.text("VIN"),
            delivered=row.text("delivered"),
            note=row.text("note"),
        )

    def read_configuration(self, row: RowReader) -> Configuration | None:
        """Read a configuration."""
        name = row.name("configuration")
        if not name:
            return None
        return Configuration(
            name, self.vehicle.code, row.text("wheels"), row.text("options"), row.text("note")
        )

    def read_instrument(self, row: RowReader) -> Instrument | None:
        """Read an instrument and keep it for the readings that name it."""
        found = read_instrument(row)
        if found is None:
            return None
        instrument, sound = found
        if instrument.id in self.instruments:
            row.fault(
                "instrument",
                f"{instrument.id!r} is listed twice; give each instrument its own id.",
                instrument.id,
            )
        self.instruments.setdefault(instrument.id, instrument)
        if not sound:
            self.broken_instruments.add(instrument.id)
        return instrument

    def read_function(self, row: RowReader) -> Function | None:
        """Read a function."""
        code, name = row.name("function"), row.text("name")
        parent, aliases = row.name("parent"), row.names("aliases")
        return Function(code, name, parent, aliases) if code else None

    def function_code(self, row: RowReader, header: str = "function") -> str:
        """Code of the function a cell names by code, name or alias; the text itself where there is none."""
        text = row.name(header)
        found = self.functions.find(text) if text else None
        return found.code if found else text

    def read_fact(self, row: RowReader) -> Fact | None:
        """Read a fact."""
        configuration, kind = row.name("configuration"), read_kind(row)
        typed = read_value(row, kind)
        band = read_band(row, with_meaning=True)
        origin = Origin(row.word("origin") or Origin.ASSUMED.value)
        basis = row.choice("basis", Basis, Basis.SPECIMEN) or Basis.SPECIMEN
        state, duty, instrument = (
            row.choice("mass state", MassState),
            row.text("duty"),
            row.name("instrument"),
        )
        if kind is not None and "mass_state" not in kind.needs and state is not None:
            row.fault("mass state", f"{kind.words} has no mass state; clear the cell.", state.value)
        if typed is not None and (remark := unusual(typed)):
            self.unusual.append(f"unusual: facts row {row.place}: {remark}")
        slot = [
            self.vehicle.code,
            configuration,
            of_quantity(kind, row.seen("quantity")),
            state.value if state else "",
            duty,
            basis.value,
            origin.value,
        ]
        value = self._figure(
            row, typed, band, instrument, "/".join(part for part in slot if part), origin, shares=True
        )
        return Fact(
            configuration,
            slot[2],
            value or stand_in(kind),
            mass_state=state,
            duty=duty,
            basis=basis,
            instrument=instrument,
            evidence=row.text("evidence"),
            note=row.text("note"),
        )

    def _figure(
        self,
        row: RowReader,
        typed: Typed | None,
        band: Band | None,
        instrument: str,
        name: str,
        origin: Origin,
        *,
        shares: bool = False,
        otherwise: Quantity | None = None,
    ) -> Quantity | None:
        """Make the quantity of a row from its own band, else from its instrument.

        Without either the row stands for `otherwise`; where there is no such figure it has a fault.
        """
        if typed is None:
            return None
        shared = read_shared(row, typed) if shares else None
        if band is not None:
            self.typed_over_instrument += bool(instrument)
            return from_band(typed, band, name, origin, shared)
        if row.is_faulty("plus or minus") or row.is_faulty("shape") or row.is_faulty("band is"):
            return None
        if not instrument and otherwise is not None:
            self.band_of_check += 1
            return otherwise
        if not instrument:
            row.fault(
                "plus or minus",
                "there is no band and no instrument to take it from; type the half width of the "
                "band, or 0 if the figure is exact.",
            )
            return None
        found = self.instruments.get(instrument)
        if found is None or instrument in self.broken_instruments:
            return None  # an unknown instrument is reported with the other references, a broken one in its own row
        quantity = from_instrument(row, typed, found, name, shared)
        return None if quantity is None else replace(quantity, origin=origin)

    def read_node(self, row: RowReader) -> Node | None:
        """Read a line of the part tree."""
        tag, parent, name = row.name("tag"), row.name("parent"), row.text("name")
        kind = row.choice("kind", NodeKind, NodeKind.PART) or NodeKind.PART
        count = row.bounded(
            "count", above=0.0, why="the count is the number of pieces in one piece of the parent, above 0."
        )
        if kind is NodeKind.FLUID:
            self.fluids.add(tag)
        if count is not None:
            self._countable(row, "count", tag, count)
        if not tag:
            return None
        return Node(
            tag,
            parent or None,
            name,
            kind=kind,
            count=1.0 if count is None else count,
            system=row.name("system").upper(),
            function=self.function_code(row),
            side=row.text("side"),
            material=row.text("material"),
            note=row.text("note"),
        )

    def _countable(self, row: RowReader, header: str, tag: str, number: float) -> None:
        """Fault a number of pieces that nobody counts; a count per parent may be a share of a piece."""
        if number > MOST_PIECES:
            row.fault(header, f"more than {MOST_PIECES:,} pieces; check the number.", row.seen(header))
        elif header == "pieces" and not number.is_integer() and tag not in self.fluids:
            row.fault(
                header,
                "pieces are counted 1, 2, 3 …; only of a fluid there may be a part of one.",
                row.seen(header),
            )

    def read_joint(self, row: RowReader) -> Joint | None:
        """Read a joint."""
        joint, parts, process = row.name("joint"), row.names("parts"), row.text("process")
        count = row.bounded(
            "fastener count",
            least=0.0,
            most=MOST_PIECES,
            whole=True,
            why=f"the number of fasteners is a whole number from 0 to {MOST_PIECES:,}.",
        )
        if not joint:
            return None
        return Joint(
            joint,
            parts,
            process,
            fastener=row.name("fastener"),
            fastener_count=0 if count is None else int(count),
            drive=row.text("drive"),
            access=row.text("access"),
            removable=row.yes_no("removable"),
            note=row.text("note"),
        )

    def read_measurement(self, row: RowReader) -> Measurement | None:
        """Read a reading."""
        reading, subject, kind = row.name("reading"), row.name("of"), read_kind(row)
        typed = read_value(row, kind)
        usual = Method.WEIGHED if kind is not None and kind.key == "mass" else Method.MEASURED
        method = row.choice("method", Method, usual) or usual
        half = row.bounded("plus or minus", least=0.0, why="a band cannot be negative; type its half width.")
        band, instrument = None if half is None else Band(half), row.name("instrument")
        value = self._figure(
            row, typed, band, instrument, f"{self.vehicle.code}/{reading}", _ORIGIN_OF_METHOD[method]
        )
        pieces = row.bounded("pieces", above=0.0, why="the number of pieces on the scale together, above 0.")
        covers = row.covers("covers")
        if pieces is not None:
            self._countable(row, "pieces", subject, pieces)
        for tag, number in covers:
            self._countable(row, "covers", tag, number)
        replicate = row.bounded("replicate", least=1.0, whole=True, why="replicates count 1, 2, 3 …")
        if not reading:
            return None
        if replicate is None:
            self.replicate_blank.add(reading)
        return Measurement(
            reading,
            subject,
            of_quantity(kind, row.seen("quantity")),
            value or stand_in(kind),
            subject_kind=row.choice("subject kind", SubjectKind, SubjectKind.PART) or SubjectKind.PART,
            pieces=1.0 if pieces is None else pieces,
            scope=row.choice("scope", Scope, Scope.SELF) or Scope.SELF,
            replicate=1 if replicate is None else int(replicate),
            method=method,
            instrument=instrument,
            person=row.text("person"),
            at=row.text("time"),
            evidence=row.text("evidence"),
            covers=covers,
            supersedes=row.name("supersedes"),
            note=row.text("note"),
        )

    def read_approach(self, row: RowReader) -> Approach | None:
        """Read an approach."""
        approach, configuration = row.name("approach"), row.name("configuration")
        function, present = self.function_code(row), row.yes_no("present")
        if not approach:
            return None
        return Approach(approach, configuration, function, present is not False, row.text("description"))

    def read_share(self, row: RowReader) -> Share | None:
        """Read a share."""
        part, approach = row.name("part"), row.name("approach")
        percent = row.bounded("share [%]", above=0.0, why="a share lies above 0 and up to 100 %.")
        if not part or not approach:
            return None
        return Share(part, approach, 0.0 if percent is None else percent / 100.0)

    def read_content(self, row: RowReader) -> ContentItem | None:
        """Read a content item."""
        item, description, kind = row.name("item"), row.text("description"), read_kind(row)
        rule = row.choice("rule", Rule, Rule.STRIP) or Rule.STRIP
        typed = read_value(row, kind, expected="1" if rule is Rule.SCALE else None)
        half = row.bounded("plus or minus", least=0.0, why="a band cannot be negative; type its half width.")
        name = f"{self.vehicle.code}/content/{item}/{of_quantity(kind, row.seen('quantity'))}/{rule.value}"
        value = self._figure(row, typed, None if half is None else Band(half), "", name, Origin.ASSUMED)
        if not item:
            return None
        return ContentItem(
            item,
            description,
            rule,
            of_quantity(kind, row.seen("quantity")),
            value or (Quantity(1.0, "1") if rule is Rule.SCALE else stand_in(kind)),
            function=self.function_code(row),
            note=row.text("note"),
        )

    def read_effect(self, row: RowReader) -> Effect | None:
        """Read an effect."""
        function, kind = self.function_code(row), read_kind(row)
        typed = read_value(row, kind)
        band = read_band(row, with_meaning=False)
        origin = Origin(row.word("origin") or Origin.ASSUMED.value)
        quantity = of_quantity(kind, row.seen("quantity"))
        value = self._figure(
            row, typed, band, "", f"{self.vehicle.code}/effect/{function}/{quantity}", origin, shares=True
        )
        if not function:
            return None
        return Effect(function, quantity, value or stand_in(kind), row.text("evidence"), row.text("note"))

    def read_route(self, row: RowReader) -> RouteStep | None:
        """Read a step of a route."""
        part, process = row.name("part"), row.text("process")
        number = row.bounded("step", least=1.0, most=99.0, whole=True, why="steps count 1, 2, 3 … up to 99.")
        options: list[tuple[str, str]] = []
        for one in filter(None, (piece.strip() for piece in row.text("options").split(";"))):
            name, colon, option = (piece.strip() for piece in one.partition(":"))
            if not (name and colon and option):
                row.fault("options", "write each choice as name: option, separated by ;", one)
            elif name in dict(options):
                row.fault("options", f"{name} is chosen twice; keep one.", one)
            else:
                options.append((name, option))
        if not part:
            return None
        return RouteStep(
            part,
            1 if number is None else int(number),
            process,
            tuple(options),
            material=row.text("material"),
            seen=row.choice("seen", Seen, Seen.OBSERVED) or Seen.OBSERVED,
            evidence=row.text("evidence"),
            note=row.text("note"),
        )

    def read_reason(self, row: RowReader) -> Reason | None:
        """Read why a part is a part of its own."""
        part, kind = row.name("part"), row.choice("because", ReasonKind, None)
        text, policy = row.text("in words"), row.text("policy")
        if kind is ReasonKind.COMES_OFF and not policy and not row.is_faulty("policy"):
            row.fault("policy", "what comes off depends on the service or assembly assumed; state it.")
        if not part:
            return None
        return Reason(part, kind or ReasonKind.BOUGHT, text, policy)

    def read_check_reading(self, row: RowReader) -> CheckReading | None:
        """Read a figure, or a choice, that a check asks for."""
        return read_check_row(row, self.vehicle.code, self._checks, self._figure)

    def inherit_replicates(self, readings: list[Measurement]) -> list[Measurement]:
        """Give a correction whose replicate was left blank the replicate of the reading it corrects."""
        by_id = {m.id: m for m in readings}

        def settled(reading: Measurement) -> Measurement:
            walked = {reading.id}
            source = reading
            while (
                source.id in self.replicate_blank
                and source.supersedes in by_id
                and source.supersedes not in walked
            ):
                walked.add(source.supersedes)
                source = by_id[source.supersedes]
            return (
                reading
                if source.replicate == reading.replicate
                else replace(reading, replicate=source.replicate)
            )

        return [settled(reading) if reading.supersedes else reading for reading in readings]

    def readers(self) -> dict[str, Callable[[RowReader], object | None]]:
        """Return the method that reads a row of each sheet, in the order the sheets must be read."""
        return {
            "vehicle": self.read_vehicle,
            "configurations": self.read_configuration,
            "instruments": self.read_instrument,
            "functions": self.read_function,
            "facts": self.read_fact,
            "parts": self.read_node,
            "joints": self.read_joint,
            "measurements": self.read_measurement,
            "approaches": self.read_approach,
            "shares": self.read_share,
            "content": self.read_content,
            "effects": self.read_effect,
            "routes": self.read_route,
            "reasons": self.read_reason,
            "checks": self.read_check_reading,
        }
