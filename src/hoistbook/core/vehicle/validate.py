"""What is wrong among the records of one vehicle: references, rings, sums, slots. Pure; every problem in one pass."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from hoistbook.core.vehicle.kinds import ACTING
from hoistbook.core.vehicle.problem import Place, Problem, listed_twice
from hoistbook.core.vehicle.records import ContentItem, Function, Node, Rule, Teardown
from hoistbook.core.vehicle.tree import parents_in_a_ring
from hoistbook.core.vehicle.validate_checks import check_reading_problems
from hoistbook.core.vehicle.validate_parts import joint_problems, measurement_problems, part_problems
from hoistbook.core.vehicle.validate_routes import reason_problems, route_problems
from hoistbook.core.vehicle.validate_shared import Names, figure_problems

# Shares typed as 33.33 + 33.33 + 33.34 must pass, a forgotten 0.1 % must not: half a part per million of the whole.
SHARE_SUM_TOLERANCE_FRAC = 5e-7


def problems(teardown: Teardown, systems: Collection[str] | None = None) -> list[Problem]:
    """Everything wrong among the records of one vehicle.

    Parameters
    ----------
    teardown : Teardown
        May be as wrong as it likes; nothing is raised.
    systems : collection of str, optional
        Codes of the taxonomy; without them the codes of the nodes are not judged.

    Returns
    -------
    list of Problem
        Empty when an engine may trust the records.

    Notes
    -----
    Judged are: names used twice, references to nothing (with the closest known names), rings of parents, functions and
    corrections, one root, counts above 0, units and signs of figures, mass without state, figures without their duty,
    two facts or readings in one slot, corrections that leave their slot, shares that do not add up, content and effects
    stated twice, routes with steps twice or missing, figures read for checks twice or with an option beside them.
    """
    names = Names(teardown)
    return [
        *_configurations(teardown),
        *_facts(teardown, names),
        *part_problems(teardown, names, systems),
        *joint_problems(teardown, names),
        *measurement_problems(teardown, names),
        *_functions(teardown, names),
        *_approaches(teardown, names),
        *_shares(teardown, names),
        *_content(teardown, names),
        *_effects(teardown, names),
        *route_problems(teardown, names),
        *reason_problems(teardown, names),
        *check_reading_problems(teardown, names),
    ]


def _configurations(teardown: Teardown) -> Iterator[Problem]:
    sheet, field = "configurations", "configuration"
    if not teardown.configurations:
        yield Problem(
            sheet, -1, "", field, "", "no configuration is listed; give at least one row, e.g. 'delivered'."
        )
    yield from listed_twice(sheet, field, teardown.configurations, lambda c: c.id, "give each its own name.")
    for index, configuration in enumerate(teardown.configurations):
        if configuration.vehicle != teardown.vehicle.code:
            message = f"belongs to another vehicle than {teardown.vehicle.code!r}."
            yield Problem(sheet, index, configuration.id, field, configuration.vehicle, message)


def _facts(teardown: Teardown, names: Names) -> Iterator[Problem]:
    slots: set[tuple[str, ...]] = set()
    for index, fact in enumerate(teardown.facts):
        place = Place("facts", index, f"{fact.configuration} {fact.quantity}")
        yield from names.unknown_configuration(place, fact.configuration)
        yield from names.unknown_instrument(place, fact.instrument)
        yield from figure_problems(place, fact.quantity, fact.value, names)
        kind = names.kinds.get(fact.quantity)
        if kind is not None and "mass_state" in kind.needs and fact.mass_state is None:
            message = (
                "a mass without its state means nothing; say curb, running order, test, as weighed or dry."
            )
            yield place.problem("mass state", "", message)
        if kind is not None and "duty" in kind.needs and not fact.duty:
            message = f"{kind.words} depends on the duty; name the cycle or use it holds for."
            yield place.problem("duty", "", message)
        state, origin = fact.mass_state.value if fact.mass_state else "", fact.value.origin.value
        slot = (fact.configuration, fact.quantity, state, fact.duty, fact.basis.value, origin)
        if slot in slots:
            message = (
                f"stated before with the same configuration, state, duty, basis and origin ({origin}); "
                "keep one, or say what differs."
            )
            yield place.problem("quantity", fact.quantity, message)
        slots.add(slot)


def _functions(teardown: Teardown, names: Names) -> Iterator[Problem]:
    functions = teardown.functions
    yield from listed_twice("functions", "function", functions, lambda f: f.code, "give each its own code.")
    yield from _words_with_two_meanings(functions)
    for index, function in enumerate(functions):
        place = Place("functions", index, function.code)
        if function.parent and function.parent not in names.functions:
            hint = names.hints(function.parent, names.function_codes)
            yield place.problem("parent", function.parent, f"no such function; {hint}")
    at = {f.code: index for index, f in reversed(list(enumerate(functions)))}
    for ring in parents_in_a_ring([Node(f.code, f.parent or None, "") for f in functions]):
        message = "these functions lie within each other in a ring; correct one parent."
        place = Place("functions", at[ring[0]], ring[0])
        yield place.problem("parent", " → ".join((*ring, ring[0])), message)


def _words_with_two_meanings(functions: tuple[Function, ...]) -> Iterator[Problem]:
    owners = {f.code.casefold(): f.code for f in functions}
    for index, function in enumerate(functions):
        for alias in function.aliases:
            owner = owners.setdefault(" ".join(alias.split()).casefold(), function.code)
            if owner != function.code:
                message = f"this word stands for function {owner} already; a word means one function."
                yield Problem("functions", index, function.code, "aliases", alias, message)


def _approaches(teardown: Teardown, names: Names) -> Iterator[Problem]:
    sheet = "approaches"
    yield from listed_twice(sheet, "approach", teardown.approaches, lambda a: a.id, "give each its own id.")
    yield from listed_twice(
        sheet,
        "function",
        teardown.approaches,
        lambda a: (a.configuration, a.function),
        "a configuration has one approach to a function.",
    )
    for index, approach in enumerate(teardown.approaches):
        place = Place(sheet, index, approach.id)
        yield from names.unknown_configuration(place, approach.configuration)
        yield from names.unknown_function(place, approach.function)


def _shares(teardown: Teardown, names: Names) -> Iterator[Problem]:
    sheet = "shares"
    yield from listed_twice(
        sheet, "approach", teardown.shares, lambda s: (s.tag, s.approach), "add the two up in one row."
    )
    sums: dict[tuple[str, str], tuple[int, float]] = {}
    for index, share in enumerate(teardown.shares):
        place = Place(sheet, index, f"{share.tag} / {share.approach}")
        yield from names.unknown_part(place, "part", share.tag)
        approach = names.approaches.get(share.approach)
        if approach is None:
            hint = names.hints(share.approach, names.approaches)
            yield place.problem("approach", share.approach, f"no such approach; {hint}")
        elif not approach.present:
            message = "this approach is marked as not present, so no part can serve it."
            yield place.problem("approach", share.approach, message)
        if not 0.0 < share.share_frac <= 1.0:
            message = "a share lies above 0 and up to 100 %."
            yield place.problem("share [%]", f"{100.0 * share.share_frac:g}", message)
        # Approaches of two configurations each divide the whole part.
        whole = (share.tag, approach.configuration if approach else "")
        first, so_far = sums.get(whole, (index, 0.0))
        sums[whole] = (first, so_far + share.share_frac)
    for (tag, _), (first, total) in sums.items():
        if abs(total - 1.0) > SHARE_SUM_TOLERANCE_FRAC:
            message = (
                f"the shares of part {tag} add up to {100.0 * total:.6g} %, not 100 %; mend or complete them."
            )
            stated = f"{100.0 * teardown.shares[first].share_frac:.6g}"
            yield Problem(sheet, first, tag, "share [%]", stated, message)


def _content(teardown: Teardown, names: Names) -> Iterator[Problem]:
    yield from listed_twice(
        "content",
        "quantity",
        teardown.content,
        lambda c: (c.item, c.quantity, c.rule.value),
        "add the two up in one row, or name them as two items.",
    )
    for index, item in enumerate(teardown.content):
        place = Place("content", index, item.item)
        if item.function:
            yield from names.unknown_function(place, item.function)
        yield from content_item_problems(place, item, names)


def content_item_problems(place: Place, item: ContentItem, names: Names) -> Iterator[Problem]:
    """Judge quantity, factor and figure of one row of unlike content; its function is judged by whoever knows them."""
    if item.quantity in names.kinds and item.quantity not in ACTING:
        message = (
            f"content on {names.kinds[item.quantity].words} acts on nothing in a comparison; state what the item "
            f"does to one of: {', '.join(ACTING)}."
        )
        yield place.problem("quantity", item.quantity, message)
    if item.rule is not Rule.SCALE:
        yield from figure_problems(place, item.quantity, item.value, names)
    elif item.quantity not in names.kinds:
        hint = names.hints(item.quantity, names.kinds)
        yield place.problem("quantity", item.quantity, f"no such quantity; {hint}")
    elif item.value.unit != "1":
        message = "the factor of a scale rule is a pure number; give the unit 1 or %."
        yield place.problem("unit", item.value.unit, message)
    elif not item.value.value > 0.0:
        message = "the factor of a scale rule must be above 0."
        yield place.problem("value", f"{item.value.value:g}", message)


def _effects(teardown: Teardown, names: Names) -> Iterator[Problem]:
    yield from listed_twice(
        "effects",
        "quantity",
        teardown.effects,
        lambda e: (e.function, e.quantity),
        "state the sum once, or split the function.",
    )
    for index, effect in enumerate(teardown.effects):
        place = Place("effects", index, f"{effect.function} {effect.quantity}")
        yield from names.unknown_function(place, effect.function)
        if effect.quantity == "mass":
            message = "mass comes from the part tree and is not typed as an effect; delete the row."
            yield place.problem("quantity", "mass", message)
        else:
            if effect.quantity in names.kinds and effect.quantity not in ACTING:
                words = names.kinds[effect.quantity].words
                message = f"an effect on {words} acts on nothing in a comparison; state one of: {', '.join(ACTING)}."
                yield place.problem("quantity", effect.quantity, message)
            # A contribution may be a gain (a fairing takes drag away), so any sign is allowed.
            yield from figure_problems(place, effect.quantity, effect.value, names, may_be_negative=True)
