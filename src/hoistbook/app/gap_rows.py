"""A gap as rows of tables and marks of drawings: what its page shows, from what was kept of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from hoistbook.app.cells import Cell, column, interval_of, of_quantity
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.causes import RESIDUAL
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text
from hoistbook.report.chart import gaining
from hoistbook.report.details import FIELD_OF_CAUSE
from hoistbook.report.figures import aligned, as_fine, certainty, figure, per_cent, shown
from hoistbook.report.theme import outline
from hoistbook.services.evidence import Evidence
from hoistbook.services.keeping import Json
from hoistbook.services.pages.gap_evidence import Behind
from hoistbook.services.pages.gap_parts import AS_FOUND, NORMALISED
from hoistbook.services.wording import quantity_words, statement_words, usual_unit

_UNIT_OF_FIELD = {one.field: one.unit for one in FIELD_OF_CAUSE.values()} | {
    kind.field: kind.example_units[0]
    for kind in reversed(QUANTITY_KINDS.values())
    if kind.field and kind.field not in {one.field for one in FIELD_OF_CAUSE.values()}
}
NOT_SEEN = "not resolved"


def walk_of(page: Json, comparison: str) -> Json:
    """One comparison of a kept gap."""
    gap: Json = page["gap"]
    return gap if comparison == NORMALISED else gap["other"]


def other_than(comparison: str) -> str:
    """The comparison beside it."""
    return AS_FOUND if comparison == NORMALISED else NORMALISED


def cause_of(walk: Json, name: str) -> Json | None:
    """A cause by its name, or the bar that holds it or a part of it here; None where there is none."""
    causes: list[Json] = walk["causes"]
    exact = next((one for one in causes if one["name"] == name), None)
    parts = set(name.split("+"))
    return (
        exact
        or next((one for one in causes if parts & set(one["merged"])), None)
        or next((one for one in causes if one["name"] in parts), None)
    )


def cause_table(page: Json, comparison: str) -> dict[str, Any]:
    """The walk as rows: causes in the order of the drawing, then what is explained, what is not, and the gap."""
    walk, side = walk_of(page, comparison), page["sides"][comparison]
    unit = walk["unit"]
    other_walk = walk_of(page, other_than(comparison))
    causes = {one["name"]: one for one in walk["causes"]}
    bars = side["bars"]
    cells = column([interval_of(causes[bar["name"]]) for bar in bars], unit, signed=True)
    others = column([interval_of(bar["other"]) for bar in bars], unit, signed=True)
    rows = [
        {
            "cause": causes[bar["name"]],
            "figures": causes[bar["name"]]["figures"] or _masses(page, comparison, bar["name"]),
            "cell": cell,
            "other": other,
            "apart": _apart(bar["apart"], unit),
            "sign": certainty(causes[bar["name"]]["p_sign"]),
            "seen": "seen" if not bar["standing"] else bar["standing"].partition(" · ")[0],
            "merged": causes[bar["name"]]["merged"],
        }
        for bar, cell, other in zip(bars, cells, others, strict=True)
    ]
    gap, gap_other = _interval(walk["gap"]), _interval(other_walk["gap"])
    numbers = aligned(
        [
            *(cell.value for cell in cells),
            as_fine(walk["explained"], gap),
            figure(gap, signed=True, unit=unit).value,
        ]
    )
    beside = aligned(
        [
            *(cell.value for cell in others),
            as_fine(other_walk["explained"], gap_other),
            figure(gap_other, signed=True, unit=unit).value,
        ]
    )
    for row, number, other in zip(rows, numbers, beside, strict=False):
        row["value"], row["other_value"] = number, other
    return {
        "rows": [row for row in rows if row["cause"]["name"] != RESIDUAL],
        "rest": next((row for row in rows if row["cause"]["name"] == RESIDUAL), None),
        "explained": numbers[-2],
        "explained_other": beside[-2],
        "gap": Cell(numbers[-1], figure(gap, signed=True, unit=unit).band),
        "gap_other": beside[-1],
        "sign": certainty(walk["gap_sign"]),
        "unit": unit,
        "unresolved": [
            row["cause"]["words"]
            for row in rows
            if row["seen"] == NOT_SEEN and row["cause"]["name"] != RESIDUAL
        ],
        "ends": [
            figure(end, unit=unit) for end in (_interval(walk["value_from"]), _interval(walk["value_to"]))
        ],
    }


def _masses(page: Json, comparison: str, system: str) -> str:
    """Mass of a system at both vehicles: "112.96 → 127.94 kg"; empty in other gaps than those of mass."""
    found = page["parameters"][comparison].get(system)
    if page["gap"]["quantity"] != "mass" or found is None or None in found["sides"]:
        return ""
    before, after = (_cell(side, "kg").value for side in found["sides"])
    return f"{before} → {after}{NARROW_SPACE}kg"


def _apart(bars: Sequence[Json], unit: str) -> str:
    """What the other comparison has instead, where it groups these causes otherwise."""
    found = (f"{bar['words']} {figure(_interval(bar), signed=True, unit=unit)}" for bar in bars)
    return "; ".join(found)


def _interval(found: Json) -> Interval:
    return Interval(found["value"], found["low"], found["high"])


def next_rows(walk: Json, worth_naming: Sequence[bool], most: int) -> list[dict[str, Any]]:
    """Measurements that would narrow the gap, with the band now and then, and its ends in % of today's."""
    found: list[dict[str, Any]] = []
    for one, worth in zip(walk["next_measurements"], worth_naming, strict=True):
        if not worth or len(found) == most:
            continue
        now, then = one["half_width_now"], one["half_width_then"]
        half = 50.0 * min(then / now, 1.0) if now else 50.0
        found.append(
            {
                "one": one,
                "now": _half(now, walk["unit"]),
                "then": _half(then, walk["unit"]),
                "left": round(50.0 - half, 1),
                "right": round(50.0 + half, 1),
            }
        )
    return found


def _half(half: float, unit: str) -> str:
    return figure(Interval(0.0, -half, half), unit=unit).band


def parameter_rows(page: Json, comparison: str, names: Sequence[str]) -> list[dict[str, Any]]:
    """Figures of both vehicles behind a cause."""
    known = page["parameters"][comparison]
    return [
        {
            "name": name,
            "words": known[name]["words"],
            "unit": unit_text(unit := _unit(name, known[name]["unit"])),
            "sides": [
                None if side is None else {"cell": _cell(side, unit), "origin": side["origin"]}
                for side in known[name]["sides"]
            ],
        }
        for name in names
        if name in known
    ]


def _unit(name: str, si: str) -> str:
    return _UNIT_OF_FIELD.get(name, si)


def _cell(found: Json, unit: str, *, signed: bool = False) -> Cell:
    interval = _interval(found)
    if unit not in ("", "1"):
        interval = shown(interval, unit)
    if interval.half_width == 0.0:
        # An exact figure is printed in full: digits that only the arithmetic made are none.
        exact = float(f"{interval.value:.9g}")
        interval = Interval(exact, exact, exact)
    told = figure(interval, unit=unit, signed=signed)
    return Cell(told.value, told.band)


def decision_rows(
    page: Json, comparison: str, cause: Json | None, codes: Sequence[str], places: Sequence[int]
) -> dict[str, Any]:
    """Decisions inside a cause, or over all of them, with the approaches, their effect and what it is worth.

    Bars share one scale, in % of their column; values left of the zero line end left of it.
    """
    walk = walk_of(page, comparison)
    unit = walk["unit"]
    lines = walk["decisions"] if cause is None else cause["decisions"]
    fields = None if cause is None else cause["fields"] or [cause["name"]]
    amounts = [_interval(one) for one in lines]
    closing = []
    if cause is not None:
        closing = [_interval(cause["unexplained"]), _interval(cause)]
    cells = column([*amounts, *closing], unit, signed=True)
    scale = _scale([*amounts, *closing[:1]])
    rows = [
        {
            "one": one,
            "cell": cell,
            "approaches": [_approach(page, one["name"], code) for code in codes],
            "effects": _effects(page, comparison, one["name"], fields),
            "also": [
                other["words"]
                for other in walk["causes"]
                if other is not cause and any(line["name"] == one["name"] for line in other["decisions"])
            ],
            "bar": _bar(amount, scale, places[gaining(page["gap"]["quantity"], amount)]),
        }
        for one, cell, amount in zip(lines, cells, amounts, strict=False)
    ]
    found: dict[str, Any] = {"rows": rows, "unit": unit, "zero": scale[0]}
    if cause is not None:
        found["rest"] = {"cell": cells[-2], "bar": _bar(closing[0], scale, None)}
        found["sum"] = cells[-1]
        found["told"] = str(figure(closing[-1], signed=True, unit=unit))
        if cause["first_in"] is not None and cause["last_in"] is not None:
            found["first"], found["last"] = (
                as_fine(cause[end], closing[-1]) for end in ("first_in", "last_in")
            )
    return found


def _approach(page: Json, function: str, code: str) -> dict[str, str]:
    found = page["approaches"].get(function, {}).get(code)
    if found is None:
        return {"words": "not recorded", "id": ""}
    if not found["present"]:
        return {"words": found["description"] or "does without", "id": found["id"]}
    return {"words": found["description"] or "recorded, not described", "id": found["id"]}


def _effects(
    page: Json, comparison: str, function: str, fields: Sequence[str] | None
) -> list[dict[str, Any]]:
    """How far the two approaches differ in each parameter: Y less X."""
    known: Mapping[str, Json] = page["contributions"][comparison].get(function, {})
    words = page["parameters"][comparison]
    found = []
    for name, one in known.items():
        if fields is not None and name not in fields:
            continue
        unit = _unit(name, one["unit"])
        found.append(
            {
                "words": words[name]["words"] if name in words else name,
                "cell": _cell(one["difference"], unit, signed=True),
                "unit": unit_text(unit),
            }
        )
    return found


def _scale(amounts: Sequence[Interval]) -> tuple[float, float]:
    """Where zero stands, in % from the left, and how many % one unit takes."""
    low = min((0.0, *(min(one.value, one.low) for one in amounts)))
    high = max((0.0, *(max(one.value, one.high) for one in amounts)))
    per_unit = 100.0 / (high - low) if high > low else 1.0
    return round(-low * per_unit, 2), per_unit


def _bar(amount: Interval, scale: tuple[float, float], place: int | None) -> dict[str, Any]:
    zero, per_unit = scale
    value, low, high = (round(zero + per_unit * end, 2) for end in (amount.value, amount.low, amount.high))
    return {
        "left": min(zero, value),
        "width": round(abs(value - zero), 2),
        "low": low,
        "high": high,
        "wash": "rest" if place is None else f"w{place + 1 if place < 5 else 0}",
    }


def origin_kind(origin: str) -> str:
    """Class of the outline of an origin."""
    return "rest" if outline(origin).hatched else origin


def content_rows(page: Json, names: Mapping[str, str]) -> list[dict[str, Any]]:
    """Unlike content with its amount in the unit people type it in."""
    found = []
    for one in page["gap"]["content"]:
        kind = None if one["rule"] == "scale" else QUANTITY_KINDS.get(one["quantity"])
        unit = (
            kind.example_units[0] if kind and kind.unit == one["unit"] and kind.example_units else one["unit"]
        )
        cell = _cell(one, unit)
        found.append(
            {
                "one": one,
                "vehicle": names.get(one["vehicle"], one["vehicle"]),
                "words": quantity_words(one["quantity"]),
                "cell": Cell(f"× {cell.value}", cell.band) if one["rule"] == "scale" else cell,
                "unit": "" if one["rule"] == "scale" else unit_text(unit),
            }
        )
    return found


def replaced_rows(page: Json, names: Mapping[str, str]) -> list[dict[str, Any]]:
    """Figures that later ones took the place of: old and new in the unit people use, by what and when."""
    found = []
    for one in page["gap"]["replaced"]:
        unit = usual_unit(one["quantity"], one["now"]["unit"])
        besides = ", ".join(filter(None, (one["mass_state"], one["duty"])))
        found.append(
            {
                "one": one,
                "vehicle": names.get(one["vehicle"], one["vehicle"]),
                "words": ", ".join(filter(None, (one["words"], besides))),
                "was": _cell(one["was"], unit),
                "now": _cell(one["now"], unit),
                "unit": unit_text(unit),
                "was_from": statement_words(one["was_from"]),
                "now_from": statement_words(one["now_from"]),
                "date": one["at"] or f"{one['entered']}, entered",
            }
        )
    return found


def evidence_groups(
    found: Sequence[Behind], names: Mapping[str, str], places: Mapping[str, int]
) -> list[dict[str, Any]]:
    """What a figure rests on as rows, vehicle by vehicle."""
    return [
        {
            "behind": one,
            "name": names[one.code],
            "place": places[one.code],
            "rows": [_row(row, struck=not row.counts) for family in one.families for row in family],
            "shared": [(name, per_cent(share)) for name, share in one.shared if share >= 0.005],
            "more_share": per_cent(one.more_frac),
        }
        for one in found
    ]


def _row(row: Evidence, *, struck: bool) -> dict[str, Any]:
    cell, unit = of_quantity(row.value, row.quantity)
    return {
        "row": row,
        "struck": struck,
        "cell": cell,
        "unit": unit,
        "share": per_cent(row.share_frac) if row.share_frac and row.share_frac >= 0.005 else "",
    }


def moved_rows(old: Json, new: Json, comparison: str) -> dict[str, Any]:
    """How the gap and its causes went from an earlier result to today's; causes that print alike are counted."""
    before, after = walk_of(old, comparison), walk_of(new, comparison)
    unit = after["unit"]
    gap = _interval(after["gap"])
    was = {one["name"]: one for one in before["causes"]}
    rows, alike = [], 0
    for one in after["causes"]:
        former = was.pop(one["name"], None)
        now = figure(_interval(one), signed=True, unit=unit)
        then = None if former is None else figure(_interval(former), signed=True, unit=unit)
        if then is not None and str(then) == str(now):
            alike += 1
            continue
        moved = "" if former is None else as_fine(one["value"] - former["value"], gap)
        rows.append({"words": one["words"], "then": then, "now": now, "moved": moved})
    rows += [
        {
            "words": one["words"],
            "then": figure(_interval(one), signed=True, unit=unit),
            "now": None,
            "moved": "",
        }
        for one in was.values()
    ]
    return {
        "rows": rows,
        "alike": alike,
        "then": figure(_interval(before["gap"]), signed=True, unit=unit),
        "now": figure(gap, signed=True, unit=unit),
        "moved": as_fine(after["gap"]["value"] - before["gap"]["value"], gap),
        "unit": unit,
    }
