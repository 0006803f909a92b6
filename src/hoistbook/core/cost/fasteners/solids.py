"""Volumes of the solids a fastener is made of. All lengths in metres, volumes in cubic metres.

Source: first principles, as derived in each function; the checks against published masses stand in the tests.
"""

from __future__ import annotations

import math

_ROOT_3 = math.sqrt(3.0)
_TAN_30 = 1.0 / _ROOT_3
# A 30° chamfer turned on a hexagon prism from a circle of 0.95 s takes this share of s³ (computed: numerical
# integration over the six corners).
CHAMFER_OF_S3 = 0.0028066


def hexagon_area_m2(across_flats_m: float) -> float:
    """Area of a hexagon: (√3/2) s². [m²]"""
    return 0.5 * _ROOT_3 * across_flats_m**2


def hexagon_prism_m3(across_flats_m: float, height_m: float, chamfers: int = 1) -> float:
    """Hexagon prism less its 30° chamfers. [m³]

    Parameters
    ----------
    across_flats_m, height_m : float
    chamfers : int
        Ends that are chamfered: 1 on a bolt head, 2 on a nut.
    """
    return hexagon_area_m2(across_flats_m) * height_m - chamfers * CHAMFER_OF_S3 * across_flats_m**3


def hexagon_radius_integral_m3(across_flats_m: float) -> float:
    """∫ r dA over a hexagon about its centre: 2 a³ (2/3 + ln √3) with a = s/2. [m³]"""
    a = 0.5 * across_flats_m
    return 2.0 * a**3 * (2.0 / 3.0 + math.log(_ROOT_3))


def flange_skirt_m3(
    flange_diameter_m: float, edge_m: float, slope_rad: float, inner_area_m2: float, inner_integral_m3: float
) -> float:
    """Flange outside the wrenching part: edge thickness plus a cone rising inwards. [m³]

    Parameters
    ----------
    flange_diameter_m, edge_m, slope_rad : float
        Outer diameter, thickness at the rim, slope of the top.
    inner_area_m2, inner_integral_m3 : float
        Area of the wrenching part and its ∫ r dA.

    Notes
    -----
    ∫ [c + (R − r) tan δ] dA over the disc less the inner figure.
    """
    radius = 0.5 * flange_diameter_m
    outside = math.pi * radius**2 - inner_area_m2
    cone = math.pi * radius**3 / 3.0 - (radius * inner_area_m2 - inner_integral_m3)
    return outside * edge_m + cone * math.tan(slope_rad)


def cylinder_head_m3(diameter_m: float, height_m: float, chamfer_m: float) -> float:
    """Cylinder with one edge chamfered at 45°: (π/4) dk² k − π (dk − 2v/3) v²/2. [m³]"""
    return (
        0.25 * math.pi * diameter_m**2 * height_m
        - 0.5 * math.pi * (diameter_m - 2.0 * chamfer_m / 3.0) * chamfer_m**2
    )


def spherical_zone_m3(base_radius_m: float, top_radius_m: float, height_m: float) -> float:
    """Spherical zone between two parallel circles: (π h/6)(3 r1² + 3 r2² + h²). [m³]"""
    return math.pi * height_m / 6.0 * (3.0 * base_radius_m**2 + 3.0 * top_radius_m**2 + height_m**2)


def frustum_m3(base_radius_m: float, top_radius_m: float, height_m: float) -> float:
    """Frustum of a cone. [m³]"""
    return math.pi * height_m / 3.0 * (base_radius_m**2 + base_radius_m * top_radius_m + top_radius_m**2)


def drill_cone_m3(radius_m: float) -> float:
    """Cone of 120° that a drill leaves under a recess: (π/3) r³ tan 30°. [m³]"""
    return math.pi / 3.0 * radius_m**3 * _TAN_30


def hexagon_recess_m3(across_flats_m: float, depth_m: float) -> float:
    """Hexagon socket with its drill cone. [m³]"""
    return hexagon_area_m2(across_flats_m) * depth_m + drill_cone_m3(0.5 * across_flats_m)


def hexalobular_area_m2(over_lobes_m: float, between_lobes_m: float, lobe_radius_m: float) -> float:
    """Area of a hexalobular section. [m²]

    Parameters
    ----------
    over_lobes_m, between_lobes_m, lobe_radius_m : float
        A, B and Re. Six lobes of radius Re touch the circle of A; six valleys tangent to them touch that of B.

    Raises
    ------
    ValueError
        The three sizes make no such figure.

    Notes
    -----
    Centres of lobe and valley lie at p = A/2 − Re and q = B/2 + Ri, 30° apart. Tangency, p² + q² − 2pq cos 30° =
    (Re + Ri)², is linear in the valley radius Ri. The twelfth of the figure is the triangle of the centres plus the
    sector of the lobe outside it less the sector of the valley inside it.

    Source
    ------
    first principles. A check to 0.3 % stands in the tests; area ≈ 0.770 A B within 1.5 % from T8 to T100.
    """
    b, re = 0.5 * between_lobes_m, lobe_radius_m
    p = 0.5 * over_lobes_m - re
    cos = 0.5 * _ROOT_3
    below = 2.0 * (b - p * cos - re)
    ri = (re**2 - p**2 - b**2 + 2.0 * p * b * cos) / below if below != 0.0 else -1.0
    if not (p > 0.0 and re > 0.0 and ri > 0.0):
        msg = (
            f"A = {over_lobes_m!r}, B = {between_lobes_m!r}, Re = {lobe_radius_m!r} m make no hexalobular figure; "
            "check the three sizes."
        )
        raise ValueError(msg)
    q, r = b + ri, re + ri
    at_lobe = math.acos(max(-1.0, min(1.0, (p**2 + r**2 - q**2) / (2.0 * p * r))))
    at_valley = math.acos(max(-1.0, min(1.0, (q**2 + r**2 - p**2) / (2.0 * q * r))))
    twelfth = 0.25 * p * q + 0.5 * re**2 * (math.pi - at_lobe) - 0.5 * ri**2 * at_valley
    return 12.0 * twelfth


def fitted_hexalobular_area_m2(over_lobes_m: float, between_lobes_m: float) -> float:
    """Area of a hexalobular section whose lobe radius is not known: 0.770 A B, within 1.5 %. [m²]

    Source
    ------
    computed: fit of `hexalobular_area_m2` over T8 to T100.
    """
    return 0.770 * over_lobes_m * between_lobes_m


def countersink_m3(outer_m: float, inner_m: float) -> float:
    """What a 120° countersink takes from the rim of a hole. [m³]"""
    depth = 0.5 * (outer_m - inner_m) * _TAN_30
    return frustum_m3(0.5 * outer_m, 0.5 * inner_m, depth) - 0.25 * math.pi * inner_m**2 * depth


def washer_m3(outer_m: float, bore_m: float, thickness_m: float) -> float:
    """Plain washer: (π/4)(d2² − d1²) h. [m³]"""
    return 0.25 * math.pi * (outer_m**2 - bore_m**2) * thickness_m
