"""Readings nobody took, estimated from those that were: a relation of geometry times a shape factor with its range.

Nothing is estimated in silence: each estimate comes with a sentence and a band that holds the range of its factor.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from hoistbook.core.cost.figure import TRADE, Figure
from hoistbook.core.cost.inputs import INPUTS, known_input
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Material
from hoistbook.core.quantities.quantity import Origin, Quantity, Source, combine

DENSITY = "material_density_kg_per_m3"


@dataclass(frozen=True, slots=True)
class Relation:
    """How one reading follows from others.

    Attributes
    ----------
    target : str
    sources : tuple of str
        Readings it takes, and the density where it needs it.
    formula : callable
        Of the values in that order, to the value before the shape factor. [SI]
    words : str
        The formula as people write it.
    factor : Figure
        Shape factor: 1 for the body the formula is exact for. [1]
    """

    target: str
    sources: tuple[str, ...]
    formula: Callable[..., float]
    words: str
    factor: Figure

    @property
    def name(self) -> str:
        """Name of its factor: target and what it is taken from."""
        return self.factor.name


def _relation(
    target: str,
    sources: tuple[str, ...],
    formula: Callable[..., float],
    words: str,
    factor: tuple[float, float, float],
    note: str,
) -> Relation:
    name = f"{target} from {', '.join('density' if one == DENSITY else one for one in sources)}"
    return Relation(target, sources, formula, words, Figure(name, note, "1", *factor, *TRADE))


def _tube_wall(mass: float, density: float, diameter: float, length: float) -> float:
    inside = diameter**2 - 4.0 * mass / (math.pi * density * length)
    if inside < 0.0:
        return math.nan  # heavier than a solid bar
    return 0.5 * (diameter - math.sqrt(inside))


_ALL = (
    _relation(
        "wall_thickness_m", ("mass_kg", DENSITY, "surface_area_m2"), lambda m, rho, a: 2.0 * m / (rho * a),
        "2 m/(density x surface)", (1.05, 1.0, 1.35), "edges and ribs count as surface but not as wall",
    ),
    _relation(
        "wall_thickness_m", ("mass_kg", DENSITY, "projected_area_m2"), lambda m, rho, a: m / (rho * a),
        "m/(density x projected area)", (0.75, 0.4, 1.0), "projected over developed area: 1 flat, 0.4 deep",
    ),
    _relation(
        "wall_thickness_max_m", ("wall_thickness_m",), lambda h: h,
        "mean wall", (1.5, 1.0, 3.0), "thickest over mean wall: 1 for sheet, 3 for castings with bosses",
    ),
    _relation(
        "projected_area_m2", ("length_m", "width_m"), lambda length, width: length * width,
        "length x width", (0.65, 0.3, 1.0), "share of the envelope that the outline fills: 1 rectangle, 0.785 disc",
    ),
    _relation(
        "surface_area_m2", ("diameter_m", "tube_wall_m", "tube_length_m"),
        lambda d, t, length: 2.0 * math.pi * (d - t) * length,
        "2 pi (d - t) x length", (1.02, 1.0, 1.05), "end faces and fittings",
    ),
    _relation(
        "surface_area_m2", ("mass_kg", DENSITY, "wall_thickness_m"), lambda m, rho, h: 2.0 * m / (rho * h),
        "2 m/(density x wall)", (1.03, 1.0, 1.3), "edges and ribs",
    ),
    _relation(
        "surface_area_m2", ("projected_area_m2",), lambda a: 2.0 * a,
        "2 x projected area", (1.4, 1.0, 2.5), "developed over projected area",
    ),
    _relation(
        "cut_length_m", ("projected_area_m2", "length_m"), lambda a, length: 2.0 * (length + a / length),
        "2 (length + area/length)", (1.15, 0.85, 2.2), "outline against a rectangle of the same length and area; holes",
    ),
    _relation(
        "mass_kg", (DENSITY, "diameter_m", "tube_wall_m", "tube_length_m"),
        lambda rho, d, t, length: rho * math.pi * (d - t) * t * length,
        "density x pi (d - t) t x length", (1.0, 0.97, 1.05), "formed ends",
    ),
    _relation(
        "mass_kg", (DENSITY, "surface_area_m2", "wall_thickness_m"), lambda rho, a, h: 0.5 * rho * a * h,
        "density x surface x wall/2", (0.97, 0.75, 1.0), "edges and ribs",
    ),
    _relation(
        "tube_wall_m", ("mass_kg", DENSITY, "diameter_m", "tube_length_m"), _tube_wall,
        "wall of a tube of this mass, diameter and length", (0.98, 0.85, 1.0), "fittings weigh, too",
    ),
    _relation(
        "tube_length_m", ("mass_kg", DENSITY, "diameter_m", "tube_wall_m"),
        lambda m, rho, d, t: m / (rho * math.pi * (d - t) * t),
        "m/(density x pi (d - t) t)", (0.98, 0.85, 1.0), "fittings weigh, too",
    ),
    _relation(
        "tube_length_m", ("length_m",), lambda length: length,
        "length of the envelope", (1.2, 1.0, 2.2), "developed over straight length",
    ),
    _relation(
        "bend_length_m", ("bend_count", "width_m"), lambda n, width: n * width,
        "bends x width", (0.7, 0.2, 1.0), "bend line over width",
    ),
    _relation(
        "draw_depth_m", ("height_m",), lambda height: height,
        "height of the envelope", (0.9, 0.5, 1.0), "flanges beyond the draw",
    ),
    _relation(
        "weld_throat_m", ("wall_thickness_m",), lambda h: h,
        "wall", (0.7, 0.5, 1.0), "throat over the thinner wall",
    ),
    _relation(
        "board_area_m2", ("length_m", "width_m"), lambda length, width: length * width,
        "length x width", (0.95, 0.7, 1.0), "share of the envelope that the board fills",
    ),
)  # fmt: skip

RELATIONS: Mapping[str, Relation] = MappingProxyType({one.name: one for one in _ALL})
"""Every relation by the name of its factor."""


@dataclass(frozen=True, slots=True)
class Completed:
    """Readings with what could be estimated, one sentence per estimate, and what is still missing (names)."""

    readings: Mapping[str, Quantity]
    sentences: tuple[str, ...]
    missing: tuple[str, ...]


def completed(
    readings: Mapping[str, Quantity],
    needs: Iterable[str],
    material: Material | None,
    tag: str = "",
    factors: Mapping[str, Figure] | None = None,
) -> Completed:
    """Add estimates of the readings that are needed and were not taken.

    Parameters
    ----------
    readings : mapping of str to Quantity
        What was read off, by names of `inputs.INPUTS`; never replaced.
    needs : iterable of str
        What the steps ask for.
    material : Material or None
        Its density is used; without one, relations that need it are left out.
    tag : str
        Of the part, or the name of its own errors; the error of each estimate is named after it.
    factors : mapping of str to Figure, optional
        Shape factors that hold instead of those of `RELATIONS`, by their names.

    Returns
    -------
    Completed

    Raises
    ------
    LookupError
        A need or a factor nobody knows.

    Notes
    -----
    Of several relations the one with the smallest relative uncertainty is taken. An estimate may rest on another one;
    the sentences name each. A mean or thickest wall above the smallest side of the envelope is held at that side, and
    an estimate beyond the reach of its reading is not made; both are said.
    """
    for name in factors or {}:
        if name not in RELATIONS:
            msg = f"no shape factor named {name!r}; known: {', '.join(RELATIONS)}."
            raise LookupError(msg)
    work = _Work(dict(readings), material, tag, dict(factors or {}))
    missing = [known_input(name).name for name in needs if work.resolve(name, ()) is None]
    kept = {name: value for name, value in work.known.items() if name != DENSITY}
    return Completed(MappingProxyType(kept), tuple(work.sentences), tuple(dict.fromkeys(missing)))


def with_estimates(
    part: PartToCost,
    processes: Mapping[str, Process],
    materials: Mapping[str, Material],
    factors: Mapping[str, Figure] | None = None,
) -> tuple[PartToCost, tuple[str, ...]]:
    """Complete what the steps of a part ask for.

    Parameters
    ----------
    part : PartToCost
    processes, materials : mapping
        Of the program and of the scenario.
    factors : mapping of str to Figure, optional

    Returns
    -------
    PartToCost, tuple of str
        The part with estimates and their sentences, and names of readings that are still missing.

    Notes
    -----
    Readings of a step itself are left as they are, and only what a step must have is estimated: what is optional has a
    usual figure or counts as none. Steps and materials that are not there are left to the engine to refuse.
    """
    needs = [
        name
        for step in part.steps
        if step.process in processes
        for name in processes[step.process].needs
        if name not in step.readings
    ]
    found = completed(
        part.readings, needs, materials.get(part.material), part.error_name or part.tag, factors
    )
    whole = replace(part, readings=found.readings, estimated=(*part.estimated, *found.sentences))
    return whole, found.missing


class _Work:
    """Readings as they become known."""

    def __init__(
        self,
        readings: dict[str, Quantity],
        material: Material | None,
        tag: str,
        factors: dict[str, Figure],
    ) -> None:
        self.known = readings
        self.sentences: list[str] = []
        self._tag = tag
        self._factors = factors
        if material is not None and DENSITY in material.figures:
            figure = material.figures[DENSITY]
            self.known = {**readings, DENSITY: _spread(figure, f"material/{material.code}/{DENSITY}")}

    def resolve(self, name: str, above: tuple[str, ...]) -> Quantity | None:
        """Return a reading, estimated where need be; None where nothing leads to it."""
        if name in self.known:
            return self.known[name]
        if name in above or name == DENSITY:
            return None
        best: tuple[float, Quantity, str, list[str], dict[str, Quantity]] | None = None
        for relation in RELATIONS.values():
            if relation.target != name:
                continue
            # Each relation is tried from the same start: what another one had to estimate on its way does not stay.
            known, said = dict(self.known), list(self.sentences)
            sources = [self.resolve(one, (*above, name)) for one in relation.sources]
            found = self._estimate(relation, sources)
            if found is not None:
                value, words = found
                doubt = value.standard_uncertainty / abs(value.value)
                if best is None or doubt < best[0]:
                    best = (doubt, value, words, list(self.sentences), dict(self.known))
            self.known, self.sentences = known, said
        if best is None:
            return None
        _, value, words, self.sentences, self.known = best
        self.known[name] = value
        self.sentences.append(words)
        return value

    def _estimate(self, relation: Relation, sources: list[Quantity | None]) -> tuple[Quantity, str] | None:
        stated = [one for one in sources if one is not None]
        if len(stated) < len(sources):
            return None
        factor = self._factors.get(relation.name, relation.factor)
        spread = _spread(factor, f"estimate/{self._tag}/{relation.target}")
        plain = _carried(relation, stated)
        if plain is None:
            return None
        value = replace(plain * spread, unit=known_input(relation.target).unit, origin=Origin.INFERRED)
        one = INPUTS[relation.target]
        from_what = ", ".join(
            "density" if name == DENSITY else INPUTS[name].words for name in relation.sources
        )
        if not one.low <= value.value <= one.high or value.value == 0.0:
            return None
        held = ""
        if relation.target in ("wall_thickness_m", "wall_thickness_max_m"):
            sides = [self.known[name] for name in ("length_m", "width_m", "height_m") if name in self.known]
            smallest = min(sides, key=lambda side: side.value, default=None)
            if smallest is not None and value.value > smallest.value:
                value, held = (
                    replace(smallest, origin=Origin.INFERRED),
                    "; held at the smallest side of the envelope",
                )
        return value, (
            f"{one.words} {value.value:.4g} {one.unit} estimated from {from_what}: {relation.words} x {factor.value:g} "
            f"({factor.low:g}–{factor.high:g}, {factor.mark}: {relation.factor.words}){held}"
        )


def _spread(figure: Figure, name: str) -> Quantity:
    """Return a figure as a quantity whose one error is that of its draws."""
    if figure.exact:
        return Quantity(figure.value, figure.unit, origin=Origin.ASSUMED)
    source = Source(name, "triangular")
    return Quantity(figure.value, figure.unit, ((source, figure.standard_deviation),), Origin.ASSUMED)


def _carried(relation: Relation, sources: list[Quantity]) -> Quantity | None:
    """Value of the formula with the errors of its sources, by central differences; None where it has no value."""
    values = [one.value for one in sources]
    if any(value == 0.0 for value in values):
        return None
    best = relation.formula(*values)
    if not math.isfinite(best):
        return None
    parts = []
    for place, one in enumerate(sources):
        step = 1e-6 * abs(one.value)
        ends = [
            relation.formula(*(value + sign * step * (place == other) for other, value in enumerate(values)))
            for sign in (1.0, -1.0)
        ]
        slope = (ends[0] - ends[1]) / (2.0 * step)
        if not math.isfinite(slope):
            return None
        parts.append((one, slope))
    return combine(best, parts, known_input(relation.target).unit)
