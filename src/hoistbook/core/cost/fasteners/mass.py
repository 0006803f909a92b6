"""Mass of a fastener from its dimensions, with the band the tests of the model against published masses give."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from hoistbook.core.cost.fasteners import solids
from hoistbook.core.cost.fasteners.pieces import Bolt, Nut, Piece, Stud
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.quantities.quantity import Origin, Quantity, combine

# A countersink on both sides of a nut reaches 1.08 d (common practice: ISO 4032 allows 1.08 to 1.15 d).
_COUNTERSINK_FRAC = 1.08
_STEP = 1e-4  # of a figure's value, for its slope

Values = Mapping[str, float]


def fastener_mass(piece: Piece, figures: FigureSet) -> Quantity:
    """Mass of one fastener. [kg]

    Parameters
    ----------
    piece : Bolt, Stud or Nut
    figures : FigureSet
        Figures of the mass model, see `data/fasteners/figures.toml`.

    Returns
    -------
    Quantity
        Volume times density. The band holds the figures of the shape and the tested error of the model; fasteners of
        one form share it, so a hundred equal bolts do not average it out.

    Raises
    ------
    ValueError
        A head that lacks a dimension its form needs.

    Notes
    -----
    Threaded length (π/4) d2² b, plain shank (π/4) d² (l − b), head as a solid of its form (`head_m3`). Coatings (below
    1 %), patches and captive washers are outside the model. Do not use the stress area for mass.

    Source
    ------
    first principles; tested against GOST 22042-76, GOST 5927-70, GOST 7795-70 and a distributor's DIN 912 weights.
    """
    names = figure_names(piece)
    quantities = {name: figures[name] for name in names}
    values = {name: quantity.value for name, quantity in quantities.items()}
    mass = _mass_kg(piece, values)
    parts = [
        (quantity, _slope(lambda v: _mass_kg(piece, v), values, name))
        for name, quantity in quantities.items()
    ]
    found = combine(mass, parts, "kg")
    origin = Origin.INFERRED if found.origin is Origin.ASSUMED else found.origin
    return Quantity(found.value, "kg", found.terms, origin)


def figure_names(piece: Piece) -> tuple[str, ...]:
    """Names of the figures that the mass of a piece rests on."""
    base = ("density_kg_per_m3", _error_name(piece))
    if isinstance(piece, Stud):
        return (*base, "thread_section_frac")
    if isinstance(piece, Nut):
        return (*base, "flange_slope_rad") if piece.row.form == "flange nut" else base
    form = piece.head.form
    by_form = {
        "hexagon flange": ("flange_slope_rad", "flange_dishing_frac"),
        "lobed flange": ("flange_slope_rad", "flange_dishing_frac", "lobed_between_frac"),
        "cylinder": ("cylinder_chamfer_frac",),
        "cheese": ("cheese_draft_rad",),
        "pan": ("pan_top_frac",),
        "button": ("button_top_frac",),
        "button with collar": ("button_top_frac", "collar_dome_frac"),
    }
    deep = piece.head.drive == "hexalobular" and piece.head.recess_m is None
    more = (
        *(("lobed_depth_frac",) if deep else ()),
        *(("flanged_lobed_head_frac",) if _unlike(piece) else ()),
    )
    return (*base, "thread_section_frac", *by_form.get(form, ()), *more)


def _error_name(piece: Piece) -> str:
    if isinstance(piece, Stud):
        return "error_stud"
    if isinstance(piece, Nut):
        return {"nut": "error_hexagon", "flange nut": "error_flange", "washer": "error_stud"}[piece.row.form]
    if piece.head.form == "cylinder":
        size = round(1e3 * piece.thread.diameter_m)
        return f"error_cylinder_{'m5' if size <= 5 else 'm6_m10' if size <= 10 else 'm12' if size <= 12 else 'm14_m16'}"
    return {
        "hexagon": "error_hexagon",
        "hexagon flange": "error_flange",
        "lobed flange": "error_lobed",
        "cheese": "error_cheese_pan",
        "pan": "error_cheese_pan",
    }.get(piece.head.form, "error_button")


def _slope(function: Callable[[Values], float], values: Values, name: str) -> float:
    step = _STEP * (abs(values[name]) or 1.0)
    high, low = ({**values, name: values[name] + sign * step} for sign in (1.0, -1.0))
    return (function(high) - function(low)) / (2.0 * step)


def _mass_kg(piece: Piece, figures: Values) -> float:
    return _volume_m3(piece, figures) * figures["density_kg_per_m3"] * figures[_error_name(piece)]


def _volume_m3(piece: Piece, figures: Values) -> float:
    if isinstance(piece, Nut):
        return nut_m3(piece, figures)
    section = figures["thread_section_frac"]
    if isinstance(piece, Stud):
        threaded = piece.threaded_m * piece.thread.threaded_section_m2
        return section * threaded + (piece.length_m - piece.threaded_m) * piece.thread.shank_section_m2
    threaded, plain = piece.shank_m3
    return head_m3(piece, figures) + section * threaded + plain


def nut_m3(nut: Nut, figures: Values) -> float:
    """Volume of a nut or washer. [m³]

    Notes
    -----
    Nut: [(√3/2) s² − (π/4) d2²] m less two hexagon chamfers and two countersinks of 120° to 1.08 d. Flange nut: one
    chamfer, plus the flange; countersinks not taken off, so an upper bound within 1 %.
    """
    row, thread = nut.row, nut.thread
    if row.form == "washer":
        return solids.washer_m3(_needed(row.outer_m, nut), _needed(row.bore_m, nut), row.height_m)
    flats = _needed(row.across_flats_m, nut)
    bore = thread.threaded_section_m2 * row.height_m
    if row.form == "nut":
        sink = solids.countersink_m3(_COUNTERSINK_FRAC * thread.diameter_m, thread.pitch_diameter_m)
        return solids.hexagon_prism_m3(flats, row.height_m, 2) - bore - 2.0 * sink
    skirt = solids.flange_skirt_m3(
        _needed(row.flange_m, nut),
        _needed(row.edge_m, nut),
        figures["flange_slope_rad"],
        solids.hexagon_area_m2(flats),
        solids.hexagon_radius_integral_m3(flats),
    )
    return solids.hexagon_prism_m3(flats, row.height_m) - bore + skirt


def head_m3(bolt: Bolt, figures: Values) -> float:
    """Volume of a head above its bearing plane. [m³]

    Parameters
    ----------
    bolt : Bolt
    figures : mapping of str to float
        The figures of the shape, see `figure_names`.
    """
    head = bolt.head
    match head.form:
        case "hexagon":
            return solids.hexagon_prism_m3(_needed(head.across_flats_m, bolt), head.height_m)
        case "hexagon flange" | "lobed flange":
            return _flange_head_m3(bolt, figures)
        case "cylinder":
            chamfer = figures["cylinder_chamfer_frac"] * bolt.thread.diameter_m
            body = solids.cylinder_head_m3(_needed(head.diameter_m, bolt), head.height_m, chamfer)
        case "cheese":
            radius = 0.5 * _needed(head.diameter_m, bolt)
            top = radius - head.height_m * math.tan(figures["cheese_draft_rad"])
            body = solids.frustum_m3(radius, top, head.height_m)
        case "pan":
            radius = 0.5 * _needed(head.diameter_m, bolt)
            body = solids.spherical_zone_m3(radius, figures["pan_top_frac"] * radius, head.height_m)
        case "button":
            radius = 0.5 * _needed(head.diameter_m, bolt)
            top = 0.5 * figures["button_top_frac"] * bolt.thread.diameter_m
            body = solids.spherical_zone_m3(radius, top, head.height_m)
        case "button with collar":
            body = _collar_head_m3(bolt, figures)
    head_volume = body - _recess_m3(bolt, figures)
    return head_volume * figures["flanged_lobed_head_frac"] if _unlike(bolt) else head_volume


def _unlike(bolt: Bolt) -> bool:
    """A flanged head with a hexalobular recess: no standard here has it, a button head with collar stands in."""
    return bolt.head.form == "button with collar" and bolt.head.drive == "hexalobular"


def _flange_head_m3(bolt: Bolt, figures: Values) -> float:
    head = bolt.head
    height = head.height_m - figures["flange_dishing_frac"] * bolt.thread.diameter_m
    if head.form == "hexagon flange":
        flats = _needed(head.across_flats_m, bolt)
        area, integral = solids.hexagon_area_m2(flats), solids.hexagon_radius_integral_m3(flats)
        wrench = solids.hexagon_prism_m3(flats, height)
    else:
        over = _lobed(bolt)
        area = solids.fitted_hexalobular_area_m2(over, figures["lobed_between_frac"] * over)
        integral = 2.0 / 3.0 * math.pi * (area / math.pi) ** 1.5  # as a circle of the same area
        wrench = area * height
    skirt = solids.flange_skirt_m3(
        _needed(head.flange_m, bolt), _needed(head.edge_m, bolt), figures["flange_slope_rad"], area, integral
    )
    return wrench + skirt


def _collar_head_m3(bolt: Bolt, figures: Values) -> float:
    head = bolt.head
    edge = _needed(head.edge_m, bolt)
    dome = 0.5 * figures["collar_dome_frac"] * _needed(head.diameter_m, bolt)
    top = 0.5 * figures["button_top_frac"] * bolt.thread.diameter_m
    collar = 0.25 * math.pi * _needed(head.flange_m, bolt) ** 2 * edge
    return solids.spherical_zone_m3(dome, top, head.height_m - edge) + collar


def _recess_m3(bolt: Bolt, figures: Values) -> float:
    head = bolt.head
    if head.drive == "socket":
        return solids.hexagon_recess_m3(_needed(head.across_flats_m, bolt), _needed(head.recess_m, bolt))
    drive = bolt.lobed
    if drive is None or drive.between_m is None or drive.lobe_m is None:
        msg = f"{bolt.words}: the recess has no size between its lobes; name an internal drive, e.g. T30."
        raise ValueError(msg)
    area = solids.hexalobular_area_m2(drive.over_m, drive.between_m, drive.lobe_m)
    depth = head.recess_m if head.recess_m is not None else figures["lobed_depth_frac"] * drive.over_m
    return area * depth + solids.drill_cone_m3(0.5 * drive.between_m)


def _lobed(bolt: Bolt) -> float:
    if bolt.lobed is None or not bolt.lobed.external:
        msg = f"{bolt.words}: an external hexalobular head needs its drive, e.g. E10."
        raise ValueError(msg)
    return bolt.lobed.over_m


def _needed(value: float | None, piece: Piece) -> float:
    if value is None:
        msg = (
            f"{piece.words}: a dimension of the head is missing; take a standard of the tables, or weigh it."
        )
        raise ValueError(msg)
    return value
