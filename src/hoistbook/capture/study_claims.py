"""Turn a row of the claims sheet into a claim."""

from __future__ import annotations

from hoistbook.capture.fields import RowReader
from hoistbook.core.compare.claims import Claim, Relation, ThresholdIs, claim_quantity, claim_unit
from hoistbook.core.quantities.quantity import Origin, Quantity, Source, coverage_factor
from hoistbook.core.quantities.units import to_si, uncertainty_to_si


def read_claim(row: RowReader) -> Claim | None:
    """Read a claim; None when it cannot stand, which is then a fault of the row."""
    code, sentence, vehicle = row.name("claim"), row.text("sentence"), row.name("vehicle")
    relation, quantity = row.choice("relation", Relation), _quantity(row)
    means = row.choice("threshold is", ThresholdIs, ThresholdIs.ABSOLUTE) or ThresholdIs.ABSOLUTE
    threshold = _threshold(row, code, quantity, means)
    if not code or not sentence or not vehicle or relation is None or not quantity or threshold is None:
        return None
    try:
        return Claim(
            code,
            sentence,
            quantity,
            vehicle,
            relation,
            threshold,
            other=row.name("other"),
            function=row.name("function"),
            part=row.name("part"),
            threshold_is=means,
            duty=row.text("duty"),
            person=row.text("person"),
            evidence=row.text("evidence"),
            note=row.text("note"),
        )
    except ValueError as error:
        row.fault("claim", str(error), code)
        return None


def _quantity(row: RowReader) -> str:
    text = row.short("quantity")
    if not text:
        return ""
    try:
        return claim_quantity(text)
    except LookupError as error:
        row.fault("quantity", str(error.args[0]), text)
        return ""


def _threshold(row: RowReader, code: str, quantity: str, means: ThresholdIs) -> Quantity | None:
    """Threshold in SI, with the half width stated for it as a normal 95 % band."""
    value, unit_text = row.number("threshold"), row.short("unit")
    half = row.bounded("plus or minus", least=0.0, why="a band cannot be negative; type its half width.")
    if value is None or not unit_text or not quantity:
        return None
    try:
        value_si, unit = to_si(value, unit_text, expected=claim_unit(quantity, means))
    except ValueError as error:
        row.fault("unit", str(error), unit_text)
        return None
    if not half:
        return Quantity(value_si, unit, (), Origin.ASSUMED)
    half_si = uncertainty_to_si(half, value, unit_text)
    source = Source(f"claim {code}/threshold")
    return Quantity(value_si, unit, ((source, half_si / coverage_factor(float("inf"))),), Origin.ASSUMED)
