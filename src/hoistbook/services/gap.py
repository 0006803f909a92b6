"""The gap between two vehicles, as found and normalised, cause by cause and decision by decision."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.causes import RESIDUAL
from hoistbook.core.compare.gap import GapDraws, normalised_side, reconcile
from hoistbook.core.compare.inference import MeasurementKind, RepeatKind
from hoistbook.core.compare.mass_walk import MassSide, mass_walk
from hoistbook.core.compare.walk import Walk, range_walk
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.quantities.assumption import Assumption, definition
from hoistbook.core.quantities.quantity import Quantity, weakest
from hoistbook.core.vehicle.records import Teardown
from hoistbook.reference.published import published_settings
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED, sides
from hoistbook.services.doubts import (
    between_two_vehicles,
    negative_draws,
    of_the_fit,
    within_one_vehicle,
    worded_doubts,
)
from hoistbook.services.gap_draws import Told, adding_up, function_words, reconciled, unheard
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass_sides import (
    CONTENT_SYSTEM,
    CONTENT_WORDS,
    alike_mass_side,
    by_function,
    figures_of,
    mass_side,
)
from hoistbook.services.next_measurements import NextMeasurement, next_measurements
from hoistbook.services.parameter_rows import ParameterRow, parameter_rows
from hoistbook.services.repeat_tests import repeats
from hoistbook.services.replaced import ReplacedFigure, replaced_of


@dataclass(frozen=True, slots=True)
class ContentRow:
    """One item of unlike content and what is done with it."""

    code: str
    item: str
    description: str
    rule: str
    quantity: str
    value: Quantity


@dataclass(frozen=True, slots=True)
class Behind:
    """Figures of one vehicle behind a gap, with the named errors that lead back to the record.

    Attributes
    ----------
    stated : Quantity or None
        Range, consumption or mass of the vehicle.
    values, values_alike : mapping of str to Quantity
        Energy parameters, or the mass of each system; as found, and normalised for a mass gap (`GapReport` has the
        parameters that content moved).
    amounts, amounts_alike : mapping of (function, parameter or system) to Quantity
        What each function contributes.
    """

    stated: Quantity | None
    values: Mapping[str, Quantity]
    values_alike: Mapping[str, Quantity]
    amounts: Mapping[tuple[str, str], Quantity]
    amounts_alike: Mapping[tuple[str, str], Quantity]


@dataclass(frozen=True, slots=True)
class GapReport:
    """A reconciled gap in both comparisons, which always stand side by side.

    Attributes
    ----------
    as_found, normalised : Walk
    removed_frac : float or None
        Share of the gap that normalising removed; None when the gap as found is nothing.
    content : tuple of ContentRow
    duty : str
        Empty for mass.
    figures_x, figures_y : mapping of field name to ParameterRow
        Energy parameters of both vehicles as found, in SI, on one basis; empty for mass.
    figures_alike_x, figures_alike_y : mapping of field name to ParameterRow
        The same normalised; a figure that content moved is no better known than that content.
    battery_more_frac : float or None
        By how much the usable battery energy of Y exceeds that of X, as a share; None for mass.
    next_measurements, next_measurements_alike : tuple of NextMeasurement
        What could be measured, by the band it is expected to leave of what is not explained as found, or normalised; of
        the whole gap where a vehicle states no figure (`Walk.is_stated`). [m] or [J/m]; empty for mass, whose
        weighings `mass_report` ranks.
    n_draws, seed : int
    behind : tuple of Behind
        Of X and Y.
    replaced : tuple of ReplacedFigure
        Figures this gap rests on that later ones took the place of.
    """

    as_found: Walk
    normalised: Walk
    removed_frac: float | None
    content: tuple[ContentRow, ...]
    duty: str
    n_draws: int
    seed: int
    figures_x: Mapping[str, ParameterRow] = field(default_factory=lambda: MappingProxyType({}))
    figures_y: Mapping[str, ParameterRow] = field(default_factory=lambda: MappingProxyType({}))
    figures_alike_x: Mapping[str, ParameterRow] = field(default_factory=lambda: MappingProxyType({}))
    figures_alike_y: Mapping[str, ParameterRow] = field(default_factory=lambda: MappingProxyType({}))
    battery_more_frac: float | None = None
    next_measurements: tuple[NextMeasurement, ...] = ()
    next_measurements_alike: tuple[NextMeasurement, ...] = ()
    behind: tuple[Behind, ...] = ()
    replaced: tuple[ReplacedFigure, ...] = ()


def gap_report(
    x: Teardown,
    y: Teardown,
    *,
    quantity: str,
    duty: str = "wltc3b",
    n_draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
    merge: bool = True,
    configuration_x: str | None = None,
    configuration_y: str | None = None,
    defaults: EnergyDefaults | None = None,
    measurements: Sequence[MeasurementKind] | None = None,
    repeat: RepeatKind | None = None,
    told: Told = unheard,
) -> GapReport:
    """Reconcile the gap from X to Y.

    Parameters
    ----------
    x, y : Teardown
    quantity : str
        "range", "energy" or "mass".
    duty : str
        For range and energy: see `duties.named_duty`.
    n_draws, seed : int
    merge : bool
        Merge causes that cannot be told apart.
    configuration_x, configuration_y : str, optional
        Needed when a vehicle has several configurations.
    defaults : EnergyDefaults, optional
        What is taken for figures nobody stated, and the prior of the residual; the packaged ones when left out.
    measurements : sequence of MeasurementKind, optional
        Instruments that could be used next; the packaged ones when left out.
    repeat : RepeatKind, optional
        How often the test behind a stated figure would be taken in all; as packaged when left out.
    told : callable
        Called with words before each step that takes long.

    Raises
    ------
    ValueError, LookupError
        Unknown quantity, duty or configuration, the same vehicle twice, or figures the engines refuse.
    """
    if x.vehicle.code == y.vehicle.code:
        msg = f"both workbooks are of vehicle {x.vehicle.code!r}: a gap needs two vehicles with codes of their own."
        raise ValueError(msg)
    if quantity == "mass":
        ids = [chosen_configuration(t, c).id for t, c in ((x, configuration_x), (y, configuration_y))]
        *walks, behind = _mass_walks(x, y, ids[0], ids[1], n_draws, seed, told)
        return replace(
            _report(walks[0], walks[1], x, y, "", n_draws, seed),
            behind=behind,
            replaced=_replaced((x, y), ids, "", quantity),
        )
    if quantity not in sides.STATED_QUANTITY:
        msg = f"no gap in {quantity!r}; known: range, energy, mass."
        raise ValueError(msg)
    made = reconciled(
        x,
        y,
        quantity=quantity,
        duty=duty,
        n_draws=n_draws,
        seed=seed,
        configuration_x=configuration_x,
        configuration_y=configuration_y,
        defaults=defaults,
        told=told,
    )
    asked, question, found, stated, decided = made.asked, made.question, made.found, made.stated, made.decided
    (of_x, of_y), (own_x, own_y), (side_x, side_y) = made.subjects, made.contributions, made.sides
    chosen, left_out, words = made.chosen, made.left_out, made.words
    doubts = (
        *worded_doubts(
            (
                *(d for t, c in chosen for d in within_one_vehicle(t, c.id, asked.duty.name)),
                *between_two_vehicles(x, y),
            ),
            quantity,
        ),
        *(d for one in (of_x, of_y) for d in negative_draws(one.code, one.fields)),
        *of_the_fit(found, (side_x, side_y), question.residual, quantity),
    )
    from_wall = any(one.resolved.usable_energy_from_wall for one in (of_x, of_y))
    assumed = (
        *((definition(stated.remark),) if stated.remark else ()),
        *(taken.of(one.code) for one in (of_x, of_y) for taken in one.resolved.assumed),
        *left_out,
    )
    as_found = _with_assumed(
        range_walk(
            question,
            found,
            side_x,
            side_y,
            decided,
            comparison="as found",
            basis=stated.basis.value,
            usable_energy_from_wall=from_wall,
            merge=merge,
        ),
        assumed,
        doubts,
    )
    told("sharing the gap with unlike content set equal")
    fields_x, alike_x, odd_x = sides.normalised(of_x, own_x)
    fields_y, alike_y, odd_y = sides.normalised(of_y, own_y)
    moved_x = normalised_side(question, side_x, fields_x, found.residual_x)
    moved_y = normalised_side(question, side_y, fields_y, found.residual_y)
    decided_alike, _ = sides.decisions(of_x, of_y, alike_x, alike_y, words)
    alike = reconcile(
        question,
        moved_x,
        moved_y,
        decided_alike,
        known_residuals=(found.residual_x, found.residual_y, found.draws),
    )
    normal = _with_assumed(
        range_walk(
            question,
            alike,
            moved_x,
            moved_y,
            decided_alike,
            comparison="normalised",
            basis=stated.basis.value,
            usable_energy_from_wall=from_wall,
            merge=merge,
        ),
        (*assumed, *odd_x, *odd_y),
        doubts,
    )
    energy_x, energy_y = (one.resolved.values["usable_energy_j"].value for one in (of_x, of_y))
    kinds = published_settings().measurements if measurements is None else measurements
    again = repeats(made, repeat or published_settings().repeat)
    told("ranking what to measure next")

    def to_measure(of: GapDraws) -> tuple[NextMeasurement, ...]:
        # Without stated figures the rest is the model's own error, which no figure of a vehicle narrows.
        target = of.shares[RESIDUAL] if as_found.is_stated else of.gap
        return next_measurements(target, of.draws, (side_x, side_y), kinds, question.surroundings, again)

    return replace(
        _report(as_found, normal, x, y, asked.duty.name, n_draws, seed),
        figures_x=_rows(of_x),
        figures_y=_rows(of_y),
        figures_alike_x=_alike_rows(of_x, fields_x),
        figures_alike_y=_alike_rows(of_y, fields_y),
        battery_more_frac=energy_y / energy_x - 1.0,
        replaced=_replaced((x, y), [c.id for _, c in chosen], asked.duty.name, quantity),
        next_measurements=to_measure(found),
        next_measurements_alike=to_measure(alike),
        behind=tuple(
            Behind(
                None if fact is None else fact.value,
                one.resolved.values,
                {},
                own.amounts,
                moved.amounts,
            )
            for one, fact, own, moved in (
                (of_x, stated.facts[0], own_x, alike_x),
                (of_y, stated.facts[1], own_y, alike_y),
            )
        ),
    )


def _rows(one: sides.Subject) -> dict[str, ParameterRow]:
    return {row.field: row for row in parameter_rows(one.resolved.values)}


def _alike_rows(one: sides.Subject, fields: Mapping[str, Array]) -> dict[str, ParameterRow]:
    """Figures as found, and those that content moved as their draws say."""
    equal = WeightedDraws.equal(one.n_draws)
    rows = _rows(one)
    for name, values in fields.items():
        if values is one.fields[name]:
            continue
        moved_by = [
            item.value.origin for item in one.teardown.content if sides.field_of(item.quantity) == name
        ]
        found = equal.interval(values)
        rows[name] = replace(
            rows[name],
            value=found.value,
            low=found.low,
            high=found.high,
            origin=weakest((one.resolved.values[name].origin, *moved_by)).value,
        )
    return rows


def _with_assumed(walk: Walk, before: tuple[Assumption, ...], doubts: tuple[str, ...]) -> Walk:
    return replace(walk, assumed=(*before, *walk.assumed), doubts=doubts)


def _report(
    found: Walk, alike: Walk, x: Teardown, y: Teardown, duty: str, n_draws: int, seed: int
) -> GapReport:
    content = tuple(
        ContentRow(t.vehicle.code, c.item, c.description, c.rule.value, c.quantity, c.value)
        for t in (x, y)
        for c in t.content
    )
    removed = None if found.gap.value == 0.0 else 1.0 - alike.gap.value / found.gap.value
    return GapReport(found, alike, removed, content, duty, n_draws, seed)


def _replaced(
    vehicles: Sequence[Teardown], configurations: Sequence[str], duty: str, gap_in: str
) -> tuple[ReplacedFigure, ...]:
    pairs = zip(vehicles, configurations, strict=True)
    return tuple(one for t, c in pairs for one in replaced_of(t, c, duty, gap_in))


def _mass_walks(
    x: Teardown, y: Teardown, configuration_x: str, configuration_y: str, n_draws: int, seed: int, told: Told
) -> tuple[Walk, Walk, tuple[Behind, ...]]:
    chosen = ((x, configuration_x), (y, configuration_y))
    figures = []
    for teardown, configuration in chosen:
        told(adding_up(teardown))
        figures.append(figures_of(teardown, configuration))
    words = function_words(x, y)
    systems = {**figures[0].system_words, **figures[1].system_words, CONTENT_SYSTEM: CONTENT_WORDS}
    assumed = (*figures[0].assumed, *figures[1].assumed)
    found = [mass_side(t, c, known) for (t, c), known in zip(chosen, figures, strict=True)]
    alike = [alike_mass_side(t, side) for (t, _), side in zip(chosen, found, strict=True)]
    doubts = worded_doubts(
        (*(d for t, c in chosen for d in within_one_vehicle(t, c, "")), *between_two_vehicles(x, y)), "mass"
    )

    def walked(pair: Sequence[MassSide], comparison: str) -> Walk:
        told(f"sharing the gap {comparison} among the systems")
        made = mass_walk(
            pair[0],
            pair[1],
            systems,
            words,
            comparison=comparison,
            n_draws=n_draws,
            seed=seed,
            assumed=assumed,
        )
        return replace(made, doubts=doubts)

    behind = tuple(
        Behind(one.stated, one.systems, moved.systems, by_function(one), by_function(moved))
        for one, moved in zip(found, alike, strict=True)
    )
    return walked(found, "as found"), walked(alike, "normalised"), behind
