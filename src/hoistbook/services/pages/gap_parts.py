"""A gap cut to what its page shows: both comparisons with their drawings, and what every figure in them rests on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping

from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.causes import CAUSE_OF_FIELD
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.approaches import approach_parts
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.report.chart import standing
from hoistbook.report.figures import figure, shown
from hoistbook.report.pairing import paired
from hoistbook.report.render import inside_page
from hoistbook.report.sentences import end_word, limit_sentence, limit_word, test_word
from hoistbook.report.theme import SHEET
from hoistbook.services.as_json.gap import gap_json
from hoistbook.services.as_json.parts import Json, interval, quantity
from hoistbook.services.gap import Behind
from hoistbook.services.gap_drawing import walk_drawing
from hoistbook.services.gap_draws import function_words
from hoistbook.services.gap_view import GapView
from hoistbook.services.grounds import Ground, Grounds, Sources
from hoistbook.services.mass import UNASSIGNED_SYSTEM
from hoistbook.services.sides import STATED_QUANTITY, field_of
from hoistbook.services.touched import touching_remarks
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KIND_OF

AS_FOUND, NORMALISED = "as found", "normalised"
COMPARISONS = (NORMALISED, AS_FOUND)
WIDTHS_PX = {"wide": 1344.0, "narrow": 966.0}
"""Of the drawing with its margins: what a sheet of 1440 px, and one of 1024 px, leaves for it."""
_DRAG = {"drag_force_n": ("drag_torque",)}


def page_json(
    views: Mapping[str, GapView],
    vehicles: tuple[Teardown, Teardown],
    configurations: tuple[str, str],
    places: tuple[int, int],
) -> Json:
    """What the page of a gap shows.

    Parameters
    ----------
    views : mapping of comparison to GapView
    vehicles : pair of Teardown
        X and Y with the content of the study.
    configurations : pair of str
    places : pair of int
        In the study: they decide colours and marks.

    Returns
    -------
    dict
        `gap` as `hoistbook gap --json` prints it; of each comparison its sentences, drawings, the pairing of its bars
        with the other's, parameters and contributions; the approaches to every function.
    """
    main = views[NORMALISED]
    words = function_words(*vehicles)
    return {
        "gap": gap_json(main),
        "sides": {name: _side(view, places) for name, view in views.items()},
        "parameters": {name: _parameters(view) for name, view in views.items()},
        "contributions": {
            name: _contributions(main.report.behind, alike=name == NORMALISED) for name in views
        },
        "stated": [None if one.stated is None else quantity(one.stated) for one in main.report.behind],
        "approaches": _approaches(vehicles, configurations),
        "configurations": list(configurations),
        "functions": words,
        "reported": {one.vehicle.code: list(touching_remarks(one, main.main.quantity)) for one in vehicles},
        "removed_frac": main.report.removed_frac if main.content else None,
        "has_content": bool(main.content),
    }


def _side(view: GapView, places: tuple[int, int]) -> Json:
    main, unit = view.main, view.unit
    half = main.detection_limit
    limit = figure(shown(interval_around(half), unit), unit=unit).band or "0"
    return {
        "answer": view.answer,
        "account": view.account,
        "drawings": {
            name: inside_page(
                walk_drawing(view, places=places, theme=SHEET, width_px=width, headed=False), view.answer
            )
            for name, width in WIDTHS_PX.items()
        },
        "bars": [
            {
                "name": pair.bar.name,
                "standing": standing(pair.bar),
                "other": None if pair.other is None else interval(shown(pair.other.amount, unit)),
                "apart": [{"words": bar.words, **interval(shown(bar.amount, unit))} for bar in pair.apart],
            }
            for pair in paired(main, view.other, view.report.as_found)
        ],
        "ends": [end_word(main, place, view.other) for place in (0, 1)],
        "limit": limit,
        "limit_words": limit_word(main),
        "limit_sentence": limit_sentence(main, f"{limit}\u202f{unit}"),
        "test_words": test_word(main),
        "is_stated": main.is_stated,
        "conditions": view.conditions,
        "ends_note": view.ends_note,
        "remarks": [{"told": one.told, "separate_by": list(one.separate_by)} for one in main.remarked],
        "worth_naming": [one.is_worth_naming for one in view.next_measurements(main)],
    }


def interval_around(half: float) -> Interval:
    """A band of that half width around nothing."""
    return Interval(0.0, -half, half)


def _parameters(view: GapView) -> Json:
    """Figures of both vehicles behind the causes: energy parameters, or the mass of each system."""
    report, as_found = view.report, view.as_found
    if report.as_found.quantity != "mass":
        pair = (
            (report.figures_x, report.figures_y)
            if as_found
            else (report.figures_alike_x, report.figures_alike_y)
        )
        return {
            name: {
                "words": row.words,
                "unit": row.unit,
                "sides": [{**interval(one.interval), "origin": one.origin} for one in (row, pair[1][name])],
            }
            for name, row in pair[0].items()
            if name in CAUSE_OF_FIELD
        }
    values = [one.values if as_found else one.values_alike for one in report.behind]
    words = {bar.name: bar.words for bar in view.main.bars}
    return {
        name: {
            "words": words.get(name, name),
            "unit": "kg",
            "sides": [None if name not in one else _figure(one[name]) for one in values],
        }
        for name in dict.fromkeys([*values[0], *values[1]])
    }


def _figure(found: Quantity) -> Json:
    low, high = found.band()
    return {"value": found.value, "low": low, "high": high, "origin": found.origin.value}


def _contributions(behind: tuple[Behind, ...], *, alike: bool) -> Json:
    """What each function contributes at both vehicles, and the difference, whose shared errors cancel."""
    amounts = [one.amounts_alike if alike else one.amounts for one in behind]
    found: dict[str, Json] = defaultdict(dict)
    for key in dict.fromkeys([*amounts[0], *amounts[1]]):
        function, name = key
        of_x, of_y = (one.get(key) for one in amounts)
        unit = (of_x or of_y or Quantity(0.0, "1")).unit
        nothing = Quantity(0.0, unit)
        found[function][name] = {
            "unit": unit,
            "sides": [None if one is None else _figure(one) for one in (of_x, of_y)],
            "difference": quantity((of_y or nothing) - (of_x or nothing)),
        }
    return dict(found)


def _approaches(vehicles: Iterable[Teardown], configurations: Iterable[str]) -> Json:
    found: dict[str, Json] = defaultdict(dict)
    for one, configuration in zip(vehicles, configurations, strict=True):
        for approach in one.approaches:
            if approach.configuration == configuration:
                found[approach.function][one.vehicle.code] = {
                    "id": approach.id,
                    "present": approach.present,
                    "description": approach.description,
                }
    return dict(found)


def evidence_json(
    view: GapView, vehicles: tuple[Teardown, Teardown], configurations: tuple[str, str]
) -> Json:
    """What every figure of the gap rests on, by vehicle.

    Returns
    -------
    dict
        Of each vehicle: grounds of its stated figure, of each parameter or system, of each function's contributions;
        tags of the parts of each function and system; ids of its approaches.
    """
    quantity_ = view.main.quantity
    return {
        one.vehicle.code: _grounds(one, configuration, behind, quantity_)
        for one, configuration, behind in zip(vehicles, configurations, view.report.behind, strict=True)
    }


def _grounds(one: Teardown, configuration: str, behind: Behind, gap_in: str) -> Json:
    sources = Sources(one)
    is_mass = gap_in == "mass"
    content = KIND_OF[models.ContentItem]
    by_field: dict[str, list[Ground]] = defaultdict(list)
    by_function: dict[str, list[Ground]] = defaultdict(list)
    for item in one.content:
        ground = Ground(content.sheet, content.slot(item), 0.0)
        by_field[field_of(item.quantity)].append(ground)
        by_function[item.function].append(ground)
    functions: dict[str, Json] = defaultdict(dict)
    for (function, name), amount in {**behind.amounts_alike, **behind.amounts}.items():
        functions[function][name] = _grounds_json(sources.behind(amount), by_function.get(function, ()))
    stated = ("mass",) if is_mass else (STATED_QUANTITY[gap_in],)
    return {
        "configuration": configuration,
        "stated": None
        if behind.stated is None
        else _grounds_json(sources.behind(behind.stated, stated, configuration)),
        "values": {
            name: _grounds_json(
                sources.behind(value, () if is_mass else _quantities_of(name), configuration),
                by_field.get(name, ()),
            )
            for name, value in {**behind.values_alike, **behind.values}.items()
            if is_mass or name in CAUSE_OF_FIELD
        },
        "functions": dict(functions),
        **_parts(one, configuration),
    }


def _quantities_of(field: str) -> Collection[str]:
    return [kind.key for kind in QUANTITY_KINDS.values() if kind.field == field] + list(_DRAG.get(field, ()))


def _grounds_json(found: Grounds, besides: Iterable[Ground] = ()) -> Json:
    rows = [*found.named, *besides]
    return {
        "rows": [[one.sheet, one.name, one.share_frac] for one in rows],
        "more": found.more,
        "more_frac": found.more_frac,
    }


def _parts(one: Teardown, configuration: str) -> Json:
    """Tags of the parts of each function and system, and ids of the approaches."""
    if not one.nodes:
        return {"parts": {}, "systems": {}, "approaches": {}}
    function_of = {a.id: a.function for a in one.approaches if a.configuration == configuration}
    parts: dict[str, list[str]] = defaultdict(list)
    approaches: dict[str, list[str]] = defaultdict(list)
    for approach, tags in approach_parts(one).items():
        if approach in function_of:
            approaches[function_of[approach]].append(approach)
            parts[function_of[approach]] += [tag for tag, _ in tags]
    tree, known = PartTree(one.nodes), taxonomy()
    systems: dict[str, list[str]] = defaultdict(list)
    for tag in tree.order:
        code = tree.system(tag)
        systems[known.system(code).code if code in known else UNASSIGNED_SYSTEM].append(tag)
    return {"parts": dict(parts), "systems": dict(systems), "approaches": dict(approaches)}
