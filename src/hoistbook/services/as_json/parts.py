"""What every result is made of as JSON: intervals, quantities and the walk of a gap."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from hoistbook.core.compare.bars import Bar, DecisionBar, Interval
from hoistbook.core.compare.causes import CAUSES
from hoistbook.core.quantities.assumption import Assumption
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.units import from_si
from hoistbook.report.figures import display_unit, shown
from hoistbook.services.parameter_rows import ParameterRow
from hoistbook.services.replaced import ReplacedFigure
from hoistbook.services.wording import quantity_words

if TYPE_CHECKING:
    from hoistbook.core.compare.walk import Walk

Json = dict[str, Any]

_FIELDS = {cause.name: cause.fields for cause in CAUSES}


def interval(found: Interval) -> Json:
    """Value and ends of the 95 % band."""
    return {"value": found.value, "low": found.low, "high": found.high}


def optional_interval(found: Interval | None) -> Json | None:
    """The same, or nothing where nothing is known."""
    return None if found is None else interval(found)


def quantity(found: Quantity) -> Json:
    """A quantity in SI with its 95 % band and origin."""
    low, high = found.band()
    return {"value": found.value, "low": low, "high": high, "unit": found.unit, "origin": found.origin.value}


def assumed(records: Iterable[Assumption]) -> list[Json]:
    """What was assumed, as records; `value` and the half width its source states are in SI."""
    return [
        {
            "kind": one.kind.value,
            "text": one.text,
            "owners": list(one.owners),
            "field": one.field,
            "value": None if one.value is None else quantity(one.value),
            "half_width": one.half_width,
            "mark": one.mark,
            "source": one.source,
            "about": [{"function": function, "field": field} for function, field in one.about],
        }
        for one in records
    ]


def replaced(found: Iterable[ReplacedFigure]) -> list[Json]:
    """Figures that later ones took the place of, in SI; `apart` is by how much the two bands do not meet."""
    return [
        {
            "vehicle": figure.vehicle,
            "quantity": figure.one.now.quantity,
            "words": quantity_words(figure.one.now.quantity),
            "mass_state": figure.one.now.mass_state.value if figure.one.now.mass_state else None,
            "duty": figure.one.now.duty or None,
            "was": quantity(figure.one.was.value),
            "was_from": figure.one.was_from,
            "now": quantity(figure.one.now.value),
            "now_from": figure.one.now_from,
            "at": figure.one.at or None,
            "entered": figure.one.entered,
            "apart": figure.apart,
        }
        for figure in found
    ]


def parameter(row: ParameterRow) -> Json:
    """One parameter of the energy model in SI."""
    return {
        "name": row.field,
        "words": row.words,
        "value": row.value,
        "low": row.low,
        "high": row.high,
        "unit": row.unit,
        "origin": row.origin,
    }


def walk(found: Walk, under: Mapping[str, str] = MappingProxyType({})) -> Json:
    """One comparison of a gap in its unit of display; causes add up to the gap, decisions and rest to their cause.

    Parameters
    ----------
    found : Walk
    under : mapping of bar name to str
        The figures of both vehicles behind each bar.
    """
    unit = display_unit(found.quantity)
    return {
        "comparison": found.comparison,
        "unit": unit,
        "value_from": interval(shown(found.value_x, unit)),
        "value_to": interval(shown(found.value_y, unit)),
        "gap": interval(shown(found.gap, unit)),
        "gap_sign": found.gap_sign,
        "detection_limit": from_si(found.detection_limit, unit),
        "explained": from_si(found.explained, unit),
        "causes": [_cause(bar, unit, under.get(bar.name, "")) for bar in found.bars],
        "decisions": [_decision(line, unit) for line in found.decisions],
        "doubts": list(found.doubts),
        "value_from_is": found.end_words[0],
        "value_to_is": found.end_words[1],
        "basis": found.basis,
        "decided": interval(shown(found.decided, unit)),
        "undecided": interval(shown(found.undecided, unit)),
        "not_compared": list(found.not_compared),
        "remarks": list(found.remarks),
        "assumptions": list(found.assumptions),
        "assumed": assumed(found.assumed),
        "effective_draws": found.effective_draws,
        "closing_error": from_si(found.closing_error, unit),
    }


def _cause(bar: Bar, unit: str, under: str) -> Json:
    return {
        "name": bar.name,
        "words": bar.words,
        **interval(shown(bar.amount, unit)),
        "origin": bar.origin,
        "merged": list(bar.merged),
        "resolved": bar.resolved,
        "p_sign": bar.p_sign,
        "first_in": None if bar.first_in is None else from_si(bar.first_in, unit),
        "last_in": None if bar.last_in is None else from_si(bar.last_in, unit),
        "decisions": [_decision(line, unit) for line in bar.decisions],
        "unexplained": interval(shown(bar.unexplained, unit)),
        "remark": bar.remark,
        "separate_by": list(bar.separate_by),
        "figures": under,
        "fields": [name for part in bar.merged or (bar.name,) for name in _FIELDS.get(part, ())],
    }


def _decision(line: DecisionBar, unit: str) -> Json:
    return {
        "name": line.name,
        "words": line.words,
        **interval(shown(line.amount, unit)),
        "origin": line.origin or None,
    }
