"""Area, second moments, torsion constant and shear centre of the sections that links have."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array

# first principles: of the square corner less its quarter circle, radius 1: area; distance of its centroid from both
# sides; second moment and product about its own centroid.
_CORNER_AREA = 1.0 - math.pi / 4.0
_CORNER_AT = (5.0 / 6.0 - math.pi / 4.0) / _CORNER_AREA
_CORNER_SECOND = 1.0 - 5.0 * math.pi / 16.0 - _CORNER_AREA * _CORNER_AT**2
_CORNER_PRODUCT = 19.0 / 24.0 - math.pi / 4.0 - _CORNER_AREA * _CORNER_AT**2


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a section: area, centroid, own second moments and product; negative areas are cut away."""

    area: Array
    x: Array
    y: Array
    second_x: Array
    second_y: Array
    product: Array


@dataclass(frozen=True, slots=True)
class Section:
    """Properties of a section.

    Attributes
    ----------
    area_m2 : array
    second_x_m4, second_y_m4, product_m4 : array
        About centroidal axes across and along the depth. [m⁴]
    torsion_m4 : array
    fibre_m : array
        Of the outermost fibre in the direction of the depth, from the centroid.
    shear_centre_m : array
        Distance of the shear centre from the centroid.
    closed : bool
    """

    area_m2: Array
    second_x_m4: Array
    second_y_m4: Array
    product_m4: Array
    torsion_m4: Array
    fibre_m: Array
    shear_centre_m: Array
    closed: bool

    @property
    def least_second_m4(self) -> Array:
        """Least principal second moment (first principles: Mohr's circle). [m⁴]"""
        half = 0.5 * (self.second_x_m4 - self.second_y_m4)
        least: Array = 0.5 * (self.second_x_m4 + self.second_y_m4) - np.hypot(half, self.product_m4)
        return least


def _rectangle(width: Array, height: Array, x: Array, y: Array, sign: float = 1.0) -> Piece:
    area = sign * width * height
    return Piece(area, x, y, area * height**2 / 12.0, area * width**2 / 12.0, 0.0 * area)


def _corner(radius: Array, x: Array, y: Array, to: tuple[int, int], sign: float) -> Piece:
    """What a rounded corner at (x, y) cuts off (−1) or fills (+1); `to` points from it into the round."""
    away = _CORNER_AT * radius
    return Piece(
        sign * _CORNER_AREA * radius**2,
        x + to[0] * away,
        y + to[1] * away,
        sign * _CORNER_SECOND * radius**4,
        sign * _CORNER_SECOND * radius**4,
        sign * to[0] * to[1] * _CORNER_PRODUCT * radius**4,
    )


def _bend(outside: Array, wall: Array, x: Array, y: Array, to: tuple[int, int]) -> list[Piece]:
    """A fold with its outer corner at (x, y): rounded outside, filled inside."""
    inside = np.maximum(outside - wall, 0.0)
    return [
        _corner(outside, x, y, to, -1.0),
        _corner(inside, x + to[0] * wall, y + to[1] * wall, to, 1.0),
    ]


def _summed(pieces: list[Piece]) -> tuple[Array, Array, Array, Array, Array, Array]:
    """Area, centroid, second moments and product about it."""
    area = sum((one.area for one in pieces), np.zeros(1))
    x = sum((one.area * one.x for one in pieces), np.zeros(1)) / area
    y = sum((one.area * one.y for one in pieces), np.zeros(1)) / area
    second_x = sum((one.second_x + one.area * (one.y - y) ** 2 for one in pieces), np.zeros(1))
    second_y = sum((one.second_y + one.area * (one.x - x) ** 2 for one in pieces), np.zeros(1))
    product = sum((one.product + one.area * (one.x - x) * (one.y - y) for one in pieces), np.zeros(1))
    return area, x, y, second_x, second_y, product


def _open(area: Array, wall: Array) -> Array:
    """Σ b t³/3 over the mid-line, b t being the area (from memory: thin open sections, Saint-Venant)."""
    found: Array = area * wall**2 / 3.0
    return found


def channel(depth: Array, width: Array, wall: Array, corner: Array) -> Section:
    """Folded channel. Shear centre: 3 b²/(h + 6 b) behind the web's middle (from memory: thin walls)."""
    flange = width - wall
    pieces = [_rectangle(wall, depth, 0.5 * wall, 0.0 * wall)]
    for side in (1, -1):
        pieces.append(_rectangle(flange, wall, wall + 0.5 * flange, side * 0.5 * (depth - wall)))
        pieces += _bend(corner, wall, 0.0 * wall, side * 0.5 * depth, (1, -side))
    area, x, _, second_x, second_y, product = _summed(pieces)
    across, along = width - 0.5 * wall, depth - wall
    behind = 3.0 * across**2 / (along + 6.0 * across)
    return Section(
        area, second_x, second_y, product, _open(area, wall), 0.5 * depth, behind + x - 0.5 * wall, False
    )


def angle(depth: Array, width: Array, wall: Array, corner: Array) -> Section:
    """Folded angle; its shear centre is where the mid-lines of its legs meet (first principles)."""
    flange = width - wall
    pieces = [
        _rectangle(wall, depth, 0.5 * wall, 0.5 * depth),
        _rectangle(flange, wall, wall + 0.5 * flange, 0.5 * wall),
        *_bend(corner, wall, 0.0 * wall, 0.0 * wall, (1, 1)),
    ]
    area, x, y, second_x, second_y, product = _summed(pieces)
    fibre = np.maximum(y, depth - y)
    away = np.hypot(x - 0.5 * wall, y - 0.5 * wall)
    return Section(area, second_x, second_y, product, _open(area, wall), fibre, away, False)


def box(depth: Array, width: Array, wall: Array, corner: Array) -> Section:
    """Closed box. Torsion: 4 Am² t/s (from memory: Bredt), 4 % below finite elements for a thick one."""
    nothing = 0.0 * wall
    pieces = [
        _rectangle(width, depth, nothing, nothing),
        _rectangle(width - 2.0 * wall, depth - 2.0 * wall, nothing, nothing, -1.0),
    ]
    for right in (1, -1):
        for up in (1, -1):
            pieces += _bend(corner, wall, right * 0.5 * width, up * 0.5 * depth, (-right, -up))
    area, _, _, second_x, second_y, product = _summed(pieces)
    middle = np.maximum(corner - 0.5 * wall, 0.0)
    enclosed = (width - wall) * (depth - wall) - (4.0 - math.pi) * middle**2
    around = 2.0 * (width + depth - 2.0 * wall) - (8.0 - 2.0 * math.pi) * middle
    torsion = 4.0 * enclosed**2 * wall / around
    return Section(area, second_x, second_y, product, torsion, 0.5 * depth, nothing, True)


def tube(depth: Array, width: Array, wall: Array, corner: Array) -> Section:
    """Round tube: π(D⁴ − d⁴)/64 and twice that (first principles)."""
    del width, corner
    inside = depth - 2.0 * wall
    area = 0.25 * math.pi * (depth**2 - inside**2)
    second = math.pi / 64.0 * (depth**4 - inside**4)
    return Section(area, second, second, 0.0 * wall, 2.0 * second, 0.5 * depth, 0.0 * wall, True)


def slit_tube(depth: Array, width: Array, wall: Array, corner: Array) -> Section:
    """Round tube with an open seam: 2π r t³/3; shear centre 2 r from the middle (from memory: thin walls)."""
    whole = tube(depth, width, wall, corner)
    mean = 0.5 * (depth - wall)
    return Section(
        whole.area_m2,
        whole.second_x_m4,
        whole.second_y_m4,
        whole.product_m4,
        2.0 * math.pi * mean * wall**3 / 3.0,
        whole.fibre_m,
        2.0 * mean,
        False,
    )


def forged_i(depth: Array, width: Array, wall: Array, corner: Array) -> Section:
    """I with web and flanges of one thickness; fillets and draft left out."""
    del corner
    nothing = 0.0 * wall
    pieces = [
        _rectangle(wall, depth - 2.0 * wall, nothing, nothing),
        _rectangle(width, wall, nothing, 0.5 * (depth - wall)),
        _rectangle(width, wall, nothing, -0.5 * (depth - wall)),
    ]
    area, _, _, second_x, second_y, product = _summed(pieces)
    return Section(area, second_x, second_y, product, _open(area, wall), 0.5 * depth, nothing, False)


SECTIONS: Mapping[str, Callable[[Array, Array, Array, Array], Section]] = MappingProxyType(
    {
        "channel": channel,
        "angle": angle,
        "box": box,
        "tube": tube,
        "slit tube": slit_tube,
        "I": forged_i,
    }
)


def widest_over_wall(shape: str, depth: Array, width: Array, wall: Array) -> tuple[Array, Array]:
    """Free outstand and held wall over the thickness; 0 where there is none. Of a tube the diameter stands second."""
    nothing = 0.0 * wall
    by_shape = {
        "channel": ((width - wall) / wall, (depth - 2.0 * wall) / wall),
        "angle": (np.maximum(depth, width) / wall - 1.0, nothing),
        "box": (nothing, np.maximum(depth, width) / wall - 2.0),
        "tube": (nothing, depth / wall),
        "slit tube": (nothing, depth / wall),
        "I": (0.5 * (width - wall) / wall, (depth - 2.0 * wall) / wall),
    }
    return by_shape[shape]
